// Outlines grown or shrunk by a cutter's radius, with round joins.

import { EndType, inflatePathsD, JoinType } from "clipper2-ts"
import type { Point } from "../0-ground/geometry/point.ts"
import { signedArea } from "../0-ground/geometry/polygon.ts"
import type { Mm } from "../0-ground/units/brand.ts"

/** Decimals the offsetting works with: 1 nm. */
const precision = 6
/** How far a chord may stay inside its round join, mm. */
const arcTolerance = 0.001

/**
 * The ring grown by `by` (shrunk when negative); counter-clockwise rings, largest first.
 * None when nothing is left, or when the ring is no area at all.
 */
export function growOutline(ring: readonly Point[], by: Mm): Point[][] {
  const area = signedArea(ring)
  if (ring.length < 3 || !Number.isFinite(area) || Math.abs(area) < 1e-6) return []
  const turned = area < 0 ? [...ring].reverse() : ring
  const grown = inflatePathsD(
    [turned.map(({ x, y }) => ({ x, y }))],
    by,
    JoinType.Round,
    EndType.Polygon,
    2,
    precision,
    arcTolerance,
  )
  return grown
    .map((path) => path.map(({ x, y }) => ({ x, y })))
    .filter((path) => signedArea(path) > 0)
    .sort((a, b) => signedArea(b) - signedArea(a))
}
