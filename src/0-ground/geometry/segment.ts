// Distances to straight segments. A segment may be a single point.

import type { Point } from "./point.ts"

/** Least distance from `p` to the closed segment a–b. */
export function pointToSegment(p: Point, a: Point, b: Point): number {
  const dx = b.x - a.x
  const dy = b.y - a.y
  const length2 = dx * dx + dy * dy
  const t = length2 === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / length2))
  return Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy)
}

/** Twice the signed area of a, b, c: positive when c lies left of a→b. */
export const cross = (a: Point, b: Point, c: Point): number =>
  (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)

/** True when the closed segments share at least one point. */
export function segmentsMeet(a: Point, b: Point, c: Point, d: Point): boolean {
  const o1 = Math.sign(cross(a, b, c))
  const o2 = Math.sign(cross(a, b, d))
  const o3 = Math.sign(cross(c, d, a))
  const o4 = Math.sign(cross(c, d, b))
  if (o1 !== o2 && o3 !== o4) return true
  const on = (p: Point, q: Point, r: Point) =>
    Math.min(p.x, q.x) <= r.x &&
    r.x <= Math.max(p.x, q.x) &&
    Math.min(p.y, q.y) <= r.y &&
    r.y <= Math.max(p.y, q.y)
  return (
    (o1 === 0 && on(a, b, c)) ||
    (o2 === 0 && on(a, b, d)) ||
    (o3 === 0 && on(c, d, a)) ||
    (o4 === 0 && on(c, d, b))
  )
}

/** Least distance between two closed segments; 0 when they meet. */
export function segmentToSegment(a: Point, b: Point, c: Point, d: Point): number {
  if (segmentsMeet(a, b, c, d)) return 0
  return Math.min(
    pointToSegment(a, c, d),
    pointToSegment(b, c, d),
    pointToSegment(c, a, b),
    pointToSegment(d, a, b),
  )
}

/** Least distance from (px, py) to the closed segment a–b, for where points would be too many objects. */
export function pointToSpan(px: number, py: number, ax: number, ay: number, bx: number, by: number): number {
  return Math.sqrt(pointToSpan2(px, py, ax, ay, bx - ax, by - ay))
}

/** Least distance between two closed segments a–b and c–d; 0 when they cross. */
export function spanToSpan(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
  dx: number,
  dy: number,
): number {
  const ux = bx - ax
  const uy = by - ay
  const vx = dx - cx
  const vy = dy - cy
  const o1 = ux * (cy - ay) - uy * (cx - ax)
  const o2 = ux * (dy - ay) - uy * (dx - ax)
  const o3 = vx * (ay - cy) - vy * (ax - cx)
  const o4 = vx * (by - cy) - vy * (bx - cx)
  if (o1 > 0 !== o2 > 0 && o3 > 0 !== o4 > 0 && o1 !== 0 && o2 !== 0 && o3 !== 0 && o4 !== 0) return 0
  return Math.sqrt(
    Math.min(
      pointToSpan2(ax, ay, cx, cy, vx, vy),
      pointToSpan2(bx, by, cx, cy, vx, vy),
      pointToSpan2(cx, cy, ax, ay, ux, uy),
      pointToSpan2(dx, dy, ax, ay, ux, uy),
    ),
  )
}

/** The square of the distance to the segment from a along (ux, uy). */
function pointToSpan2(px: number, py: number, ax: number, ay: number, ux: number, uy: number): number {
  const l2 = ux * ux + uy * uy
  const t = l2 === 0 ? 0 : Math.max(0, Math.min(1, ((px - ax) * ux + (py - ay) * uy) / l2))
  const x = px - ax - t * ux
  const y = py - ay - t * uy
  return x * x + y * y
}

/** Chords a full circle needs so that none leaves it by more than `error`: 2π ÷ (2·acos(1 − error ÷ radius)), at least 3. */
export const chordsPerTurn = (radius: number, error: number): number =>
  Math.max(3, Math.ceil(Math.PI / Math.acos(Math.max(0, 1 - error / Math.max(radius, error))) - 1e-12))
