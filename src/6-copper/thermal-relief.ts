// Thermal relief: a land in wide copper gets a broken ring of groove, so that a hand iron need not heat all of it.
// What stays between the arcs are its spokes. No track as drawn is touched: each leaves the land as wide as it came, so
// the land carries what its tracks carry. Lands in narrow copper are left as they are.

import type { Point } from "../0-ground/geometry/point.ts"
import { pointToSegment } from "../0-ground/geometry/segment.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Board, Land } from "../5-board/artefact.ts"
import { type CopperShapes, shapeDistance } from "./copper-shapes.ts"
import { toMicrometre } from "./keep-width.ts"
import type { NearestPiece } from "./nearest-piece.ts"

export interface RelievedLand {
  readonly land: Land
  readonly arcs: readonly (readonly Point[])[]
  /** Copper left between two neighbouring arcs, the least; how many ways out there are. */
  readonly narrowest: Mm
  readonly spokes: number
}

/** Copper of a spoke where no track asks for more, mm. */
const spoke = 0.5
/** Copper left between an arc and any other groove or the edge, mm. */
const web = 0.4
/** A land stands in wide copper when so much of what lies this far round it is its own. */
const around = [1, 2, 3]
const wideShare = 0.6
/** Shorter arcs are not worth a plunge; with less of the ring cut the heat still gets away, mm and share. */
const leastArc = 0.6
const leastShare = 0.3
const step = 0.1

/**
 * `strokes`: what is cut already, and what has been cut beside; `groove`: width of a groove; `keep`: from its middle to
 * copper as drawn.
 */
export function thermalRelief(
  board: Board,
  shapes: CopperShapes,
  nearest: NearestPiece,
  strokes: readonly (readonly Point[])[],
  groove: Mm,
  keep: Mm,
): RelievedLand[] {
  const out: RelievedLand[] = []
  const cut = [...strokes]
  for (const land of board.lands) {
    const own = ownShape(shapes, board, land)
    if (own < 0 || land.net === undefined || !inWideCopper(shapes, nearest, own)) continue
    const ring = ringRound(shapes, own, keep)
    const free = ring.map((p) => !onSpoke(land, p, spoke / 2 + groove / 2) && clear(p, own))
    const arcs = arcsOf(ring, free)
    const length = arcs.reduce((sum, arc) => sum + lengthOf(arc), 0)
    if (arcs.length === 0 || length < leastShare * ring.length * step) continue
    out.push({ land, arcs, narrowest: narrowestGap(arcs) - groove, spokes: arcs.length })
    cut.push(...arcs)
  }
  return out

  function clear(p: Point, own: number): boolean {
    for (let s = 0; s < shapes.count; s++)
      if (s !== own && shapeDistance(shapes, s, p.x, p.y) < keep) return false
    if (!beside(board.outline, true, p, groove / 2 + web)) return false
    return cut.every((line) => beside(line, false, p, groove + web))
  }
}

/** Shape of a land: those of the tracks come first. */
function ownShape(shapes: CopperShapes, board: Board, land: Land): number {
  const segments = board.tracks.reduce((sum, t) => sum + Math.max(0, t.points.length - 1), 0)
  const s = segments + board.lands.indexOf(land)
  return s < shapes.count ? s : -1
}

function inWideCopper(shapes: CopperShapes, { raster, labels }: NearestPiece, own: number): boolean {
  const piece = shapes.piece[own]!
  let inside = 0
  let all = 0
  for (const far of around)
    for (const p of ringRound(shapes, own, far)) {
      const i = Math.round((p.x - raster.x0) / raster.step)
      const j = Math.round((p.y - raster.y0) / raster.step)
      all++
      if (i >= 0 && j >= 0 && i < raster.nx && j < raster.ny && labels[j * raster.nx + i] === piece) inside++
    }
  return inside >= wideShare * all
}

/** Points about `step` apart on the line `off` outside a shape's edge, counter-clockwise. */
function ringRound(shapes: CopperShapes, s: number, off: Mm): Point[] {
  const [ax, ay, bx, by] = [shapes.ax[s]!, shapes.ay[s]!, shapes.bx[s]!, shapes.by[s]!]
  const r = shapes.radius[s]! + off
  const long = Math.hypot(bx - ax, by - ay)
  const turned = Math.atan2(by - ay, bx - ax)
  const [c, d] = [Math.cos(turned), Math.sin(turned)]
  const whole = 2 * long + 2 * Math.PI * r
  const n = Math.max(24, Math.round(whole / step))
  return Array.from({ length: n }, (_, k) => {
    let t = (whole * k) / n
    // Along the lower side from a to b, round b, back along the upper side, round a.
    if (t < long) return { x: ax + c * t + d * r, y: ay + d * t - c * r }
    t -= long
    if (t < Math.PI * r) return arc(bx, by, turned - Math.PI / 2 + t / r)
    t -= Math.PI * r
    if (t < long) return { x: bx - c * t - d * r, y: by - d * t + c * r }
    return arc(ax, ay, turned + Math.PI / 2 + (t - long) / r)
  })

  function arc(x: number, y: number, a: number): Point {
    return { x: x + r * Math.cos(a), y: y + r * Math.sin(a) }
  }
}

/** True within `half` of one of the four ways out, which lie between the land's axes. */
function onSpoke(land: Land, p: Point, half: Mm): boolean {
  const a = ((land.rotation + 45) * Math.PI) / 180
  const [x, y] = [p.x - land.x, p.y - land.y]
  const u = x * Math.cos(a) + y * Math.sin(a)
  const v = y * Math.cos(a) - x * Math.sin(a)
  return Math.abs(u) < half || Math.abs(v) < half
}

function beside(line: readonly Point[], closed: boolean, p: Point, far: Mm): boolean {
  for (let i = closed ? 0 : 1; i < line.length; i++) {
    const a = line[i === 0 ? line.length - 1 : i - 1]!
    const b = line[i]!
    if (Math.min(a.x, b.x) - p.x > far || p.x - Math.max(a.x, b.x) > far) continue
    if (Math.min(a.y, b.y) - p.y > far || p.y - Math.max(a.y, b.y) > far) continue
    if (pointToSegment(p, a, b) < far) return false
  }
  return true
}

/** Runs of free points round a ring that is never free all round. */
function arcsOf(ring: readonly Point[], free: readonly boolean[]): Point[][] {
  const start = free.indexOf(false)
  if (start < 0) return []
  const out: Point[][] = []
  let run: Point[] = []
  for (let k = 1; k <= ring.length; k++) {
    const i = (start + k) % ring.length
    if (free[i]) run.push({ x: toMicrometre(ring[i]!.x), y: toMicrometre(ring[i]!.y) })
    else {
      if (run.length > 1 && lengthOf(run) >= leastArc) out.push(run)
      run = []
    }
  }
  return out
}

function lengthOf(line: readonly Point[]): Mm {
  let sum = 0
  for (let i = 1; i < line.length; i++)
    sum += Math.hypot(line[i]!.x - line[i - 1]!.x, line[i]!.y - line[i - 1]!.y)
  return sum
}

/** Between the end of one arc and the start of the next, the least; a single arc has one such way. */
function narrowestGap(arcs: readonly (readonly Point[])[]): Mm {
  return Math.min(
    ...arcs.map((arc, k) => {
      const end = arc[arc.length - 1]!
      const next = arcs[(k + 1) % arcs.length]![0]!
      return Math.hypot(end.x - next.x, end.y - next.y)
    }),
  )
}
