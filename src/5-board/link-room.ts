// Where a wire link may stand: its two lands and the bare wire between them, judged exactly against everything that
// does not move: lands and their holes, bodies, screws, outline, other links.

import { Bins } from "../0-ground/geometry/bins.ts"
import type { Point } from "../0-ground/geometry/point.ts"
import { boundingBox, contains } from "../0-ground/geometry/polygon.ts"
import { pointToSpan, spanToSpan } from "../0-ground/geometry/segment.ts"
import { linkSpacing, linkToEdge, linkToHole, type RouteTask } from "./route-task.ts"

export interface PlacedLink {
  readonly from: Point
  readonly to: Point
}

const slack = 1e-9
/** Side of the cells in which things are looked up, mm. */
const cell = 2.54

/** Spans, each with the distance its neighbours must keep. */
class Spans {
  private readonly spans: number[] = []
  private readonly bins = new Bins(cell)

  add(ax: number, ay: number, bx: number, by: number, least: number): void {
    const { spans } = this
    this.bins.put(
      spans.length / 5,
      Math.min(ax, bx) - least,
      Math.min(ay, by) - least,
      Math.max(ax, bx) + least,
      Math.max(ay, by) + least,
    )
    spans.push(ax, ay, bx, by, least)
  }

  clearOfPoint(x: number, y: number): boolean {
    const { spans } = this
    for (const i of this.bins.at(x, y)) {
      const k = 5 * i
      if (pointToSpan(x, y, spans[k]!, spans[k + 1]!, spans[k + 2]!, spans[k + 3]!) < spans[k + 4]! - slack)
        return false
    }
    return true
  }

  clearOfSpan(ax: number, ay: number, bx: number, by: number): boolean {
    const { spans } = this
    for (const i of this.bins.along(ax, ay, bx, by)) {
      const k = 5 * i
      const apart = spanToSpan(ax, ay, bx, by, spans[k]!, spans[k + 1]!, spans[k + 2]!, spans[k + 3]!)
      if (apart < spans[k + 4]! - slack) return false
    }
    return true
  }
}

export class LinkRoom {
  private readonly task: RouteTask
  private readonly links: readonly PlacedLink[]
  /** What a link's land, and what its wire keeps away from. */
  private readonly landing = new Spans()
  private readonly running = new Spans()
  private readonly areas = new Bins(cell)

  constructor(task: RouteTask, links: readonly PlacedLink[]) {
    this.task = task
    this.links = links
    const { radius } = task.linkLand
    const { landing, running } = this
    for (const l of task.lands) {
      // Lands of its own net keep as far away, so that no hole runs into another.
      landing.add(l.ax, l.ay, l.bx, l.by, l.r + radius + task.clearance)
      running.add(l.x, l.y, l.x, l.y, l.hole / 2 + linkToHole)
    }
    for (const { x, y, r } of task.keepOuts) {
      landing.add(x, y, x, y, r + radius)
      running.add(x, y, x, y, r)
    }
    for (const { ax, ay, bx, by, r } of task.linkBarriers) {
      landing.add(ax, ay, bx, by, r)
      running.add(ax, ay, bx, by, r)
    }
    const { outline } = task
    for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
      const a = outline[j]!
      const b = outline[i]!
      landing.add(a.x, a.y, b.x, b.y, task.edge + radius)
      running.add(a.x, a.y, b.x, b.y, linkToEdge)
    }
    for (const [i, ring] of task.linkBarrierAreas.entries()) {
      const { minX, minY, maxX, maxY } = boundingBox(ring)
      this.areas.put(i, minX, minY, maxX, maxY)
    }
  }

  /** Room for a link's land at p. */
  mayLand(p: Point): boolean {
    const { x, y } = p
    const { task } = this
    if (!this.landing.clearOfPoint(x, y)) return false
    const { radius, hole } = task.linkLand
    const apart = radius + task.clearance
    for (const { from, to } of this.links) {
      if (Math.min(Math.hypot(from.x - x, from.y - y), Math.hypot(to.x - x, to.y - y)) < radius + apart)
        return false
      if (pointToSpan(x, y, from.x, from.y, to.x, to.y) < hole / 2 + linkToHole - slack) return false
    }
    for (const i of this.areas.at(x, y)) if (contains(task.linkBarrierAreas[i]!, p)) return false
    return contains(task.outline, p)
  }

  /** Room for the bare wire from a to b, both of which may stand. */
  mayRun({ x: ax, y: ay }: Point, { x: bx, y: by }: Point): boolean {
    if (!this.running.clearOfSpan(ax, ay, bx, by)) return false
    const off = (x: number, y: number) => pointToSpan(x, y, ax, ay, bx, by)
    const hole = this.task.linkLand.hole / 2 + linkToHole
    for (const { from, to } of this.links) {
      if (spanToSpan(ax, ay, bx, by, from.x, from.y, to.x, to.y) < linkSpacing - slack) return false
      if (Math.min(off(from.x, from.y), off(to.x, to.y)) < hole - slack) return false
    }
    return true
  }
}
