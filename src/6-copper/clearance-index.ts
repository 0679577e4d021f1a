// How near a straight cut comes to the copper as drawn, exactly. Shapes are listed in square buckets,
// each shape in every bucket it can matter to within `reach`.

import { pointToSpan, spanToSpan } from "../0-ground/geometry/segment.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import { type CopperShapes, shapeDistance } from "./copper-shapes.ts"

export interface ClearanceIndex {
  /**
   * Least distance from the segment to the edge of any shape, or `cap` where nothing is nearer; at most `reach`.
   * Negative where the segment runs into copper; `shape` tells of the last answer whose copper it was (−1: none).
   */
  clearance(ax: number, ay: number, bx: number, by: number, cap: number): number
  nearestShape(): number
  /** Shapes that may come within `around` and `reach` of the segment; some further ones may be among them. */
  near(ax: number, ay: number, bx: number, by: number, around: number): number[]
}

export function clearanceIndex(shapes: CopperShapes, reach: Mm, size: Mm = 1): ClearanceIndex {
  let minX = Number.POSITIVE_INFINITY
  let minY = Number.POSITIVE_INFINITY
  let maxX = Number.NEGATIVE_INFINITY
  let maxY = Number.NEGATIVE_INFINITY
  for (let s = 0; s < shapes.count; s++) {
    const r = shapes.radius[s]! + reach
    minX = Math.min(minX, shapes.ax[s]! - r, shapes.bx[s]! - r)
    minY = Math.min(minY, shapes.ay[s]! - r, shapes.by[s]! - r)
    maxX = Math.max(maxX, shapes.ax[s]! + r, shapes.bx[s]! + r)
    maxY = Math.max(maxY, shapes.ay[s]! + r, shapes.by[s]! + r)
  }
  const nx = shapes.count === 0 ? 0 : Math.floor((maxX - minX) / size) + 1
  const ny = shapes.count === 0 ? 0 : Math.floor((maxY - minY) / size) + 1
  const half = (size / 2) * Math.SQRT2
  const lists: number[][] = Array.from({ length: nx * ny }, () => [])
  for (let s = 0; s < shapes.count; s++) {
    const r = shapes.radius[s]! + reach
    const i0 = Math.floor((Math.min(shapes.ax[s]!, shapes.bx[s]!) - r - minX) / size)
    const i1 = Math.floor((Math.max(shapes.ax[s]!, shapes.bx[s]!) + r - minX) / size)
    const j0 = Math.floor((Math.min(shapes.ay[s]!, shapes.by[s]!) - r - minY) / size)
    const j1 = Math.floor((Math.max(shapes.ay[s]!, shapes.by[s]!) + r - minY) / size)
    for (let j = Math.max(0, j0); j <= Math.min(ny - 1, j1); j++) {
      for (let i = Math.max(0, i0); i <= Math.min(nx - 1, i1); i++) {
        const d = shapeDistance(shapes, s, minX + (i + 0.5) * size, minY + (j + 0.5) * size)
        if (d <= reach + half) lists[j * nx + i]!.push(s)
      }
    }
  }
  const seen = new Int32Array(shapes.count)
  let turn = 0
  let nearest = -1

  const clearance = (ax: number, ay: number, bx: number, by: number, cap: number): number => {
    turn++
    nearest = -1
    let least = Math.min(cap, reach)
    const i0 = Math.max(0, Math.floor((Math.min(ax, bx) - minX) / size))
    const i1 = Math.min(nx - 1, Math.floor((Math.max(ax, bx) - minX) / size))
    const j0 = Math.max(0, Math.floor((Math.min(ay, by) - minY) / size))
    const j1 = Math.min(ny - 1, Math.floor((Math.max(ay, by) - minY) / size))
    for (let j = j0; j <= j1; j++) {
      for (let i = i0; i <= i1; i++) {
        const list = lists[j * nx + i]!
        if (list.length === 0) continue
        const cx = minX + (i + 0.5) * size
        const cy = minY + (j + 0.5) * size
        if ((i1 > i0 || j1 > j0) && pointToSpan(cx, cy, ax, ay, bx, by) > half + 1e-9) continue
        for (const s of list) {
          if (seen[s] === turn) continue
          seen[s] = turn
          const d =
            spanToSpan(ax, ay, bx, by, shapes.ax[s]!, shapes.ay[s]!, shapes.bx[s]!, shapes.by[s]!) -
            shapes.radius[s]!
          if (d < least) {
            least = d
            nearest = s
          }
        }
      }
    }
    return least
  }
  const near = (ax: number, ay: number, bx: number, by: number, around: number): number[] => {
    turn++
    const found: number[] = []
    const i0 = Math.max(0, Math.floor((Math.min(ax, bx) - around - minX) / size))
    const i1 = Math.min(nx - 1, Math.floor((Math.max(ax, bx) + around - minX) / size))
    const j0 = Math.max(0, Math.floor((Math.min(ay, by) - around - minY) / size))
    const j1 = Math.min(ny - 1, Math.floor((Math.max(ay, by) + around - minY) / size))
    for (let j = j0; j <= j1; j++) {
      for (let i = i0; i <= i1; i++) {
        const cx = minX + (i + 0.5) * size
        const cy = minY + (j + 0.5) * size
        if (pointToSpan(cx, cy, ax, ay, bx, by) > around + half) continue
        for (const s of lists[j * nx + i]!) {
          if (seen[s] === turn) continue
          seen[s] = turn
          found.push(s)
        }
      }
    }
    return found
  }
  return { clearance, nearestShape: () => nearest, near }
}
