// The level a controller really gives a group, read from the bench's light.

import type { Group, ProgrammeLine } from "../../2-lamp/artefact.ts"
import type { LightTrace } from "../artefact.ts"

/**
 * Greatest light of the group's LEDs, as a share of their full current, while just the line's wires are live;
 * while at least they are, where the trace never shows them alone. Undefined when it never shows them. Only the later
 * half of the time between two changes of the wires counts: before that the light may still be on its way.
 */
export function levelSeen(
  trace: LightTrace | undefined,
  group: Group,
  { when }: ProgrammeLine,
): number | undefined {
  if (!trace) return undefined
  const leds = group.leds.flatMap((l) => (trace.leds[l.ref] ? [trace.leds[l.ref]!] : []))
  if (leds.length === 0) return undefined
  const others = Object.entries(trace.wires).filter(([w]) => !when.includes(w))
  let alone: number | undefined
  let atLeast: number | undefined
  const wires = Object.values(trace.wires)
  const changed = (k: number) => wires.some((w) => w[k] !== w[k - 1])
  let since = 0
  let until = 0
  for (let k = 0; k < trace.samples; k++) {
    if (k === until) {
      since = k
      do until++
      while (until < trace.samples && !changed(until))
    }
    if (2 * k < since + until) continue
    if (!when.every((w) => trace.wires[w]?.[k] === 1)) continue
    const top = leds.reduce((t, l) => Math.max(t, l[k] ?? 0), 0) / 255
    atLeast = Math.max(atLeast ?? 0, top)
    if (others.every(([, live]) => live[k] !== 1)) alone = Math.max(alone ?? 0, top)
  }
  return alone ?? atLeast
}
