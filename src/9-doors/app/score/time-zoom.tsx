// Less time seen larger, or more of it: in the corner between labels and ruler.

import { Button } from "react-aria-components"
import { play, usePlay } from "../play.ts"
import { type Span, shortest, within } from "./span.ts"

interface Props {
  readonly span: Span
  readonly setSpan: (span: Span) => void
}

export function TimeZoom({ span, setSpan }: Props) {
  const length = usePlay((s) => s.length)
  const wide = span.to - span.from
  const zoom = (factor: number) => {
    const next = Math.min(length, Math.max(shortest, wide * factor))
    setSpan(within(play.getState().time - next / 2, next, length))
  }
  return (
    <fieldset className="time-zoom">
      <legend className="unseen">Time in view</legend>
      <Button isDisabled={wide <= shortest} onPress={() => zoom(0.5)}>
        Closer
      </Button>
      <Button isDisabled={wide >= length} onPress={() => zoom(2)}>
        Farther
      </Button>
    </fieldset>
  )
}
