// Many lamps built from parts that lie anywhere in their tolerances, each on a supply and in weather drawn by lot:
// how many keep every LED between the least it must give and the most it may take. Seeded; the same lamp draws the
// same lots.

import { random } from "../0-ground/numbers/random.ts"
import { ledType, modelThermalVoltage } from "../1-stock/leds.ts"
import { partType } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import { programmeDrive } from "./corners.ts"
import { type CircuitBody, modelCircuit } from "./model-circuit.ts"
import { windingAt } from "./relay-coil.ts"
import { Network } from "./solver/network.ts"
import { type OperatingPoint, operatingPoint, real } from "./solver/operating-point.ts"
import { PreparedNetwork } from "./solver/prepared-network.ts"

export interface Draw {
  /** The same number with other wires live is the same lamp on the same supply in the same weather. */
  readonly lamp: number
  readonly supply: number
  readonly celsius: number
  readonly live: readonly string[]
  /** LED ref → ampere. */
  current(ref: string): number
}

export interface DrawReport {
  readonly drawn: number
  readonly stuck: number
  /** Greatest |power in − power turned to heat and light| ÷ power in, over all draws; of many draws, every eighth. */
  readonly powerError: number
}

export interface DrawOptions {
  /** Share of every tolerance that is drawn: 0 draws usual parts. */
  readonly width?: number
}

/** Solutions with usual parts at a few supplies from the lowest to the highest. */
type Ladder = readonly { readonly volt: Float64Array; readonly current: Float64Array }[]

/**
 * Draws `count` ÷ sets lamps, solves each with every set of live wires, and hands each solution to `see`.
 * Resistors, forward voltages, diodes, switches, references and gains are drawn evenly between their ends, each part
 * for itself; supply and temperature evenly between the lowest and the highest.
 */
export function drawLamps(
  circuit: CircuitBody,
  lamp: Pick<Lamp, "vehicle" | "programme" | "seed">,
  groupOf: ReadonlyMap<number, string>,
  liveSets: readonly (readonly string[])[],
  count: number,
  see: (draw: Draw) => void,
  { width = 1 }: DrawOptions = {},
): DrawReport {
  const { supply, ambient } = lamp.vehicle
  let stuck = 0
  let powerError = 0
  const sets = liveSets.length
  let drawn = 0
  liveSets.forEach((live, which) => {
    const mine = drawnOf(count, sets, which)
    if (mine === 0) return
    const usual = usualNetwork(circuit, lamp, groupOf, live)
    const lots = lotsOf(circuit, usual)
    const prepared = new PreparedNetwork(usual)
    const ladder = ladderOf(prepared, usual, supply, mine)
    prepared.load(usual)
    const indexOf = new Map(prepared.refs.map((ref, k) => [ref, k]))
    const currentOf = (ref: string) => {
      const k = indexOf.get(ref)
      return k === undefined ? Number.NaN : prepared.currentOf(k)
    }
    const share = new Float64Array(circuit.parts.length)
    const drift = new Float64Array(circuit.parts.length)
    const everyOther = mine > 200 ? 8 : 1
    for (let d = 0; d < mine; d++) {
      const chance = random(lamp.seed + 7919 * (d + 1))
      const at = {
        supply: supply.lowest + (supply.highest - supply.lowest) * chance.next(),
        celsius: ambient.lowest + (ambient.highest - ambient.lowest) * chance.next(),
      }
      // Drawn for every part in the order of the circuit, whatever is switched on: the same lamp with every set.
      for (let p = 0; p < share.length; p++) share[p] = width * (2 * chance.next() - 1)
      // Which way each resistor drifts with warmth, and how much of what it may.
      for (let p = 0; p < drift.length; p++) drift[p] = width * (2 * chance.next() - 1)
      for (const lot of lots) lot(prepared, at, share, drift)
      startAt(prepared, ladder, supply, at.supply)
      drawn++
      if (!prepared.solve(real)) {
        stuck++
        continue
      }
      if (d % everyOther === 0) powerError = Math.max(powerError, powerMiss(usual, prepared))
      see({ ...at, lamp: d, live, current: currentOf })
    }
  })
  return { drawn, stuck, powerError }
}

/** Lamps drawn for one of the sets of live wires. */
const drawnOf = (count: number, sets: number, which: number): number =>
  Math.floor(count / sets) + (which < count % sets ? 1 : 0)

const usualNetwork = (
  circuit: CircuitBody,
  lamp: Pick<Lamp, "vehicle" | "programme">,
  groupOf: ReadonlyMap<number, string>,
  live: readonly string[],
): Network =>
  modelCircuit(circuit, lamp, {
    wires: new Map(live.map((w) => [w, lamp.vehicle.supply.usual])),
    parts: "usual",
    celsius: 25,
    drive: programmeDrive(lamp, groupOf, live),
  })

type Span = { readonly lowest: number; readonly highest: number }

function ladderOf(
  prepared: PreparedNetwork,
  usual: Network,
  { lowest, highest }: Span,
  draws: number,
): Ladder {
  const steps = draws < 100 ? 1 : 8
  let last: OperatingPoint | undefined
  return Array.from({ length: steps + 1 }, (_, k) => {
    const volt = lowest + ((highest - lowest) * k) / steps
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
}

/** Puts the prepared network near its answer at a supply: between two rungs. */
function startAt(prepared: PreparedNetwork, ladder: Ladder, { lowest, highest }: Span, supply: number): void {
  const steps = ladder.length - 1
  const at = highest > lowest ? ((supply - lowest) / (highest - lowest)) * steps : 0
  const k = Math.min(steps - 1, Math.floor(at))
  const [a, b] = [ladder[k]!, ladder[k + 1]!]
  const share = at - k
  for (let i = 0; i < a.volt.length; i++) prepared.x[i] = a.volt[i]! + share * (b.volt[i]! - a.volt[i]!)
  prepared.bendAt((r) => a.current[r]! + share * (b.current[r]! - a.current[r]!))
}

type Lot = (
  network: PreparedNetwork,
  at: { readonly supply: number; readonly celsius: number },
  /** Where each part lies between its low (−1), usual (0) and high (1) end. */
  share: Float64Array,
  /** Share of its temperature coefficient, −1…1. */
  drift: Float64Array,
) => void

/** How each element's values are drawn; elements without a lot keep their usual values. */
function lotsOf(circuit: CircuitBody, usual: Network): Lot[] {
  const parts = new Map(circuit.parts.map((p) => [p.ref, p]))
  const places = new Map(circuit.parts.map((p, i) => [p.ref, i]))
  return usual.elements.flatMap((e, k): Lot[] => {
    if (e.kind === "source") return [(network, at) => network.setSource(k, at.supply)]
    const ref = e.ref.split(".")[0]!
    const part = parts.get(ref)
    if (!part) return []
    const place = places.get(ref)!
    const of = (share: Float64Array) => share[place]!
    if (part.kind === "led" && e.kind === "diode") {
      const led = ledType(part.stock)
      const { low, usual: middle, high } = led.model
      const logs = {
        low: Math.log(low.saturation),
        usual: Math.log(middle.saturation),
        high: Math.log(high.saturation),
      }
      return [
        (network, at, share) => {
          const lot = of(share)
          const end = lot < 0 ? low : high
          const mix = (a: number, b: number) => a + (b - a) * Math.abs(lot)
          const nVt = mix(middle.emission, end.emission) * modelThermalVoltage
          const shift = led.voltagePerKelvin * (at.celsius - 25)
          const log = mix(logs.usual, lot < 0 ? logs.low : logs.high)
          network.setDiodeLog(k, log - shift / nVt, nVt, mix(middle.series, end.series))
        },
      ]
    }
    const { model } = partType(part.stock)
    switch (model.kind) {
      case "resistor":
      case "resistor-array": {
        if (e.kind !== "resistor") return []
        const { ohm } = e
        const perKelvin = model.kind === "resistor" ? model.perKelvin : 0
        return [
          (network, at, share, drift) =>
            network.setResistor(
              k,
              ohm * (1 + model.tolerance * of(share)) * (1 + perKelvin * drift[place]! * (at.celsius - 25)),
            ),
        ]
      }
      case "relay": {
        if (e.kind !== "resistor") return []
        const { ohm } = e
        return [
          (network, at, share) =>
            network.setResistor(
              k,
              (ohm * (1 + model.coilTolerance * of(share)) * windingAt(model, at.celsius)) /
                windingAt(model, 25),
            ),
        ]
      }
      case "diode": {
        if (e.kind !== "diode") return []
        const { saturation, nVt, series } = e
        const log = Math.log(saturation)
        return [
          (network, at, share) => {
            const shift = model.spread * of(share) + model.voltagePerKelvin * (at.celsius - 25)
            network.setDiodeLog(k, log - shift / nVt, nVt, series)
          },
        ]
      }
      case "regulator":
      case "adjustable-regulator": {
        if (e.kind !== "regulator") return []
        const ends = model.kind === "regulator" ? model.out : model.reference
        return [(network, _, share) => network.setRegulator(k, between(ends, of(share)))]
      }
      case "low-side-array": {
        if (e.kind !== "curve" || !model.sectionPins.some(([, output]) => e.ref === `${ref}.${output}`))
          return []
        const drop = model.dropAt[1]!
        return [(network, _, share) => network.setStretch(k, between(drop, of(share)) / drop.usual)]
      }
      case "npn": {
        if (e.kind !== "diode") return []
        const forwards = e.ref.endsWith(".be")
        return [
          (network, at, share) => {
            const lot = of(share)
            const volt = between(model.baseEmitter, lot) + model.voltagePerKelvin * (at.celsius - 25)
            const log = Math.log(model.baseEmitterAt) - volt / e.nVt
            const gain = between(model.gain, lot)
            const scale = forwards
              ? 0
              : Math.log(e.saturation * Math.exp(model.baseEmitter.usual / e.nVt)) -
                Math.log(model.baseEmitterAt)
            network.setDiodeLog(k, log + scale, e.nVt, e.series)
            if (forwards) network.setShare(k, gain / (1 + gain))
          },
        ]
      }
      default:
        return []
    }
  })
}

/** −1 the low end, 0 the usual value, 1 the high end. */
const between = (
  ends: { readonly low: number; readonly usual: number; readonly high: number },
  share: number,
): number => ends.usual + Math.abs(share) * ((share < 0 ? ends.low : ends.high) - ends.usual)

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
        taken += solved.shareOf(k) * i * across
        if (e.early !== undefined && across > 0)
          taken +=
            ((solved.shareOf(k) * i * across) / e.early) *
            (e.base === "b" ? at(e.a) - at(e.c!) : at(e.c!) - at(e.b))
      }
    }
  })
  // The gigaohm of dirt on every net.
  taken += real.leak * solved.squaredVolts()
  return given > 0 ? Math.abs(given - taken) / given : 0
}
