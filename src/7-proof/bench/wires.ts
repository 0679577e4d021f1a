// What happens on the vehicle's wires: edges over time, and generators for good and bad flashers, brake taps,
// bouncing contacts and drop-outs. Times in seconds; every wire is dead before its first edge.

import { random } from "../../0-ground/numbers/random.ts"
import type { WireVolts } from "./wire-volts.ts"

export interface WireEdge {
  /** Seconds from the start of the run. */
  readonly t: number
  readonly live: boolean
}

export interface Stimulus {
  /** Wire name → edges in time order, live and dead by turns. A wire that is not named stays dead. */
  readonly wires: Readonly<Record<string, readonly WireEdge[]>>
  /** Voltages behind the edges of some wires. */
  readonly volts?: Readonly<Record<string, WireVolts>>
  /** The controller's own supply breaks down at these times, in order; its pins float until it has started again. */
  readonly resets?: readonly { readonly t: number; readonly cause: "powerOn" | "brownOut" }[]
}

/** Live from `from` until `until` (for good when that is left out). */
export function steady(from: number, until?: number): WireEdge[] {
  const on = { t: from, live: true }
  return until === undefined ? [on] : [on, { t: until, live: false }]
}

/** Live during each of the spans [from, until]. */
export function taps(...spans: readonly (readonly [from: number, until: number])[]): WireEdge[] {
  return tidy(spans.flatMap(([from, until]) => steady(from, until)))
}

export interface Flasher {
  readonly from: number
  /** No flash begins from here on. */
  readonly until: number
  /** The switch lets go in the middle of a flash: the one under way at `until` ends there. */
  readonly cut?: boolean
  /** Flashes per second. */
  readonly rate: number
  /** Share of the period with the wire live, 0…1. */
  readonly onShare: number
  /** Each edge is off by up to this much either way, seconds. */
  readonly jitter?: number
  /** Contacts bounce after each edge: number of extra pulses at most, and the longest pulse. */
  readonly bounce?: { readonly pulses: number; readonly longest: number }
  /** The contact lets go during flashes: chance per flash, and the length of the gap. */
  readonly dropOut?: { readonly chance: number; readonly length: number }
  /** The first flash lasts this many times its usual length. */
  readonly firstFlash?: number
  readonly seed?: number
}

export function flasher(f: Flasher): WireEdge[] {
  const chance = random(f.seed ?? 1)
  const either = (most: number) => (2 * chance.next() - 1) * most
  const period = 1 / f.rate
  const spans: [number, number][] = []
  let start = f.from
  for (let n = 0; start < f.until; n++) {
    const on = period * f.onShare * (n === 0 ? (f.firstFlash ?? 1) : 1)
    const begin = Math.max(f.from, start + either(f.jitter ?? 0))
    const wanted = start + on + either(f.jitter ?? 0)
    const end = f.cut ? Math.min(f.until, wanted) : wanted
    if (end > begin) spans.push(...flash(begin, end, f, chance))
    start += period - period * f.onShare + on
  }
  return tidy(spans.flatMap(([from, until]) => steady(from, until)))
}

function flash(begin: number, end: number, f: Flasher, chance: { next(): number }): [number, number][] {
  const spans: [number, number][] = []
  let from = begin
  const pulses = Math.floor(chance.next() * ((f.bounce?.pulses ?? 0) + 1))
  const longest = f.bounce?.longest ?? 0
  for (let i = 0; i < pulses; i++) {
    const on = longest * (0.1 + 0.9 * chance.next())
    spans.push([from, from + on])
    from += on + longest * (0.1 + 0.9 * chance.next())
  }
  if (f.dropOut && chance.next() < f.dropOut.chance) {
    const gap = from + (end - from - f.dropOut.length) * (0.2 + 0.6 * chance.next())
    if (gap > from && gap + f.dropOut.length < end) {
      spans.push([from, gap])
      from = gap + f.dropOut.length
    }
  }
  if (end > from) spans.push([from, end])
  const after = Math.floor(chance.next() * ((f.bounce?.pulses ?? 0) + 1))
  let at = end
  for (let i = 0; i < after; i++) {
    at += longest * (0.1 + 0.9 * chance.next())
    const on = longest * (0.1 + 0.9 * chance.next())
    spans.push([at, at + on])
    at += on
  }
  return spans
}

/** In time order, alternating, without edges that change nothing and without pulses of no length. */
export function tidy(edges: readonly WireEdge[]): WireEdge[] {
  const sorted = edges
    .map((edge, i) => ({ edge, i }))
    .sort((a, b) => a.edge.t - b.edge.t || a.i - b.i)
    .map(({ edge }) => edge)
  const out: WireEdge[] = []
  for (const edge of sorted) {
    if (out.at(-1)?.t === edge.t) out.pop()
    if ((out.at(-1)?.live ?? false) !== edge.live) out.push(edge)
  }
  return out
}

/** How a wire's edges reach the controller's pin: each later by its delay; pulses shorter than that vanish. */
export function atPin(edges: readonly WireEdge[], riseDelay: number, fallDelay: number): WireEdge[] {
  const out: WireEdge[] = []
  for (const { t, live } of edges) {
    const at = t + (live ? riseDelay : fallDelay)
    const last = out.at(-1)
    if (last && at <= last.t) out.pop()
    else if ((last?.live ?? false) !== live) out.push({ t: at, live })
  }
  return out
}

/** Seconds within [from, until] during which at least one of the wires is live. */
export function liveTime(wires: readonly (readonly WireEdge[])[], from: number, until: number): number {
  const spans = wires.flatMap((edges) => liveSpans(edges, until)).sort((a, b) => a[0] - b[0])
  let sum = 0
  let covered = from
  for (const [a, b] of spans) {
    const begin = Math.max(a, covered)
    const end = Math.min(b, until)
    if (end > begin) {
      sum += end - begin
      covered = end
    }
  }
  return sum
}

/** [rise, fall] pairs; a wire still live at the end falls at `end`. */
export function liveSpans(edges: readonly WireEdge[], end: number): [number, number][] {
  const out: [number, number][] = []
  let rise: number | undefined
  for (const { t, live } of edges) {
    if (live) rise ??= t
    else if (rise !== undefined) {
      out.push([rise, t])
      rise = undefined
    }
  }
  if (rise !== undefined && rise < end) out.push([rise, end])
  return out
}
