// Bounds on what sets a string's current where it is not a resistor from the feed: the base–emitter voltage of a sink
// across its sense resistor, or the rail of an adjustable regulator. Read from parts and nets alone.

import { modelOf } from "../../1-stock/parts.ts"
import type { Circuit, LedString, Part } from "../../3-drive/artefact.ts"
import type { Conditions, Interval } from "./bound-currents.ts"

/** Volt per factor of e in a junction's current, 25 °C, rounded up. */
const thermal = 0.026
/** Parts beside the transistors warm them a little, K. */
const neighbours = 10

/** What a sink may take. */
export interface SinkBound {
  /** With supply to spare. */
  readonly current: Interval
  /** Greatest base–emitter voltage held across the sense resistor, and that resistor's least value. */
  readonly volt: number
  readonly ohm: number
  /** Greatest current of its base resistor, and what its pass transistor drops at most when full on. */
  readonly bias: number
  readonly saturation: number
  readonly sense: string
}

/** Current held by a sink with base current to spare; undefined when the string has none. */
export function sinkBound(
  string: LedString,
  byRef: ReadonlyMap<string, Part>,
  at: Conditions,
  drift: number,
): SinkBound | undefined {
  const { sink } = string
  const [hold, pass, sense, bias] = [sink?.hold, sink?.pass, sink?.sense, sink?.bias].map((r) =>
    byRef.get(r ?? ""),
  )
  if (!hold || !pass || !sense?.amount || !bias?.amount) return undefined
  const model = modelOf(hold.stock, "npn")
  const { tolerance } = modelOf(sense.stock, "resistor")
  const off = at.usualParts ? 0 : tolerance + drift
  const ohm = { low: sense.amount * (1 - off), high: sense.amount * (1 + off) }
  const volt = at.usualParts
    ? { low: model.baseEmitter.usual, high: model.baseEmitter.usual }
    : model.baseEmitter
  // The holding transistor carries what its base resistor leaves: more or less than the current its voltage is told for.
  const most = at.supply.high / (bias.amount * (1 - off))
  const least = Math.max(1e-5, (at.supply.low - 3.2) / (bias.amount * (1 + off)))
  const warm = at.temperature.high + (at.usualParts ? 1 : neighbours)
  const high =
    volt.high +
    model.voltagePerKelvin * (at.temperature.low - 25) +
    thermal * Math.max(0, Math.log(most / model.baseEmitterAt))
  const weakest = modelOf(pass.stock, "npn").gain
  const spent = volt.low / ohm.high / weakest.low
  const low =
    volt.low +
    model.voltagePerKelvin * (warm - 25) +
    thermal * Math.min(0, Math.log(Math.max(least - spent, 1e-5) / model.baseEmitterAt))
  // The string carries the emitter current less the base's; the holding transistor's base adds to the resistor's.
  const gain = at.usualParts ? weakest.usual : weakest.low
  return {
    current: {
      low: Math.max(0, (low / ohm.high) * (1 - 1 / (gain + 1)) * 0.995),
      high: high / ohm.low + most / gain,
    },
    volt: high,
    ohm: ohm.low,
    bias: most,
    saturation: modelOf(pass.stock, "npn").saturation,
    sense: sense.ref,
  }
}

export interface RailBound {
  readonly volt: Interval
  /** The net the regulator is fed from, and what it loses between that and the rail, at most and per ampere. */
  readonly feed: string
  readonly headroom: number
  readonly dropout: number
}

/** The voltage an adjustable regulator makes of `rail`; undefined for a net that none does. */
export function railBound(
  circuit: Circuit,
  rail: string,
  at: Conditions,
  drift: number,
): RailBound | undefined {
  for (const part of circuit.parts) {
    if (part.kind !== "adjustable-regulator") continue
    const model = modelOf(part.stock, "adjustable-regulator")
    const { pins } = model
    if (part.pins[pins.output] !== rail) continue
    const set = part.pins[pins.set]!
    const resistors = circuit.parts.filter(
      (p) => p.kind === "resistor" && Object.values(p.pins).includes(set),
    )
    const other = (p: Part) => Object.values(p.pins).find((n) => n !== set)!
    const ends = (p: Part, end: "low" | "high") => {
      const off = at.usualParts ? 0 : modelOf(p.stock, "resistor").tolerance + drift
      return p.amount! * (1 + (end === "low" ? -off : off))
    }
    const upper = resistors.find((p) => other(p) === rail)
    const lower = resistors.filter((p) => p !== upper && conducts(circuit, other(p), at))
    if (!upper || lower.length === 0) return undefined
    const beside = (end: "low" | "high") => 1 / lower.reduce((g, p) => g + 1 / ends(p, end), 0)
    // A saturated transistor below one of them raises the pin by no more than its own voltage.
    const sits = lower.some((p) => other(p) !== circuit.earth) ? 0.3 : 0
    const ref = at.usualParts ? { low: model.reference.usual, high: model.reference.usual } : model.reference
    const adjust = at.usualParts
      ? { low: model.adjustCurrent.usual, high: model.adjustCurrent.usual }
      : model.adjustCurrent
    const volt = (end: "low" | "high") => {
      const far = end === "low" ? "high" : "low"
      return ref[end] * (1 + beside(end) / ends(upper, far)) + adjust[end] * beside(end)
    }
    return {
      // Its inner resistance takes some millivolts of the low end.
      volt: { low: volt("low") - 0.05, high: volt("high") + sits },
      feed: part.pins[pins.input]!,
      headroom: model.headroom,
      dropout: model.dropout,
    }
  }
  return undefined
}

/** Whether a net that a set resistor ends on is earth, or a transistor's collector that stands on it. */
function conducts(circuit: Circuit, net: string, at: Conditions): boolean {
  if (net === circuit.earth) return true
  const main = circuit.parts.find(
    (p) => p.kind === "transistor" && p.pins.C === net && p.pins.E === circuit.earth,
  )
  if (!main) return false
  const inverter = circuit.parts.find((p) => p.kind === "transistor" && p.pins.C === main.pins.B)
  if (!inverter) return true
  const wireOf = new Map(circuit.nets.map((n) => [n.name, n.wire]))
  const drivers = circuit.parts
    .filter((p) => p.kind === "resistor" && Object.values(p.pins).includes(inverter.pins.B!))
    .flatMap((p) => Object.values(p.pins).flatMap((n) => wireOf.get(n) ?? []))
  return !drivers.some((w) => w !== wireOf.get(circuit.earth) && at.live.includes(w))
}
