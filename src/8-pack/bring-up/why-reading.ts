// Why a reading of the bring-up plan shows what it shows, and where its limits come from.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import { computed, described, practice } from "../../0-ground/source.ts"
import type { PackInput } from "../artefact.ts"
import { meterOff } from "./candidates.ts"
import type { BringUpReading } from "./plan-bring-up.ts"
import { fittedToVehicle, type How, type Range } from "./readings.ts"

const formulas: Readonly<Record<How, string>> = {
  resistance:
    "the resistances fitted so far, solved as one network between the two places; a meter’s voltage opens no junction",
  capacitance: "the capacitors fitted so far, as one network between the two places",
  diode: "voltage at which 1 mA flows through the junctions between the two places",
  voltage: "the boards with their parts solved at the bench supply’s voltage, dead controller pins open",
  current: "sum of what all parts take, solved at the bench supply’s voltage",
  count: "LEDs whose solved current is enough to be seen, counted",
  look: "looked at: 1 is as it should be",
}

const onVehicle =
  "the described supply, the number of LEDs, the described flash rate, or the solved current times the wire's resistance"

/**
 * What is expected, and the least and the most allowed, each as a figure. `sound`: what a lamp without fault shows
 * with its parts anywhere in their tolerances.
 */
export function whyReading(design: PackInput, reading: BringUpReading, sound: Range): readonly Figure[] {
  const id = `bring-up.${reading.id}`
  const figureOf = new Map(design.figures.map((f) => [f.id, f]))
  const words = new Set(reading.probe.split(/[^\p{L}\p{N}_-]+/u))
  const probed = design.circuit.parts
    .filter((p) => words.has(p.ref))
    .flatMap((p) => figureOf.get(p.figure ?? "") ?? [])
  const { unit, how, supply } = reading
  const volt = supply
    ? [fact(`${id}.supply`, supply.name, supply.volt, "V", described("vehicle.supply.usual"))]
    : []
  const solved = fact(
    `${id}.parts`,
    `parts fitted at this step (${reading.step}), solved`,
    design.circuit.parts.length,
    "",
    computed("parts of the circuit, those of later steps left out"),
  )
  const expected = result(
    `${id}.expected`,
    `${reading.id}: ${reading.probe}`,
    reading.expected,
    unit,
    reading.step === fittedToVehicle ? onVehicle : formulas[how],
    [...probed, ...volt, solved],
  )
  const off = meterOff(how)
  if (!off) return [expected]
  const share = fact(
    `${id}.meter-share`,
    "a workshop meter is off by, of what it shows",
    100 * off.share,
    "%",
    practice(),
  )
  const fixed = fact(`${id}.meter-fixed`, "and by", off.fixed, unit, practice())
  const limit = (name: "low" | "high", words: string, seen: number, value: number) => {
    const shown = fact(
      `${id}.sound-${name}`,
      `${words} a sound lamp shows, its parts anywhere in their tolerances`,
      seen,
      unit,
      computed(formulas[how]),
    )
    const exact =
      value ===
      (name === "low"
        ? Math.max(0, seen - Math.abs(seen) * off.share - off.fixed)
        : seen + Math.abs(seen) * off.share + off.fixed)
    return result(
      `${id}.${name}`,
      `${words} allowed`,
      value,
      unit,
      exact
        ? `${words} of a sound lamp ${name === "low" ? "−" : "+"} the meter’s error`
        : "a limit that lies safely between a sound lamp and every fault it is to tell",
      exact ? [shown, share, fixed] : [shown],
    )
  }
  return [
    expected,
    limit("low", "the least", sound.low, reading.low),
    ...(Number.isFinite(reading.high) ? [limit("high", "the most", sound.high, reading.high)] : []),
  ]
}
