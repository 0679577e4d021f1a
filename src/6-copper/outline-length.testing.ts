// The other way to part nets: once round every piece, half a groove outside its copper. Only to compare lengths.

import { EndType, FillRule, inflatePathsD, JoinType, unionD } from "clipper2-ts"
import type { CopperShapes } from "./copper-shapes.ts"

export function outlineLength(shapes: CopperShapes, grooveWidth: number): number {
  let length = 0
  for (let piece = 0; piece < shapes.pieces.length; piece++) {
    const parts = []
    for (let s = 0; s < shapes.count; s++) {
      if (shapes.piece[s] !== piece) continue
      const core = [
        { x: shapes.ax[s]!, y: shapes.ay[s]! },
        { x: shapes.bx[s]!, y: shapes.by[s]! },
      ]
      parts.push(
        ...inflatePathsD(
          [core],
          shapes.radius[s]! + grooveWidth / 2,
          JoinType.Round,
          EndType.Round,
          2,
          5,
          0.002,
        ),
      )
    }
    for (const ring of unionD(parts, [], FillRule.NonZero, 5)) {
      ring.forEach((p, i) => {
        const q = ring[(i + 1) % ring.length]!
        length += Math.hypot(q.x - p.x, q.y - p.y)
      })
    }
  }
  return length
}
