// Own check of the grooves: drawn with their width on a raster, do they part every piece of copper from every other,
// and leave each in one? Sees only the grooves and the copper as designed, nothing of how the grooves were found.

import type { Point } from "../0-ground/geometry/point.ts"
import { spanToSpan } from "../0-ground/geometry/segment.ts"
import { type UnionFind, unionFind } from "../0-ground/numbers/union-find.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import { clearanceIndex } from "./clearance-index.ts"
import { maskedRaster } from "./copper-areas.ts"
import type { CopperShapes } from "./copper-shapes.ts"
import type { Raster } from "./nearest-piece.ts"

export interface Separation {
  /** Pieces found in one basin: pairs of piece numbers. */
  readonly joined: readonly (readonly [number, number])[]
  /** Pieces cut in two. */
  readonly broken: readonly number[]
  /** Pieces that touch as designed, and where. */
  readonly overlaps: readonly (readonly [number, number, Mm, Mm])[]
}

/** Samples are joined to their four neighbours unless a groove covers them. */
export function grooveSeparation(
  shapes: CopperShapes,
  outline: readonly Point[],
  grooves: readonly { readonly points: readonly Point[] }[],
  grooveWidth: Mm,
  wanted: Mm,
): Separation {
  const { raster, mask } = maskedRaster(outline, 0, wanted)
  const { step } = raster
  for (const { points } of grooves) {
    for (let i = 1; i < points.length; i++)
      clearStadium(points[i - 1]!, points[i]!, grooveWidth / 2, raster, mask)
  }
  const basins = labelBasins(raster, mask)
  const basinOf = new Int32Array(shapes.pieces.length).fill(-1)
  const owner = new Map<number, number>()
  const joined: [number, number][] = []
  const broken = new Set<number>()
  for (let s = 0; s < shapes.count; s++) {
    const piece = shapes.piece[s]!
    for (const [x, y] of [
      [shapes.ax[s]!, shapes.ay[s]!],
      [shapes.bx[s]!, shapes.by[s]!],
    ] as const) {
      const i = Math.round((x - raster.x0) / step)
      const j = Math.round((y - raster.y0) / step)
      if (i < 0 || j < 0 || i >= raster.nx || j >= raster.ny) continue
      const basin = basins[j * raster.nx + i]!
      if (basinOf[piece] === -1) basinOf[piece] = basin
      if (basin !== basinOf[piece] || basin < 0) broken.add(piece)
      if (basin < 0) continue
      const other = owner.get(basin)
      if (other === undefined) owner.set(basin, piece)
      else if (other !== piece && !joined.some(([p, q]) => p === other && q === piece))
        joined.push([other, piece])
    }
  }
  return { joined, broken: [...broken].sort((a, b) => a - b), overlaps: overlaps(shapes) }
}

/** Shapes of different pieces without a gap, once for each pair of pieces. */
function overlaps(shapes: CopperShapes): Separation["overlaps"] {
  const found: [number, number, number, number][] = []
  const index = clearanceIndex(shapes, 0.1)
  for (let s = 0; s < shapes.count; s++) {
    const [ax, ay, bx, by] = [shapes.ax[s]!, shapes.ay[s]!, shapes.bx[s]!, shapes.by[s]!]
    for (const t of index.near(ax, ay, bx, by, shapes.radius[s]!)) {
      const p = Math.min(shapes.piece[s]!, shapes.piece[t]!)
      const q = Math.max(shapes.piece[s]!, shapes.piece[t]!)
      if (t >= s || p === q || found.some(([f, g]) => f === p && g === q)) continue
      const gap =
        spanToSpan(ax, ay, bx, by, shapes.ax[t]!, shapes.ay[t]!, shapes.bx[t]!, shapes.by[t]!) -
        shapes.radius[s]! -
        shapes.radius[t]!
      if (gap <= 0) found.push([p, q, (ax + bx) / 2, (ay + by) / 2])
    }
  }
  return found
}

/** Clears the samples within `radius` of the segment a–b. */
function clearStadium(a: Point, b: Point, radius: number, raster: Raster, mask: Uint8Array): void {
  const { x0, y0, step, nx, ny } = raster
  const ux = b.x - a.x
  const uy = b.y - a.y
  const length2 = ux * ux + uy * uy
  const j0 = Math.max(0, Math.ceil((Math.min(a.y, b.y) - radius - y0) / step))
  const j1 = Math.min(ny - 1, Math.floor((Math.max(a.y, b.y) + radius - y0) / step))
  for (let j = j0; j <= j1; j++) {
    const y = y0 + j * step
    // The stretch of the core that comes within the radius of this row bounds the samples to look at.
    let t0 = 0
    let t1 = 1
    if (uy !== 0) {
      const p = (y - radius - a.y) / uy
      const q = (y + radius - a.y) / uy
      t0 = Math.max(0, Math.min(p, q))
      t1 = Math.min(1, Math.max(p, q))
    }
    const left = Math.min(a.x + t0 * ux, a.x + t1 * ux) - radius
    const right = Math.max(a.x + t0 * ux, a.x + t1 * ux) + radius
    const i1 = Math.min(nx - 1, Math.floor((right - x0) / step))
    for (let i = Math.max(0, Math.ceil((left - x0) / step)); i <= i1; i++) {
      const px = x0 + i * step - a.x
      const py = y - a.y
      const t = length2 === 0 ? 0 : Math.max(0, Math.min(1, (px * ux + py * uy) / length2))
      const dx = px - t * ux
      const dy = py - t * uy
      if (dx * dx + dy * dy <= radius * radius) mask[j * nx + i] = 0
    }
  }
}

/** Basin per sample, −1 where the mask is 0: runs of each row, joined to those they touch below. */
function labelBasins(raster: Raster, mask: Uint8Array): Int32Array {
  const { nx, ny } = raster
  const runs: number[] = []
  const rowStart = new Int32Array(ny + 1)
  for (let j = 0; j < ny; j++) {
    rowStart[j] = runs.length / 2
    findRuns(mask, j * nx, nx, runs)
  }
  rowStart[ny] = runs.length / 2
  const sets = unionFind(runs.length / 2)
  for (let j = 1; j < ny; j++) joinRow(sets, runs, rowStart, j)
  const basins = new Int32Array(nx * ny).fill(-1)
  for (let j = 0; j < ny; j++) {
    for (let r = rowStart[j]!; r < rowStart[j + 1]!; r++) {
      basins.fill(sets.find(r), j * nx + runs[2 * r]!, j * nx + runs[2 * r + 1]! + 1)
    }
  }
  return basins
}

function findRuns(mask: Uint8Array, start: number, nx: number, runs: number[]): void {
  const end = start + nx
  for (let i = start; i < end; i++) {
    if (mask[i] === 0) continue
    const from = i
    while (i < end && mask[i] === 1) i++
    runs.push(from - start, i - 1 - start)
  }
}

function joinRow(sets: UnionFind, runs: readonly number[], rowStart: Int32Array, j: number): void {
  let below = rowStart[j - 1]!
  for (let r = rowStart[j]!; r < rowStart[j + 1]!; r++) {
    while (below < rowStart[j]! && runs[2 * below + 1]! < runs[2 * r]!) below++
    for (let b = below; b < rowStart[j]! && runs[2 * b]! <= runs[2 * r + 1]!; b++) sets.join(r, b)
  }
}
