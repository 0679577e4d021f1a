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

export interface Footprint {
  readonly lands: readonly FootprintLand[]
  /** Body outline, counter-clockwise. */
  readonly body: readonly BoardPoint[]
  /** Box or disc round body and lands that no other part may enter. */
  readonly court: { readonly x: Mm; readonly y: Mm; readonly hw: Mm; readonly hh: Mm; readonly disc: boolean }
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
  const stadiums = lands.map((l) => stadium(l, rotation))
  const centre = turn(packageToCopper(body), rotation)
  const around = Math.max(
    ...stadiums.map((s) =>
      Math.max(
        Math.hypot(s.ax - centre.x, s.ay - centre.y) + s.r,
        Math.hypot(s.bx - centre.x, s.by - centre.y) + s.r,
      ),
    ),
  )
  const linkBelow = body.linkBelow
  if (body.shape === "disc" && around <= body.w / 2)
    return {
      lands,
      body: outline,
      court: { x: centre.x, y: centre.y, hw: body.w / 2, hh: body.w / 2, disc: true },
      linkBelow,
    }
  const box = boundingBox([
    ...outline,
    ...stadiums.flatMap((s) => [
      { x: Math.min(s.ax, s.bx) - s.r, y: Math.min(s.ay, s.by) - s.r },
      { x: Math.max(s.ax, s.bx) + s.r, y: Math.max(s.ay, s.by) + s.r },
    ]),
  ])
  const court = {
    x: (box.minX + box.maxX) / 2,
    y: (box.minY + box.maxY) / 2,
    hw: (box.maxX - box.minX) / 2,
    hh: (box.maxY - box.minY) / 2,
    disc: false,
  }
  return { lands, body: outline, court, linkBelow }
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
