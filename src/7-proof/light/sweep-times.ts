// When a sweep was finished, read from the bench's trace: from the wire's rise to the moment every LED of the group
// has come to its level of that flash.

import type { Group } from "../../2-lamp/artefact.ts"
import type { LightTrace } from "../artefact.ts"

export interface SweepTime {
  /** Seconds from the start of the trace. */
  readonly at: number
  /** Seconds from the wire's rise until all LEDs were at their level. */
  readonly finished: number
}

/** One entry for every flash in which all LEDs were lit; undefined when the trace shows none. */
export function sweepTimes(
  trace: LightTrace,
  group: Group,
  wires: readonly string[],
): SweepTime[] | undefined {
  const leds = group.leds.map((l) => trace.leds[l.ref])
  const live = wires.map((w) => trace.wires[w])
  if (leds.length === 0 || leds.some((l) => !l) || live.length === 0 || live.some((w) => !w)) return undefined
  const out: SweepTime[] = []
  let start = -1
  for (let k = 0; k <= trace.samples; k++) {
    const on = k < trace.samples && live.every((w) => w![k] === 1)
    if (on && start < 0) start = k
    if (on || start < 0) continue
    // The flash as a whole: its highest level is the level it was meant to reach.
    let finished = -1
    let dark = false
    for (const led of leds) {
      let top = 0
      for (let i = start; i < k; i++) top = Math.max(top, led![i]!)
      if (top === 0) dark = true
      let reached = start
      while (reached < k && led![reached]! < 0.95 * top) reached++
      finished = Math.max(finished, reached)
    }
    // A flash at the very start of the trace began before it.
    if (!dark && start > 0) out.push({ at: start * trace.step, finished: (finished - start) * trace.step })
    start = -1
  }
  return out.length === 0 ? undefined : out
}
