// The board's own frame: outline, screws and LED places, mirrored to the copper side by the one function that may,
// and moved so that the outline's lower left corner stands at (4, 4): the outline cutter needs room around it.

import { EndType, inflatePathsD, JoinType, simplifyPathD } from "clipper2-ts"
import { type BoardPoint, type BoardPose, type FacePoint, faceToBoard } from "../0-ground/geometry/point.ts"
import { boundingBox, signedArea } from "../0-ground/geometry/polygon.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { BoardRequest, Face } from "../2-lamp/artefact.ts"
import type { ScrewHole } from "./artefact.ts"

/** Room left of and below the outline for the outline cutter, mm. */
export const frameMargin = 4
/** Copper and parts stay this far outside a screw hole's rim: pan head or spacer of M3 (common practice, no source). */
export const screwRim = 1.6

export interface BoardFrame {
  readonly pose: BoardPose
  /** Counter-clockwise. */
  readonly outline: readonly BoardPoint[]
  readonly screws: readonly ScrewHole[]
}

/** Undefined when nothing is left of the outline. */
export function boardFrame(request: BoardRequest, face: Face | undefined): BoardFrame | undefined {
  const drawn = request.outline ?? (face ? inset(face.outline, request.inset) : undefined)
  if (!drawn || drawn.length < 3) return undefined
  const box = boundingBox(drawn)
  const pose: BoardPose = { originX: box.maxX + frameMargin, originY: box.minY - frameMargin }
  const mirrored = drawn.map((p) => faceToBoard(p, pose))
  const outline = signedArea(mirrored) < 0 ? mirrored.reverse() : mirrored
  const screws: ScrewHole[] = []
  for (const hole of [...request.screws, ...(request.behind && face ? face.screwHoles : [])]) {
    const at = faceToBoard(hole, pose)
    if (screws.some((s) => Math.hypot(s.x - at.x, s.y - at.y) < 0.01)) continue
    screws.push({ ...at, diameter: hole.diameter, keepOut: hole.diameter / 2 + screwRim })
  }
  return { pose, outline, screws }
}

/** The ring moved inward with rounded corners; the largest piece when it falls apart. */
export function inset(ring: readonly FacePoint[], by: Mm): FacePoint[] {
  const path = ring.map(({ x, y }) => ({ x, y }))
  if (signedArea(path) < 0) path.reverse()
  const pieces = by === 0 ? [path] : inflatePathsD([path], -by, JoinType.Round, EndType.Polygon, 2, 5, 0.01)
  let best: readonly { x: number; y: number }[] = []
  for (const p of pieces) if (Math.abs(signedArea(p)) > Math.abs(signedArea(best))) best = p
  return simplifyPathD([...best], 0.01, true).map(({ x, y }) => ({ x, y }))
}
