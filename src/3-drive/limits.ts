// The limits this room designs to, each with where it comes from.

import { practice, type Source } from "../0-ground/source.ts"

const chosen = (place: string): Source => ({ document: "chosen by this program", place, known: "chosen" })

/** Of the current the hottest LED may carry, this share is used at the strongest corner. */
export const ledShare = {
  value: 0.8,
  source: practice("common practice: LEDs at 80 % of their hot rating at most"),
}
/** Share of full current that the weakest string keeps at the lowest supply: dim, but it must light. */
export const leastShare = {
  value: 0.1,
  source: practice("common practice: at the lowest supply a lamp may be dim but must light"),
}
/** Resistors carry this share of their derated power at most. */
export const resistorShare = {
  value: 0.5,
  source: practice("common practice: film resistors at 50 % of derated power"),
}
/** A flashing wire is live this share of the time at most. */
export const flashingShare = {
  value: 0.75,
  source: {
    document: "SAE J590b percent current on-time 30…75 %",
    known: "memory",
    confidence: "H",
  } as Source,
}
/** Voltage of the clamped load-dump pulse on a 12 V vehicle. */
export const surgeVolt = {
  value: 35,
  source: { document: "article on ISO 16750-2 load dump, test B: 35 V typical", known: "read" } as Source,
}
/** Voltage of the load-dump pulse where nothing clamps it: the lower end of the range. */
export const unclampedVolt = {
  value: 79,
  source: { document: "ISO 16750-2 load dump, test A: 79…101 V", known: "read" } as Source,
}
/** The mildest unclamped load dump: it already carries more than a lamp's clamp can take. */
export const dumpPulse = { rest: 14, ohm: 0.5, seconds: 0.04 } as const
/** A pin's own diode holds it this far below earth when current is drawn out of it. */
export const pinDiodeVolt = { value: 0.6, source: practice("common practice: 0.6 V over a silicon junction") }
/** LEDs in a surge stay below this share of their pulse rating. */
export const surgeShare = { value: 0.95, source: chosen("5 % kept to the pulse rating") }
/** Junctions stay this far below their maximum. */
export const junctionReserve = {
  value: 25,
  source: practice("common practice: 25 K below the greatest junction temperature"),
}
/** One feed diode carries up to this current. */
export const diodeCurrent = {
  value: 0.5,
  source: chosen("half of a 1N4007's 1 A, so that it stays cool in a closed lamp"),
}
/** Array sections are used up to this current. */
export const sectionCurrent = {
  value: 0.25,
  source: chosen("half of a section's 500 mA, because eight share one package"),
}
/** A fuse carries this share of its rating for long. */
export const fuseShare = {
  value: 0.7,
  source: practice("common practice: 70 % of the fuse's rating, steady"),
}
/** Lost in feed and earth wire of a lamp at most. */
export const wireDrop = { value: 0.5, source: practice("common practice: 0.5 V over feed and earth wire") }
/** stop : tail, both on against tail alone. */
export const stopRatio = {
  value: 5,
  source: {
    document: "UN R7/R50: stop lamp incorporated with rear position lamp",
    place: "ratio at least 5 : 1 (national summaries)",
    known: "read",
  } as Source,
}
/** Wire used where the description gives none. */
export const usualWire = { size: 0.75, length: 2, source: practice("common practice: 0.75 mm², 2 m") }
/** A 1 % film resistor at its least: its tolerance, and 80 K of warmth at 100 ppm/K. */
export const leastResistance = 0.99 * (1 - 1e-4 * 80)
