// What was proven about the things that were made, and what the bench saw.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import type { Mm } from "../0-ground/units/brand.ts"

/** Levels over time on the bench, from the firmware image; the app plays this. */
export interface LightTrace {
  /** Seconds between samples. */
  readonly step: number
  readonly samples: number
  /** Wire name → one 0/1 per sample. */
  readonly wires: Readonly<Record<string, readonly number[]>>
  /** LED ref → 0…255 per sample (share of its full current). */
  readonly leds: Readonly<Record<string, readonly number[]>>
}

/**
 * Depths at which a board's grooves are right, mm below the copper. On a surface that is off by e the right depths
 * are least + e to most − e: drawn over e a triangle with its point at (flatness, best) where best is its middle.
 */
export interface DepthWindow {
  /** As the program has it. */
  readonly set: Mm
  /** Height error that is counted with: the described flatness, or what probing leaves. */
  readonly error: Mm
  /** Least and greatest right depth on a flat surface. */
  readonly least: Mm
  readonly most: Mm
  /** True when nothing was found to fail deeper; `most` is then where the search ended. */
  readonly openEnded?: true
  readonly best: Mm
  /** How far the surface may be off at the best depth, up or down. */
  readonly flatness: Mm
  /** What fails first beyond either end; x and y are 0 where nothing does. */
  readonly shallowFails: { readonly what: string; readonly x: Mm; readonly y: Mm }
  readonly deepFails: { readonly what: string; readonly x: Mm; readonly y: Mm }
  /** Where the window is too small: another depth, or another engraver, and the set depths that are right with it. */
  readonly suggestion?: {
    readonly tip?: Mm
    readonly angle?: number
    readonly depth: Mm
    readonly from: Mm
    readonly to: Mm
  }
}

/** One simulated depth of a plot. */
export interface DepthPoint {
  readonly depth: Mm
  /** No two nets touch. */
  readonly apart: boolean
  /** Every net is whole and keeps its least copper and rings. */
  readonly whole: boolean
}

/** Candela over a grid of directions: one row for each horizontal angle, one value for each vertical angle. */
export type IntensityGrid = readonly (readonly number[])[]

/** The light of one function of one group in all directions. */
export interface Beam {
  readonly group: string
  readonly function: string
  /** Degrees, + right as seen by whoever faces the lamp, and + up. */
  readonly horizontal: readonly number[]
  readonly vertical: readonly number[]
  /** At the usual supply and 25 °C: weakest parts warmed up, usual ones warmed up, strongest ones still cold. */
  readonly least: IntensityGrid
  readonly usual: IntensityGrid
  readonly most: IntensityGrid
  /** The same over every solved supply and temperature. */
  readonly weather: {
    readonly least: IntensityGrid
    readonly most: IntensityGrid
    readonly leastAt: string
    readonly mostAt: string
  }
  /** Lumen of the usual light, as far as the grid reaches. */
  readonly flux: number
  /** Mean over the lit holes, usual light along the axis, cd/m². */
  readonly luminance: number
  /** Drawn from the vehicle's wires at the usual supply, W. */
  readonly watts: number
  /** Directions a rule names, with the least light it asks there; empty where no rule is known. */
  readonly asked: readonly { readonly h: number; readonly v: number; readonly least: number }[]
  /** Each lit hole in the face's coordinates, with its usual light along the axis. */
  readonly lit: readonly {
    readonly x: number
    readonly y: number
    readonly diameter: number
    readonly light: number
  }[]
}

export interface BoardProof {
  readonly board: string
  /** Nets found joined although they should not be, and nets found broken. */
  readonly shorts: readonly { readonly nets: readonly [string, string]; readonly x: Mm; readonly y: Mm }[]
  readonly opens: readonly {
    readonly net: string
    readonly x: Mm
    readonly y: Mm
    readonly lands: readonly string[]
  }[]
  readonly narrowestCopper: Mm
  readonly narrowestAt: { readonly x: Mm; readonly y: Mm; readonly net: string }
  readonly narrowestGroove: Mm
  /** Raster used, mm per pixel. */
  readonly raster: Mm
  /** Absent for a board with shorts or opens. */
  readonly depthWindow?: DepthWindow
}

/** The boards found in the programs of a shared sheet, each as it is cut there. */
export interface SheetProof {
  readonly sheet: string
  readonly boards: readonly BoardProof[]
}

export interface Proof {
  readonly boards: readonly BoardProof[]
  /** Absent where no sheet is shared. */
  readonly sheets?: readonly SheetProof[]
  readonly trace: LightTrace
  /** One for each function that some line of the programme serves. */
  readonly beams: readonly Beam[]
  readonly figures: readonly Figure[]
  /** One for each claim. */
  readonly findings: readonly Finding[]
}
