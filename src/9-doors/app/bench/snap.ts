// Where a measuring point catches: middles and corners first, then edges. Stage millimetres, y down.

import type { Point } from "../../../0-ground/geometry/point.ts"

export interface SnapPoint extends Point {
  /** What lies there: `hole of tail-stop-3`. */
  readonly says: string
}

export interface Snaps {
  readonly points: readonly SnapPoint[]
  readonly edges: readonly {
    readonly line: readonly Point[]
    readonly closed: boolean
    readonly says: string
  }[]
}

/** The nearest point within `reach`, else the nearest place on an edge within half of it, else the place itself. */
export function snapTo(at: Point, snaps: Snaps, reach: number): SnapPoint {
  let best: SnapPoint | undefined
  let least = reach
  for (const p of snaps.points) {
    const d = Math.hypot(p.x - at.x, p.y - at.y)
    if (d < least) [best, least] = [p, d]
  }
  if (best) return best
  least = reach / 2
  for (const { line, closed, says } of snaps.edges)
    for (let i = closed ? 0 : 1; i < line.length; i++) {
      const on = nearestOn(at, line[(i + line.length - 1) % line.length]!, line[i]!)
      const d = Math.hypot(on.x - at.x, on.y - at.y)
      if (d < least) [best, least] = [{ ...on, says }, d]
    }
  return best ?? { ...at, says: "" }
}

/** The nearest snap point in a direction, within 45° of it; undefined when there is none. */
export function nextSnap(from: Point, dx: number, dy: number, snaps: Snaps): SnapPoint | undefined {
  let best: SnapPoint | undefined
  let least = Number.POSITIVE_INFINITY
  for (const p of snaps.points) {
    const along = (p.x - from.x) * dx + (p.y - from.y) * dy
    const aside = Math.abs((p.x - from.x) * dy - (p.y - from.y) * dx)
    if (along < 1e-6 || aside > along) continue
    const d = along + aside
    if (d < least) [best, least] = [p, d]
  }
  return best
}

function nearestOn(at: Point, a: Point, b: Point): Point {
  const [dx, dy] = [b.x - a.x, b.y - a.y]
  const length = dx * dx + dy * dy
  const t = length === 0 ? 0 : Math.max(0, Math.min(1, ((at.x - a.x) * dx + (at.y - a.y) * dy) / length))
  return { x: a.x + t * dx, y: a.y + t * dy }
}
