// Where each board lies on a sheet, read off the sheet's programs alone: the drilled pattern is compared with every
// board's lands and screws, turned by quarter turns. What the maker says about places is not looked at. Where the holes
// leave a choice (two boards of one pattern, a pattern that looks the same turned), the grooves decide: they do not
// cut across tracks.

import type { Point } from "../../0-ground/geometry/point.ts"
import { segmentsMeet } from "../../0-ground/geometry/segment.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { ToolMove } from "../cut/read-cut-program.ts"

export interface FoundBoard {
  readonly board: Board
  /** Quarter turns counter-clockwise about the board's origin, then moved by x and y. */
  readonly quarters: number
  readonly x: number
  readonly y: number
  /** Holes of the board that lie where they must. */
  readonly matched: number
  readonly of: number
}

/** A hole this near to where it must be counts, mm. */
const inPlace = 0.05
/** Less than this share of a board's holes is no sign of it. */
const leastShare = 0.6
/** Holes tried as the one that is found first, so that one displaced hole hides no board. */
const anchors = 6

export const turnBy = ({ x, y }: Point, quarters: number): Point =>
  [
    { x, y },
    { x: -y, y: x },
    { x: -x, y: -y },
    { x: y, y: -x },
  ][((quarters % 4) + 4) % 4]!

export const toSheet = (p: Point, at: Pick<FoundBoard, "quarters" | "x" | "y">): Point => {
  const q = turnBy(p, at.quarters)
  return { x: q.x + at.x, y: q.y + at.y }
}

export const toBoard = (p: Point, at: Pick<FoundBoard, "quarters" | "x" | "y">): Point =>
  turnBy({ x: p.x - at.x, y: p.y - at.y }, -at.quarters)

/**
 * At most one place for each board; a board of which too few holes are found has none. `said`: how far a board would lie
 * from where its maker says; it only gives boards that holes and grooves do not tell apart their names.
 */
export function findBoards(
  boards: readonly Board[],
  holes: readonly Point[],
  engraving: readonly ToolMove[],
  said: (found: FoundBoard) => number = () => 0,
): FoundBoard[] {
  const grid = pointGrid(holes)
  const tries = boards.flatMap((board) => {
    const all = candidates(board, holes, grid)
    const most = Math.max(0, ...all.map((c) => c.matched))
    return all.filter((c) => c.matched === most)
  })
  const doubtful = tries.length > new Set(tries.map((t) => t.board)).size || overlapping(tries, grid)
  const rated = tries
    .map((found) => ({ found, cuts: doubtful ? crossings(found, engraving) : 0, off: said(found) }))
    .sort((a, b) => a.cuts - b.cuts || a.off - b.off)
  const taken = new Set<number>()
  const found = new Map<Board, FoundBoard>()
  for (const { found: f } of rated) {
    if (found.has(f.board)) continue
    const own = holesOf(f, grid)
    if (own.filter((h) => taken.has(h)).length > own.length / 2) continue
    for (const h of own) taken.add(h)
    found.set(f.board, f)
  }
  return boards.flatMap((b) => found.get(b) ?? [])
}

const wanted = (board: Board): readonly Point[] => [...board.lands.filter((l) => l.hole > 0), ...board.screws]

function candidates(board: Board, holes: readonly Point[], grid: PointGrid): FoundBoard[] {
  const asked = wanted(board)
  if (asked.length === 0) return []
  const enough = Math.max(1, Math.ceil(leastShare * asked.length))
  const found: FoundBoard[] = []
  const step = Math.max(1, Math.floor(asked.length / anchors))
  for (let quarters = 0; quarters < 4; quarters++) {
    const turned = asked.map((p) => turnBy(p, quarters))
    for (let a = 0; a < asked.length; a += step) {
      for (const hole of holes) {
        const x = hole.x - turned[a]!.x
        const y = hole.y - turned[a]!.y
        if (found.some((f) => f.quarters === quarters && near(f, x, y))) continue
        let missed = 0
        const dx: number[] = []
        const dy: number[] = []
        for (const p of turned) {
          const at = grid.near(p.x + x, p.y + y)
          if (at < 0) {
            if (++missed > asked.length - enough) break
            continue
          }
          dx.push(holes[at]!.x - p.x)
          dy.push(holes[at]!.y - p.y)
        }
        if (missed > asked.length - enough) continue
        const place = { x: middle(dx), y: middle(dy) }
        if (found.some((f) => f.quarters === quarters && near(f, place.x, place.y))) continue
        found.push({ board, quarters, ...place, matched: dx.length, of: asked.length })
      }
    }
  }
  return found
}

const near = (f: Point, x: number, y: number) => Math.hypot(f.x - x, f.y - y) < 2 * inPlace

/** The median: a displaced hole does not move the board. */
const middle = (values: number[]): number =>
  Math.round([...values].sort((a, b) => a - b)[values.length >> 1]! * 1e6) / 1e6

const holesOf = (f: FoundBoard, grid: PointGrid): number[] =>
  wanted(f.board).flatMap((p) => {
    const q = toSheet(p, f)
    const at = grid.near(q.x, q.y)
    return at < 0 ? [] : [at]
  })

function overlapping(tries: readonly FoundBoard[], grid: PointGrid): boolean {
  const seen = new Set<number>()
  for (const f of tries)
    for (const h of holesOf(f, grid)) {
      if (seen.has(h)) return true
      seen.add(h)
    }
  return false
}

/** How often grooves would cut across the board's tracks if it lay there. */
function crossings(f: FoundBoard, engraving: readonly ToolMove[]): number {
  const tracks = f.board.tracks.flatMap((t) => {
    const points = t.points.map((p) => toSheet(p, f))
    return points.slice(1).map((b, k) => {
      const a = points[k]!
      return {
        a,
        b,
        minX: Math.min(a.x, b.x),
        maxX: Math.max(a.x, b.x),
        minY: Math.min(a.y, b.y),
        maxY: Math.max(a.y, b.y),
      }
    })
  })
  let count = 0
  for (const m of engraving) {
    if (m.kind !== "feed" || Math.min(m.z0, m.z1) >= 0) continue
    const from = { x: m.x0, y: m.y0 }
    const to = { x: m.x1, y: m.y1 }
    for (const t of tracks) {
      if (Math.max(m.x0, m.x1) < t.minX || Math.min(m.x0, m.x1) > t.maxX) continue
      if (Math.max(m.y0, m.y1) < t.minY || Math.min(m.y0, m.y1) > t.maxY) continue
      if (segmentsMeet(from, to, t.a, t.b)) count++
    }
  }
  return count
}

interface PointGrid {
  /** Number of a point in place, −1 when there is none. */
  near(x: number, y: number): number
}

function pointGrid(points: readonly Point[]): PointGrid {
  const cell = 1
  const cells = new Map<string, number[]>()
  points.forEach((p, k) => {
    const key = `${Math.floor(p.x / cell)} ${Math.floor(p.y / cell)}`
    cells.set(key, [...(cells.get(key) ?? []), k])
  })
  return {
    near(x, y) {
      let best = -1
      let least = inPlace
      const [i0, i1] = [Math.floor((x - inPlace) / cell), Math.floor((x + inPlace) / cell)]
      const [j0, j1] = [Math.floor((y - inPlace) / cell), Math.floor((y + inPlace) / cell)]
      for (let i = i0; i <= i1; i++)
        for (let j = j0; j <= j1; j++)
          for (const k of cells.get(`${i} ${j}`) ?? []) {
            const d = Math.hypot(points[k]!.x - x, points[k]!.y - y)
            if (d <= least) {
              least = d
              best = k
            }
          }
      return best
    },
  }
}
