// Bounds on what sets a string's current where it is not a resistor from the feed: the base–emitter voltage of a sink
// across its sense resistor, or the rail of an adjustable regulator. Read from parts and nets alone.

import { modelOf, partType } from "../../1-stock/parts.ts"
import type { Circuit, LedString, Part } from "../../3-drive/artefact.ts"
import type { Conditions, Interval } from "./bound-currents.ts"
import { drift } from "./resistor-drift.ts"

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
): SinkBound | undefined {
  const { sink } = string
  const [hold, pass, sense, bias] = [sink?.hold, sink?.pass, sink?.sense, sink?.bias].map((r) =>
    byRef.get(r ?? ""),
  )
  if (!hold || !pass || !sense?.amount || !bias?.amount) return undefined
  const model = modelOf(hold.stock, "npn")
  const { tolerance } = modelOf(sense.stock, "resistor")
  const off = at.usualParts ? 0 : tolerance + drift(partType(sense.stock), at)
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
  /** What its inner resistance takes of the low end per ampere: it stands before the set pin, so the divider lifts it. */
  readonly perAmpere: number
  /** The net the regulator is fed from, and what it loses between that and the rail, at most and per ampere. */
  readonly feed: string
  readonly headroom: number
  readonly dropout: number
}

/** The voltage an adjustable regulator makes of `rail`; undefined for a net that none does. */
export function railBound(circuit: Circuit, rail: string, at: Conditions): RailBound | undefined {
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
      const off = at.usualParts ? 0 : modelOf(p.stock, "resistor").tolerance + drift(partType(p.stock), at)
      return p.amount! * (1 + (end === "low" ? -off : off))
    }
    const upper = resistors.find((p) => other(p) === rail)
    const lower = resistors.filter((p) => p !== upper)
    if (!upper) return undefined
    const ref = at.usualParts ? { low: model.reference.usual, high: model.reference.usual } : model.reference
    const adjust = at.usualParts
      ? { low: model.adjustCurrent.usual, high: model.adjustCurrent.usual }
      : model.adjustCurrent
    // Every way the resistors below the pin may reach earth: a relay near its pull-in voltage may stand either way.
    const ways = lower
      .map((p) =>
        pathsToEarth(circuit, other(p), at, ends).map((path) => ({
          low: ends(p, "low") + path.low,
          high: ends(p, "high") + path.high,
          sits: path.sits,
        })),
      )
      .reduce<readonly (readonly Path[])[]>(
        (sets, paths) =>
          paths.length === 0 ? sets : sets.flatMap((set) => paths.map((path) => [...set, path])),
        [[]],
      )
      .filter((set) => set.length > 0)
    if (ways.length === 0) return undefined
    let least = Number.POSITIVE_INFINITY
    let most = 0
    let lift = 0
    for (const set of ways) {
      const beside = (end: "low" | "high") => 1 / set.reduce((g, p) => g + 1 / p[end], 0)
      const volt = (end: "low" | "high") => {
        const far = end === "low" ? "high" : "low"
        return ref[end] * (1 + beside(end) / ends(upper, far)) + adjust[end] * beside(end)
      }
      least = Math.min(least, volt("low"))
      lift = Math.max(lift, 1 + beside("high") / ends(upper, "low"))
      most = Math.max(most, volt("high") + Math.max(...set.map((p) => p.sits)))
    }
    return {
      volt: { low: least - 0.01, high: most },
      perAmpere: innerOhm * lift,
      feed: part.pins[pins.input]!,
      headroom: model.headroom,
      dropout: model.dropout,
    }
  }
  return undefined
}

/** Load regulation of an adjustable regulator, at its reference, Ω. */
const innerOhm = 0.02

/** What lies between the far end of a set resistor and earth, Ω, and the voltage a transistor there adds at most. */
interface Path extends Interval {
  readonly sits: number
}

/** None where nothing conducts; several where it is not sure which. */
function pathsToEarth(
  circuit: Circuit,
  net: string,
  at: Conditions,
  ends: (part: Part, end: "low" | "high") => number,
): readonly Path[] {
  if (net === circuit.earth) return [{ low: 0, high: 0, sits: 0 }]
  const relay = circuit.parts.find((p) => p.kind === "relay" && Object.values(p.pins).includes(net))
  // A saturated transistor raises the pin by no more than its own voltage.
  if (!relay) return conducts(circuit, net, at) ? [{ low: 0, high: 0, sits: 0.3 }] : []
  const { pins } = modelOf(relay.stock, "relay")
  const rest = relay.pins[pins.rest] === net
  const bypassed = circuit.parts.filter((p) => {
    const nets = Object.values(p.pins)
    return p.kind === "resistor" && nets.includes(net) && nets.includes(circuit.earth)
  })
  const open = (end: "low" | "high") => 1 / bypassed.reduce((g, p) => g + 1 / ends(p, end), 0)
  const made: Path = { low: 0, high: modelOf(relay.stock, "relay").contactResistance, sits: 0 }
  const apart: readonly Path[] =
    bypassed.length === 0 ? [] : [{ low: open("low"), high: open("high"), sits: 0 }]
  const pulled = pulledIn(circuit, relay, at)
  const closed = rest ? pulled !== "yes" : pulled !== "no"
  const opened = rest ? pulled !== "no" : pulled !== "yes"
  return [...(closed ? [made] : []), ...(opened ? apart : [])]
}

/** Whether a relay is surely pulled in, surely at rest, or may be either: by the least and greatest voltage at its coil. */
function pulledIn(circuit: Circuit, relay: Part, at: Conditions): "yes" | "no" | "either" {
  const model = modelOf(relay.stock, "relay")
  const coil = relay.pins[model.pins.coil[0]]!
  const wireOf = new Map(circuit.nets.flatMap((n) => (n.wire ? [[n.name, n.wire] as const] : [])))
  const live = (net: string) => at.live.includes(wireOf.get(net) ?? "")
  const diodes = circuit.parts.filter((p) => p.kind === "diode" && p.pins.K === coil)
  const straight = live(coil)
  if (!straight && !diodes.some((d) => live(d.pins.A!))) return "no"
  const drop = straight ? 0 : 1.1
  // It needs a current: the voltage for that rises with the winding's resistance.
  const warm = at.temperature.high + (model.thermalResistance * at.supply.high ** 2) / model.coil
  const needs = model.pullIn * (1 + model.coilPerKelvin * (warm - 20))
  const lost = (at.wireOhm * at.supply.high) / (model.coil * (1 - model.coilTolerance))
  const has = at.supply.low - drop - lost - at.wireOhm * at.otherCurrent
  if (has > needs) return "yes"
  const cold = model.dropOut * (1 + model.coilPerKelvin * (at.temperature.low - 20))
  return at.supply.high < cold ? "no" : "either"
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
