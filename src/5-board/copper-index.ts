// Everything copper must keep away from, as swept discs in a hash of square bins: lands, tracks, link lands,
// and the outline and keep-outs grown so that one clearance holds for all. Distances are exact.

import { spanToSpan } from "../0-ground/geometry/segment.ts"
import type { Stadium } from "./route-task.ts"

export interface CopperShape extends Stadium {
  /** ≥ 0: a net; negative: its own, different from all others. */
  readonly net: number
}

/** Outline and keep-outs carry this net: they do not judge one another. */
export const frameNet = -1000

const bin = 2

export class CopperIndex {
  private readonly bins = new Map<number, number[]>()
  readonly shapes: CopperShape[] = []
  private readonly alive: boolean[] = []
  private readonly seen: number[] = []
  private stamp = 0
  private readonly reach: number

  /** Queries see everything within `reach` mm. */
  constructor(reach: number) {
    this.reach = reach
  }

  add(shape: CopperShape): number {
    const id = this.shapes.length
    this.shapes.push(shape)
    this.alive.push(true)
    this.seen.push(0)
    const { x0, x1, y0, y1 } = binsOf(shape, this.reach)
    for (let y = y0; y <= y1; y++)
      for (let x = x0; x <= x1; x++) {
        const list = this.bins.get(y * 4096 + x)
        if (list) list.push(id)
        else this.bins.set(y * 4096 + x, [id])
      }
    return id
  }

  drop(id: number): void {
    this.alive[id] = false
  }

  /** Least gap from this shape to any other net's, capped at the index's reach; which shape it was. */
  gap(shape: CopperShape, cap = this.reach): { gap: number; other: number } {
    let gap = cap
    let other = -1
    this.stamp++
    const { bins, alive, seen, stamp, shapes } = this
    const { x0, x1, y0, y1 } = binsOf(shape, 0)
    for (let y = y0; y <= y1; y++)
      for (let x = x0; x <= x1; x++) {
        const list = bins.get(y * 4096 + x)
        if (!list) continue
        for (let k = 0; k < list.length; k++) {
          const id = list[k]!
          if (!alive[id] || seen[id] === stamp) continue
          seen[id] = stamp
          const s = shapes[id]!
          if (s.net === shape.net) continue
          const d = shapeGap(s, shape)
          if (d < gap) {
            gap = d
            other = id
          }
        }
      }
    return { gap, other }
  }
}

function binsOf({ ax, ay, bx, by, r }: Stadium, grow: number) {
  const far = r + grow
  return {
    x0: Math.floor((Math.min(ax, bx) - far) / bin),
    x1: Math.floor((Math.max(ax, bx) + far) / bin),
    y0: Math.floor((Math.min(ay, by) - far) / bin),
    y1: Math.floor((Math.max(ay, by) + far) / bin),
  }
}

/** Gap between the rims of two swept discs; negative when they overlap. */
export function shapeGap(a: Stadium, b: Stadium): number {
  return spanToSpan(a.ax, a.ay, a.bx, a.by, b.ax, b.ay, b.bx, b.by) - a.r - b.r
}
