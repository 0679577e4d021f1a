// The times measured at the newest edges before the play head.

import { useLayoutEffect, useMemo, useRef } from "react"
import { play, usePlay } from "../play.ts"
import { usePage } from "../store.ts"
import { measuredTimes, timesAt } from "./measured-times.ts"

export function MeasuredWords() {
  const lamp = usePage((s) => s.played?.made.lamp)
  const trace = usePlay((s) => s.trace)
  const place = useRef<HTMLSpanElement>(null)
  const events = useMemo(() => (lamp && trace ? measuredTimes(lamp, trace) : []), [lamp, trace])
  useLayoutEffect(() => {
    let said = ""
    const say = ({ time }: { readonly time: number }) => {
      const words = timesAt(events, time)
      if (place.current && words !== said) place.current.textContent = words
      said = words
    }
    if (place.current) place.current.textContent = ""
    say(play.getState())
    return play.subscribe(say)
  }, [events])
  return (
    <span
      ref={place}
      className="measured-words"
      title={
        trace
          ? `Measured on the emulated controller, in steps of ${Math.round(trace.step * 1000)} ms`
          : undefined
      }
    />
  )
}
