// The copper partition: every spot of the board goes to its nearest piece of copper, so that one groove separates
// two neighbours and nothing is cut twice. Where room is short grooves run in the middle between the copper as drawn,
// where there is more they take the shorter way; they keep their half width (and a little more) from both sides, so no
// track and no land gets narrower than designed.

import type { Point } from "../0-ground/geometry/point.ts"
import { boundingBox, contains } from "../0-ground/geometry/polygon.ts"
import { spanToSpan } from "../0-ground/geometry/segment.ts"
import type { Work } from "../0-ground/progress.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import { type ClearanceIndex, clearanceIndex } from "./clearance-index.ts"
import { type CopperShapes, shapeDistance } from "./copper-shapes.ts"
import { type Chain, grooveChains } from "./groove-chains.ts"
import { growOutline } from "./grow-outline.ts"
import { simplifyKeepingWidth } from "./keep-width.ts"
import { type NearestPiece, nearestPiece, type Raster } from "./nearest-piece.ts"
import { tautGrooves } from "./taut-grooves.ts"

export interface CopperAreas {
  /** Centre lines of the cuts between neighbouring pieces, to the micrometre. */
  readonly chains: readonly Chain[]
  readonly nearest: NearestPiece
  readonly index: ClearanceIndex
  /** Least distance of any centre line to copper as drawn, where, and to which piece; infinite without grooves. */
  readonly nearestCopper: { readonly distance: Mm; readonly x: Mm; readonly y: Mm; readonly piece: number }
}

/** Samples are this far apart, unless the board is so large that they would be too many. */
export const rasterStep = 0.05
const mostSamples = 16e6
/**
 * Kept beyond half the groove on either side, for the rounding of coordinates and the cutter's run. Less than half of
 * what boards are routed with beyond the groove (0.01 mm), so that a curve between two neighbours has room for chords.
 */
export const allowance = 0.004
/** How far a straight cut may stray from the exact middle where there is room. */
const tolerance = 0.02

/** Copper that a groove leaves on either side of what was drawn, where there is room, before it takes a shorter way, mm. */
const spare = 0.2

/** Room between the copper of two neighbours that lets a groove through, with a little for its curves. */
export const grooveRoom = (grooveWidth: Mm): Mm => grooveWidth + 2 * allowance + 0.004

/** How far beyond the outline the grooves run, so that no bridge of copper is left at the edge. */
export const runOut = (grooveWidth: Mm): Mm => grooveWidth * 1.5 + 2 * rasterStep

export function* copperAreas(
  shapes: CopperShapes,
  outline: readonly Point[],
  grooveWidth: Mm,
  step: Mm = rasterStep,
): Work<CopperAreas> {
  const { raster, mask } = maskedRaster(outline, runOut(grooveWidth), step)
  yield { stage: "copper areas", done: 0 }
  const nearest = yield* nearestPiece(shapes, raster, mask)
  const raw = yield* grooveChains(shapes, nearest)
  const index = clearanceIndex(shapes, Math.max(0.5, grooveWidth, grooveWidth / 2 + spare))
  const wanted = grooveWidth / 2 + allowance
  const simplified = function* (list: readonly Chain[]): Work<Chain[]> {
    const out: Chain[] = []
    let points = 0
    for (const chain of list) {
      if (chain.points.length < 4) continue
      const middle = (x: number, y: number) => toMiddle(shapes, nearest, chain.pieces, x, y)
      const simple = simplifyKeepingWidth(chain.points, tolerance, wanted, index, middle)
      if (simple.length >= 4) out.push({ ...chain, points: simple })
      points += chain.points.length
      if (points > 20_000) {
        points = 0
        yield { stage: "grooves", done: out.length / list.length }
      }
    }
    return out
  }
  const middles = yield* simplified(raw)
  const rim = growOutline(outline, runOut(grooveWidth))[0] ?? []
  const taut = yield* tautGrooves(middles, shapes, index, grooveWidth / 2 + spare, rim)
  // Only now: a scrap beyond the edge may have been drawn in.
  const chains = (yield* simplified(taut)).filter(({ points }) =>
    touchesBoard(points, outline, grooveWidth / 2),
  )
  return { chains, nearest, index, nearestCopper: nearestCopper(chains, shapes, index) }
}

/** False for a scrap of line that lies beyond the board's edge with all its width. */
function touchesBoard(p: Float64Array, outline: readonly Point[], half: Mm): boolean {
  for (let k = 0; k < p.length; k += 2) {
    const at = { x: p[k]!, y: p[k + 1]! }
    if (contains(outline, at)) return true
  }
  return outline.some((a, i) => {
    const b = outline[(i + 1) % outline.length]!
    for (let k = 0; k + 3 < p.length; k += 2) {
      if (spanToSpan(p[k]!, p[k + 1]!, p[k + 2]!, p[k + 3]!, a.x, a.y, b.x, b.y) <= half) return true
    }
    return false
  })
}

function nearestCopper(chains: readonly Chain[], shapes: CopperShapes, index: ClearanceIndex) {
  let best = { distance: Number.POSITIVE_INFINITY, x: 0, y: 0, piece: -1 }
  for (const { points: p } of chains) {
    for (let k = 0; k + 3 < p.length; k += 2) {
      const d = index.clearance(p[k]!, p[k + 1]!, p[k + 2]!, p[k + 3]!, best.distance)
      if (d < best.distance && index.nearestShape() >= 0) {
        best = {
          distance: d,
          x: (p[k]! + p[k + 2]!) / 2,
          y: (p[k + 1]! + p[k + 3]!) / 2,
          piece: shapes.piece[index.nearestShape()]!,
        }
      }
    }
  }
  return best
}

/** Newton along the gradient of the difference of distances to the two pieces; undefined where it does not settle. */
function toMiddle(
  shapes: CopperShapes,
  nearest: NearestPiece,
  [a, b]: readonly [number, number],
  x: number,
  y: number,
): readonly [number, number] | undefined {
  const { raster } = nearest
  const i = Math.min(raster.nx - 1, Math.max(0, Math.round((x - raster.x0) / raster.step)))
  const j = Math.min(raster.ny - 1, Math.max(0, Math.round((y - raster.y0) / raster.step)))
  const { list, start, end } = nearest.candidates(j * raster.nx + i)
  const difference = (px: number, py: number) => {
    let da = Number.POSITIVE_INFINITY
    let db = Number.POSITIVE_INFINITY
    for (let k = start; k < end; k++) {
      const piece = shapes.piece[list[k]!]
      if (piece !== a && piece !== b) continue
      const d = shapeDistance(shapes, list[k]!, px, py)
      if (piece === a) da = Math.min(da, d)
      else db = Math.min(db, d)
    }
    return da - db
  }
  const h = 1e-6
  let px = x
  let py = y
  for (let round = 0; round < 6; round++) {
    const f = difference(px, py)
    if (!Number.isFinite(f)) return undefined
    if (Math.abs(f) < 1e-6) return [px, py]
    const gx = (difference(px + h, py) - f) / h
    const gy = (difference(px, py + h) - f) / h
    const g2 = gx * gx + gy * gy
    if (!(g2 > 1e-3)) return undefined
    px -= (f * gx) / g2
    py -= (f * gy) / g2
    if (Math.abs(px - x) > raster.step || Math.abs(py - y) > raster.step) return undefined
  }
  return undefined
}

/** A raster over the outline grown by `margin`, and which of its samples lie within that; coarser if it must be. */
export function maskedRaster(
  outline: readonly Point[],
  margin: Mm,
  wanted: Mm,
): { raster: Raster; mask: Uint8Array } {
  const rings = growOutline(outline, margin)
  const box = boundingBox(rings.flat())
  const step = Math.max(wanted, Math.sqrt(((box.maxX - box.minX) * (box.maxY - box.minY)) / mostSamples) || 0)
  const x0 = Math.floor(box.minX / step) * step
  const y0 = Math.floor(box.minY / step) * step
  const nx = Math.max(0, Math.ceil((box.maxX - x0) / step)) + 1
  const ny = Math.max(0, Math.ceil((box.maxY - y0) / step)) + 1
  const usable = Number.isFinite(nx) && Number.isFinite(ny)
  const raster = usable ? { x0, y0, step, nx, ny } : { x0: 0, y0: 0, step, nx: 0, ny: 0 }
  const mask = new Uint8Array(raster.nx * raster.ny)
  for (const ring of rings) fillRing(ring, raster, mask)
  return { raster, mask }
}

/** Sets the samples inside the ring, row by row where the row's height crosses its edges. */
function fillRing(ring: readonly Point[], { x0, y0, step, nx, ny }: Raster, mask: Uint8Array): void {
  const hits: number[][] = Array.from({ length: ny }, () => [])
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const a = ring[j]!
    const b = ring[i]!
    const low = a.y < b.y ? a : b
    const high = a.y < b.y ? b : a
    for (let row = Math.max(0, Math.ceil((low.y - y0) / step)); row < ny; row++) {
      const y = y0 + row * step
      if (y >= high.y) break
      if (y < low.y) continue
      hits[row]!.push(low.x + ((high.x - low.x) * (y - low.y)) / (high.y - low.y))
    }
  }
  hits.forEach((row, j) => {
    row.sort((p, q) => p - q)
    for (let k = 0; k + 1 < row.length; k += 2) {
      const from = Math.max(0, Math.ceil((row[k]! - x0) / step))
      const to = Math.min(nx - 1, Math.floor((row[k + 1]! - x0) / step))
      if (to >= from) mask.fill(1, j * nx + from, j * nx + to + 1)
    }
  })
}
