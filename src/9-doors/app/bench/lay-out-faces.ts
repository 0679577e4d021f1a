// Where each face lies on the bench: as drawn when they share a drawing, side by side when they would overlap.

import { type Box, boundingBox } from "../../../0-ground/geometry/polygon.ts"
import type { Face, Lamp } from "../../../2-lamp/artefact.ts"

export interface LaidFace {
  readonly face: Face
  /** Added to face coordinates. */
  readonly dx: number
  readonly dy: number
}

export interface LaidLed {
  readonly ref: string
  readonly group: string
  readonly stock: string
  /** Bench millimetres, y down as a screen has it. */
  readonly x: number
  readonly y: number
  readonly diameter: number
}

export interface BenchLayout {
  readonly faces: readonly LaidFace[]
  readonly leds: readonly LaidLed[]
  /** y down. */
  readonly box: Box
  readonly sideBySide: boolean
}

const gap = 14

export function layOutFaces(lamp: Lamp): BenchLayout {
  const boxes = lamp.faces.map((f) => boundingBox(f.outline))
  const sideBySide = boxes.some((a, i) => boxes.some((b, j) => j > i && overlap(a, b)))
  let along = 0
  const faces = lamp.faces.map((face, i) => {
    const b = boxes[i]!
    if (!sideBySide) return { face, dx: 0, dy: 0 }
    const laid = { face, dx: along - b.minX, dy: -b.minY }
    along += b.maxX - b.minX + gap
    return laid
  })
  const leds = lamp.groups.flatMap((group) => {
    const on = faces.find((f) => f.face.name === group.face)
    return group.leds.map(({ ref, hole }) => ({
      ref,
      group: group.name,
      stock: group.led,
      x: hole.x + (on?.dx ?? 0),
      y: -(hole.y + (on?.dy ?? 0)),
      diameter: hole.diameter,
    }))
  })
  const corners = faces.flatMap(({ face, dx, dy }) =>
    face.outline.map((p) => ({ x: p.x + dx, y: -(p.y + dy) })),
  )
  return { faces, leds, box: boundingBox(corners), sideBySide }
}

const overlap = (a: Box, b: Box) =>
  a.minX < b.maxX - 1 && b.minX < a.maxX - 1 && a.minY < b.maxY - 1 && b.minY < a.maxY - 1
