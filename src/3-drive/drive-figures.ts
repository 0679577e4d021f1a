// The numbers of this room that a user may ask about, with their way back to stock facts and the description.

import { type Figure, fact, result } from "../0-ground/figure.ts"
import { computed, described, practice, type Source } from "../0-ground/source.ts"
import { flasherFacts } from "../1-stock/flashers.ts"
import { leds } from "../1-stock/leds.ts"
import { parts } from "../1-stock/parts.ts"
import { supplyFacts, vehicleSupply } from "../1-stock/vehicle-supply.ts"
import { wireOhm, wireSource } from "../1-stock/wire.ts"
import type { Lamp, Wire } from "../2-lamp/artefact.ts"
import { conductorOhm, earthWire } from "./feed-wires.ts"
import {
  dumpPulse,
  flashingShare,
  junctionReserve,
  leastShare,
  ledShare,
  pinDiodeVolt,
  resistorShare,
  surgeVolt,
  unclampedVolt,
  usualWire,
} from "./limits.ts"

const solver: Source = computed(
  "the whole circuit solved by nodal analysis with Newton's method, each part by its law at that corner",
)

/** The solver tells currents to the nanoampere; nothing finer is shown of anything. */
const finest: Readonly<Record<string, number>> = {
  A: 1e-9,
  mA: 1e-6,
  µA: 1e-3,
  V: 1e-6,
  mW: 1e-3,
  mJ: 1e-4,
  "%": 1e-3,
}

/** Six digits, as far as they mean anything. */
function meant(value: number, unit: string): number {
  const steps = 1 / (finest[unit] ?? 1e-12)
  const coarse = Math.abs(value) < 1e6 / steps ? Math.round(value * steps) / steps : value
  return Number(coarse.toPrecision(6)) + 0
}

/** Figures of one design: a figure with a known id is made once. */
export class Figures {
  private readonly made = new Map<string, Figure>()
  private readonly lamp: Lamp
  private readonly others: Figures | undefined

  /** `others`: figures made before, found by their ids; `all` is only what is made here. */
  constructor(lamp: Lamp, others?: Figures) {
    this.lamp = lamp
    this.others = others
  }

  /** Only the results: facts are found as their inputs. */
  get all(): readonly Figure[] {
    return [...this.made.values()]
  }

  /** A figure made elsewhere that must be found by its id. */
  keep(figure: Figure): Figure {
    const known = this.get(figure.id)
    if (known) return known
    this.made.set(figure.id, figure)
    return figure
  }

  get(id: string): Figure | undefined {
    return this.made.get(id) ?? this.others?.get(id)
  }

  result(
    id: string,
    name: string,
    value: number,
    unit: string,
    formula: string,
    inputs: readonly (Figure | undefined)[],
    corner?: string,
  ): Figure {
    const figure = workedOut(id, name, value, unit, formula, inputs, corner)
    this.made.set(id, figure)
    return figure
  }

  /** A value that came out of the solver for the whole circuit; `inputs` are what it depends on most. */
  solved(
    id: string,
    name: string,
    value: number,
    unit: string,
    inputs: readonly (Figure | undefined)[],
    corner?: string,
  ): Figure {
    const figure = solvedAs(id, name, value, unit, inputs, corner)
    this.made.set(id, figure)
    return figure
  }

  supply(which: "lowest" | "usual" | "highest"): Figure {
    const path = `vehicle.supply.${which}`
    return fact(
      `description.${path}`,
      `${which} supply`,
      this.lamp.vehicle.supply[which],
      "V",
      described(path),
    )
  }
  /** Supply and air of a corner, for the inputs of what was solved there. */
  conditions(at: { readonly supply: number; readonly celsius: number }): readonly Figure[] {
    const { supply } = this.lamp.vehicle
    const which = (["usual", "lowest", "highest"] as const).find((w) => supply[w] === at.supply)
    return [...(which ? [this.supply(which)] : []), this.air(at.celsius)]
  }

  air(celsius: number): Figure {
    const { ambient } = this.lamp.vehicle
    const which = (["highest", "lowest"] as const).find((w) => ambient[w] === celsius)
    return which ? this.ambient(which) : limitFigures.room
  }

  /** A vehicle wire's conductor; the earth wire stands for a missing one. */
  conductor(wire: Wire | undefined): Figure {
    const name = wire?.name ?? "earth"
    const size = wire?.size ?? usualWire.size
    const length = wire?.length ?? usualWire.length
    const told = wire?.length === undefined ? usualWire.source : described(`vehicle.wires.${name}.length`)
    const ohm = conductorOhm(wire)
    return workedOut(
      `drive.wire.${name}.resistance`,
      `resistance of ${name}`,
      ohm,
      "Ω",
      "resistance per metre × length",
      [
        fact(
          `stock.wire.${String(size).replace(".", "-")}-mm2`,
          `${size} mm² conductor, at most`,
          wireOhm(size, 1),
          "Ω/m",
          wireSource,
        ),
        fact(`description.vehicle.wires.${name}.length`, `length of ${name}`, length, "m", told),
      ],
    )
  }
  get earth(): Figure {
    return this.conductor(earthWire(this.lamp))
  }

  ambient(which: "lowest" | "highest"): Figure {
    const path = `vehicle.ambient.${which}`
    return fact(
      `description.${path}`,
      `${which} ambient temperature`,
      this.lamp.vehicle.ambient[which],
      "°C",
      described(path),
    )
  }
}

/** A result that is only an input of others; `Figures` keeps the ones that stand by themselves. */
export function workedOut(
  id: string,
  name: string,
  value: number,
  unit: string,
  formula: string,
  inputs: readonly (Figure | undefined)[],
  corner?: string,
): Figure {
  const known = inputs.filter((i) => i !== undefined)
  return result(id, name, meant(value, unit), unit, formula, known, corner === undefined ? {} : { corner })
}

/** A solved value that is only an input of others. */
export const solvedAs = (
  id: string,
  name: string,
  value: number,
  unit: string,
  inputs: readonly (Figure | undefined)[],
  corner?: string,
): Figure => ({
  ...workedOut(
    id,
    name,
    value,
    unit,
    "solved with all parts of the circuit together; these count most",
    inputs,
    corner,
  ),
  source: solver,
})

/** A fact of the stock by its short name: `stockFact("red-5mm", "test-current")`. */
export function stockFact(key: string, name: string): Figure | undefined {
  const entry = leds.find(key) ?? parts.find(key)
  const facts = entry?.facts ?? [...supplyFacts, ...flasherFacts]
  return facts.find((f) => f.id === `stock.${key}.${name}`)
}

export const limitFigures = {
  ledShare: fact(
    "drive.limit.led-share",
    "share of the hot LED's rating we use",
    ledShare.value,
    "",
    ledShare.source,
  ),
  leastShare: fact(
    "drive.limit.least-share",
    "least share of full current at the lowest supply",
    leastShare.value,
    "",
    leastShare.source,
  ),
  resistorShare: fact(
    "drive.limit.resistor-share",
    "share of a resistor's derated power we use",
    resistorShare.value,
    "",
    resistorShare.source,
  ),
  flashingShare: fact(
    "drive.limit.flashing-share",
    "greatest on-share of a flashing wire",
    flashingShare.value,
    "",
    flashingShare.source,
  ),
  junctionReserve: fact(
    "drive.limit.junction-reserve",
    "kept below the greatest junction temperature",
    junctionReserve.value,
    "K",
    junctionReserve.source,
  ),
  room: fact(
    "drive.limit.room",
    "air in the usual corner",
    25,
    "°C",
    practice("common practice: data sheets give their values at 25 °C"),
  ),
  surgeVolt: fact("drive.limit.surge", "clamped load-dump pulse", surgeVolt.value, "V", surgeVolt.source),
  surgeTime: fact(
    "drive.limit.surge-time",
    "length of the clamped load-dump pulse",
    vehicleSupply.clampedDump.seconds * 1000,
    "ms",
    vehicleSupply.clampedDump.source,
  ),
  dumpRest: fact(
    "drive.limit.dump-rest",
    "supply before the load dump",
    dumpPulse.rest,
    "V",
    practice("common practice: a charging 12 V system"),
  ),
  dumpOhm: fact(
    "drive.limit.dump-source",
    "resistance behind an unclamped load dump, least",
    dumpPulse.ohm,
    "Ω",
    vehicleSupply.unclampedDump.source,
  ),
  dumpTime: fact(
    "drive.limit.dump-time",
    "length of an unclamped load dump, least",
    dumpPulse.seconds * 1000,
    "ms",
    vehicleSupply.unclampedDump.source,
  ),
  pinDiode: fact(
    "drive.limit.pin-diode",
    "forward voltage of a controller pin's own diode",
    pinDiodeVolt.value,
    "V",
    pinDiodeVolt.source,
  ),
  unclampedVolt: fact(
    "drive.limit.unclamped-surge",
    "load-dump pulse without clamp, low end",
    unclampedVolt.value,
    "V",
    unclampedVolt.source,
  ),
} as const
