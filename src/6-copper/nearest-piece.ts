// Which piece of copper is nearest to every sample of a raster, exactly: distances are taken to the drawn shapes
// themselves, not to their pixels. Blocks are halved until one piece is the only candidate; a block's candidates
// are the shapes that can be nearest anywhere in it: at most the block's diagonal further than the nearest of its centre.

import type { Work } from "../0-ground/progress.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import { type CopperShapes, shapeDistance } from "./copper-shapes.ts"

export interface Raster {
  /** Sample (0, 0). */
  readonly x0: Mm
  readonly y0: Mm
  readonly step: Mm
  readonly nx: number
  readonly ny: number
}

export interface NearestPiece {
  readonly raster: Raster
  /** Piece per sample, row by row; −1 outside the mask. */
  readonly labels: Int32Array
  /** Shapes that can be nearest within two samples of block (bx, by): `list[start] … list[end − 1]`. */
  candidates(sample: number): { readonly list: Int32Array; readonly start: number; readonly end: number }
}

/** Samples along a side of the blocks whose candidates are kept. */
const side = 8
const rootSide = 128

/** Labels every sample with `mask` 1. Ties go to the shape that comes first. */
export function* nearestPiece(shapes: CopperShapes, raster: Raster, mask: Uint8Array): Work<NearestPiece> {
  const { nx, ny, step, x0, y0 } = raster
  const labels = new Int32Array(nx * ny).fill(-1)
  const blocksX = Math.ceil(nx / side)
  const blockStart = new Int32Array(blocksX * Math.ceil(ny / side)).fill(-1)
  const blockEnd = new Int32Array(blockStart.length)
  const kept = growing()
  // Candidates must also serve points up to two samples outside their block, for both sides of a boundary there.
  const slack = 8 * step
  const levels = Math.log2(rootSide / side)
  const stack = Array.from({ length: levels + 2 }, () => new Int32Array(shapes.count))
  const distances = new Float64Array(shapes.count)

  /** Keeps those of `from` that matter to the block at (ix, iy) in `to`; returns their number. */
  const prune = (from: Int32Array, n: number, to: Int32Array, ix: number, iy: number, size: number) => {
    const cx = x0 + (ix + (size - 1) / 2) * step
    const cy = y0 + (iy + (size - 1) / 2) * step
    let least = Number.POSITIVE_INFINITY
    for (let k = 0; k < n; k++) {
      const d = shapeDistance(shapes, from[k]!, cx, cy)
      distances[k] = d
      if (d < least) least = d
    }
    const reach = least + (size - 1) * step * Math.SQRT2
    let m = 0
    let onePiece = true
    let piece = -1
    for (let k = 0; k < n; k++) {
      const d = distances[k]!
      if (d > reach + slack) continue
      const s = from[k]!
      to[m++] = s
      if (d > reach + 1e-9) continue
      if (piece < 0) piece = shapes.piece[s]!
      else if (piece !== shapes.piece[s]) onePiece = false
    }
    return { m, piece: onePiece ? piece : -1 }
  }

  const fill = (ix: number, iy: number, size: number, piece: number) => {
    const right = Math.min(nx, ix + size)
    const top = Math.min(ny, iy + size)
    for (let j = iy; j < top; j++) {
      for (let i = j * nx + ix; i < j * nx + right; i++) if (mask[i] === 1) labels[i] = piece
    }
  }

  const evaluate = (ix: number, iy: number, list: Int32Array, n: number) => {
    const right = Math.min(nx, ix + side)
    const top = Math.min(ny, iy + side)
    for (let j = iy; j < top; j++) {
      for (let i = ix; i < right; i++) {
        if (mask[j * nx + i] !== 1) continue
        labels[j * nx + i] = nearestOf(shapes, list, 0, n, x0 + i * step, y0 + j * step)
      }
    }
  }

  const divide = (ix: number, iy: number, size: number, level: number, n: number) => {
    if (ix >= nx || iy >= ny) return
    const mine = stack[level + 1]!
    const { m, piece } = prune(stack[level]!, n, mine, ix, iy, size)
    if (piece >= 0) return fill(ix, iy, size, piece)
    if (size === side) {
      const block = (iy / side) * blocksX + ix / side
      blockStart[block] = kept.length()
      kept.add(mine, m)
      blockEnd[block] = kept.length()
      return evaluate(ix, iy, mine, m)
    }
    const half = size / 2
    divide(ix, iy, half, level + 1, m)
    divide(ix + half, iy, half, level + 1, m)
    divide(ix, iy + half, half, level + 1, m)
    divide(ix + half, iy + half, half, level + 1, m)
  }

  for (let s = 0; s < shapes.count; s++) stack[0]![s] = s
  if (shapes.count > 0) {
    for (let iy = 0; iy < ny; iy += rootSide) {
      for (let ix = 0; ix < nx; ix += rootSide) divide(ix, iy, rootSide, 0, shapes.count)
      yield { stage: "copper areas", done: Math.min(1, iy / ny) }
    }
  }

  const all = new Int32Array(shapes.count)
  for (let s = 0; s < shapes.count; s++) all[s] = s
  const spare = new Int32Array(shapes.count)
  const candidates = (sample: number) => {
    const ix = sample % nx
    const bx = Math.floor(ix / side)
    const by = Math.floor((sample - ix) / nx / side)
    const block = by * blocksX + bx
    if (blockStart[block]! < 0) {
      const { m } = prune(all, shapes.count, spare, bx * side, by * side, side)
      blockStart[block] = kept.length()
      kept.add(spare, m)
      blockEnd[block] = kept.length()
    }
    return { list: kept.array(), start: blockStart[block]!, end: blockEnd[block]! }
  }
  return { raster, labels, candidates }
}

/** Piece of the shape of `list[start…end − 1]` nearest to (x, y); the earlier one on a tie. */
export function nearestOf(
  shapes: CopperShapes,
  list: Int32Array,
  start: number,
  end: number,
  x: number,
  y: number,
): number {
  let least = Number.POSITIVE_INFINITY
  let nearest = -1
  for (let k = start; k < end; k++) {
    const d = shapeDistance(shapes, list[k]!, x, y)
    if (d < least) {
      least = d
      nearest = list[k]!
    }
  }
  return nearest < 0 ? -1 : shapes.piece[nearest]!
}

function growing() {
  let array = new Int32Array(4096)
  let length = 0
  return {
    array: () => array,
    length: () => length,
    add(from: Int32Array, n: number) {
      if (length + n > array.length) {
        const larger = new Int32Array(Math.max(array.length * 2, length + n))
        larger.set(array.subarray(0, length))
        array = larger
      }
      array.set(from.subarray(0, n), length)
      length += n
    },
  }
}
