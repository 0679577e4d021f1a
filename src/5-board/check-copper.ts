// The exact check of one finished board: every pair of shapes of different nets, and every net in one piece.
// Works on real shapes (swept discs), not on the router's grid.

import { unionFind } from "../0-ground/numbers/union-find.ts"
import { CopperIndex, type CopperShape, shapeGap } from "./copper-index.ts"
import type { Routed, RouteTask } from "./route-task.ts"
import { obstacles, segment, type TidyTrack } from "./tidy-tracks.ts"

export interface CopperCheck {
  /** Least gap between copper of different nets, mm; capped at 2. */
  readonly clearance: number
  readonly at: { readonly x: number; readonly y: number }
  /** Nets that come too near another, the board's edge or a screw, or are not one piece. */
  readonly bad: readonly number[]
}

export function checkCopper(task: RouteTask, routed: Routed, tracks: readonly TidyTrack[]): CopperCheck {
  const index = new CopperIndex(2)
  const frame = obstacles(task).slice(task.lands.length)
  const copper: CopperShape[] = obstacles(task).slice(0, task.lands.length)
  for (const t of tracks)
    for (let i = 1; i < t.points.length; i++)
      copper.push(segment(t.points[i - 1]!, t.points[i]!, t.width / 2, t.net))
  const linkEnds: [number, number][] = []
  for (const [net, route] of routed.nets.entries())
    for (const l of route.links) {
      const ends = [l.from, l.to].map((p) => segment(p, p, task.linkLand.radius, net))
      linkEnds.push([copper.length, copper.length + 1])
      copper.push(...ends)
    }
  const bad = new Set<number>()
  let clearance = 2
  let at = { x: 0, y: 0 }
  for (const s of copper) {
    const { gap, other } = index.gap(s)
    index.add(s)
    if (gap >= clearance) continue
    clearance = gap
    at = { x: (s.ax + s.bx) / 2, y: (s.ay + s.by) / 2 }
    if (gap < task.clearance - 1e-6) for (const n of [s.net, index.shapes[other]!.net]) if (n >= 0) bad.add(n)
  }
  // A gap already below the limit hides later ones; each net is judged again on its own.
  if (bad.size > 0)
    for (const s of copper) if (s.net >= 0 && index.gap(s).gap < task.clearance - 1e-6) bad.add(s.net)
  const rim = new CopperIndex(2)
  for (const s of frame) rim.add(s)
  for (const s of copper) if (s.net >= 0 && rim.gap(s).gap < task.clearance - 1e-6) bad.add(s.net)

  const joined = unionFind(copper.length)
  const byNet = new Map<number, number[]>()
  for (const [i, s] of copper.entries()) if (s.net >= 0) byNet.set(s.net, [...(byNet.get(s.net) ?? []), i])
  for (const [a, b] of linkEnds) joined.join(a, b)
  for (const [net, list] of byNet) {
    for (let i = 0; i < list.length; i++)
      for (let j = i + 1; j < list.length; j++)
        if (shapeGap(copper[list[i]!]!, copper[list[j]!]!) < 0) joined.join(list[i]!, list[j]!)
    if (new Set(list.map((i) => joined.find(i))).size > 1) bad.add(net)
  }
  return { clearance, at, bad: [...bad].sort((a, b) => a - b) }
}
