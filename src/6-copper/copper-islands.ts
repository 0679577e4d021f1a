// What is left of the copper between the grooves, as rings for drawing, each with the net whose copper lies on it.

import {
  booleanOpWithPolyTree,
  ClipType,
  EndType,
  FillRule,
  inflatePaths,
  JoinType,
  type PolyPath64,
  PolyTree64,
} from "clipper2-ts"
import type { Point } from "../0-ground/geometry/point.ts"
import { boundingBox, contains } from "../0-ground/geometry/polygon.ts"
import type { Work } from "../0-ground/progress.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { BoardCopper, Groove } from "./artefact.ts"
import type { CopperShapes } from "./copper-shapes.ts"
import { growOutline } from "./grow-outline.ts"

export type Island = BoardCopper["islands"][number]

/** Clipping works in whole steps of 10 nm. */
const scale = 100_000
/** How far a chord may stay inside a round end: 2 µm. */
const arcTolerance = 200

/** The board less its grooves and what is cleared besides: one island for each ring of copper, its holes beside it. */
export function* copperIslands(
  shapes: CopperShapes,
  outline: readonly Point[],
  grooves: readonly Groove[],
  grooveWidth: Mm,
  cleared: readonly (readonly Point[])[] = [],
): Work<Island[]> {
  if (growOutline(outline, 0).length === 0) return []
  const whole = (p: Point) => ({ x: Math.round(p.x * scale), y: Math.round(p.y * scale) })
  const cut = inflatePaths(
    grooves.map(({ points }) => points.map(whole)),
    (grooveWidth / 2) * scale,
    JoinType.Round,
    EndType.Round,
    2,
    arcTolerance,
  )
  yield { stage: "islands", done: 0.5 }
  const tree = new PolyTree64()
  booleanOpWithPolyTree(
    ClipType.Difference,
    [outline.map(whole)],
    [...cut, ...cleared.map((r) => r.map(whole))],
    tree,
    FillRule.NonZero,
  )
  const rings: { ring: Point[]; holes: Point[][] }[] = []
  const collect = (outer: PolyPath64) => {
    const holes: Point[][] = []
    for (let h = 0; h < outer.count; h++) {
      const hole = outer.child(h)
      holes.push(toPoints(hole))
      for (let k = 0; k < hole.count; k++) collect(hole.child(k))
    }
    rings.push({ ring: toPoints(outer), holes })
  }
  for (let k = 0; k < tree.count; k++) collect(tree.child(k))

  const boxes = rings.map(({ ring }) => boundingBox(ring))
  const netOf: (string | undefined)[] = rings.map(() => undefined)
  for (const { net, x, y } of shapes.pieces) {
    if (net === undefined) continue
    const at = rings.findIndex(({ ring, holes }, i) => {
      const box = boxes[i]!
      if (x < box.minX || x > box.maxX || y < box.minY || y > box.maxY) return false
      return contains(ring, { x, y }) && !holes.some((hole) => contains(hole, { x, y }))
    })
    if (at >= 0) netOf[at] = net
  }
  return rings.map(({ ring, holes }, i) => ({
    ...(netOf[i] === undefined ? {} : { net: netOf[i] }),
    ring,
    holes,
  }))
}

const toPoints = (path: PolyPath64): Point[] =>
  (path.poly ?? []).map(({ x, y }) => ({ x: Number(x) / scale, y: Number(y) / scale }))
