// Cutter moves → the copper that stays, twice: with the width the groove has at the foil's bottom at its
// shallowest (what is not cut there still conducts: decides shorts) and with the width at the top at its deepest
// (decides opens and necks). Height errors of the sheet are in both.

import { boundingBox } from "../../0-ground/geometry/polygon.ts"
import { type BitRaster, bitRaster, paintPolygon, paintSweep } from "./bit-raster.ts"
import type { ToolMove } from "./read-cut-program.ts"

export interface Engraver {
  /** Flat tip, mm. */
  readonly tip: number
  /** Full included angle, degrees. */
  readonly angle: number
}

export interface Hole {
  readonly x: number
  readonly y: number
  readonly diameter: number
}

export interface CutJob {
  readonly outline: readonly { readonly x: number; readonly y: number }[]
  readonly engraver: Engraver
  readonly engraving: readonly ToolMove[]
  readonly holes: readonly Hole[]
  /** mm of copper. */
  readonly foil: number
}

/** Width removed at `below` the surface by the tip at depth z (negative below the surface); negative: nothing. */
export function widthAt(engraver: Engraver, z: number, below: number): number {
  const depth = -z - below
  return depth < 0 ? -1 : engraver.tip + 2 * depth * Math.tan((engraver.angle * Math.PI) / 360)
}

/**
 * Copper left. `height`: how much deeper (positive) or shallower the tip goes everywhere than the program says, mm.
 * `at`: which level of the foil is looked at. `widen`: mm added to every groove's width, for measuring.
 */
export function simulateCut(
  job: CutJob,
  options: {
    readonly pixel: number
    readonly at: "top" | "bottom"
    readonly height: number
    readonly widen?: number
  },
  blank?: BitRaster,
): BitRaster {
  const raster = blank ? { ...blank, words: blank.words.slice() } : blankBoard(job.outline, options.pixel)
  const below = options.at === "top" ? 0 : job.foil
  const slope = Math.tan((job.engraver.angle * Math.PI) / 360)
  const grow = (options.widen ?? 0) / 2
  // Radius of the groove at the level looked at, for a tip at z; negative: not reached.
  const radius = (z: number) => {
    const depth = options.height - z - below
    return depth < 0 ? depth : job.engraver.tip / 2 + depth * slope + grow
  }
  for (const m of job.engraving) {
    let { x0, y0, z0, x1, y1, z1 } = m
    let r0 = radius(z0)
    let r1 = radius(z1)
    if (r0 < 0 && r1 < 0) continue
    if (r0 < 0 || r1 < 0) {
      // A ramp through the level: the flat tip touches it from one point on.
      const level = options.height - below
      const t = (z0 - level) / (z0 - z1)
      const x = x0 + (x1 - x0) * t
      const y = y0 + (y1 - y0) * t
      const r = job.engraver.tip / 2 + grow
      if (r0 < 0) {
        x0 = x
        y0 = y
        z0 = level
        r0 = r
      } else {
        x1 = x
        y1 = y
        z1 = level
        r1 = r
      }
    }
    if (r0 <= 0 && r1 <= 0) continue
    paintSweep(raster, x0, y0, Math.max(0, r0), x1, y1, Math.max(0, r1), false)
  }
  for (const h of job.holes) {
    paintSweep(raster, h.x, h.y, h.diameter / 2, h.x, h.y, h.diameter / 2, false)
  }
  return raster
}

/** The whole board in copper, before any cut. */
export function blankBoard(
  outline: readonly { readonly x: number; readonly y: number }[],
  pixel: number,
): BitRaster {
  const raster = bitRaster(boundingBox(outline), pixel)
  paintPolygon(raster, [outline], true)
  return raster
}

/** Holes a drilling program makes: every feed move that goes straight down through z = 0, with its deepest point. */
export function drilledHoles(
  moves: readonly ToolMove[],
  diameter: number,
): readonly (Hole & { readonly bottom: number; readonly line: number })[] {
  const holes = new Map<string, Hole & { bottom: number; line: number }>()
  for (const m of moves) {
    if (m.kind !== "feed" || m.x0 !== m.x1 || m.y0 !== m.y1 || m.z1 >= 0) continue
    const key = `${m.x1.toFixed(4)} ${m.y1.toFixed(4)}`
    const known = holes.get(key)
    if (known) known.bottom = Math.min(known.bottom, m.z1)
    else holes.set(key, { x: m.x1, y: m.y1, diameter, bottom: m.z1, line: m.line })
  }
  return [...holes.values()]
}
