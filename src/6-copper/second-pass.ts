// A second pass beside each groove, where there is room: the gap gets wider there and solder bridges it less easily.
// It keeps the same distance from copper as drawn as the first pass does; where it cannot, it is left out.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { ClearanceIndex } from "./clearance-index.ts"
import { simplifyKeepingWidth, toMicrometre } from "./keep-width.ts"

export interface SecondPasses {
  readonly strokes: readonly (readonly Point[])[]
  /** Length of the first passes beside which there is a second one, mm. */
  readonly beside: Mm
}

/** Room is looked for at places this far apart, mm. */
const stride = 0.15
/** Shorter stretches are not worth a plunge, mm. */
const shortest = 1
const tolerance = 0.01

/** `shift`: from the first pass's middle to the second one's; `keep`: least distance of a middle to copper. */
export function secondPasses(
  strokes: readonly (readonly Point[])[],
  shift: Mm,
  keep: Mm,
  index: ClearanceIndex,
): SecondPasses {
  const out: Point[][] = []
  let beside = 0
  for (const stroke of strokes) {
    const line = resampled(stroke)
    const sides = [1, -1].map((side) => runsBeside(line, side * shift, keep, index))
    const [left, right] = sides.map((runs) => runs.reduce((sum, r) => sum + r.to - r.from, 0))
    const [first, other] = left! >= right! ? sides : [sides[1]!, sides[0]!]
    const taken = new Uint8Array(line.length)
    for (const runs of [first!, other!]) {
      for (const run of runs) {
        // The other side only where the better one has none.
        for (const { from, to } of freeParts(run, taken)) {
          if ((to - from) * stride < shortest) continue
          taken.fill(1, from, to + 1)
          beside += (to - from) * stride
          const points = run.points.slice(from - run.from, to - run.from + 1)
          const flat = Float64Array.from(points.flatMap(({ x, y }) => [x, y]))
          const simple = simplifyKeepingWidth(flat, tolerance, keep, index, () => undefined)
          out.push(asPoints(simple))
        }
      }
    }
  }
  return { strokes: out.filter((s) => s.length > 1), beside }
}

interface Run {
  readonly from: number
  readonly to: number
  readonly points: readonly Point[]
}

/** The stretches of the line's parallel that keep away from copper. */
function runsBeside(line: readonly Point[], shift: Mm, keep: Mm, index: ClearanceIndex): Run[] {
  const aside = line.map((p, k) => {
    const a = line[Math.max(0, k - 1)]!
    const b = line[Math.min(line.length - 1, k + 1)]!
    const length = Math.hypot(b.x - a.x, b.y - a.y) || 1
    return {
      x: toMicrometre(p.x - (shift * (b.y - a.y)) / length),
      y: toMicrometre(p.y + (shift * (b.x - a.x)) / length),
    }
  })
  const runs: Run[] = []
  let from = -1
  for (let k = 0; k < line.length; k++) {
    const free =
      k + 1 < line.length &&
      index.clearance(aside[k]!.x, aside[k]!.y, aside[k + 1]!.x, aside[k + 1]!.y, keep) >= keep
    if (free && from < 0) from = k
    if (!free && from >= 0) {
      if (k > from) runs.push({ from, to: k, points: aside.slice(from, k + 1) })
      from = -1
    }
  }
  return runs
}

function freeParts(run: Run, taken: Uint8Array): { from: number; to: number }[] {
  const parts: { from: number; to: number }[] = []
  let from = -1
  for (let k = run.from; k <= run.to + 1; k++) {
    const free = k <= run.to && taken[k] === 0
    if (free && from < 0) from = k
    if (!free && from >= 0) {
      parts.push({ from, to: k - 1 })
      from = -1
    }
  }
  return parts
}

/** The same line with points `stride` apart; its corners are rounded off by no more than that. */
function resampled(points: readonly Point[]): Point[] {
  const out: Point[] = [points[0]!]
  let left = stride
  for (let k = 1; k < points.length; k++) {
    const a = points[k - 1]!
    const b = points[k]!
    const length = Math.hypot(b.x - a.x, b.y - a.y)
    while (left <= length) {
      out.push({ x: a.x + ((b.x - a.x) * left) / length, y: a.y + ((b.y - a.y) * left) / length })
      left += stride
    }
    left -= length
  }
  return out
}

const asPoints = (flat: Float64Array): Point[] =>
  Array.from({ length: flat.length / 2 }, (_, k) => ({ x: flat[2 * k]!, y: flat[2 * k + 1]! }))
