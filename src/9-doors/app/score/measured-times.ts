// What the bench measured at every edge of a wire: from the wire to the first light, to all of it, and to dark.

import type { Lamp } from "../../../2-lamp/artefact.ts"
import type { LightTrace } from "../../../7-proof/artefact.ts"

export interface WireEvent {
  readonly wire: string
  readonly group: string
  /** The wire goes live, and dead again; seconds from the start of the trace. */
  readonly on: number
  readonly off: number | undefined
  /** Seconds after `on`; absent where nothing got brighter. */
  readonly firstLight: number | undefined
  readonly allLit: number | undefined
  /** Seconds after `off` until the light has fallen as far as it does. */
  readonly dark: number | undefined
}

/** Levels of 255 that count as a change, and the share of its greatest level at which an LED counts as lit. */
const change = 12
const lit = 0.9

/** For every line of the programme that one wire alone switches. Times are whole steps of the trace. */
export function measuredTimes(lamp: Lamp, trace: LightTrace): WireEvent[] {
  const out: WireEvent[] = []
  for (const line of lamp.programme) {
    const [wire] = line.when
    const levels = wire === undefined || line.when.length > 1 ? undefined : trace.wires[wire]
    const group = lamp.groups.find((g) => g.name === line.light)
    if (wire === undefined || !levels || !group) continue
    const leds = group.leds.flatMap((l) => (trace.leds[l.ref] ? [trace.leds[l.ref]!] : []))
    // Another wire that lights the same group says more about it from its own edge on.
    const others = new Set(lamp.programme.filter((l) => l.light === line.light).flatMap((l) => l.when))
    others.delete(wire)
    const edges = [...others].flatMap((o) => edgesOf(trace.wires[o] ?? []))
    const within = (from: number, to: number) => Math.min(to, ...edges.filter((e) => e > from))
    for (const [on, off, next] of phases(levels, trace.samples))
      out.push(event(wire, group.name, leds, trace, [on, within(on, off), off, within(off, next)]))
  }
  return out.sort((a, b) => a.on - b.on || (a.group < b.group ? -1 : 1))
}

/** Samples at which a wire changes. */
function edgesOf(levels: readonly number[]): number[] {
  const out: number[] = []
  for (let i = 1; i < levels.length; i++) if (levels[i] !== levels[i - 1]) out.push(i)
  return out
}

/** Rise, fall and next rise of a wire, as samples; the trace's end where there is none. */
function phases(levels: readonly number[], samples: number): (readonly [number, number, number])[] {
  const rises: number[] = []
  for (let i = 0; i < samples; i++)
    if ((levels[i] ?? 0) > 0 && (i === 0 || levels[i - 1] === 0)) rises.push(i)
  return rises.map((on, k) => {
    let off = on
    while (off < samples && (levels[off] ?? 0) > 0) off++
    return [on, off, rises[k + 1] ?? samples]
  })
}

function event(
  wire: string,
  group: string,
  leds: readonly (readonly number[])[],
  { step, samples }: LightTrace,
  [on, until, off, next]: readonly [number, number, number, number],
): WireEvent {
  const before = leds.map((l) => l[Math.max(0, on - 1)] ?? 0)
  const most = leds.map((l) => greatest(l, on, until))
  const brighter = leds.map((_, i) => most[i]! > before[i]! + change)
  const some = brighter.some((b) => b)
  const firstLight = first(on, until, (t) => leds.some((l, i) => (l[t] ?? 0) > before[i]! + change))
  const allLit = first(on, until, (t) =>
    leds.every((l, i) => !brighter[i] || greatest(l, on, t + 1) >= lit * most[i]!),
  )
  const least = leds.map((l) => smallest(l, off, next))
  const fell = leds.some((l, i) => (l[off - 1] ?? 0) > least[i]! + change)
  const dark = first(off, next, (t) => leds.every((l, i) => (l[t] ?? 0) <= least[i]! + change))
  const seconds = (from: number, to: number | undefined) =>
    to === undefined ? undefined : (to - from) * step
  return {
    wire,
    group,
    on: on * step,
    off: off < samples ? off * step : undefined,
    firstLight: some ? seconds(on, firstLight) : undefined,
    allLit: some ? seconds(on, allLit) : undefined,
    dark: fell && off < samples ? seconds(off, dark) : undefined,
  }
}

function first(from: number, to: number, holds: (t: number) => boolean): number | undefined {
  for (let t = from; t < to; t++) if (holds(t)) return t
  return undefined
}
function greatest(of: readonly number[], from: number, to: number): number {
  let most = 0
  for (let t = from; t < to; t++) most = Math.max(most, of[t] ?? 0)
  return most
}
function smallest(of: readonly number[], from: number, to: number): number {
  let least = Number.POSITIVE_INFINITY
  for (let t = from; t < to; t++) least = Math.min(least, of[t] ?? 0)
  return Number.isFinite(least) ? least : 0
}

/** `left on: first light 8 ms, all lit 184 ms`; the newest edges at a time, empty where there was none. */
export function timesAt(events: readonly WireEvent[], time: number): string {
  const said = new Map<string, string>()
  for (const e of events) {
    if (e.on > time + 1e-9) break
    const off = e.off !== undefined && e.off <= time + 1e-9
    if (off)
      if (e.dark !== undefined && time - e.off! < shownFor)
        said.set(e.wire, `${e.wire} off: ${e.dark < 1e-9 ? "dark at once" : `dark after ${ms(e.dark)}`}`)
      else said.delete(e.wire)
    else if (e.firstLight !== undefined && e.allLit !== undefined)
      said.set(
        e.wire,
        e.allLit - e.firstLight < 0.006
          ? `${e.wire} on: ${e.allLit < 1e-9 ? "lit at once" : `lit after ${ms(e.allLit)}`}`
          : `${e.wire} on: first light ${ms(e.firstLight)}, all lit ${ms(e.allLit)}`,
      )
  }
  return [...said.values()].join("; ")
}

/** How long an end is told of, seconds. */
const shownFor = 0.5
export const ms = (seconds: number): string => `${Math.round(seconds * 1000)} ms`
