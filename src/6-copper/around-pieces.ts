// Grooves along outlines: round every piece of copper as drawn, and round the whole board just inside its edge.

import { EndType, FillRule, inflatePathsD, JoinType, unionD } from "clipper2-ts"
import type { Point } from "../0-ground/geometry/point.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { ClearanceIndex } from "./clearance-index.ts"
import type { CopperShapes } from "./copper-shapes.ts"
import { growOutline } from "./grow-outline.ts"
import { toMicrometre } from "./keep-width.ts"

/** Chords stay within this of a round outline, mm; as much is added so that none comes nearer to the copper. */
const chord = 0.002

/** Closed strokes `away` from the copper of every piece; the first point comes again at the end. */
export function aroundPieces(shapes: CopperShapes, away: Mm): Point[][] {
  const byPiece: { x: number; y: number }[][][] = shapes.pieces.map(() => [])
  for (let s = 0; s < shapes.count; s++) {
    const core = [
      { x: shapes.ax[s]!, y: shapes.ay[s]! },
      { x: shapes.bx[s]!, y: shapes.by[s]! },
    ]
    const point = core[0]!.x === core[1]!.x && core[0]!.y === core[1]!.y
    const grown = inflatePathsD(
      [point ? core.slice(0, 1) : core],
      shapes.radius[s]! + away + chord,
      JoinType.Round,
      EndType.Round,
      2,
      6,
      chord / 2,
    )
    byPiece[shapes.piece[s]!]!.push(...grown)
  }
  return byPiece.flatMap((paths) => unionD(paths, [], FillRule.NonZero, 6).map(closed))
}

/** Length of grooves that go once round every piece. */
export function outlineLength(shapes: CopperShapes, grooveWidth: Mm): Mm {
  let length = 0
  for (const line of aroundPieces(shapes, grooveWidth / 2))
    for (let k = 1; k < line.length; k++)
      length += Math.hypot(line[k]!.x - line[k - 1]!.x, line[k]!.y - line[k - 1]!.y)
  return length
}

export interface EdgeGroove {
  readonly strokes: readonly (readonly Point[])[]
  /** Length asked for and length that keeps away from copper, mm. */
  readonly asked: Mm
  readonly cut: Mm
}

/** A groove all round with its middle `inside` the edge, left out where it would come nearer than `keep` to copper. */
export function edgeGroove(
  outline: readonly Point[],
  inside: Mm,
  keep: Mm,
  index: ClearanceIndex,
): EdgeGroove {
  const strokes: Point[][] = []
  let asked = 0
  let cut = 0
  for (const ring of growOutline(outline, -inside)) {
    const line = closed(ring)
    let run: Point[] = []
    const runs: Point[][] = []
    for (let k = 1; k < line.length; k++) {
      const a = line[k - 1]!
      const b = line[k]!
      const length = Math.hypot(b.x - a.x, b.y - a.y)
      asked += length
      if (index.clearance(a.x, a.y, b.x, b.y, keep) >= keep) {
        cut += length
        if (run.length === 0) run.push(a)
        run.push(b)
      } else {
        if (run.length > 1) runs.push(run)
        run = []
      }
    }
    if (run.length > 1) runs.push(run)
    strokes.push(...runs)
  }
  return { strokes, asked, cut }
}

function closed(ring: readonly { readonly x: number; readonly y: number }[]): Point[] {
  const points = ring.map(({ x, y }) => ({ x: toMicrometre(x), y: toMicrometre(y) }))
  return points.length === 0 ? [] : [...points, points[0]!]
}
