// Chosen areas freed of copper: rings, one inside the other, that take away everything but tracks and lands.
// The tool's middle keeps its radius (and a little more) from all copper as drawn, and from the area's rim inward.

import { differenceD, EndType, FillRule, inflatePathsD, intersectD, JoinType } from "clipper2-ts"
import type { Point } from "../0-ground/geometry/point.ts"
import { signedArea } from "../0-ground/geometry/polygon.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Cutter } from "../2-lamp/artefact.ts"
import { aroundPieces } from "./around-pieces.ts"
import type { CopperShapes } from "./copper-shapes.ts"
import { toMicrometre } from "./keep-width.ts"

export interface ClearedAreas {
  /** Closed strokes; the first point comes again at the end. */
  readonly strokes: readonly (readonly Point[])[]
  /** The end mill; absent: the engraver. */
  readonly mill?: NonNullable<Cutter["mills"]>[number]
  readonly diameter: Mm
}

/** Beyond the tool's radius, mm: for the rounding of coordinates and the run of a mill. */
const beside = 0.02
/** Rings are this share of the tool's width apart, less than half, so that nothing is left between or in the middle. */
const step = 0.45
const mostRings = 4000

/** Cut with the widest mill that gets into the areas at all, else with the engraver's groove; none where nothing is asked. */
export function clearAreas(
  areas: readonly (readonly Point[])[],
  outline: readonly Point[],
  shapes: CopperShapes,
  mills: Cutter["mills"],
  groove: Mm,
  climb: boolean,
): ClearedAreas | undefined {
  if (areas.length === 0) return undefined
  for (const mill of mills ?? []) {
    const strokes = ringsOf(areas, outline, shapes, mill.diameter, climb)
    if (strokes.length > 0) return { strokes, mill, diameter: mill.diameter }
  }
  return { strokes: ringsOf(areas, outline, shapes, groove, climb), diameter: groove }
}

function ringsOf(
  areas: readonly (readonly Point[])[],
  outline: readonly Point[],
  shapes: CopperShapes,
  diameter: Mm,
  climb: boolean,
): Point[][] {
  const plain = (ring: readonly Point[]) => {
    const points = ring.map(({ x, y }) => ({ x, y }))
    return signedArea(points) < 0 ? points.reverse() : points
  }
  const shrink = (paths: { x: number; y: number }[][], by: number) =>
    inflatePathsD(paths, -by, JoinType.Round, EndType.Polygon, 2, 6, 0.001)
  const inBoard = intersectD(areas.map(plain), [plain(outline)], FillRule.NonZero, 6)
  const copper = aroundPieces(shapes, diameter / 2 + beside)
  let rings = differenceD(shrink(inBoard, diameter / 2), copper, FillRule.NonZero, 6)
  const out: Point[][] = []
  while (rings.length > 0 && out.length < mostRings) {
    for (const ring of rings) {
      const points = ring.map(({ x, y }) => ({ x: toMicrometre(x), y: toMicrometre(y) }))
      if (points.length < 3) continue
      // Climb: the wall that stays lies on the right, so an outer ring runs counter-clockwise.
      if (!climb) points.reverse()
      out.push([...points, points[0]!])
    }
    rings = shrink(
      rings.map((r) => r.map(({ x, y }) => ({ x, y }))),
      step * diameter,
    )
  }
  return out
}
