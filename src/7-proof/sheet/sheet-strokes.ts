// Which cut of a sheet's programs belongs to which board, and how near it comes to the others.

import type { Point } from "../../0-ground/geometry/point.ts"
import { type Box, boundingBox, contains } from "../../0-ground/geometry/polygon.ts"
import { segmentToSegment } from "../../0-ground/geometry/segment.ts"
import type { ProgramReading, ToolMove } from "../cut/read-cut-program.ts"
import { type FoundBoard, toBoard, toSheet } from "./find-boards.ts"

/** A board on the sheet, its edge in the sheet's coordinates. */
export interface Island {
  readonly found: FoundBoard
  readonly ring: readonly Point[]
  readonly box: Box
}

export function islandOf(found: FoundBoard): Island {
  const ring = found.board.outline.map((p) => toSheet(p, found))
  return { found, ring, box: boundingBox(ring) }
}

/** Least distance of a move's middle line from a board; 0 where it goes over it. Infinite beyond `reach`, mm. */
export function moveDistance({ ring, box }: Island, m: ToolMove, reach: number): number {
  if (Math.max(m.x0, m.x1) < box.minX - reach || Math.min(m.x0, m.x1) > box.maxX + reach)
    return Number.POSITIVE_INFINITY
  if (Math.max(m.y0, m.y1) < box.minY - reach || Math.min(m.y0, m.y1) > box.maxY + reach)
    return Number.POSITIVE_INFINITY
  const a = { x: m.x0, y: m.y0 }
  const b = { x: m.x1, y: m.y1 }
  if (contains(ring, a) || contains(ring, b)) return 0
  const [x0, x1, y0, y1] = [Math.min(a.x, b.x), Math.max(a.x, b.x), Math.min(a.y, b.y), Math.max(a.y, b.y)]
  let least = Number.POSITIVE_INFINITY
  for (let k = 0, l = ring.length - 1; k < ring.length; l = k++) {
    const [p, q] = [ring[l]!, ring[k]!]
    // Most edges lie further off than what is known already.
    const near = Math.min(least, reach)
    if (Math.min(p.x, q.x) > x1 + near || Math.max(p.x, q.x) < x0 - near) continue
    if (Math.min(p.y, q.y) > y1 + near || Math.max(p.y, q.y) < y0 - near) continue
    least = Math.min(least, segmentToSegment(a, b, p, q))
  }
  return least <= reach ? least : Number.POSITIVE_INFINITY
}

/** A program's moves that touch a board or run round it, in the board's own frame. Nothing that reaches it is left out. */
export function movesOf(island: Island, read: ProgramReading, radius: number): ProgramReading {
  const { found } = island
  // Beside the edge the proof looks a little outward, where only the router's middle line may be near.
  const reach = radius + 0.3
  const moves = read.moves
    .filter((m) => moveDistance(island, m, reach) <= reach)
    .map((m) => {
      const a = toBoard({ x: m.x0, y: m.y0 }, found)
      const b = toBoard({ x: m.x1, y: m.y1 }, found)
      return { ...m, x0: tidy(a.x), y0: tidy(a.y), x1: tidy(b.x), y1: tidy(b.y) }
    })
  return { ...read, moves }
}

/** What moving to and fro leaves in the last digits must not make two holes of one. */
const tidy = (v: number): number => Math.round(v * 1e6) / 1e6

export interface Stroke {
  readonly moves: readonly ToolMove[]
  /** Half the width that the tool takes at the surface, mm. */
  readonly radius: number
}

/** Runs of the tool below the surface, from going in to coming out. */
export function strokesOf(moves: readonly ToolMove[], radius: (m: ToolMove) => number): Stroke[] {
  const strokes: Stroke[] = []
  let run: ToolMove[] = []
  const end = () => {
    if (run.length > 0) strokes.push({ moves: run, radius: Math.max(...run.map(radius)) })
    run = []
  }
  for (const m of moves) {
    if (m.kind !== "feed" || Math.min(m.z0, m.z1) >= 0) {
      end()
      continue
    }
    run.push(m)
    if (m.z1 >= 0) end()
  }
  end()
  return strokes
}

export interface StrokePlace {
  /** The board it works on: the one it comes nearest to; undefined far from all. */
  readonly owner: Island | undefined
  /** Between its edge and the next board, mm; negative when it cuts into it. Infinite where none is near. */
  readonly room: number
  readonly next: Island | undefined
  readonly at: ToolMove
}

/** Further off than this no board is near, mm. */
const far = 20

/** With its first place inside a board, or else by its whole way, a stroke belongs to one board and must keep off the rest. */
export function placeStroke(stroke: Stroke, islands: readonly Island[]): StrokePlace {
  const first = stroke.moves[0]!
  const near = islands
    .map((island) => {
      let least = Number.POSITIVE_INFINITY
      let at = first
      for (const m of stroke.moves) {
        const d = moveDistance(island, m, far)
        if (d < least) {
          least = d
          at = m
        }
      }
      const home = contains(island.ring, { x: first.x0, y: first.y0 })
      return { island, least, at, home }
    })
    .sort((a, b) => Number(b.home) - Number(a.home) || a.least - b.least)
  const own = near[0]
  const next = near.slice(1).sort((a, b) => a.least - b.least)[0]
  return {
    owner: own && own.least - stroke.radius < 0.3 ? own.island : undefined,
    room: next ? next.least - stroke.radius : Number.POSITIVE_INFINITY,
    next: next?.island,
    at: next?.at ?? first,
  }
}
