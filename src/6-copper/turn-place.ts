// A board on a shared sheet: its coordinates turned by quarter turns and moved. Micrometres stay micrometres.

import type { Point } from "../0-ground/geometry/point.ts"
import type { BoardPlace } from "./artefact.ts"

export type QuarterTurn = BoardPlace["turn"]

export function turned({ x, y }: Point, turn: QuarterTurn): Point {
  if (turn === 0) return { x, y }
  if (turn === 90) return { x: -y, y: x }
  return turn === 180 ? { x: -x, y: -y } : { x: y, y: -x }
}

export function onSheet(p: Point, place: Omit<BoardPlace, "board">): Point {
  const { x, y } = turned(p, place.turn)
  return { x: x + place.x, y: y + place.y }
}
