// How wide the copper came out: at places along every track the way across it, from groove to groove (or to the
// board's edge), which is the cross-section its current has.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Board } from "../5-board/artefact.ts"

export interface CopperWidth {
  readonly least: Mm
  readonly median: Mm
  /** Where the least is, and of which net. */
  readonly at: Point
  readonly net: string
  /** The median width of the tracks as drawn, at the same places. */
  readonly drawnMedian: Mm
  /** Least of (copper ÷ track as drawn) over all places. */
  readonly leastShare: number
}

/** Distance between the places along a track, mm. */
const every = 0.5
const cell = 2
/** A way across is not followed further than this to either side, mm. */
const far = 60

/** Undefined on a board without tracks. */
export function copperWidth(
  board: Board,
  grooves: readonly { readonly points: readonly Point[] }[],
  grooveWidth: Mm,
): CopperWidth | undefined {
  const walls = wallIndex(board, grooves, grooveWidth / 2)
  const widths: number[] = []
  const drawn: number[] = []
  let least = Number.POSITIVE_INFINITY
  let leastShare = Number.POSITIVE_INFINITY
  let at = { x: 0, y: 0 }
  let net = ""
  for (const track of board.tracks)
    for (let i = 1; i < track.points.length; i++) {
      const a = track.points[i - 1]!
      const b = track.points[i]!
      const length = Math.hypot(b.x - a.x, b.y - a.y)
      if (length < 1e-9) continue
      const nx = (a.y - b.y) / length
      const ny = (b.x - a.x) / length
      const n = Math.max(1, Math.round(length / every))
      for (let k = 0; k < n; k++) {
        const f = (k + 0.5) / n
        const p = { x: a.x + f * (b.x - a.x), y: a.y + f * (b.y - a.y) }
        const width = walls(p.x, p.y, nx, ny) + walls(p.x, p.y, -nx, -ny)
        widths.push(width)
        drawn.push(track.width)
        leastShare = Math.min(leastShare, width / track.width)
        if (width >= least) continue
        least = width
        at = p
        net = track.net
      }
    }
  if (widths.length === 0) return undefined
  return { least, median: median(widths), at, net, drawnMedian: median(drawn), leastShare }
}

const median = (list: readonly number[]): number => [...list].sort((p, q) => p - q)[list.length >> 1]!

/** Way from a point along a unit vector to the first groove's near edge or to the outline. */
export function wallIndex(
  board: Pick<Board, "outline">,
  grooves: readonly { readonly points: readonly Point[] }[],
  half: number,
): (x: number, y: number, dx: number, dy: number) => number {
  const cells = new Map<string, number[]>()
  const segments: number[][] = []
  const add = (a: Point, b: Point, thick: number) => {
    const n = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / cell))
    segments.push([a.x, a.y, b.x, b.y, thick])
    const seen = new Set<string>()
    for (let k = 0; k <= n; k++) {
      const x = a.x + ((b.x - a.x) * k) / n
      const y = a.y + ((b.y - a.y) * k) / n
      for (let i = -1; i <= 1; i++)
        for (let j = -1; j <= 1; j++) {
          const key = `${Math.floor(x / cell) + i} ${Math.floor(y / cell) + j}`
          if (seen.has(key)) continue
          seen.add(key)
          const list = cells.get(key)
          if (list) list.push(segments.length - 1)
          else cells.set(key, [segments.length - 1])
        }
    }
  }
  for (const { points } of grooves)
    for (let i = 1; i < points.length; i++) add(points[i - 1]!, points[i]!, half)
  board.outline.forEach((p, i) => {
    add(p, board.outline[(i + 1) % board.outline.length]!, 0)
  })
  return (x, y, dx, dy) => {
    for (let from = 0; from < far; from += cell) {
      const key = `${Math.floor((x + dx * (from + cell / 2)) / cell)} ${Math.floor((y + dy * (from + cell / 2)) / cell)}`
      let best = Number.POSITIVE_INFINITY
      for (const s of cells.get(key) ?? []) best = Math.min(best, toWall(segments[s]!, x, y, dx, dy))
      // A wall further on than this step may lie behind a nearer one of the next cell.
      if (best <= from + cell) return Math.max(0, best)
    }
    return far
  }
}

/** Where the ray first meets the groove: one of its two sides, between its ends, or the round of an end. */
function toWall([ax, ay, bx, by, thick]: readonly number[], x: number, y: number, dx: number, dy: number) {
  const ux = bx! - ax!
  const uy = by! - ay!
  const wx = ax! - x
  const wy = ay! - y
  const best = Math.min(toRound(wx, wy, thick!, dx, dy), toRound(wx + ux, wy + uy, thick!, dx, dy))
  const det = dx * uy - dy * ux
  if (Math.abs(det) < 1e-12) return best
  const length2 = ux * ux + uy * uy
  const middle = (wx * uy - wy * ux) / det
  const across = (thick! * Math.sqrt(length2)) / Math.abs(det)
  if (middle + across < 0) return best
  // Zero where the place itself lies in the groove.
  const near = Math.max(0, middle - across)
  const s = ((near * dx - wx) * ux + (near * dy - wy) * uy) / length2
  return s >= 0 && s <= 1 ? Math.min(best, near) : best
}

function toRound(wx: number, wy: number, r: number, dx: number, dy: number): number {
  const along = wx * dx + wy * dy
  const off2 = wx * wx + wy * wy - along * along
  if (off2 >= r * r) return Number.POSITIVE_INFINITY
  const half = Math.sqrt(r * r - off2)
  return along + half < 0 ? Number.POSITIVE_INFINITY : Math.max(0, along - half)
}
