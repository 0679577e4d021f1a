// The router's maps. Grid points carry track centre lines.
// Static: each grid edge has an owner for each track width: free, one net (inside that net's own clearance halo), or nobody.
// Edges are judged by exact distance from the segment to the lands, so a map that says yes is exact, not nearly so.
// Dynamic: byte counters of how many nets' halos cover a point, so taking a net up again is a decrement.

import { pointToSegment, segmentToSegment } from "../0-ground/geometry/segment.ts"
import { gridStep, linkSpacing, linkToEdge, linkToHole, type RouteTask } from "./route-task.ts"

export const FREE = -1
export const NOBODY = -2

/** The eight directions, counter-clockwise from +x; d and d + 4 are opposite. */
export const dirX = [1, 1, 0, -1, -1, -1, 0, 1]
export const dirY = [0, 1, 1, 1, 0, -1, -1, -1]

const slack = 1e-7

export interface RouteGrid {
  readonly columns: number
  readonly rows: number
  readonly points: number
  /** Column and row of each point. */
  readonly xOf: Int16Array
  readonly yOf: Int16Array
  /** Track width class of each net. */
  readonly classOf: Int8Array
  readonly halfWidths: readonly number[]
  /** [class]: owner of edge 4 · point + direction (0…3). */
  readonly owner: readonly Int16Array[]
  /** 1 where a link land may not stand. */
  readonly noLanding: Uint8Array
  /** 1 where a link may not pass. */
  readonly noLink: Uint8Array
  /** [class]: nets whose halo covers the point, for a track of that class. */
  readonly taken: readonly Uint8Array[]
  /** The same for a link land. */
  readonly takenLanding: Uint8Array
  /** Links of other nets too near for a link here. */
  readonly takenLink: Uint8Array
  /** [class of the track][class of the other]: halo as point offsets (dx, dy pairs). */
  readonly trackHalo: readonly (readonly Int16Array[])[]
  readonly trackToLanding: readonly Int16Array[]
  readonly landingToTrack: readonly Int16Array[]
  readonly landingToLanding: Int16Array
  readonly linkHalo: Int16Array
  /** Of a link's land, mm. */
  readonly linkRadius: number
  /** Land (or terminal) → its net and the grid points a track of its net may start from. */
  readonly starts: readonly {
    readonly net: number
    readonly points: Int32Array
    readonly centre?: { x: number; y: number }
  }[]
}

export function makeGrid(task: RouteTask): RouteGrid {
  let maxX = 0
  let maxY = 0
  for (const p of task.outline) {
    maxX = Math.max(maxX, p.x)
    maxY = Math.max(maxY, p.y)
  }
  const columns = Math.ceil(maxX / gridStep) + 2
  const rows = Math.ceil(maxY / gridStep) + 2
  const points = columns * rows

  const halfWidths = [...new Set(task.halfWidth)].sort((a, b) => a - b)
  const classOf = Int8Array.from(task.halfWidth, (h) => halfWidths.indexOf(h))
  const off = edgeDistances(task, columns, rows)
  const owner = halfWidths.map((h) => edgeOwners(task, h, columns, rows, off))
  const { noLanding, noLink } = linkMaps(task, columns, rows, off)
  const link = task.linkLand.radius
  const c = task.clearance
  return {
    columns,
    rows,
    points,
    xOf: Int16Array.from({ length: points }, (_, p) => p % columns),
    yOf: Int16Array.from({ length: points }, (_, p) => Math.floor(p / columns)),
    classOf,
    halfWidths,
    owner,
    noLanding,
    noLink,
    taken: halfWidths.map(() => new Uint8Array(points)),
    takenLanding: new Uint8Array(points),
    takenLink: new Uint8Array(points),
    trackHalo: halfWidths.map((a) => halfWidths.map((b) => halo(a + b + c))),
    trackToLanding: halfWidths.map((h) => halo(h + link + c)),
    landingToTrack: halfWidths.map((h) => halo(h + link + c)),
    landingToLanding: halo(2 * link + c),
    linkHalo: halo(linkSpacing),
    linkRadius: link,
    starts: startPoints(task, columns, rows),
  }
}

/** Offsets whose grid points, or the diagonal edges leaving them, come nearer than `reach`. */
function halo(reach: number): Int16Array {
  const out: number[] = []
  const n = Math.ceil(reach / gridStep) + 1
  for (let y = -n; y <= n; y++) {
    for (let x = -n; x <= n; x++) {
      let d = Math.hypot(x, y)
      // A point may be nearest to the middle of a diagonal edge rather than to either of its ends.
      if (Math.abs(x + y) === 1) d = Math.min(d, Math.abs(x - y) / Math.SQRT2)
      if (Math.abs(x - y) === 1) d = Math.min(d, Math.abs(x + y) / Math.SQRT2)
      if (d * gridStep < reach - slack) out.push(x, y)
    }
  }
  return Int16Array.from(out)
}

/** Distance of every point to the outline, mm, capped at 4; 0 outside. */
function edgeDistances(task: RouteTask, columns: number, rows: number): Float32Array {
  const cap = 4
  const far = new Float32Array(columns * rows).fill(cap)
  const ring = task.outline
  const crossings: number[][] = Array.from({ length: rows }, () => [])
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const a = ring[j]!
    const b = ring[i]!
    const x0 = Math.max(0, Math.floor((Math.min(a.x, b.x) - cap) / gridStep))
    const x1 = Math.min(columns - 1, Math.ceil((Math.max(a.x, b.x) + cap) / gridStep))
    const y0 = Math.max(0, Math.floor((Math.min(a.y, b.y) - cap) / gridStep))
    const y1 = Math.min(rows - 1, Math.ceil((Math.max(a.y, b.y) + cap) / gridStep))
    for (let y = y0; y <= y1; y++) {
      const py = y * gridStep
      if (a.y > py !== b.y > py) crossings[y]!.push(((b.x - a.x) * (py - a.y)) / (b.y - a.y) + a.x)
      for (let x = x0; x <= x1; x++) {
        const d = pointToSegment({ x: x * gridStep, y: py }, a, b)
        const p = y * columns + x
        if (d < far[p]!) far[p] = d
      }
    }
  }
  for (let y = 0; y < rows; y++) {
    const at = crossings[y]!.sort((a, b) => a - b)
    for (let x = 0, k = 0; x < columns; x++) {
      while (k < at.length && at[k]! <= x * gridStep) k++
      if (k % 2 === 0) far[y * columns + x] = 0
    }
  }
  return far
}

function edgeOwners(
  task: RouteTask,
  h: number,
  columns: number,
  rows: number,
  off: Float32Array,
): Int16Array {
  const points = columns * rows
  const owner = new Int16Array(points * 4).fill(FREE)
  const shut = new Uint8Array(points)
  // A corner of the outline may come nearer to the middle of a diagonal edge than to its ends: 0.015 mm covers it.
  const need = task.edge + h + 0.015
  for (let p = 0; p < points; p++) if (off[p]! < need) shut[p] = 1
  for (const k of task.keepOuts)
    around(k.x, k.x, k.y, k.y, k.r + h + 0.015, columns, rows, (p, x, y) => {
      if (Math.hypot(x - k.x, y - k.y) < k.r + h + 0.015) shut[p] = 1
    })
  for (let y = 0; y < rows; y++)
    for (let x = 0; x < columns; x++)
      for (let d = 0; d < 4; d++) {
        const nx = x + dirX[d]!
        const ny = y + dirY[d]!
        const p = y * columns + x
        const out = nx < 0 || nx >= columns || ny >= rows
        if (out || shut[p] || shut[ny * columns + nx]) owner[p * 4 + d] = NOBODY
      }
  for (const land of task.lands) {
    const reach = land.r + h + task.clearance
    const a = { x: land.ax, y: land.ay }
    const b = { x: land.bx, y: land.by }
    around(land.ax, land.bx, land.ay, land.by, reach + gridStep, columns, rows, (p, x, y) => {
      for (let d = 0; d < 4; d++) {
        const e = p * 4 + d
        const now = owner[e]!
        if (now === NOBODY || (now === land.net && now >= 0)) continue
        const to = { x: x + dirX[d]! * gridStep, y: y + dirY[d]! * gridStep }
        const from = { x, y }
        const near =
          land.ax === land.bx && land.ay === land.by
            ? pointToSegment(a, from, to)
            : segmentToSegment(from, to, a, b)
        if (near < reach - slack) owner[e] = now === FREE && land.net >= 0 ? land.net : NOBODY
      }
    })
  }
  return owner
}

function linkMaps(task: RouteTask, columns: number, rows: number, off: Float32Array) {
  const points = columns * rows
  const noLanding = new Uint8Array(points)
  const noLink = new Uint8Array(points)
  const radius = task.linkLand.radius
  for (let p = 0; p < points; p++) {
    if (off[p]! < task.edge + radius) noLanding[p] = 1
    if (off[p]! < linkToEdge) noLink[p] = 1
  }
  const near = (
    s: { ax: number; ay: number; bx: number; by: number },
    reach: number,
    map: Uint8Array,
  ): void =>
    around(s.ax, s.bx, s.ay, s.by, reach, columns, rows, (p, x, y) => {
      if (pointToSegment({ x, y }, { x: s.ax, y: s.ay }, { x: s.bx, y: s.by }) < reach - slack) map[p] = 1
    })
  for (const k of task.keepOuts) {
    near({ ax: k.x, ay: k.y, bx: k.x, by: k.y }, k.r + radius, noLanding)
    near({ ax: k.x, ay: k.y, bx: k.x, by: k.y }, k.r, noLink)
  }
  for (const land of task.lands) {
    near(land, land.r + radius + task.clearance, noLanding)
    // A bare link must not touch another lead where it comes out of its hole.
    near({ ax: land.x, ay: land.y, bx: land.x, by: land.y }, land.hole / 2 + linkToHole, noLink)
  }
  for (const s of task.linkBarriers) {
    near(s, s.r, noLink)
    near(s, s.r, noLanding)
  }
  for (const ring of task.linkBarrierAreas)
    fill(ring, columns, rows, (p) => {
      noLink[p] = 1
      noLanding[p] = 1
    })
  return { noLanding, noLink }
}

function startPoints(task: RouteTask, columns: number, rows: number): RouteGrid["starts"] {
  const starts: { net: number; points: Int32Array; centre?: { x: number; y: number } }[] = []
  for (const land of task.lands) {
    if (land.net < 0) continue
    const h = task.halfWidth[land.net]!
    const inside = Math.max(land.r - h, gridStep * 0.72)
    const found: number[] = []
    around(land.ax, land.bx, land.ay, land.by, inside, columns, rows, (p, x, y) => {
      const d = pointToSegment({ x, y }, { x: land.ax, y: land.ay }, { x: land.bx, y: land.by })
      if (d <= inside) found.push(p)
    })
    starts.push({ net: land.net, points: Int32Array.from(found), centre: { x: land.x, y: land.y } })
  }
  for (const t of task.terminals ?? []) {
    const found = new Set<number>()
    for (const p of t.points) {
      const x = Math.round(p.x / gridStep)
      const y = Math.round(p.y / gridStep)
      if (x >= 0 && y >= 0 && x < columns && y < rows) found.add(y * columns + x)
    }
    starts.push({ net: t.net, points: Int32Array.from(found) })
  }
  return starts
}

/** Every grid point in the box a…b grown by `reach`. */
function around(
  ax: number,
  bx: number,
  ay: number,
  by: number,
  reach: number,
  columns: number,
  rows: number,
  visit: (p: number, x: number, y: number) => void,
): void {
  const x0 = Math.max(0, Math.floor((Math.min(ax, bx) - reach) / gridStep))
  const x1 = Math.min(columns - 1, Math.ceil((Math.max(ax, bx) + reach) / gridStep))
  const y0 = Math.max(0, Math.floor((Math.min(ay, by) - reach) / gridStep))
  const y1 = Math.min(rows - 1, Math.ceil((Math.max(ay, by) + reach) / gridStep))
  for (let y = y0; y <= y1; y++)
    for (let x = x0; x <= x1; x++) visit(y * columns + x, x * gridStep, y * gridStep)
}

/** Every grid point inside a ring. */
function fill(
  ring: readonly { x: number; y: number }[],
  columns: number,
  rows: number,
  visit: (p: number) => void,
): void {
  for (let y = 0; y < rows; y++) {
    const py = y * gridStep
    const at: number[] = []
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const a = ring[j]!
      const b = ring[i]!
      if (a.y > py !== b.y > py) at.push(((b.x - a.x) * (py - a.y)) / (b.y - a.y) + a.x)
    }
    at.sort((p, q) => p - q)
    for (let k = 0; k + 1 < at.length; k += 2)
      for (let x = Math.max(0, Math.ceil(at[k]! / gridStep)); x < columns && x * gridStep <= at[k + 1]!; x++)
        visit(y * columns + x)
  }
}
