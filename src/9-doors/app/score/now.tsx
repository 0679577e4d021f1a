// What the lamp does at the play head, in words; changes every frame without drawing the page again.

import { useLayoutEffect, useRef } from "react"
import { show } from "../../../0-ground/text/show.ts"
import { play, sampleAt } from "../play.ts"
import { usePage } from "../store.ts"

export function NowWords() {
  const lamp = usePage((s) => s.lamp)
  const place = useRef<HTMLSpanElement>(null)
  useLayoutEffect(() => {
    const say = ({ trace, time }: ReturnType<typeof play.getState>) => {
      if (!place.current || !trace || !lamp) return
      const i = sampleAt(trace, time)
      const live = lamp.vehicle.wires.filter((w) => (trace.wires[w.name]?.[i] ?? 0) > 0).map((w) => w.name)
      const all = Object.values(trace.leds)
      const lit = all.filter((l) => (l[i] ?? 0) > 0).length
      place.current.textContent = `${live.length === 0 ? "no wire live" : `${live.join(", ")} live`}, ${lit} of ${all.length} LEDs lit`
    }
    say(play.getState())
    return play.subscribe(say)
  }, [lamp])
  return <span ref={place} className="now-words" />
}

export function NowTime() {
  const place = useRef<HTMLSpanElement>(null)
  useLayoutEffect(() => {
    const say = ({ time, length }: ReturnType<typeof play.getState>) => {
      if (place.current) place.current.textContent = `${time.toFixed(2)} s of ${show(length, "s")}`
    }
    say(play.getState())
    return play.subscribe(say)
  }, [])
  return <span ref={place} className="now-time" />
}
