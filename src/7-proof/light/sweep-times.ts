// When a sweep was finished, read from the bench's trace: from the wire's rise to the moment every LED of the group
// has come to its level of that flash.

import type { Group } from "../../2-lamp/artefact.ts"
import type { LightTrace } from "../artefact.ts"

export interface SweepTime {
  /** Seconds from the start of the trace. */
  readonly at: number
  /** Seconds from the wire's rise until all LEDs were at their level. */
  readonly finished: number
  /** Seconds from the wire's rise until each LED, in the group's order, had half its level. */
  readonly lit: readonly number[]
  /** LEDs that fell below half their level while the wire was still live. */
  readonly dropped: number
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
    let dropped = 0
    const lit: number[] = []
    for (const led of leds) {
      let top = 0
      for (let i = start; i < k; i++) top = Math.max(top, led![i]!)
      if (top === 0) dark = true
      let reached = start
      while (reached < k && led![reached]! < 0.95 * top) reached++
      finished = Math.max(finished, reached)
      const half = halfway(led!, start, top / 2)
      lit.push((half - start) * trace.step)
      // The last step belongs to the wire's fall.
      let fallen = false
      for (let i = Math.ceil(half); i < k - 1; i++) fallen ||= led![i]! < top / 2
      if (fallen) dropped++
    }
    // A flash at the very start of the trace began before it.
    if (!dark && start > 0)
      out.push({ at: start * trace.step, finished: (finished - start) * trace.step, lit, dropped })
    start = -1
  }
  return out.length === 0 ? undefined : out
}

/** Sample at which an LED first has `level`, between the two around it. */
function halfway(led: readonly number[], start: number, level: number): number {
  let k = start
  while (led[k]! < level) k++
  const [below, above] = [k === start ? 0 : led[k - 1]!, led[k]!]
  return k === start || above === below ? k : k - 1 + (level - below) / (above - below)
}

/** When the first LED of a group had light after its wires went live, seconds; the slowest flash. */
export function firstLight(
  trace: LightTrace,
  group: Group,
  wires: readonly string[],
): { readonly lit: number; readonly dark: number } | undefined {
  const leds = group.leds.flatMap((l) => (trace.leds[l.ref] ? [trace.leds[l.ref]!] : []))
  const live = wires.flatMap((w) => (trace.wires[w] ? [trace.wires[w]!] : []))
  if (leds.length === 0 || live.length < wires.length) return undefined
  const on = (k: number) => live.every((w) => w[k] === 1)
  let lit = -1
  let dark = -1
  for (let k = 1; k < trace.samples; k++) {
    if (on(k) && !on(k - 1)) {
      let i = k
      while (i < trace.samples && on(i) && leds.every((l) => l[i] === 0)) i++
      if (i < trace.samples && on(i)) lit = Math.max(lit, (i - k + 1) * trace.step)
    }
    if (!on(k) && on(k - 1)) {
      let i = k
      while (i < trace.samples && !on(i) && leds.some((l) => l[i] !== 0)) i++
      if (i < trace.samples && !on(i)) dark = Math.max(dark, (i - k + 1) * trace.step)
    }
  }
  return lit < 0 || dark < 0 ? undefined : { lit, dark }
}

/** Flashes of a group's light: shortest and longest time from one start to the next, and the share of it lit. */
export function flashesOf(
  trace: LightTrace,
  group: Group,
  wires: readonly string[],
): { readonly shortest: number; readonly longest: number; readonly lit: number } | undefined {
  const leds = group.leds.flatMap((l) => (trace.leds[l.ref] ? [trace.leds[l.ref]!] : []))
  const live = wires.flatMap((w) => (trace.wires[w] ? [trace.wires[w]!] : []))
  if (leds.length === 0 || live.length < wires.length) return undefined
  const starts: number[] = []
  for (let k = 1; k < trace.samples; k++)
    if (live.every((w) => w[k] === 1) && live.some((w) => w[k - 1] !== 1)) starts.push(k)
  // A pause between two signals is no flash: only a following start within two and a half seconds counts.
  const gaps = starts.slice(1).flatMap((k, i) => {
    const from = starts[i]!
    if ((k - from) * trace.step > 2.5) return []
    let lit = 0
    for (let j = from; j < k; j++) if (leds.some((l) => l[j]! > 0)) lit++
    return [{ period: (k - from) * trace.step, lit: lit / (k - from) }]
  })
  if (gaps.length < 2) return undefined
  // One signal may follow another out of step.
  const usual = gaps.map((g) => g.period).sort((a, b) => a - b)[Math.floor(gaps.length / 2)]!
  const whole = gaps.filter((g) => g.period > 0.8 * usual && g.period < 1.25 * usual)
  return {
    shortest: Math.min(...whole.map((g) => g.period)),
    longest: Math.max(...whole.map((g) => g.period)),
    lit: whole.reduce((s, g) => s + g.lit, 0) / whole.length,
  }
}
