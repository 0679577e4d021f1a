// Straightens what the grid made of a track: stairs become straight runs at any angle where the clearance allows,
// and nets that carry more current are widened where there is room. Lands, links and branch points stay where they are.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import { CopperIndex, type CopperShape, frameNet } from "./copper-index.ts"
import type { Routed, RouteTask } from "./route-task.ts"

export interface TidyTrack {
  readonly net: number
  readonly width: Mm
  readonly points: readonly Point[]
}

/** A shortcut may not come nearer to others than this over the clearance, unless the stairs already did. */
const comfort = 0.12
/** Widened tracks leave this much more than the clearance, so that the groove between keeps freedom. */
const widenedRoom = 0.15
const widthStep = 0.05

/** `wanted[net]`: width to reach for where there is room, mm. */
export function tidyTracks(task: RouteTask, routed: Routed, wanted: readonly Mm[]): TidyTrack[] {
  const index = new CopperIndex(2)
  for (const s of obstacles(task)) index.add(s)
  const runs: { net: number; points: Point[]; ids: number[] }[] = []
  for (const [net, route] of routed.nets.entries()) {
    for (const l of route.links)
      for (const p of [l.from, l.to])
        index.add({ ax: p.x, ay: p.y, bx: p.x, by: p.y, r: task.linkLand.radius, net })
    for (const points of splitAtBranches(
      route.paths,
      route.links.flatMap((l) => [l.from, l.to]),
    ))
      runs.push({ net, points, ids: [] })
  }
  const lay = (run: (typeof runs)[number]) => {
    run.ids = segments(run.points, task.halfWidth[run.net]!, run.net).map((s) => index.add(s))
  }
  for (const run of runs) lay(run)
  for (let pass = 0; pass < 2; pass++)
    for (const run of runs) {
      const shorter = straighten(run.points, task.halfWidth[run.net]!, run.net, task.clearance, index)
      if (shorter.length === run.points.length) continue
      for (const id of run.ids) index.drop(id)
      run.points = shorter
      lay(run)
    }
  const out: TidyTrack[] = []
  for (const run of runs) {
    const half = task.halfWidth[run.net]!
    const want = wanted[run.net]! / 2
    const widths: number[] = []
    for (let i = 1; i < run.points.length; i++) {
      const s = segment(run.points[i - 1]!, run.points[i]!, half, run.net)
      let h = half
      if (want > half) {
        const { gap } = index.gap(s)
        const room = half + gap - task.clearance - widenedRoom
        h = Math.max(half, Math.min(want, Math.floor((2 * room) / widthStep + 1e-9) * (widthStep / 2)))
      }
      widths.push(round(2 * h))
      index.drop(run.ids[i - 1]!)
      index.add({ ...s, r: h })
    }
    for (let i = 0; i < widths.length; ) {
      let j = i
      while (j < widths.length && widths[j] === widths[i]) j++
      out.push({ net: run.net, width: widths[i]!, points: run.points.slice(i, j + 1) })
      i = j
    }
  }
  return out
}

/** What any copper keeps clear of: lands, and outline and keep-outs grown by what they ask beyond the clearance. */
export function obstacles(task: RouteTask): CopperShape[] {
  const out: CopperShape[] = []
  for (const [i, l] of task.lands.entries()) out.push({ ...plain(l), net: l.net >= 0 ? l.net : -2 - i })
  for (const k of task.keepOuts)
    out.push({ ax: k.x, ay: k.y, bx: k.x, by: k.y, r: k.r - task.clearance, net: frameNet })
  const ring = task.outline
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++)
    out.push({ ...segment(ring[j]!, ring[i]!, task.edge - task.clearance, frameNet) })
  return out
}

const plain = ({ ax, ay, bx, by, r }: CopperShape | RouteTask["lands"][number]) => ({ ax, ay, bx, by, r })

export const segment = (a: Point, b: Point, r: number, net: number): CopperShape => ({
  ax: a.x,
  ay: a.y,
  bx: b.x,
  by: b.y,
  r,
  net,
})

function segments(points: readonly Point[], r: number, net: number): CopperShape[] {
  return points.slice(1).map((b, i) => segment(points[i]!, b, r, net))
}

/** Paths cut where another path or a link of the net ends on them, so that every branch point is an end. */
function splitAtBranches(paths: readonly (readonly Point[])[], links: readonly Point[]): Point[][] {
  const joints = [...links, ...paths.flatMap((p) => [p[0]!, p[p.length - 1]!])]
  return paths.flatMap((path) => {
    const runs: Point[][] = []
    let run: Point[] = [path[0]!]
    for (let i = 1; i < path.length; i++) {
      const a = path[i - 1]!
      const b = path[i]!
      const on = joints
        .map((p) => ({ p, t: along(a, b, p) }))
        .filter(({ t }) => t > 1e-6)
        .sort((p, q) => p.t - q.t)
      for (const { p } of on) {
        const last = run[run.length - 1]!
        if (Math.hypot(p.x - last.x, p.y - last.y) < 1e-6) continue
        run.push(p)
        runs.push(run)
        run = [p]
      }
      const last = run[run.length - 1]!
      if (Math.hypot(b.x - last.x, b.y - last.y) > 1e-6) run.push(b)
    }
    if (run.length > 1) runs.push(run)
    return runs
  })
}

/** Where p lies on the segment, as a length from a; −1 when it does not. Ends count. */
function along(a: Point, b: Point, p: Point): number {
  const dx = b.x - a.x
  const dy = b.y - a.y
  const l = Math.hypot(dx, dy)
  const t = ((p.x - a.x) * dx + (p.y - a.y) * dy) / l
  if (t < -1e-6 || t > l + 1e-6) return -1
  return Math.abs((p.x - a.x) * dy - (p.y - a.y) * dx) / l < 1e-6 ? t : -1
}

/** Greedy longest shortcuts. */
function straighten(points: Point[], r: number, net: number, clearance: Mm, index: CopperIndex): Point[] {
  if (points.length < 3) return points
  const gaps = segments(points, r, net).map((s) => index.gap(s, clearance + comfort).gap)
  const out = [points[0]!]
  let i = 0
  while (i < points.length - 1) {
    let next = i + 1
    let need = gaps[i]!
    for (let j = i + 2; j < points.length; j++) {
      need = Math.min(need, gaps[j - 1]!)
      const { gap } = index.gap(segment(points[i]!, points[j]!, r, net), clearance + comfort)
      if (gap >= Math.max(clearance, need) - 1e-9) next = j
      else if (j > next + 12) break
    }
    out.push(points[next]!)
    i = next
  }
  return out
}

const round = (v: number): number => Math.round(v * 1e6) / 1e6
