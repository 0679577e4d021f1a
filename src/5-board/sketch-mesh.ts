// The gaps of a board: a triangulation of everything copper must go round (lands, screws, outline), and for each of
// its edges how much room for tracks lies between the two things at its ends.

import type { Point } from "../0-ground/geometry/point.ts"
import { contains } from "../0-ground/geometry/polygon.ts"
import { pointToSegment } from "../0-ground/geometry/segment.ts"
import { triangulate } from "../0-ground/geometry/triangulate.ts"
import { shapeGap } from "./copper-index.ts"
import type { RouteLand, RouteTask, Stadium } from "./route-task.ts"

export interface SketchMesh {
  /** Vertices: first the lands in the task's order, then terminals, screws, outline points. */
  readonly x: Float64Array
  readonly y: Float64Array
  readonly r: Float64Array
  /** Nets that may start at each vertex. */
  readonly nets: readonly (readonly number[])[]
  /** Corner of each half-edge, where it starts; half-edge 3t + i runs on to corner i + 1 of triangle t. */
  readonly corner: Int32Array
  readonly twin: Int32Array
  readonly edgeOf: Int32Array
  /** The half-edge whose direction is the edge's own. */
  readonly halfOf: Int32Array
  /** Free width between the things at an edge's ends, mm. */
  readonly gap: Float64Array
  /** Length of each edge, mm. */
  readonly length: Float64Array
  readonly outgoing: readonly Int32Array[]
  readonly edges: number
  /** Vertices below this are lands, and keep their number though lands come to their end. */
  readonly lands: number
  /** Vertices below this are lands and terminals and keep their number; others are known by where they stand. */
  readonly inner: number
}

/** The same gaps when only nets have changed places on the lands. */
export function withNets(mesh: SketchMesh, task: RouteTask): SketchMesh {
  const nets = mesh.nets.map((list, v) =>
    v < task.lands.length ? (task.lands[v]!.net >= 0 ? [task.lands[v]!.net] : []) : list,
  )
  return { ...mesh, nets }
}

export function makeMesh(task: RouteTask): SketchMesh {
  const points: Point[] = []
  const shapes: Stadium[] = []
  const nets: number[][] = []
  const c = task.clearance
  const add = (s: Stadium, of: number[]) => {
    points.push({ x: (s.ax + s.bx) / 2, y: (s.ay + s.by) / 2 })
    shapes.push(s)
    nets.push(of)
  }
  const disc = (x: number, y: number, r: number): Stadium => ({ ax: x, ay: y, bx: x, by: y, r })
  for (const l of task.lands) add(l, l.net >= 0 ? [l.net] : [])
  // Terminals round one middle are one vertex that many nets may start from.
  const middles = new Map<string, number>()
  for (const t of task.terminals ?? []) {
    const at = middle(t.points)
    const key = `${at.x.toFixed(2)} ${at.y.toFixed(2)}`
    const known = middles.get(key)
    if (known !== undefined) nets[known]!.push(t.net)
    else {
      middles.set(key, points.length)
      add(disc(at.x, at.y, Math.hypot(t.points[0]!.x - at.x, t.points[0]!.y - at.y)), [t.net])
    }
  }
  const inner = points.length
  for (const k of task.keepOuts)
    if (!middles.has(`${k.x.toFixed(2)} ${k.y.toFixed(2)}`)) add(disc(k.x, k.y, Math.max(0, k.r - c)), [])
  const rim = points.length
  for (const p of outlinePoints(task.outline, points)) add(disc(p.x, p.y, Math.max(0, task.edge - c)), [])

  const toOutline = points
    .slice(0, rim)
    .map((p, v) =>
      v < task.lands.length ? outlineFrom(task.lands[v]!, task.outline) : distanceToRing(p, task.outline),
    )
  const all = triangulate(points)
  const kept: number[] = []
  for (let t = 0; t < all.length; t += 3) {
    const [a, b, d] = [all[t]!, all[t + 1]!, all[t + 2]!]
    const at = {
      x: (points[a]!.x + points[b]!.x + points[d]!.x) / 3,
      y: (points[a]!.y + points[b]!.y + points[d]!.y) / 3,
    }
    if (contains(task.outline, at)) kept.push(a, b, d)
  }
  const corner = Int32Array.from(kept)
  const twin = new Int32Array(corner.length).fill(-1)
  const edgeOf = new Int32Array(corner.length).fill(-1)
  const halfOf: number[] = []
  const known = new Map<number, number>()
  const n = points.length
  const next = (h: number) => (h % 3 === 2 ? h - 2 : h + 1)
  for (let h = 0; h < corner.length; h++) {
    const a = corner[h]!
    const b = corner[next(h)]!
    const g = known.get(b * n + a)
    if (g !== undefined) {
      twin[h] = g
      twin[g] = h
      edgeOf[h] = edgeOf[g]!
      continue
    }
    known.set(a * n + b, h)
    edgeOf[h] = halfOf.length
    halfOf.push(h)
  }
  const gap = new Float64Array(halfOf.length)
  const length = new Float64Array(halfOf.length)
  for (const [e, h] of halfOf.entries()) {
    const a = corner[h]!
    const b = corner[next(h)]!
    length[e] = Math.hypot(points[a]!.x - points[b]!.x, points[a]!.y - points[b]!.y)
    gap[e] = twin[h]! < 0 ? 0 : shapeGap(shapes[a]!, shapes[b]!)
    // The outline runs on beside its point.
    if (a >= rim && b >= rim && twin[h]! >= 0 && Math.abs(a - b) === 1) gap[e] = 0
    if (a < rim && b >= rim) gap[e] = Math.min(gap[e]!, toOutline[a]! - reach(shapes[a]!) - task.edge + c)
    if (b < rim && a >= rim) gap[e] = Math.min(gap[e]!, toOutline[b]! - reach(shapes[b]!) - task.edge + c)
  }
  const outgoing: number[][] = points.map(() => [])
  for (let h = 0; h < corner.length; h++) outgoing[corner[h]!]!.push(h)
  return {
    x: Float64Array.from(points, (p) => p.x),
    y: Float64Array.from(points, (p) => p.y),
    r: Float64Array.from(shapes, (s) => s.r),
    nets,
    corner,
    twin,
    edgeOf,
    halfOf: Int32Array.from(halfOf),
    gap,
    length,
    outgoing: outgoing.map((o) => Int32Array.from(o)),
    edges: halfOf.length,
    lands: task.lands.length,
    inner,
  }
}

const reach = (s: Stadium) => s.r + 0.5 * Math.hypot(s.bx - s.ax, s.by - s.ay)

function middle(points: readonly Point[]): Point {
  let x = 0
  let y = 0
  for (const p of points) {
    x += p.x
    y += p.y
  }
  return { x: x / points.length, y: y / points.length }
}

const known = new WeakMap<RouteLand, { readonly ring: readonly Point[]; readonly d: number }>()

/** Lands that stay where they are ask once. */
function outlineFrom(land: RouteLand, ring: readonly Point[]): number {
  const was = known.get(land)
  if (was?.ring === ring) return was.d
  const d = distanceToRing({ x: (land.ax + land.bx) / 2, y: (land.ay + land.by) / 2 }, ring)
  known.set(land, { ring, d })
  return d
}

function distanceToRing(p: Point, ring: readonly Point[]): number {
  let d = Number.POSITIVE_INFINITY
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++)
    d = Math.min(d, pointToSegment(p, ring[j]!, ring[i]!))
  return d
}

/** Points along the outline, so dense that no thing on the board lies nearer to a stretch's middle than its ends do. */
function outlinePoints(ring: readonly Point[], others: readonly Point[]): Point[] {
  const out: Point[] = []
  const split = (a: Point, b: Point, depth: number): void => {
    const l = Math.hypot(b.x - a.x, b.y - a.y)
    const m = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 }
    const near = others.some((p) => Math.hypot(p.x - m.x, p.y - m.y) < l / 2)
    if (depth < 8 && (l > 25 || (near && l > 0.8))) {
      split(a, m, depth + 1)
      split(m, b, depth + 1)
    } else out.push(a)
  }
  // Points of a finely drawn curve stand nearer together than any gap matters.
  const coarse: Point[] = []
  for (const p of ring) {
    const last = coarse[coarse.length - 1]
    if (!last || Math.hypot(p.x - last.x, p.y - last.y) > 1.2) coarse.push(p)
  }
  for (let i = 0; i < coarse.length; i++) split(coarse[i]!, coarse[(i + 1) % coarse.length]!, 0)
  return out
}
