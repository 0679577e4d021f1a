// Chosen areas freed of copper: rings, one inside the other, that take away everything but tracks and lands.
// The tool's middle keeps its radius (and a little more) from all copper as drawn, and from the area's rim inward.

import {
  differenceD,
  EndType,
  FillRule,
  inflatePathsD,
  intersectD,
  JoinType,
  simplifyPathsD,
} from "clipper2-ts"
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
  /** What the strokes take away: outer rings counter-clockwise, what stays within them clockwise. */
  readonly covered: readonly (readonly Point[])[]
  /** The end mill; absent: the engraver. */
  readonly mill?: NonNullable<Cutter["mills"]>[number]
  readonly diameter: Mm
}

/** Beyond the tool's radius, mm: for the rounding of coordinates and the run of a mill. */
const beside = 0.02
/** Rings are this share of the tool's width apart, less than half, so that nothing is left between or in the middle. */
const step = 0.45
const mostRings = 4000
/** How far a chord may leave its curve, mm. */
const chord = 0.005

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
    const cut = ringsOf(areas, outline, shapes, mill.diameter, climb)
    if (cut.strokes.length > 0) return { ...cut, mill, diameter: mill.diameter }
  }
  return { ...ringsOf(areas, outline, shapes, groove, climb), diameter: groove }
}

function ringsOf(
  areas: readonly (readonly Point[])[],
  outline: readonly Point[],
  shapes: CopperShapes,
  diameter: Mm,
  climb: boolean,
): Pick<ClearedAreas, "strokes" | "covered"> {
  const plain = (ring: readonly Point[]) => {
    const points = ring.map(({ x, y }) => ({ x, y }))
    return signedArea(points) < 0 ? points.reverse() : points
  }
  const shrink = (paths: { x: number; y: number }[][], by: number) =>
    inflatePathsD(paths, -by, JoinType.Round, EndType.Polygon, 2, 6, chord)
  const inBoard = intersectD(areas.map(plain), [plain(outline)], FillRule.NonZero, 6)
  const copper = aroundPieces(shapes, diameter / 2 + beside)
  const room = differenceD(shrink(inBoard, diameter / 2), copper, FillRule.NonZero, 6)
  // Fewer points keep the offsets quick; `beside` is wider than what this moves.
  const base = simplifyPathsD(room, chord).map((r) => r.map(({ x, y }) => ({ x, y })))
  const covered = shrink(base, -diameter / 2).map((r) => r.map(({ x, y }) => ({ x, y })))
  const out: Point[][] = []
  let rings: readonly (readonly { readonly x: number; readonly y: number }[])[] = base
  for (let inward = 1; rings.length > 0 && out.length < mostRings; inward++) {
    for (const ring of rings) {
      const points = ring.map(({ x, y }) => ({ x: toMicrometre(x), y: toMicrometre(y) }))
      if (points.length < 3) continue
      // Climb: the wall that stays lies on the right, so an outer ring runs counter-clockwise.
      if (!climb) points.reverse()
      out.push([...points, points[0]!])
    }
    rings = shrink(base, inward * step * diameter)
  }
  return { strokes: out, covered }
}
