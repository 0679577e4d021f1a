// The cut that frees the board: the outline grown by the cutter's radius, taken down in steps along a ramp,
// with holding tabs left standing on the straightest stretches.

import type { Point } from "../0-ground/geometry/point.ts"
import { pointToSegment } from "../0-ground/geometry/segment.ts"
import type { Mm, MmPerMinute } from "../0-ground/units/brand.ts"
import { growOutline } from "./grow-outline.ts"
import type { ProgramWriter } from "./program-writer.ts"

export interface Tab {
  /** Along the path from its first point, mm; `from` < `to`, both for the cutter's centre. */
  readonly from: Mm
  readonly to: Mm
}

export interface OutlinePath {
  /** Centre line of the cutter, closed, without a repeated last point. */
  readonly points: readonly Point[]
  readonly length: Mm
  readonly tabs: readonly Tab[]
}

/** What stays under a tab, mm (common practice, no source). */
export const tabThickness = 0.5
/** Width of the copper-clad left standing in a tab, mm (common practice, no source). */
export const tabWidth = 2
/** Cut below the board, into the waste sheet under it, mm. */
export const throughCut = 0.2
/** Length over which the cutter ramps down to the next step, mm. */
const ramp = 8

/** Tabs evenly round the path, each moved to the straightest stretch near its place, clear of the ramp. */
export function outlinePath(points: readonly Point[], cutterDiameter: Mm): OutlinePath {
  const at = lengthsAlong(points)
  const length = at[points.length]!
  const wanted = Math.max(3, Math.min(8, Math.round(length / 80)))
  const width = tabWidth + cutterDiameter
  const tabs: Tab[] = []
  const room = length - ramp
  const free = room / wanted - width - 1
  if (free > 0) {
    for (let k = 0; k < wanted; k++) {
      const middle = ramp + ((k + 0.5) * room) / wanted
      const reach = Math.min(free / 2, length / wanted / 3)
      let best = middle
      let least = Number.POSITIVE_INFINITY
      for (let step = 0; step <= 20; step++) {
        // From the middle outwards, so that the first of equals is the nearest to it.
        const s = middle + (step % 2 === 0 ? 1 : -1) * Math.ceil(step / 2) * (reach / 10)
        const bend = bendWithin(points, at, s - width / 2 - 1, s + width / 2 + 1)
        if (bend < least - 1e-6) {
          least = bend
          best = s
        }
      }
      tabs.push({ from: best - width / 2, to: best + width / 2 })
    }
  }
  return { points, length, tabs }
}

/**
 * Writes the cut: each step ramps down over the first stretch and goes once round; a last run takes the ramp's wedge away.
 * Over tabs the cutter rises to what they keep.
 */
export function writeOutline(
  writer: ProgramWriter,
  path: OutlinePath,
  cut: {
    readonly thickness: Mm
    readonly stepDown: Mm
    readonly feed: MmPerMinute
    readonly plunge: MmPerMinute
  },
): void {
  const { points, tabs } = path
  const at = lengthsAlong(points)
  const bottom = cut.thickness + throughCut
  const steps = stepsDown(bottom, cut.stepDown)
  const tabTop = -(cut.thickness - tabThickness)
  writer.travelTo(points[0]!.x, points[0]!.y)
  writer.plunge(0, cut.plunge)
  let above = 0
  for (let step = 1; step <= steps; step++) {
    const depth = -round((bottom * step) / steps)
    const start = above
    runRound(writer, points, at, 0, path.length, (s) =>
      Math.max(
        s < ramp ? start + ((depth - start) * s) / ramp : depth,
        inTab(tabs, s) ? tabTop : Number.NEGATIVE_INFINITY,
      ),
    )
    above = depth
  }
  runRound(writer, points, at, 0, ramp, () => above)
  writer.rise()

  /** From path length s0 to s1, with a height for every place; heights jump only at tab ends. */
  function runRound(
    out: ProgramWriter,
    ring: readonly Point[],
    along: readonly number[],
    s0: number,
    s1: number,
    height: (s: number) => number,
  ) {
    const stops = new Set<number>([s1])
    for (const s of along) if (s > s0 && s < s1) stops.add(s)
    if (ramp > s0 && ramp < s1) stops.add(ramp)
    for (const { from, to } of tabs) for (const s of [from, to]) if (s > s0 && s < s1) stops.add(s)
    let before = s0
    for (const s of [...stops].sort((a, b) => a - b)) {
      const p = pointAt(ring, along, s)
      const enter = round(height(before + 1e-7))
      const leave = round(height(s - 1e-7))
      const here = pointAt(ring, along, before)
      // Into a tab straight up, out of it straight down at the plunge feed.
      out.line(round(here.x), round(here.y), enter, cut.plunge)
      out.line(round(p.x), round(p.y), leave, cut.feed)
      before = s
    }
  }
}

export interface InsideCorner {
  /** How far the edge as cut stays outside the outline, mm. */
  readonly left: Mm
  readonly x: Mm
  readonly y: Mm
}

/** Steps to take `bottom` in, none deeper than `stepDown`; one where that is no usable number. */
export const stepsDown = (bottom: Mm, stepDown: Mm): number =>
  stepDown > 0 ? Math.min(1000, Math.max(1, Math.ceil(bottom / stepDown - 1e-9))) : 1

/** Where a round cutter of this diameter leaves most in an inside corner of the outline. */
export function insideCorner(outline: readonly Point[], cutterDiameter: Mm): InsideCorner {
  const asCut = growOutline(outline, cutterDiameter / 2).flatMap((ring) =>
    growOutline(ring, -cutterDiameter / 2),
  )
  let worst: InsideCorner = { left: 0, x: outline[0]?.x ?? 0, y: outline[0]?.y ?? 0 }
  for (const p of outline) {
    let nearest = Number.POSITIVE_INFINITY
    for (const ring of asCut) {
      ring.forEach((a, i) => {
        nearest = Math.min(nearest, pointToSegment(p, a, ring[(i + 1) % ring.length]!))
      })
    }
    // Offsetting out and in again moves smooth edges by its own chord error.
    const left = nearest < 0.01 ? 0 : nearest
    if (Number.isFinite(left) && left > worst.left) worst = { left, x: p.x, y: p.y }
  }
  return worst
}

const round = (v: number): number => Math.round(v * 1000) / 1000

const inTab = (tabs: readonly Tab[], s: number): boolean => tabs.some(({ from, to }) => s > from && s < to)

function lengthsAlong(ring: readonly Point[]): number[] {
  const at = [0]
  ring.forEach((p, i) => {
    const q = ring[(i + 1) % ring.length]!
    at.push(at[i]! + Math.hypot(q.x - p.x, q.y - p.y))
  })
  return at
}

function pointAt(ring: readonly Point[], along: readonly number[], s: number): Point {
  let low = 0
  let high = ring.length - 1
  while (low < high) {
    const mid = (low + high + 1) >> 1
    if (along[mid]! <= s) low = mid
    else high = mid - 1
  }
  const a = ring[low]!
  const b = ring[(low + 1) % ring.length]!
  const length = along[low + 1]! - along[low]!
  const t = length === 0 ? 0 : Math.min(1, (s - along[low]!) / length)
  return { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) }
}

/** Sum of the turns of the path between two places along it, radians. */
function bendWithin(ring: readonly Point[], along: readonly number[], s0: number, s1: number): number {
  let sum = 0
  for (let i = 0; i < ring.length; i++) {
    if (along[i]! <= s0 || along[i]! >= s1) continue
    const a = ring[(i + ring.length - 1) % ring.length]!
    const b = ring[i]!
    const c = ring[(i + 1) % ring.length]!
    const turn = Math.atan2(c.y - b.y, c.x - b.x) - Math.atan2(b.y - a.y, b.x - a.x)
    sum += Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn)))
  }
  return sum
}
