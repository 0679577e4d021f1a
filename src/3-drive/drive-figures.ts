// The numbers of this room that a user may ask about, with their way back to stock facts and the description.

import { type Figure, fact, result } from "../0-ground/figure.ts"
import { computed, described, type Source } from "../0-ground/source.ts"
import { leds } from "../1-stock/leds.ts"
import { parts } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import {
  flashingShare,
  junctionReserve,
  leastShare,
  ledShare,
  resistorShare,
  surgeVolt,
  unclampedVolt,
} from "./limits.ts"

const solver: Source = computed(
  "the whole circuit solved by nodal analysis with Newton's method, each part by its law at that corner",
)

/** Figures of one design: a figure with a known id is made once. */
export class Figures {
  private readonly made = new Map<string, Figure>()
  private readonly lamp: Lamp

  constructor(lamp: Lamp) {
    this.lamp = lamp
  }

  /** Only the results: facts are found as their inputs. */
  get all(): readonly Figure[] {
    return [...this.made.values()]
  }

  get(id: string): Figure | undefined {
    return this.made.get(id)
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
    const figure = result(
      id,
      name,
      value,
      unit,
      formula,
      inputs.filter((i) => i !== undefined),
      corner === undefined ? {} : { corner },
    )
    this.made.set(id, figure)
    return figure
  }

  /** A value that came out of the solver. */
  solved(
    id: string,
    name: string,
    value: number,
    unit: string,
    inputs: readonly (Figure | undefined)[],
    corner?: string,
    formula = "solved with all parts of the circuit together",
  ): Figure {
    const figure = this.result(id, name, value, unit, formula, inputs, corner)
    const sourced = { ...figure, source: solver }
    this.made.set(id, sourced)
    return sourced
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

/** A fact of the stock by its short name: `stockFact("red-5mm", "test-current")`. */
export function stockFact(key: string, name: string): Figure | undefined {
  const entry = leds.find(key) ?? parts.find(key)
  return entry?.facts.find((f) => f.id === `stock.${key}.${name}`)
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
  surgeVolt: fact("drive.limit.surge", "clamped load-dump pulse", surgeVolt.value, "V", surgeVolt.source),
  unclampedVolt: fact(
    "drive.limit.unclamped-surge",
    "load-dump pulse without clamp, low end",
    unclampedVolt.value,
    "V",
    unclampedVolt.source,
  ),
} as const
