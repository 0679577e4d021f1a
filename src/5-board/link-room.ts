// Where a wire link may stand: its two lands and the bare wire between them, judged exactly against everything that
// does not move: lands and their holes, bodies, screws, outline, other links.

import type { Point } from "../0-ground/geometry/point.ts"
import { contains } from "../0-ground/geometry/polygon.ts"
import { pointToSpan, spanToSpan } from "../0-ground/geometry/segment.ts"
import { linkSpacing, linkToEdge, linkToHole, type RouteTask, type Stadium } from "./route-task.ts"

export interface PlacedLink {
  readonly from: Point
  readonly to: Point
}

const slack = 1e-9

/** Room for a link's land at p. Lands of its own net keep as far away, so that no hole runs into another. */
export function mayLand(task: RouteTask, links: readonly PlacedLink[], { x, y }: Point): boolean {
  const { radius } = task.linkLand
  const apart = radius + task.clearance
  for (const l of task.lands) if (nearer(x, y, l, l.r + apart)) return false
  for (const k of task.keepOuts) if (Math.hypot(x - k.x, y - k.y) < k.r + radius - slack) return false
  for (const { from, to } of links) {
    if (Math.min(Math.hypot(from.x - x, from.y - y), Math.hypot(to.x - x, to.y - y)) < radius + apart)
      return false
    if (pointToSpan(x, y, from.x, from.y, to.x, to.y) < task.linkLand.hole / 2 + linkToHole - slack)
      return false
  }
  for (const s of task.linkBarriers) if (nearer(x, y, s, s.r)) return false
  for (const ring of task.linkBarrierAreas) if (contains(ring, { x, y })) return false
  if (!contains(task.outline, { x, y })) return false
  const { outline } = task
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    const a = outline[j]!
    const b = outline[i]!
    if (pointToSpan(x, y, a.x, a.y, b.x, b.y) < task.edge + radius - slack) return false
  }
  return true
}

/** Room for the bare wire from a to b, both of which may stand. */
export function mayRun(task: RouteTask, links: readonly PlacedLink[], a: Point, b: Point): boolean {
  const { x: ax, y: ay } = a
  const { x: bx, y: by } = b
  const off = (x: number, y: number) => pointToSpan(x, y, ax, ay, bx, by)
  const apart = (cx: number, cy: number, dx: number, dy: number) => spanToSpan(ax, ay, bx, by, cx, cy, dx, dy)
  for (const s of task.linkBarriers) if (apart(s.ax, s.ay, s.bx, s.by) < s.r - slack) return false
  for (const l of task.lands) if (off(l.x, l.y) < l.hole / 2 + linkToHole - slack) return false
  for (const k of task.keepOuts) if (off(k.x, k.y) < k.r - slack) return false
  const hole = task.linkLand.hole / 2 + linkToHole
  for (const { from, to } of links) {
    if (apart(from.x, from.y, to.x, to.y) < linkSpacing - slack) return false
    if (Math.min(off(from.x, from.y), off(to.x, to.y)) < hole - slack) return false
  }
  const { outline } = task
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    const c = outline[j]!
    const d = outline[i]!
    if (apart(c.x, c.y, d.x, d.y) < linkToEdge - slack) return false
  }
  return true
}

/** Whether (x, y) lies nearer than `least` to the middle line of a swept disc. */
function nearer(x: number, y: number, s: Stadium, least: number): boolean {
  if (x < Math.min(s.ax, s.bx) - least || x > Math.max(s.ax, s.bx) + least) return false
  if (y < Math.min(s.ay, s.by) - least || y > Math.max(s.ay, s.by) + least) return false
  return pointToSpan(x, y, s.ax, s.ay, s.bx, s.by) < least - slack
}
