// The clauses this proof can check, as data. Nearly all are recalled, not read in the official text: such a clause
// may warn but never refuse.

import type { Source } from "../../0-ground/source.ts"
import type { Lamp, LightFunction } from "../../2-lamp/artefact.ts"

export interface IntensityRule {
  readonly function: LightFunction
  /** cd on the axis. */
  readonly minimum: number
  /** cd in any direction; the lower of older and newer editions. */
  readonly maximum: number
  /** Newer editions allow this much. */
  readonly newerMaximum: number
  readonly source: Source
}

const memory = (document: string, place: string, confidence: "H" | "M" = "H"): Source => ({
  document,
  place,
  known: "memory",
  confidence,
})
const r50 = "UN R50 / R148, category L; recalled, compare with the current official text"
const r7 = "UN R6 / R7 / R148; recalled, compare with the current official text"
const us = "49 CFR 571.108, one lighted section; recalled, compare with the current official text"

const rule = (
  f: LightFunction,
  minimum: number,
  maximum: number,
  newerMaximum: number,
  source: Source,
): IntensityRule => ({ function: f, minimum, maximum, newerMaximum, source })

export const intensityRules: Readonly<Record<Lamp["vehicle"]["rules"], readonly IntensityRule[]>> = {
  "un-l": [
    rule("rear-position", 4, 12, 17, memory(r50, "§7 rear position lamp")),
    rule("stop", 40, 185, 260, memory(r50, "§7 stop lamp")),
    rule("direction-indicator", 50, 350, 500, memory(r50, "§7 rear indicator, category 12")),
    rule("front-position", 4, 60, 140, memory(r50, "§7 front position lamp")),
    rule("marker", 4, 60, 140, memory(r50, "judged as front position lamp", "M")),
  ],
  "un-car": [
    rule("rear-position", 4, 12, 17, memory(r7, "category R1")),
    rule("stop", 60, 185, 260, memory(r7, "category S1")),
    rule("direction-indicator", 50, 350, 500, memory(r7, "category 2a")),
    rule("front-position", 4, 60, 140, memory(r7, "category A")),
    rule("marker", 4, 60, 140, memory(r7, "judged as category A", "M")),
    rule("reversing", 80, 300, 300, memory(r7, "category AR", "M")),
  ],
  "us-motorcycle": [
    rule("rear-position", 2, 18, 18, memory(us, "table VIII, tail lamp, H-V")),
    rule("stop", 80, 300, 300, memory(us, "table IX, stop lamp, H-V")),
    rule("direction-indicator", 65, 750, 750, memory(us, "table XIII-a, rear amber, H-V", "M")),
    rule("front-position", 4, 125, 125, memory(us, "table XIV, parking lamp, H-V")),
  ],
}

/** Share of the axis minimum that each direction needs: H, V in degrees, share. UN standard light distribution. */
export const standardGrid: readonly (readonly [h: number, v: number, share: number])[] = [
  [0, 0, 1],
  [5, 0, 0.9],
  [10, 0, 0.35],
  [0, 5, 0.7],
  [10, 5, 0.2],
  [20, 5, 0.1],
  [5, 10, 0.2],
]
export const gridSource = memory(
  "UN R6, R7, R50, R148 standard light distribution",
  "percent of the axis minimum",
)

/** Stop light against tail light of the same lamp. */
export const stopToTail = {
  ratio: 5,
  source: {
    document:
      "UN R7/R50, reciprocally incorporated lamps 5 : 1 (German and Polish summaries); 49 CFR 571.108 by NHTSA 0076",
    known: "read",
  } as Source,
}

export const flashRate = {
  low: 60,
  high: 120,
  source: {
    document: "UN R53 §6.3.8.1 (OJ EU 2020/31), quoted: 90 ± 30 per minute",
    known: "read",
  } as Source,
}
export const onShare = {
  low: 0.3,
  high: 0.75,
  source: memory("SAE J590b, 571.108 S14.9.3.9", "on-time share 30…75 %"),
}

export const sweep = {
  within: { value: 0.2, source: memory("UN R6 §5.6, R50 §6.8 (d)", "all parts lit within 200 ms") },
  turns: {
    value: 1,
    source: { document: "WP.29/2017/81 (R50 Suppl. 20), condition (c)", known: "read" } as Source,
  },
  gap: {
    value: 50,
    source: { document: "WP.29/2017/81 (R50 Suppl. 20), condition (c)", known: "read" } as Source,
  },
  box: { value: 1.7, source: memory("UN R6 §5.6, R50 §6.8 (e)", "width : height of the bounding rectangle") },
  order: {
    source: memory("UN R6 §5.6, R50 §6.8 (b)", "from inboard towards outboard, uniform, progressive"),
  },
  uniform: {
    value: 0.5,
    source: memory("UN R6 §5.6 (b): uniform; the rule gives no number, ± 50 % is ours", ""),
  },
}

/** Patches this near to each other count as one lamp. */
export const onePatch = {
  value: 15,
  source: memory("UN R48 §2.16, R53 definitions", "single lamp: ≤ 15 mm apart", "M"),
}

/** Rear indicators of two-wheeled motorcycles, between the inner edges of their lit surfaces. */
export const indicatorsApart = {
  value: 180,
  source: {
    document:
      "EEC 93/92 §6.3 and ADR 19, quoted; two-wheeled motorcycles (three-wheelers: 400 mm and more, recalled)",
    known: "read",
  } as Source,
}

/** Dominant wavelengths whose nearly single-coloured light lies inside the signal colours. */
export const colours: Readonly<Record<"red" | "amber", { low: number; high: number; source: Source }>> = {
  amber: {
    low: 587.4,
    high: 596.4,
    source: memory(
      "SAE J578-2020 corners (read) crossed with the CIE 1931 spectral locus",
      "amber 587.4…596.4 nm",
    ),
  },
  red: {
    low: 609.7,
    high: 750,
    source: memory(
      "SAE J578-2020 corners (read) crossed with the CIE 1931 spectral locus",
      "red from 609.7 nm",
    ),
  },
}
/** AlInGaP: the dominant wavelength grows with the junction's temperature, nm/K. */
export const wavelengthDrift = { value: 0.1, source: memory("AlInGaP drift +0.08…+0.13 nm/K", "", "M") }

export const wantedColour: Readonly<Partial<Record<LightFunction, "red" | "amber" | "white">>> = {
  "rear-position": "red",
  stop: "red",
  "direction-indicator": "amber",
  "front-position": "white",
  reversing: "white",
  plate: "white",
}
export const colourSource = memory("UN R53 / R48, colours of signal lamps", "")

/** Smallest lit area, mm², United States. */
export const litArea: Readonly<Partial<Record<LightFunction, { value: number; source: Source }>>> = {
  stop: { value: 5000, source: memory(us, "effective projected luminous lens area, motorcycle stop lamp") },
  "direction-indicator": {
    value: 2258,
    source: memory(us, "effective projected luminous lens area, motorcycle turn signal"),
  },
}
