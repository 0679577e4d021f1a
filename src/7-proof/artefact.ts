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
}

export interface Proof {
  readonly boards: readonly BoardProof[]
  readonly trace: LightTrace
  readonly figures: readonly Figure[]
  /** One for each claim. */
  readonly findings: readonly Finding[]
}
