// Parts of ways to drive LEDs that are compared with plain resistors: what the comparison needs to know of them.

import { fact } from "../0-ground/figure.ts"
import type { Source } from "../0-ground/source.ts"

const lm317: Source = { document: "LM317 data sheets (TO-220), electrical table", known: "read" }
const lm317Curve: Source = { document: "LM317 dropout curve, recalled", known: "memory", confidence: "M" }
const relaySheet: Source = { document: "twin vehicle mini relay, series 40, data sheet", known: "read" }
const silicon: Source = {
  document: "small-signal NPN transistor data sheets (0.58…0.70 V at 2 mA), recalled",
  known: "memory",
  confidence: "M",
}
const drawn: Source = { document: "TO-92 and TO-220 outlines, recalled", known: "memory", confidence: "H" }

/** LM317: reference between output and adjust pin, current of the adjust pin, voltage lost between in and out. */
export const adjustable = {
  reference: { low: 1.2, usual: 1.25, high: 1.3 },
  adjustCurrent: { low: 0, usual: 50e-6, high: 100e-6 },
  /** Lost at the least current, and the rest per ampere: 1.5 V at 20 mA, 2.1 V at 1 A. */
  headroom: 1.5,
  dropout: 0.6,
  upperOhm: 240,
  thermalResistance: 50,
} as const

/**
 * Two-transistor sink: one transistor carries the string, the other holds its own base–emitter voltage across the
 * sense resistor. Current = base–emitter voltage ÷ sense resistor.
 */
export const sinkPair = {
  baseEmitter: { low: 0.6, usual: 0.65, high: 0.7 },
  perKelvin: -2e-3,
  /** Between collector and emitter at least. */
  saturation: 0.2,
  /** Rise of the current per volt above that (finite gain). */
  perVolt: 0.002,
} as const

/** Coil of a small 12 V relay. */
export const relayCoil = { ohm: 260, pullIn: 7.2, dropOut: 1.2, contactOhm: 0.003 } as const

/** Bodies on the board, mm². */
export const bodyArea = { transistor: 5 * 4, regulator: 10.4 * 4.6, relay: 18.2 * 17.4 } as const

export const optionFacts = [
  fact("stock.adjustable.reference", "reference of an adjustable regulator", 1.25, "V", lm317),
  fact("stock.adjustable.reference-low", "reference, low part", 1.2, "V", lm317),
  fact("stock.adjustable.reference-high", "reference, high part", 1.3, "V", lm317),
  fact("stock.adjustable.adjust-current", "current of its adjust pin, at most", 100, "µA", lm317),
  fact("stock.adjustable.headroom", "voltage it loses at small current", 1.5, "V", lm317Curve),
  fact("stock.sink-pair.base-emitter", "base–emitter voltage of a small transistor", 0.65, "V", silicon),
  fact("stock.sink-pair.per-kelvin", "its change per kelvin", -2e-3, "V/K", silicon),
  fact("stock.relay.coil", "coil of a small 12 V relay", 260, "Ω", relaySheet),
  fact("stock.relay.pull-in", "voltage at which it surely pulls in", 7.2, "V", relaySheet),
  fact("stock.transistor.area", "board under a small transistor", 20, "mm²", drawn),
] as const
