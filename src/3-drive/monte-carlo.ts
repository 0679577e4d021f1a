// Many lamps built from parts that lie anywhere in their tolerances, each on a supply and in weather drawn by lot:
// how many keep every LED between the least it must give and the most it may take. Seeded; the same lamp draws the
// same lots.

import { random } from "../0-ground/numbers/random.ts"
import { ledType, modelThermalVoltage } from "../1-stock/leds.ts"
import { partType } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import { programmeDrive } from "./corners.ts"
import { type CircuitBody, modelCircuit } from "./model-circuit.ts"
import { Network } from "./solver/network.ts"
import { type OperatingPoint, operatingPoint, real } from "./solver/operating-point.ts"
import { PreparedNetwork } from "./solver/prepared-network.ts"

export interface Draw {
  readonly supply: number
  readonly celsius: number
  readonly live: readonly string[]
  /** LED ref → ampere. */
  current(ref: string): number
}

export interface DrawReport {
  readonly drawn: number
  readonly stuck: number
  /** Greatest |power in − power turned to heat and light| ÷ power in, over all draws. */
  readonly powerError: number
}

/**
 * Draws `count` lamps for each set of live wires in turn and hands each solution to `see`.
 * Resistors, forward voltages and diodes are drawn evenly between their ends, each part for itself.
 */
export function drawLamps(
  circuit: CircuitBody,
  lamp: Lamp,
  groupOf: ReadonlyMap<number, string>,
  liveSets: readonly (readonly string[])[],
  count: number,
  see: (draw: Draw) => void,
): DrawReport {
  const chance = random(lamp.seed)
  const { supply, ambient } = lamp.vehicle
  let stuck = 0
  let powerError = 0
  const sets = liveSets.length
  let drawn = 0
  liveSets.forEach((live, which) => {
    const mine = Math.floor(count / sets) + (which < count % sets ? 1 : 0)
    if (mine === 0) return
    const setting = {
      wires: new Map(live.map((w) => [w, supply.usual])),
      parts: "usual" as const,
      celsius: 25,
      drive: programmeDrive(lamp, groupOf, live),
    }
    const usual = modelCircuit(circuit, lamp, setting)
    const lots = lotsOf(circuit, usual)
    const prepared = new PreparedNetwork(usual)
    const start = startsOf(prepared, usual, supply.lowest, supply.highest)
    prepared.load(usual)
    const indexOf = new Map(prepared.refs.map((ref, k) => [ref, k]))
    const currentOf = (ref: string) => {
      const k = indexOf.get(ref)
      return k === undefined ? Number.NaN : prepared.currentOf(k)
    }
    for (let d = 0; d < mine; d++) {
      const at = {
        supply: supply.lowest + (supply.highest - supply.lowest) * chance.next(),
        celsius: ambient.lowest + (ambient.highest - ambient.lowest) * chance.next(),
      }
      for (const lot of lots) lot(prepared, at, chance)
      start(at.supply)
      drawn++
      if (!prepared.solve(real)) {
        stuck++
        continue
      }
      powerError = Math.max(powerError, powerMiss(usual, prepared))
      see({ ...at, live, current: (ref) => currentOf(ref) })
    }
  })
  return { drawn, stuck, powerError }
}

/** Puts the prepared network near its answer at a supply: between two of a few solved beforehand with usual parts. */
function startsOf(
  prepared: PreparedNetwork,
  usual: Network,
  lowest: number,
  highest: number,
): (supply: number) => void {
  const steps = 8
  const volts = Array.from({ length: steps + 1 }, (_, k) => lowest + ((highest - lowest) * k) / steps)
  let last: OperatingPoint | undefined
  const ladder = volts.map((volt) => {
    const network = new Network()
    for (const name of usual.names) network.node(name)
    for (const e of usual.elements) network.elements.push(e.kind === "source" ? { ...e, volt } : e)
    const point = operatingPoint(network, real, last)
    if (point.converged) last = point
    prepared.load(network)
    prepared.startFrom(point)
    prepared.solve(real)
    return { volt: prepared.x.slice(), current: prepared.currents() }
  })
  return (supply) => {
    const at = highest > lowest ? ((supply - lowest) / (highest - lowest)) * steps : 0
    const k = Math.min(steps - 1, Math.floor(at))
    const [a, b] = [ladder[k]!, ladder[k + 1]!]
    const share = at - k
    for (let i = 0; i < a.volt.length; i++) prepared.x[i] = a.volt[i]! + share * (b.volt[i]! - a.volt[i]!)
    prepared.bendAt((r) => a.current[r]! + share * (b.current[r]! - a.current[r]!))
  }
}

type Lot = (
  network: PreparedNetwork,
  at: { readonly supply: number; readonly celsius: number },
  chance: { next(): number },
) => void

/** How each element's values are drawn; elements without a lot keep their usual values. */
function lotsOf(circuit: CircuitBody, usual: Network): Lot[] {
  const parts = new Map(circuit.parts.map((p) => [p.ref, p]))
  return usual.elements.flatMap((e, k): Lot[] => {
    if (e.kind === "source")
      return [
        (network, at) => {
          network.setSource(k, at.supply)
        },
      ]
    const part = parts.get(e.ref)
    if (!part) return []
    if (part.kind === "led" && e.kind === "diode") {
      const led = ledType(part.stock)
      const { low, usual: middle, high } = led.model
      return [
        (network, at, chance) => {
          const lot = 2 * chance.next() - 1
          const [from, share] = lot < 0 ? [low, -lot] : [high, lot]
          const mix = (a: number, b: number) => a + (b - a) * share
          const nVt = mix(middle.emission, from.emission) * modelThermalVoltage
          const shift = led.voltagePerKelvin * (at.celsius - 25)
          const log = mix(Math.log(middle.saturation), Math.log(from.saturation))
          network.setDiode(k, Math.exp(log - shift / nVt), nVt, mix(middle.series, from.series))
        },
      ]
    }
    const { model } = partType(part.stock)
    if (model.kind === "resistor" && e.kind === "resistor") {
      const ohm = e.ohm
      return [
        (network, _, chance) => {
          network.setResistor(k, ohm * (1 + model.tolerance * (2 * chance.next() - 1)))
        },
      ]
    }
    if (model.kind === "diode" && e.kind === "diode") {
      const { saturation, nVt, series } = e
      return [
        (network, at, chance) => {
          const shift = model.spread * (2 * chance.next() - 1) + model.voltagePerKelvin * (at.celsius - 25)
          network.setDiode(k, saturation * Math.exp(-shift / nVt), nVt, series)
        },
      ]
    }
    return []
  })
}

/** Power that sources deliver against power that everything else takes. */
function powerMiss(network: Network, solved: PreparedNetwork): number {
  let given = 0
  let taken = 0
  solved.fill()
  const at = (node: number) => (node === 0 ? 0 : solved.x[node - 1]!)
  network.elements.forEach((e, k) => {
    const i = solved.currentOf(k)
    if (e.kind === "source") {
      given += solved.voltOf(k) * i
      taken += solved.ohmOf(k) * i * i
    } else if (e.kind === "regulator") {
      const share = Math.min(Math.max((at(e.a) - at(e.c)) / 2, 0), 1)
      taken += (at(e.a) - at(e.b)) * i + (at(e.a) - at(e.c)) * e.quiescent * share
    } else {
      taken += (at(e.a) - at(e.b)) * i
      if (e.kind === "diode" && e.share !== undefined) {
        // A transistor's junction: what flows on through the third pin.
        const across = e.base === "b" ? at(e.b) - at(e.c!) : at(e.c!) - at(e.a)
        taken += e.share * i * across
        if (e.early !== undefined && across > 0)
          taken +=
            ((e.share * i * across) / e.early) * (e.base === "b" ? at(e.a) - at(e.c!) : at(e.c!) - at(e.b))
      }
    }
  })
  // The gigaohm of dirt on every net.
  taken += real.leak * solved.squaredVolts()
  return given > 0 ? Math.abs(given - taken) / given : 0
}

/** 95 % interval of a share of `hits` in `count` (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927, p. 209). */
export function wilson(hits: number, count: number): { readonly low: number; readonly high: number } {
  const z = 1.959964
  const p = hits / count
  const middle = p + (z * z) / (2 * count)
  const half = z * Math.sqrt((p * (1 - p)) / count + (z * z) / (4 * count * count))
  const scale = 1 + (z * z) / count
  return { low: Math.max(0, (middle - half) / scale), high: Math.min(1, (middle + half) / scale) }
}
