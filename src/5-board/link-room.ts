// Where a wire link may stand: its two lands and the bare wire between them, judged exactly against everything that
// does not move: lands and their holes, bodies, screws, outline, other links.

import type { Point } from "../0-ground/geometry/point.ts"
import { contains } from "../0-ground/geometry/polygon.ts"
import { pointToSegment, segmentToSegment } from "../0-ground/geometry/segment.ts"
import { linkSpacing, linkToEdge, linkToHole, type RouteTask, type Stadium } from "./route-task.ts"

export interface PlacedLink {
  readonly from: Point
  readonly to: Point
}

const slack = 1e-9
const start = (s: Stadium): Point => ({ x: s.ax, y: s.ay })
const end = (s: Stadium): Point => ({ x: s.bx, y: s.by })

/** Room for a link's land at p. Lands of its own net keep as far away, so that no hole runs into another. */
export function mayLand(task: RouteTask, links: readonly PlacedLink[], p: Point): boolean {
  const { radius } = task.linkLand
  const apart = radius + task.clearance
  for (const l of task.lands)
    if (Math.abs(l.x - p.x) < 6 && pointToSegment(p, start(l), end(l)) < l.r + apart - slack) return false
  for (const k of task.keepOuts) if (Math.hypot(p.x - k.x, p.y - k.y) < k.r + radius - slack) return false
  for (const { from, to } of links) {
    if (Math.min(Math.hypot(from.x - p.x, from.y - p.y), Math.hypot(to.x - p.x, to.y - p.y)) < radius + apart)
      return false
    if (pointToSegment(p, from, to) < task.linkLand.hole / 2 + linkToHole - slack) return false
  }
  for (const s of task.linkBarriers) if (pointToSegment(p, start(s), end(s)) < s.r - slack) return false
  for (const ring of task.linkBarrierAreas) if (contains(ring, p)) return false
  if (!contains(task.outline, p)) return false
  return eachSide(task.outline, (a, b) => pointToSegment(p, a, b) >= task.edge + radius - slack)
}

/** Room for the bare wire from a to b, both of which may stand. */
export function mayRun(task: RouteTask, links: readonly PlacedLink[], a: Point, b: Point): boolean {
  for (const s of task.linkBarriers) if (segmentToSegment(a, b, start(s), end(s)) < s.r - slack) return false
  for (const l of task.lands)
    if (pointToSegment({ x: l.x, y: l.y }, a, b) < l.hole / 2 + linkToHole - slack) return false
  for (const k of task.keepOuts) if (pointToSegment({ x: k.x, y: k.y }, a, b) < k.r - slack) return false
  const hole = task.linkLand.hole / 2 + linkToHole
  for (const { from, to } of links) {
    if (segmentToSegment(a, b, from, to) < linkSpacing - slack) return false
    if (Math.min(pointToSegment(from, a, b), pointToSegment(to, a, b)) < hole - slack) return false
  }
  return eachSide(task.outline, (c, d) => segmentToSegment(a, b, c, d) >= linkToEdge - slack)
}

function eachSide(ring: readonly Point[], holds: (a: Point, b: Point) => boolean): boolean {
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) if (!holds(ring[j]!, ring[i]!)) return false
  return true
}
