// The board's own frame: outline, screws and LED places, mirrored to the copper side by the one function that may,
// and moved so that the outline's lower left corner stands at (4, 4): the outline cutter needs room around it.

import {
  differenceD,
  EndType,
  FillRule,
  inflatePathsD,
  intersectD,
  JoinType,
  simplifyPathD,
  unionD,
} from "clipper2-ts"
import { type BoardPoint, type BoardPose, type FacePoint, faceToBoard } from "../0-ground/geometry/point.ts"
import { boundingBox, signedArea } from "../0-ground/geometry/polygon.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { BoardRequest, Face } from "../2-lamp/artefact.ts"
import type { BoardText, ScrewHole, Slot } from "./artefact.ts"

/** Room left of and below the outline for the outline cutter, mm. */
export const frameMargin = 4
/** Copper and parts stay this far outside a screw hole's rim: pan head or spacer of M3 (common practice, no source). */
export const screwRim = 1.6

export interface BoardFrame {
  readonly pose: BoardPose
  /** Counter-clockwise. */
  readonly outline: readonly BoardPoint[]
  readonly screws: readonly ScrewHole[]
  /** Discs over the slots that copper and parts stay out of, as they stay away from screws. */
  readonly slotDiscs: readonly ScrewHole[]
  readonly cuts: {
    readonly slots?: readonly Slot[]
    readonly clear?: readonly (readonly BoardPoint[])[]
    readonly text?: readonly BoardText[]
  }
}

/** Undefined when nothing is left of the outline. */
export function boardFrame(request: BoardRequest, face: Face | undefined): BoardFrame | undefined {
  const whole = wholeOutline(request, face)
  const drawn = whole && notchedOutline(request, whole)
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
  const there = (p: FacePoint) => faceToBoard(p, pose)
  const slots = request.slots?.map((s) => ({ from: there(s.from), to: there(s.to), width: s.width }))
  return {
    pose,
    outline,
    screws,
    slotDiscs: (slots ?? []).flatMap(discsOf),
    cuts: {
      ...(slots ? { slots } : {}),
      ...(request.clear ? { clear: request.clear.map((ring) => ring.map(there)) } : {}),
      ...(request.text
        ? {
            text: request.text.map(({ says, at, height, turn }) => ({ says, ...there(at), height, turn })),
          }
        : {}),
    },
  }
}

/** The board's edge before any notch is cut into it; undefined when nothing is left of it. */
export function wholeOutline(
  request: BoardRequest,
  face: Face | undefined,
): readonly FacePoint[] | undefined {
  const whole = request.outline ?? (face ? inset(face.outline, request.inset) : undefined)
  return whole && whole.length >= 3 ? whole : undefined
}

export const notchedOutline = (
  { notches = [] }: BoardRequest,
  whole: readonly FacePoint[],
): readonly FacePoint[] => notches.reduce(notched, whole)

/** Copper stays this far from a slot's side, as from the edge, mm. */
const slotRim = 0.6

function discsOf({ from, to, width }: Slot): ScrewHole[] {
  const length = Math.hypot(to.x - from.x, to.y - from.y)
  const count = Math.max(1, Math.ceil(length / (width / 2)))
  return Array.from({ length: count + 1 }, (_, k) => ({
    x: from.x + ((to.x - from.x) * k) / count,
    y: from.y + ((to.y - from.y) * k) / count,
    diameter: width,
    keepOut: width / 2 + slotRim,
  }))
}

/** Radius that the corners of a notch's mouth are rounded by, mm, at most a quarter of its width. */
const mouthRadius = 1

type Notch = NonNullable<BoardRequest["notches"]>[number]

/** The ring with a notch cut in from the place of its edge nearest to the point given: round at its end and at its mouth. */
function notched(ring: readonly FacePoint[], { at, width, depth }: Notch): FacePoint[] {
  const { foot, inward } = nearestEdge(ring, at)
  const [ux, uy] = inward
  const r = width / 2
  const reach = Math.max(0, depth - r)
  const far = (s: number) => ({ x: foot.x + ux * s, y: foot.y + uy * s })
  const stem = inflatePathsD(
    [[far(-2 * r - depth), far(reach)]],
    r,
    JoinType.Round,
    EndType.Round,
    2,
    5,
    0.01,
  )
  const path = [ring.map(({ x, y }) => ({ x, y }))]
  const cut = differenceD(path, stem, FillRule.NonZero, 5)
  const round = Math.min(mouthRadius, width / 4)
  const opened = inflatePathsD(
    inflatePathsD(cut, -round, JoinType.Round, EndType.Polygon, 2, 5, 0.005),
    round,
    JoinType.Round,
    EndType.Polygon,
    2,
    5,
    0.005,
  )
  // Only round the mouth: other corners of the board stay as they are.
  const here = inflatePathsD([[foot, far(0.001)]], r + 2 * round, JoinType.Round, EndType.Round, 2, 5, 0.01)
  const pieces = unionD(
    differenceD(cut, here, FillRule.NonZero, 5),
    intersectD(opened, here, FillRule.NonZero, 5),
    FillRule.NonZero,
    5,
  )
  let best: readonly { x: number; y: number }[] = []
  for (const p of pieces) if (Math.abs(signedArea(p)) > Math.abs(signedArea(best))) best = p
  return simplifyPathD([...best], 0.002, true).map(({ x, y }) => ({ x, y }))
}

/** The place on the ring nearest to a point, and the unit direction into the ring there. */
function nearestEdge(ring: readonly FacePoint[], p: FacePoint) {
  const ccw = signedArea(ring) >= 0
  let best = { d: Number.POSITIVE_INFINITY, foot: ring[0]!, inward: [0, 1] as readonly [number, number] }
  ring.forEach((a, i) => {
    const b = ring[(i + 1) % ring.length]!
    const [dx, dy] = [b.x - a.x, b.y - a.y]
    const length = Math.hypot(dx, dy)
    if (length === 0) return
    const t = Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / (length * length)))
    const foot = { x: a.x + t * dx, y: a.y + t * dy }
    const d = Math.hypot(p.x - foot.x, p.y - foot.y)
    const side = ccw ? 1 : -1
    if (d < best.d - 1e-9) best = { d, foot, inward: [(-side * dy) / length, (side * dx) / length] }
  })
  return best
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
