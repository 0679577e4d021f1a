// Quarter turns about the origin, and a thing turned and then moved. Micrometres stay micrometres.

import type { Point } from "./point.ts"

/** Degrees counter-clockwise. */
export type QuarterTurn = 0 | 90 | 180 | 270

export function turned({ x, y }: Point, turn: QuarterTurn): Point {
  if (turn === 0) return { x, y }
  if (turn === 90) return { x: -y, y: x }
  return turn === 180 ? { x: -x, y: -y } : { x: y, y: -x }
}

export function placed(
  p: Point,
  place: { readonly turn: QuarterTurn; readonly x: number; readonly y: number },
): Point {
  const { x, y } = turned(p, place.turn)
  return { x: x + place.x, y: y + place.y }
}
