// Where the names of pads go, so that they can be read: beside the pad, upright or turned, clear of each other.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Box } from "../0-ground/geometry/polygon.ts"
import type { Mark } from "./scene.ts"

export interface Wanted {
  readonly text: string
  readonly at: Point
  /** Of what the name belongs to, around the point. */
  readonly halfWidth: number
  readonly halfHeight: number
}

/** Width of a letter as a share of its size, for sans-serif figures and small letters. */
export const letterWidth = 0.56

/**
 * Places each text where it covers least of what is already there; first come, first served, so the same board gives
 * the same drawing. `taken` are boxes to keep clear, `inside` the sheet's edge, crossed only when there is no choice.
 */
export function placeLabels(
  wanted: readonly Wanted[],
  taken: readonly Box[],
  inside: Box,
  size: number,
): Mark[] {
  const busy = [...taken]
  return wanted.map(({ text, at, halfWidth, halfHeight }) => {
    const long = text.length * size * letterWidth
    // Close by first; a little further off, and to the side, where it is crowded.
    const spots = [0.4, 1.2, 2.4].flatMap((gap) => {
      const [left, up] = [halfWidth + gap, halfHeight + gap]
      const side = long / 2
      return [
        { x: at.x, y: at.y - up - size / 2, turn: 0 },
        { x: at.x, y: at.y + up + size / 2, turn: 0 },
        { x: at.x + left + side, y: at.y, turn: 0 },
        { x: at.x - left - side, y: at.y, turn: 0 },
        { x: at.x, y: at.y - up - side, turn: 90 },
        { x: at.x, y: at.y + up + side, turn: 90 },
        { x: at.x + left + size / 2, y: at.y, turn: 90 },
        { x: at.x - left - size / 2, y: at.y, turn: 90 },
        { x: at.x + side, y: at.y - up - size / 2, turn: 0 },
        { x: at.x - side, y: at.y - up - size / 2, turn: 0 },
        { x: at.x + side, y: at.y + up + size / 2, turn: 0 },
        { x: at.x - side, y: at.y + up + size / 2, turn: 0 },
      ].map((spot) => ({ ...spot, far: gap }))
    })
    let best = spots[0]!
    let least = Number.POSITIVE_INFINITY
    for (const spot of spots) {
      const cover = coverOf(boxOf(spot, long, size), busy, inside) + 0.3 * spot.far
      if (cover < least - 1e-9) {
        least = cover
        best = spot
      }
    }
    busy.push(boxOf(best, long, size))
    return { kind: "text", role: "label", x: best.x, y: best.y, text, size, turn: best.turn }
  })
}

function boxOf(spot: { x: number; y: number; turn: number }, long: number, size: number): Box {
  const [w, h] = spot.turn === 0 ? [long, size] : [size, long]
  return { minX: spot.x - w / 2, minY: spot.y - h / 2, maxX: spot.x + w / 2, maxY: spot.y + h / 2 }
}

function coverOf(box: Box, busy: readonly Box[], inside: Box): number {
  let sum = 0
  for (const b of busy) sum += overlap(box, b)
  const area = (box.maxX - box.minX) * (box.maxY - box.minY)
  return sum + 0.6 * (area - overlap(box, inside))
}

function overlap(a: Box, b: Box): number {
  const w = Math.min(a.maxX, b.maxX) - Math.max(a.minX, b.minX)
  const h = Math.min(a.maxY, b.maxY) - Math.max(a.minY, b.minY)
  return w > 0 && h > 0 ? w * h : 0
}
