// The other way to part nets: a groove once round every piece of copper as drawn, the rest of the foil left dead
// between them. More cutting and narrower copper, but no net reaches further than its tracks.

import { EndType, FillRule, inflatePathsD, JoinType, unionD } from "clipper2-ts"
import type { Point } from "../0-ground/geometry/point.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { CopperShapes } from "./copper-shapes.ts"

/** How far a chord may stay inside its round join, mm; added to the distance, so that no chord comes nearer. */
const arcTolerance = 0.002

/** Closed rings (first point not repeated) at `distance` from the copper of each piece. */
export function trackOutlines(shapes: CopperShapes, distance: Mm): { piece: number; ring: Point[] }[] {
  const byPiece: ReturnType<typeof inflatePathsD>[] = shapes.pieces.map(() => [])
  for (let s = 0; s < shapes.count; s++) {
    const core = [
      { x: shapes.ax[s]!, y: shapes.ay[s]! },
      { x: shapes.bx[s]!, y: shapes.by[s]! },
    ]
    const by = shapes.radius[s]! + distance + arcTolerance
    byPiece[shapes.piece[s]!]!.push(
      ...inflatePathsD([core], by, JoinType.Round, EndType.Round, 2, 5, arcTolerance),
    )
  }
  return byPiece.flatMap((parts, piece) =>
    unionD(parts, [], FillRule.NonZero, 5).map((ring) => ({
      piece,
      ring: ring.map(({ x, y }) => ({ x, y })),
    })),
  )
}

/** Length of the grooves round every piece. */
export function outlineLength(shapes: CopperShapes, grooveWidth: Mm): Mm {
  let length = 0
  for (const { ring } of trackOutlines(shapes, grooveWidth / 2))
    ring.forEach((p, i) => {
      const q = ring[(i + 1) % ring.length]!
      length += Math.hypot(q.x - p.x, q.y - p.y)
    })
  return length
}
