// Points in millimetres, in two frames that must never be mixed.
// Face: as seen from the road, x to the right, y up.
// Board: as seen from the copper side (as it lies on the mill), x to the right, y up.
// The frame is a phantom mark: a plain point fits either, a face point does not fit where a board point is asked for.

import type { Mm } from "../units/brand.ts"

export interface Point {
  readonly x: Mm
  readonly y: Mm
}
export type FacePoint = Point & { readonly frame?: "face" }
export type BoardPoint = Point & { readonly frame?: "board" }

export const distance = (a: Point, b: Point): Mm => Math.hypot(a.x - b.x, a.y - b.y)

/** Where a board lies behind a face: its frame's origin, in face coordinates. */
export interface BoardPose {
  /** Face coordinates of the board frame's origin (0, 0). */
  readonly originX: Mm
  readonly originY: Mm
}

/**
 * The mirror between the two frames, the only place it is done: what the road sees on the right,
 * the copper side has on the left. board x = originX − face x, board y = face y − originY. It is its own inverse in x.
 */
export function faceToBoard(p: FacePoint, pose: BoardPose): BoardPoint {
  return { x: pose.originX - p.x, y: p.y - pose.originY }
}

/** The way back; see `faceToBoard`. */
export function boardToFace(p: BoardPoint, pose: BoardPose): FacePoint {
  return { x: pose.originX - p.x, y: p.y + pose.originY }
}

/**
 * A package's land as the data sheet draws it (from the component side) seen from the copper side:
 * mirrored in x before the part is turned.
 */
export const packageToCopper = (p: Point): BoardPoint => ({ x: -p.x, y: p.y })

/** Turns a point about the origin, counter-clockwise, degrees. Quarter turns are exact. */
export function turn(p: Point, degrees: number): Point {
  const d = ((degrees % 360) + 360) % 360
  if (d === 0) return p
  if (d === 90) return { x: -p.y, y: p.x }
  if (d === 180) return { x: -p.x, y: -p.y }
  if (d === 270) return { x: p.y, y: -p.x }
  const r = (d * Math.PI) / 180
  const c = Math.cos(r)
  const s = Math.sin(r)
  return { x: p.x * c - p.y * s, y: p.x * s + p.y * c }
}
