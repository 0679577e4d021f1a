// Fewer points on a groove without narrowing any copper: Douglas–Peucker, where a chord counts only if it keeps the
// asked distance to the copper as drawn. Where neighbouring points are not enough, points are added between them.
// (Douglas & Peucker 1973, from memory.)

import { pointToSpan } from "../0-ground/geometry/segment.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { ClearanceIndex } from "./clearance-index.ts"

/** Puts a point between two neighbours onto the middle between the copper on both sides; undefined when it cannot. */
export type Middle = (x: number, y: number) => readonly [number, number] | undefined

/** To the micrometre: what is checked is what the cutter program says. */
export const toMicrometre = (v: number): number => Math.round(v * 1000) / 1000

/** Where copper is too near for `least`, a chord may be this much nearer than the points it stands for, mm. */
const slip = 0.0003

/**
 * The chain with as few points as `tolerance` allows; end points stay. Each chord keeps `least` to all copper,
 * or, where the traced points themselves do not, what they keep.
 */
export function simplifyKeepingWidth(
  points: Float64Array,
  tolerance: Mm,
  least: Mm,
  index: ClearanceIndex,
  middle: Middle,
): Float64Array {
  const p = Float64Array.from(points, toMicrometre)
  const n = p.length / 2
  const out: number[] = [p[0]!, p[1]!]
  const own = new Float64Array(n).fill(Number.NaN)
  const ownClearance = (k: number): number => {
    if (Number.isNaN(own[k]!)) {
      own[k] = index.clearance(p[2 * k]!, p[2 * k + 1]!, p[2 * k]!, p[2 * k + 1]!, least)
    }
    return own[k]!
  }
  const keeps = (i: number, j: number) => {
    const kept = index.clearance(p[2 * i]!, p[2 * i + 1]!, p[2 * j]!, p[2 * j + 1]!, least)
    if (kept >= least) return true
    let possible = least
    for (let k = i; k <= j; k++) possible = Math.min(possible, ownClearance(k))
    return possible < least && kept >= possible - slip
  }

  const between = (ax: number, ay: number, bx: number, by: number, depth: number): void => {
    if (depth > 0 && fallsShort(ax, ay, bx, by)) {
      const m = middle((ax + bx) / 2, (ay + by) / 2)
      const mx = m ? toMicrometre(m[0]) : ax
      const my = m ? toMicrometre(m[1]) : ay
      if ((mx !== ax || my !== ay) && (mx !== bx || my !== by)) {
        between(ax, ay, mx, my, depth - 1)
        between(mx, my, bx, by, depth - 1)
        return
      }
    }
    if (bx !== out[out.length - 2] || by !== out[out.length - 1]) out.push(bx, by)
  }
  const fallsShort = (ax: number, ay: number, bx: number, by: number): boolean => {
    const kept = index.clearance(ax, ay, bx, by, least)
    if (kept >= least) return false
    const atEnds = Math.min(index.clearance(ax, ay, ax, ay, least), index.clearance(bx, by, bx, by, least))
    return atEnds >= least || kept < atEnds - slip
  }

  const todo: number[] = []
  const last = n - 1
  if (p[0] === p[2 * last] && p[1] === p[2 * last + 1] && n > 3) {
    let far = 1
    let most = 0
    for (let k = 1; k < last; k++) {
      const d = (p[2 * k]! - p[0]!) ** 2 + (p[2 * k + 1]! - p[1]!) ** 2
      if (d > most) {
        most = d
        far = k
      }
    }
    todo.push(far, last, 0, far)
  } else todo.push(0, last)

  while (todo.length > 0) {
    const j = todo.pop()!
    const i = todo.pop()!
    if (j - i === 1) {
      between(p[2 * i]!, p[2 * i + 1]!, p[2 * j]!, p[2 * j + 1]!, 5)
      continue
    }
    let most = -1
    let at = i + 1
    for (let k = i + 1; k < j; k++) {
      const d = pointToSpan(p[2 * k]!, p[2 * k + 1]!, p[2 * i]!, p[2 * i + 1]!, p[2 * j]!, p[2 * j + 1]!)
      if (d > most) {
        most = d
        at = k
      }
    }
    if (most <= tolerance && keeps(i, j)) {
      out.push(p[2 * j]!, p[2 * j + 1]!)
      continue
    }
    if (most < 1e-9) at = (i + j) >> 1
    todo.push(at, j, i, at)
  }
  return Float64Array.from(out)
}
