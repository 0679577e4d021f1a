// A part's lands and body as seen from the copper side, turned, about the part's own origin.

import { type BoardPoint, packageToCopper, turn } from "../0-ground/geometry/point.ts"
import { boundingBox } from "../0-ground/geometry/polygon.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { PackageType } from "../1-stock/artefact.ts"
import type { Stadium } from "./route-task.ts"

export interface FootprintLand {
  readonly pin: string
  readonly x: Mm
  readonly y: Mm
  readonly shape: "round" | "oval"
  readonly w: Mm
  readonly h: Mm
  readonly hole: Mm
}

/** A disc of radius hw, or a box 2hw × 2hh turned so that its long axis points along (c, s). */
export interface Court {
  readonly x: Mm
  readonly y: Mm
  readonly hw: Mm
  readonly hh: Mm
  readonly disc: boolean
  readonly c: number
  readonly s: number
  /** Half the box round the court. */
  readonly boxW: Mm
  readonly boxH: Mm
}

export interface Footprint {
  readonly lands: readonly FootprintLand[]
  /** Body outline, counter-clockwise. */
  readonly body: readonly BoardPoint[]
  /** Boxes or a disc round body and lands that no other part may enter; axial parts have one for each. */
  readonly courts: readonly Court[]
  readonly linkBelow: boolean
}

const discSides = 24

export function footprint(kind: PackageType, rotation: number): Footprint {
  const lands = kind.lands.map(({ pin, x, y, shape, w, h, hole }) => {
    const at = turn(packageToCopper({ x, y }), rotation)
    return { pin, x: at.x, y: at.y, shape, w, h, hole }
  })
  const { body } = kind
  const drawn =
    body.shape === "disc"
      ? Array.from({ length: discSides }, (_, i) => {
          const a = (2 * Math.PI * i) / discSides
          return { x: body.x + (body.w / 2) * Math.cos(a), y: body.y + (body.w / 2) * Math.sin(a) }
        })
      : [
          { x: body.x - body.w / 2, y: body.y - body.h / 2 },
          { x: body.x + body.w / 2, y: body.y - body.h / 2 },
          { x: body.x + body.w / 2, y: body.y + body.h / 2 },
          { x: body.x - body.w / 2, y: body.y + body.h / 2 },
        ]
  // The mirror turns the ring round, so it is read backwards.
  const outline = drawn.map((p) => turn(packageToCopper(p), rotation)).reverse()
  return { lands, body: outline, courts: courtsOf(kind, rotation), linkBelow: body.linkBelow }
}

/** Worked out unturned, so that a turned part keeps tight boxes along its own axes. */
function courtsOf(kind: PackageType, rotation: number): Court[] {
  const { body } = kind
  const stadiums = kind.lands.map((l) => stadium({ ...packageToCopper(l), w: l.w, h: l.h }, 0))
  const middle = packageToCopper(body)
  const far = (x: number, y: number) => Math.hypot(x - middle.x, y - middle.y)
  const around = Math.max(...stadiums.map((s) => Math.max(far(s.ax, s.ay), far(s.bx, s.by)) + s.r))
  if (body.shape === "disc" && around <= body.w / 2) {
    const at = turn(middle, rotation)
    const r = body.w / 2
    return [{ x: at.x, y: at.y, hw: r, hh: r, disc: true, c: 1, s: 0, boxW: r, boxH: r }]
  }
  const bodyCorners = [
    { x: middle.x - body.w / 2, y: middle.y - body.h / 2 },
    { x: middle.x + body.w / 2, y: middle.y + body.h / 2 },
  ]
  const landCorners = stadiums.flatMap((s) => [
    { x: Math.min(s.ax, s.bx) - s.r, y: Math.min(s.ay, s.by) - s.r },
    { x: Math.max(s.ax, s.bx) + s.r, y: Math.max(s.ay, s.by) + s.r },
  ])
  const b = boundingBox(bodyCorners)
  const l = boundingBox(landCorners)
  // A thick body on thin leads: the room beside the leads is free for others.
  const waisted = l.maxX - l.minX > b.maxX - b.minX + 2 && b.maxY - b.minY > l.maxY - l.minY + 0.8
  const boxes = waisted ? [b, l] : [boundingBox([...bodyCorners, ...landCorners])]
  return boxes.map((box) => {
    const at = turn({ x: (box.minX + box.maxX) / 2, y: (box.minY + box.maxY) / 2 }, rotation)
    const w = (box.maxX - box.minX) / 2
    const h = (box.maxY - box.minY) / 2
    const axis = turn({ x: 1, y: 0 }, rotation)
    const c = Math.abs(axis.x)
    const s = Math.abs(axis.y)
    const boxW = c * w + s * h
    const boxH = s * w + c * h
    // A quarter turn is an upright box with its sides exchanged.
    if (c === 0 || s === 0)
      return { x: at.x, y: at.y, hw: boxW, hh: boxH, disc: false, c: 1, s: 0, boxW, boxH }
    return { x: at.x, y: at.y, hw: w, hh: h, disc: false, c: axis.x, s: axis.y, boxW, boxH }
  })
}

/** A land w × h turned by `rotation`, as a swept disc. Mirroring leaves the shape itself alone. */
export function stadium(
  land: { readonly x: Mm; readonly y: Mm; readonly w: Mm; readonly h: Mm },
  rotation: number,
): Stadium {
  const r = Math.min(land.w, land.h) / 2
  const half = turn({ x: Math.max(0, land.w / 2 - r), y: Math.max(0, land.h / 2 - r) }, rotation)
  return { ax: land.x - half.x, ay: land.y - half.y, bx: land.x + half.x, by: land.y + half.y, r }
}
