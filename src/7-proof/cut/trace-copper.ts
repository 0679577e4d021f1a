// The copper that is left as rings for drawing: the borders between set and clear pixels, followed round, corners cut.

import type { CopperLabels } from "./label-copper.ts"
import { pieceAtPixel } from "./label-copper.ts"

export interface TracedPiece {
  /** Outer ring and holes, board coordinates, mm; filled by the even-odd rule. */
  readonly rings: readonly (readonly { readonly x: number; readonly y: number }[])[]
}

/** How far a ring may stray from its border, in pixels. */
const tolerance = 1.2

/** One entry for each piece, by its number. */
export function traceCopper(labels: CopperLabels): TracedPiece[] {
  const { raster, pieces } = labels
  const rings: { x: number; y: number }[][][] = Array.from({ length: pieces }, () => [])
  // Upright borders by pixel row: a run begins at `first` (copper to the right) and ends behind `last` (to the left).
  const seen = new Uint8Array(2 * labels.first.length)
  for (let j = 0; j < raster.height; j++) {
    for (let k = labels.rowStart[j]!; k < labels.rowStart[j + 1]!; k++) {
      for (const side of [0, 1] as const) {
        if (seen[2 * k + side]) continue
        const ring = follow(labels, j, k, side, seen)
        rings[labels.piece[k]!]!.push(ring)
      }
    }
  }
  return rings.map((r) => ({ rings: r }))
}

/** Follows the border with the copper on the left, from the run's upright side, and marks all upright sides passed. */
function follow(
  labels: CopperLabels,
  row: number,
  run: number,
  side: 0 | 1,
  seen: Uint8Array,
): { x: number; y: number }[] {
  const { raster, first, last } = labels
  const piece = labels.piece[run]!
  const own = (i: number, j: number) => pieceAtPixel(labels, i, j) === piece
  // A place between pixels, and a heading: 0 right, 1 up, 2 left, 3 down. Copper lies to the left of the way.
  let i = side === 0 ? first[run]! : last[run]! + 1
  let j = side === 0 ? row + 1 : row
  let heading: 0 | 1 | 2 | 3 = side === 0 ? 3 : 1
  const start = { i, j, heading }
  const corners: { x: number; y: number }[] = []
  do {
    if (heading === 3) seen[2 * runAt(labels, i, j - 1)] = 1
    if (heading === 1) seen[2 * runAt(labels, i - 1, j) + 1] = 1
    if (heading === 0) i++
    else if (heading === 1) j++
    else if (heading === 2) i--
    else j--
    // The two pixels ahead of the place reached, left and right of the way.
    const [li, lj, ri, rj] =
      heading === 0
        ? [i, j, i, j - 1]
        : heading === 1
          ? [i - 1, j, i, j]
          : heading === 2
            ? [i - 1, j - 1, i - 1, j]
            : [i, j - 1, i - 1, j - 1]
    const left = own(li, lj)
    const right = own(ri, rj)
    const turn: number = !left ? 1 : right ? -1 : 0
    if (turn !== 0) {
      corners.push({ x: i, y: j })
      heading = ((heading + turn + 4) % 4) as 0 | 1 | 2 | 3
    }
  } while (i !== start.i || j !== start.j || heading !== start.heading)
  return simplified(corners).map(({ x, y }) => ({
    x: round(raster.left + x * raster.pixel),
    y: round(raster.bottom + y * raster.pixel),
  }))
}

function runAt(labels: CopperLabels, i: number, j: number): number {
  let low = labels.rowStart[j]!
  let high = labels.rowStart[j + 1]! - 1
  while (low < high) {
    const middle = (low + high) >> 1
    if (labels.last[middle]! < i) low = middle + 1
    else high = middle
  }
  return low
}

/** Douglas–Peucker on a closed ring, begun at its lowest corner and the one furthest from that. */
function simplified(ring: readonly { x: number; y: number }[]): { x: number; y: number }[] {
  if (ring.length < 4) return [...ring]
  const a = ring[0]!
  let far = 1
  let most = 0
  ring.forEach((p, k) => {
    const d = (p.x - a.x) ** 2 + (p.y - a.y) ** 2
    if (d > most) {
      most = d
      far = k
    }
  })
  const keep = new Uint8Array(ring.length + 1)
  keep[0] = 1
  keep[far] = 1
  const at = (k: number) => ring[k % ring.length]!
  const todo: [number, number][] = [
    [0, far],
    [far, ring.length],
  ]
  while (todo.length > 0) {
    const [from, to] = todo.pop()!
    const p = at(from)
    const q = at(to)
    const length = Math.hypot(q.x - p.x, q.y - p.y)
    let worst = tolerance
    let split = -1
    for (let k = from + 1; k < to; k++) {
      const r = at(k)
      const d =
        length === 0
          ? Math.hypot(r.x - p.x, r.y - p.y)
          : Math.abs((q.x - p.x) * (p.y - r.y) - (p.x - r.x) * (q.y - p.y)) / length
      if (d > worst) {
        worst = d
        split = k
      }
    }
    if (split < 0) continue
    keep[split] = 1
    todo.push([from, split], [split, to])
  }
  return ring.filter((_, k) => keep[k])
}

const round = (v: number): number => Math.round(v * 1000) / 1000
