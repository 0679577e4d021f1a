// Figures of a wire's input network: what is fitted, from when on it reads live or dead, how late its edges are.

import { type Figure, fact } from "../0-ground/figure.ts"
import type { Source } from "../0-ground/source.ts"
import type { Wire } from "../2-lamp/artefact.ts"
import type { WireInput } from "./artefact.ts"
import { type Figures, stockFact } from "./drive-figures.ts"
import { bleedFor, inputValues } from "./read-wires.ts"

const chosen = (place: string): Source => ({ document: "chosen by this program", place, known: "chosen" })
const divider = chosen(
  "live well below 9 V, dead well above what a flasher leaks, less than 1 mA through the pin at 35 V and in a pulse of −100 V",
)

export const dividerFigures = {
  upper: fact("drive.input.upper", "divider, wire to pin", inputValues.upper, "Ω", divider),
  lower: fact("drive.input.lower", "divider, pin to earth", inputValues.lower, "Ω", divider),
  filter: fact(
    "drive.input.filter",
    "filter capacitor",
    inputValues.filter * 1e9,
    "nF",
    chosen("takes the edges off interference, late by less than a millisecond"),
  ),
} as const

/** The resistor across a flashing wire; undefined for wires that have none. */
export function bleedFigure(wire: Wire): Figure | undefined {
  const ohm = bleedFor(wire)
  if (ohm === undefined) return undefined
  return fact(
    `drive.input.${wire.name}.bleed`,
    `bleed resistor across ${wire.name}`,
    ohm,
    "Ω",
    chosen("keeps the wire surely dead under what leaks through its kind of flasher"),
  )
}

/** Thresholds and delays of an input, kept as figures of their own. */
export function figureInput(figures: Figures, input: WireInput, controller: string): void {
  const id = `drive.input.${input.wire}`
  const { upper, lower, filter } = dividerFigures
  const network = [
    upper,
    lower,
    stockFact("resistor-quarter-watt", "tolerance"),
    stockFact(controller, "leakage"),
  ]
  figures.result(
    `${id}.live-above`,
    `${input.wire} surely reads live above`,
    input.liveAbove,
    "V",
    "(greatest input threshold × greatest 5 V + leakage × the divider's resistance) ÷ least share of the divider",
    [stockFact(controller, "input-high"), stockFact("regulator-lm2940", "out-high"), ...network],
  )
  figures.result(
    `${id}.dead-below`,
    `${input.wire} surely reads dead below`,
    input.deadBelow,
    "V",
    "(least input threshold × least 5 V − leakage × the divider's resistance) ÷ greatest share of the divider",
    [stockFact(controller, "input-low"), stockFact("regulator-lm2940", "out-low"), ...network],
  )
  const edges = [
    upper,
    lower,
    stockFact("resistor-quarter-watt", "tolerance"),
    filter,
    figures.supply("usual"),
    stockFact("regulator-lm2940", "out-high"),
  ]
  figures.result(
    `${id}.rise-delay`,
    `input network of ${input.wire}, rising edge, at most`,
    input.riseDelay * 1000,
    "ms",
    "τ × ln(settled ÷ (settled − threshold)): τ = the divider's resistance × 1.1 filter capacitors, settled = usual supply × share of the divider",
    [...edges, stockFact(controller, "input-high")],
  )
  figures.result(
    `${id}.fall-delay`,
    `input network of ${input.wire}, falling edge, at most`,
    input.fallDelay * 1000,
    "ms",
    "τ × ln(start ÷ threshold): τ = the divider's resistance × 1.1 filter capacitors, start = lesser of the divided usual supply and a diode above 5 V",
    [...edges, stockFact(controller, "input-low"), stockFact("regulator-lm2940", "out-low")],
  )
}
