// Chains joined through their junctions into long strokes, straightest pair first: fewer plunges, steadier cutting.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Chain } from "./groove-chains.ts"

/** How far along a chain its direction at a junction is taken, mm: beyond the kinks of the last few samples. */
const lookAlong = 0.4

/**
 * Strokes in the order of their first chains; every chain is in exactly one of them, once. A chain no longer than
 * `covered` that ended up alone between two junctions is left out: the strokes through its ends cut it already.
 */
export function joinStrokes(chains: readonly Chain[], covered: Mm): Point[][] {
  // End 2c is chain c's first point, end 2c + 1 its last.
  const partner = new Int32Array(chains.length * 2).fill(-1)
  const atJunction = new Map<number, number[]>()
  chains.forEach((chain, c) => {
    for (const [junction, end] of [
      [chain.from, 2 * c],
      [chain.to, 2 * c + 1],
    ] as const) {
      if (junction < 0) continue
      const ends = atJunction.get(junction)
      if (ends) ends.push(end)
      else atJunction.set(junction, [end])
    }
  })
  for (const ends of atJunction.values()) pairStraightest(chains, ends, partner)

  const strokes: Point[][] = []
  const used = new Uint8Array(chains.length)
  const follow = (startEnd: number) => {
    const stroke: Point[] = []
    let end = startEnd
    while (end >= 0 && used[end >> 1] === 0) {
      used[end >> 1] = 1
      const { points } = chains[end >> 1]!
      const n = points.length / 2
      for (let k = stroke.length === 0 ? 0 : 1; k < n; k++) {
        const at = end % 2 === 0 ? k : n - 1 - k
        stroke.push({ x: points[2 * at]!, y: points[2 * at + 1]! })
      }
      end = partner[end ^ 1]!
    }
    const alone = chains[startEnd >> 1]!
    const inner = alone.from >= 0 && alone.to >= 0 && alone.from !== alone.to
    if (inner && stroke.length === alone.points.length / 2 && polylineLength(stroke) <= covered) return
    strokes.push(stroke)
  }
  for (let end = 0; end < partner.length; end++) if (used[end >> 1] === 0 && partner[end] === -1) follow(end)
  for (let c = 0; c < chains.length; c++) if (used[c] === 0) follow(2 * c)
  return strokes
}

/** Total length of a polyline. */
export function polylineLength(points: readonly Point[]): number {
  let sum = 0
  for (let i = 1; i < points.length; i++) {
    sum += Math.hypot(points[i]!.x - points[i - 1]!.x, points[i]!.y - points[i - 1]!.y)
  }
  return sum
}

function pairStraightest(chains: readonly Chain[], ends: readonly number[], partner: Int32Array): void {
  const directions = ends.map((end) => outward(chains[end >> 1]!.points, end % 2 === 1))
  const pairs: { straight: number; i: number; j: number }[] = []
  for (let i = 0; i < ends.length; i++) {
    for (let j = 0; j < i; j++) {
      const a = directions[i]!
      const b = directions[j]!
      pairs.push({ straight: -(a.x * b.x + a.y * b.y), i, j })
    }
  }
  pairs.sort((p, q) => q.straight - p.straight || p.i - q.i || p.j - q.j)
  const taken = new Set<number>()
  for (const { i, j } of pairs) {
    if (taken.has(i) || taken.has(j)) continue
    taken.add(i)
    taken.add(j)
    partner[ends[i]!] = ends[j]!
    partner[ends[j]!] = ends[i]!
  }
}

/** Unit direction in which the chain leaves its first (or last) point. */
function outward(p: Float64Array, fromLast: boolean): Point {
  const n = p.length / 2
  const at = (k: number) => 2 * (fromLast ? n - 1 - k : k)
  const x0 = p[at(0)]!
  const y0 = p[at(0) + 1]!
  let k = 1
  while (k + 1 < n && Math.hypot(p[at(k)]! - x0, p[at(k) + 1]! - y0) < lookAlong) k++
  const dx = p[at(k)]! - x0
  const dy = p[at(k) + 1]! - y0
  const length = Math.hypot(dx, dy) || 1
  return { x: dx / length, y: dy / length }
}
