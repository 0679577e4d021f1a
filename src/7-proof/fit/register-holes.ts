// A real face, measured hole by hole, against where its holes should be: the shift and turn that bring a board to it
// best, and which holes will bind.

import type { FacePoint } from "../../0-ground/geometry/point.ts"
import { middleOf } from "./shared-errors.ts"

export interface MeasuredHole {
  readonly id: string
  readonly wanted: FacePoint
  /** In any frame of the same hand (a caliper's or a scanner's), mm. */
  readonly measured: { readonly x: number; readonly y: number }
}

export interface Registration {
  /** Move the board by this after turning it about the middle of its wanted holes, mm. */
  readonly shift: { readonly x: number; readonly y: number }
  /** Counter-clockwise as seen from the road, degrees. */
  readonly rotation: number
  /** Measured pattern against wanted: 1.001 = a template printed 0.1 % too large. A board cannot follow it. */
  readonly scale: number
  /** What is left at each hole when shift and turn (not scale) are followed, mm; farthest first. */
  readonly left: readonly {
    readonly id: string
    readonly x: number
    readonly y: number
    readonly distance: number
    readonly binds: boolean
  }[]
}

/**
 * Least squares over all holes (closed form for a plane: the turn is the angle of the summed dot and cross products
 * about the two middles). `room`: distance an LED can stand aside before it touches, mm. Undefined for fewer than two
 * holes, for holes that coincide and for numbers that are not finite: nothing fixes a turn then.
 */
export function registerHoles(holes: readonly MeasuredHole[], room: number): Registration | undefined {
  const from = middleOf(holes.map((h) => h.wanted))
  const to = middleOf(holes.map((h) => h.measured))
  let dot = 0
  let cross = 0
  let size = 0
  for (const { wanted, measured } of holes) {
    const [x, y] = [wanted.x - from.x, wanted.y - from.y]
    const [u, v] = [measured.x - to.x, measured.y - to.y]
    dot += x * u + y * v
    cross += x * v - y * u
    size += x * x + y * y
  }
  const reach = Math.hypot(dot, cross)
  if (holes.length < 2 || !(size > 1e-9) || !(reach > 1e-9) || !Number.isFinite(reach)) return undefined
  const [c, s] = [dot / reach, cross / reach]
  const left = holes.map(({ id, wanted, measured }) => {
    const x = measured.x - to.x - (c * (wanted.x - from.x) - s * (wanted.y - from.y))
    const y = measured.y - to.y - (s * (wanted.x - from.x) + c * (wanted.y - from.y))
    const distance = Math.hypot(x, y)
    return { id, x, y, distance, binds: distance > room }
  })
  return {
    shift: { x: to.x - from.x, y: to.y - from.y },
    rotation: (Math.atan2(cross, dot) * 180) / Math.PI,
    scale: reach / size,
    left: left.sort((a, b) => b.distance - a.distance || (a.id < b.id ? -1 : 1)),
  }
}
