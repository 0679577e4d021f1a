// What the light did in each flash: first light, order, when the last LED was full, whether any went darker.

import type { Group, Lamp, ProgrammeLine } from "../../2-lamp/artefact.ts"
import type { BenchRun } from "./run-bench.ts"
import { liveSpans } from "./wires.ts"

/** A group's lit line over one span of its wires, times in seconds. */
export interface Flash {
  readonly group: string
  readonly line: ProgrammeLine
  readonly scenario: string
  /** Wires live from here to here. */
  readonly rise: number
  readonly fall: number
  /** From the rise; undefined: no light at all. */
  readonly firstLight?: number
  /** From the rise to all LEDs at the line's level; undefined: not all came to it. */
  readonly atLevel?: number
  /** From the first light to the last LED full; undefined: not all became full. */
  readonly complete?: number
  /** From the last LED full to the fall. */
  readonly spare?: number
  /** Neighbours that began in the wrong order. */
  readonly disorder: number
  /** Frames × LEDs that got darker before the fall. */
  readonly darker: number
  /** Light left after the fall, until the next rise. */
  readonly afterglow: number
}

/** Light of this share of full current counts as lit: the least code is 3.2 %. */
const lit = 0.02
const full = 0.98
/** Contacts are settled when the wire stays live this long. */
const settled = 0.01

export function measureFlashes(lamp: Lamp, run: BenchRun, light: Float32Array, scenario: string): Flash[] {
  const end = run.frameStart[run.frames]! / run.clockHz
  return lamp.groups.flatMap((group) => {
    const channels = orderedChannels(lamp, group, run)
    if (channels.length === 0) return []
    const lines = lamp.programme.filter((l) => l.light === group.name)
    const flashing = (l: ProgrammeLine) =>
      l.when.some((w) => lamp.vehicle.wires.find((v) => v.name === w)?.role === "flashing")
    const flashers = lines.filter(flashing)
    // A line that another of the group may outrank shows nothing of its own for certain.
    const alone = lines.filter((l) =>
      flashers.length > 0 ? flashers.length === 1 && flashing(l) : lines.every((o) => !outranks(o, l)),
    )
    return alone.flatMap((line) => {
      const below = Math.max(0, ...lines.filter((l) => l !== line).map((l) => l.level))
      const spans = lineSpans(line, run).filter(([a, b]) => b - a >= settled)
      return spans.map(([rise, fall], i) =>
        measure(group, line, channels, run, light, scenario, {
          rise,
          fall,
          until: Math.min(spans[i + 1]?.[0] ?? end, fall + 0.2),
          threshold: Math.min(below + lit, 0.9 * line.level),
          glow: lines.length === 1,
        }),
      )
    })
  })
}

/** Of two steady lines of a group (SEMANTICS.md section 2): more wires, then the higher level; equals count as well. */
const outranks = (a: ProgrammeLine, b: ProgrammeLine): boolean =>
  a !== b && (a.when.length > b.when.length || (a.when.length === b.when.length && a.level >= b.level))

/** Spans in which all wires of the line are live, or may be. */
export function lineSpans(line: ProgrammeLine, run: BenchRun, wires = run.wires): [number, number][] {
  const end = run.frameStart[run.frames]! / run.clockHz
  const lists = line.when.map((w) => liveSpans(wires[w] ?? [], end))
  return lists.reduce((a, b) =>
    a.flatMap(([p, q]) =>
      b.flatMap(([r, s]): [number, number][] =>
        Math.max(p, r) < Math.min(q, s) ? [[Math.max(p, r), Math.min(q, s)]] : [],
      ),
    ),
  )
}

interface Place {
  readonly channel: number
  /** Where the sweep should reach it: millimetres along the order, or its place in the drawing. */
  readonly key: number
}

/** A group's channels with the place of their LEDs along the order that was described. */
function orderedChannels(lamp: Lamp, group: Group, run: BenchRun): Place[] {
  const { channels } = run.bench
  const centre = lamp.faces.find((f) => f.name === group.face)?.centreLine
  const keyOf = (ref: string) => {
    const at = group.leds.findIndex((l) => l.ref === ref)
    const x = group.leds[at]?.hole.x ?? 0
    if (group.order === "outward" && centre !== undefined) return Math.abs(x - centre)
    if (group.order === "inward" && centre !== undefined) return -Math.abs(x - centre)
    if (group.order === "left-to-right") return x
    if (group.order === "right-to-left") return -x
    return at
  }
  return channels.flatMap((c, channel) =>
    c.group === group.name && c.leds.length > 0 ? [{ channel, key: Math.min(...c.leds.map(keyOf)) }] : [],
  )
}

interface Window {
  readonly rise: number
  readonly fall: number
  readonly until: number
  readonly threshold: number
  readonly glow: boolean
}

function measure(
  group: Group,
  line: ProgrammeLine,
  places: readonly Place[],
  run: BenchRun,
  light: Float32Array,
  scenario: string,
  { rise, fall, until, threshold, glow }: Window,
): Flash {
  const width = run.bench.channels.length
  const from = frameAt(run, rise)
  const last = frameAt(run, fall)
  const seconds = (frame: number) => run.frameStart[frame]! / run.clockHz
  const began = new Map<number, number>()
  const done = new Map<number, number>()
  const most = new Map<number, number>()
  let darker = 0
  // The frames of the edges themselves are part lit.
  for (let f = from + 1; f < last; f++) {
    for (const { channel } of places) {
      const value = light[f * width + channel]!
      if (value >= threshold && !began.has(channel)) began.set(channel, f + 1)
      if (value >= full * line.level && !done.has(channel)) done.set(channel, f + 1)
      if (began.has(channel)) {
        const before = most.get(channel) ?? 0
        if (value < before - 0.03) darker++
        most.set(channel, Math.max(before, value))
      }
    }
  }
  let afterglow = 0
  if (glow) {
    const stop = Math.min(frameAt(run, until), run.frames)
    for (let f = last + 1; f < stop; f++)
      if (places.some((p) => light[f * width + p.channel]! > 0.005)) afterglow = seconds(f + 1) - fall
  }
  const first = began.size > 0 ? seconds(Math.min(...began.values())) : undefined
  const lastFull = done.size === places.length ? seconds(Math.max(...done.values())) : undefined
  return {
    group: group.name,
    line,
    scenario,
    rise,
    fall,
    ...(first === undefined ? {} : { firstLight: first - rise }),
    ...(lastFull === undefined ? {} : { atLevel: lastFull - rise }),
    ...(first === undefined || lastFull === undefined
      ? {}
      : { complete: Math.max(0, lastFull - first), spare: fall - lastFull }),
    disorder: disorder(places, began),
    darker,
    afterglow,
  }
}

/** Pairs of channels further along the order that began a frame or more earlier. */
function disorder(places: readonly Place[], began: ReadonlyMap<number, number>): number {
  let wrong = 0
  for (const a of places)
    for (const b of places) {
      if (b.key - a.key < 0.5) continue
      const first = began.get(a.channel) ?? Number.POSITIVE_INFINITY
      const second = began.get(b.channel) ?? Number.POSITIVE_INFINITY
      if (second < first) wrong++
    }
  return wrong
}

/** The frame a time lies in. */
export function frameAt(run: BenchRun, seconds: number): number {
  const cycle = seconds * run.clockHz
  let low = 0
  let high = run.frames
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (run.frameStart[middle]! <= cycle) low = middle
    else high = middle - 1
  }
  return low
}

/** Longest time without any light of the channels while the wires are live, seconds. */
export function longestDark(
  run: BenchRun,
  light: Float32Array,
  channels: readonly number[],
  spans: readonly (readonly [number, number])[],
): number {
  const width = run.bench.channels.length
  let longest = 0
  for (const [rise, fall] of spans) {
    let darkFrom = rise
    const last = frameAt(run, fall)
    for (let f = frameAt(run, rise) + 1; f < last; f++) {
      const dark = !channels.some((c) => light[f * width + c]! > lit)
      const until = run.frameStart[f + 1]! / run.clockHz
      if (dark) longest = Math.max(longest, until - darkFrom)
      else darkFrom = until
    }
  }
  return longest
}
