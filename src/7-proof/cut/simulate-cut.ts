// Cutter moves → the copper that stays, twice: with the width the groove has at the foil's bottom at its
// shallowest (what is not cut there still conducts: decides shorts) and with the width at the top at its deepest
// (decides opens and necks). Height errors of the sheet are in both.

import { sweptTip, wornTip } from "../../0-ground/geometry/groove.ts"
import { boundingBox } from "../../0-ground/geometry/polygon.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { type BitRaster, bitRaster, paintPolygon, paintSweep } from "./bit-raster.ts"
import type { ToolMove } from "./read-cut-program.ts"

export interface Engraver {
  /** Flat tip as worn, mm: what is surely cut. */
  readonly tip: number
  /** What the tip sweeps with its run-out, mm: what is surely not copper; `tip` when absent. */
  readonly swept?: number
  /** Full included angle, degrees. */
  readonly angle: number
}

export interface Hole {
  readonly x: number
  readonly y: number
  readonly diameter: number
}

/** A flat-ended cutter and what it does: the router at the edge, an end mill that clears. */
export interface Milling {
  readonly diameter: number
  readonly moves: readonly ToolMove[]
}

export interface CutJob {
  readonly outline: readonly { readonly x: number; readonly y: number }[]
  readonly engraver: Engraver
  readonly engraving: readonly ToolMove[]
  readonly milling?: readonly Milling[]
  readonly holes: readonly Hole[]
  /** mm of copper. */
  readonly foil: number
}

/** More than any clamped sheet is off, mm. */
const surelyThrough = 0.4

/** The described engraver as it cuts now: worn, and running out. */
export function engraverOf({ cutter }: Pick<Lamp, "cutter">): Engraver {
  const { angle } = cutter.engraver
  return { tip: wornTip(cutter.engraver), swept: sweptTip(cutter.engraver), angle }
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
  const raster = blank ? { ...blank, words: blank.words.slice() } : blankBoard(job, options.pixel)
  const below = options.at === "top" ? 0 : job.foil
  const slope = Math.tan((job.engraver.angle * Math.PI) / 360)
  const grow = (options.widen ?? 0) / 2
  const flat = options.at === "top" ? (job.engraver.swept ?? job.engraver.tip) : job.engraver.tip
  // Radius of the groove at the level looked at, for a tip at z; negative: not reached.
  const radius = (z: number) => {
    const depth = options.height - z - below
    return depth < 0 ? depth : flat / 2 + depth * slope + grow
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
      const r = flat / 2 + grow
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
  for (const { diameter, moves } of job.milling ?? []) {
    for (const m of moves) {
      if (throughFoil(m, job.foil) || m.kind !== "feed") continue
      // A ramp counts whole where it decides opens, and not at all where it decides shorts.
      const z = options.at === "top" ? Math.min(m.z0, m.z1) : Math.max(m.z0, m.z1)
      if (options.height - below >= z) paintMill(raster, m, diameter)
    }
  }
  return raster
}

/** The board in copper with all that no height error changes: its holes, and what the router takes right through. */
export function blankBoard(job: CutJob, pixel: number): BitRaster {
  const raster = bitRaster(boundingBox(job.outline), pixel)
  paintPolygon(raster, [job.outline], true)
  for (const h of job.holes) {
    paintSweep(raster, h.x, h.y, h.diameter / 2, h.x, h.y, h.diameter / 2, false)
  }
  for (const { diameter, moves } of job.milling ?? []) {
    for (const m of moves) if (throughFoil(m, job.foil)) paintMill(raster, m, diameter)
  }
  return raster
}

/** So deep all along that no surface brings the foil out of its reach. */
const throughFoil = (m: ToolMove, foil: number): boolean =>
  m.kind === "feed" && Math.max(m.z0, m.z1) < -(foil + surelyThrough)

const paintMill = (raster: BitRaster, m: ToolMove, diameter: number) =>
  paintSweep(raster, m.x0, m.y0, diameter / 2, m.x1, m.y1, diameter / 2, false)

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

/**
 * Holes and slots a router mills inside the board: closed runs of feed moves at one height that lie on a circle,
 * with the deepest such height. `inside` tells what is within the board; a run round a disc of a board is none.
 */
export function milledHoles(
  moves: readonly ToolMove[],
  tool: number,
  inside: (x: number, y: number) => boolean,
): readonly (Hole & { readonly bottom: number; readonly line: number; readonly flat: true })[] {
  const holes = new Map<string, Hole & { bottom: number; line: number; flat: true }>()
  for (let from = 0; from < moves.length; ) {
    const first = moves[from]!
    let to = from
    const level = (m: ToolMove) => m.kind === "feed" && m.z0 === first.z1 && m.z1 === first.z1
    if (level(first) && first.z1 < 0) {
      while (to + 1 < moves.length && level(moves[to + 1]!) && moves[to + 1]!.line === first.line) to++
      const circle = circleOf(moves.slice(from, to + 1))
      if (circle && inside(circle.x + circle.r, circle.y) && inside(circle.x - circle.r, circle.y)) {
        const key = `${circle.x.toFixed(3)} ${circle.y.toFixed(3)} ${circle.r.toFixed(3)}`
        const known = holes.get(key)
        if (known) known.bottom = Math.min(known.bottom, first.z1)
        else {
          const { x, y, r } = circle
          holes.set(key, { x, y, diameter: 2 * r + tool, bottom: first.z1, line: first.line, flat: true })
        }
      }
    }
    from = to + 1
  }
  return [...holes.values()]
}

/** The circle a closed run of chords lies on; undefined when it is none. */
function circleOf(run: readonly ToolMove[]): { x: number; y: number; r: number } | undefined {
  const first = run[0]!
  const last = run[run.length - 1]!
  if (run.length < 6 || Math.hypot(last.x1 - first.x0, last.y1 - first.y0) > 1e-6) return undefined
  // Chords of one arc are of one length: their ends have the centre as their mean.
  const x = run.reduce((sum, m) => sum + m.x1, 0) / run.length
  const y = run.reduce((sum, m) => sum + m.y1, 0) / run.length
  const r = Math.hypot(first.x0 - x, first.y0 - y)
  return run.every((m) => Math.abs(Math.hypot(m.x1 - x, m.y1 - y) - r) < 0.003) ? { x, y, r } : undefined
}
