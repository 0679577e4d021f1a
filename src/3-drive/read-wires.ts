// How a 12 V wire becomes a safe controller input: divider, clamp diode to 5 V, filter, and a bleed on flashing
// wires. Thresholds are worked out over all tolerances: surely live above, surely dead below.

import { flashers } from "../1-stock/flashers.ts"
import { modelOf } from "../1-stock/parts.ts"
import type { Wire } from "../2-lamp/artefact.ts"
import type { WireInput } from "./artefact.ts"

/**
 * 91 kΩ over 68 kΩ: live well below 9 V, dead well above what a flasher leaks, and less than 1 mA through the pin's own
 * diodes in a load dump and in pulse 1 (−100 V). Tolerance: 1 %, and 50 K of warmth at 100 ppm/K.
 */
export const inputValues = { upper: 91e3, lower: 68e3, filter: 4.7e-9, tolerance: 0.015 } as const

export interface InputNetwork {
  readonly wire: string
  readonly net: string
  readonly upper: string
  readonly lower: string
  readonly filter: string
  readonly clamp: string
  readonly bleed?: string
  readonly bleedOhm?: number
}

/** Resistor across a flashing wire: keeps it surely dead under what leaks through its kind of flasher. */
export function bleedFor(wire: Wire): number | undefined {
  if (wire.role !== "flashing") return undefined
  return (wire.flasher ?? "electronic") === "electronic" ? 560 : 1000
}

/** Voltage a flasher holds on the wire while off, with only the bleed to earth. */
export function offVolt(wire: Wire): number {
  const { volt, ohm } = flashers[wire.flasher ?? "electronic"].off
  const bleed = bleedFor(wire)
  return bleed === undefined ? volt : (volt * bleed) / (bleed + ohm)
}

/** Shares of the controller's supply between which an input may read either way, turned back into wire voltage. */
export function wireInput(network: InputNetwork, usual: number, controller: string): WireInput {
  const { upper, lower, tolerance, filter } = inputValues
  const { inputHigh, inputLow, leakage } = modelOf(controller, "controller")
  const { out } = modelOf("regulator-lm2940", "regulator")
  const least = 1 - tolerance
  const most = 1 + tolerance
  const share = (u: number, l: number) => l / (u + l)
  const source = (u: number, l: number) => (u * l) / (u + l)
  // Leakage flows either way through the divider's own resistance.
  const lost = leakage * source(upper * most, lower * most)
  const liveAbove = (inputHigh * out.high + lost) / share(upper * most, lower * least)
  const deadBelow = (inputLow * out.low - lost) / share(upper * least, lower * most)
  // Slowest edges: largest capacitor and resistance. Rising from nothing to the threshold at the usual supply,
  // falling from the clamp (a diode above 5 V) or from the divided supply.
  const tau = source(upper * most, lower * most) * filter * 1.1
  const settled = usual * share(upper, lower)
  const clamped = Math.min(settled, out.high + 0.8)
  return {
    wire: network.wire,
    net: network.net,
    liveAbove,
    deadBelow,
    riseDelay: tau * Math.log(settled / Math.max(settled - inputHigh * out.high, 1e-3)),
    fallDelay: tau * Math.log(clamped / (inputLow * out.low)),
  }
}
