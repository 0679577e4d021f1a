// Which copper hangs together: runs of set pixels in every row, joined where runs of neighbouring rows overlap
// (four neighbours: pixels that only touch at a corner are apart).

import { type UnionFind, unionFind } from "../../0-ground/numbers/union-find.ts"
import type { BitRaster } from "./bit-raster.ts"

export interface CopperLabels {
  readonly raster: BitRaster
  /** Index of the first run of each row, one more entry than rows. */
  readonly rowStart: Int32Array
  /** First and last pixel of each run, both included. */
  readonly first: Int32Array
  readonly last: Int32Array
  /** Piece of copper each run belongs to: 0…pieces−1, numbered from the lower left. */
  readonly piece: Int32Array
  readonly pieces: number
}

export function labelCopper(raster: BitRaster): CopperLabels {
  const { height } = raster
  const runs: Runs = { first: new Int32Array(1024), last: new Int32Array(1024), count: 0 }
  const rowStart = new Int32Array(height + 1)
  for (let j = 0; j < height; j++) {
    rowStart[j] = runs.count
    findRuns(raster, j, runs)
  }
  const { count } = runs
  rowStart[height] = count
  const first = runs.first.subarray(0, count)
  const last = runs.last.subarray(0, count)
  const sets = unionFind(count)
  for (let j = 1; j < height; j++)
    joinRows(sets, first, last, rowStart[j - 1]!, rowStart[j]!, rowStart[j + 1]!)
  const { piece, pieces } = numbered(sets, count)
  return { raster, rowStart, first, last, piece, pieces }
}

interface Runs {
  first: Int32Array<ArrayBuffer>
  last: Int32Array<ArrayBuffer>
  count: number
}

/** Adds the runs of one row. */
function findRuns({ words, stride, width }: BitRaster, j: number, runs: Runs): void {
  const row = j * stride
  let open = -1
  for (let w = 0; w < stride; w++) {
    const word = words[row + w]!
    if (open < 0 ? word === 0 : word === -1) continue
    const base = w << 5
    let bit = 0
    for (;;) {
      // Looking for the next set bit while closed, the next clear bit while open.
      const rest = (open < 0 ? word : ~word) & (bit === 32 ? 0 : -1 << bit)
      if (bit === 32 || rest === 0) break
      bit = 31 - Math.clz32(rest & -rest)
      if (open < 0) open = base + bit
      else {
        addRun(runs, open, base + bit - 1)
        open = -1
      }
      bit++
    }
  }
  if (open >= 0) addRun(runs, open, width - 1)
}

function addRun(runs: Runs, first: number, last: number): void {
  const { count } = runs
  if (count === runs.first.length) {
    runs.first = grown(runs.first, 2 * count)
    runs.last = grown(runs.last, 2 * count)
  }
  runs.first[count] = first
  runs.last[count] = last
  runs.count = count + 1
}

/** Joins runs of a row with those of the next that they overlap. */
function joinRows(
  sets: UnionFind,
  first: Int32Array,
  last: Int32Array,
  start: number,
  middle: number,
  end: number,
): void {
  let a = start
  let b = middle
  while (a < middle && b < end) {
    if (first[a]! <= last[b]! && first[b]! <= last[a]!) sets.join(a, b)
    if (last[a]! < last[b]!) a++
    else b++
  }
}

function numbered(sets: UnionFind, count: number): { readonly piece: Int32Array; readonly pieces: number } {
  const piece = new Int32Array(count)
  let pieces = 0
  for (let i = 0; i < count; i++) {
    const root = sets.find(i)
    piece[i] = root === i ? pieces++ : piece[root]!
  }
  return { piece, pieces }
}

function grown(a: Int32Array, size: number): Int32Array<ArrayBuffer> {
  const b = new Int32Array(size)
  b.set(a)
  return b
}

/** The piece at a pixel, −1 where there is no copper. */
export function pieceAtPixel(labels: CopperLabels, i: number, j: number): number {
  if (j < 0 || j >= labels.raster.height) return -1
  let low = labels.rowStart[j]!
  let high = labels.rowStart[j + 1]! - 1
  while (low <= high) {
    const middle = (low + high) >> 1
    if (labels.last[middle]! < i) low = middle + 1
    else if (labels.first[middle]! > i) high = middle - 1
    else return labels.piece[middle]!
  }
  return -1
}

/** The piece at board coordinates, −1 where there is no copper. */
export function pieceAt(labels: CopperLabels, x: number, y: number): number {
  const { left, bottom, pixel } = labels.raster
  return pieceAtPixel(labels, Math.floor((x - left) / pixel), Math.floor((y - bottom) / pixel))
}
