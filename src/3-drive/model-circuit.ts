// The circuit's parts as a network for the solver, at one corner. It reads parts and nets only, not the intention
// behind them, so that a diode the wrong way round shows as a lamp that stays dark.

import type { DiodeModel, PartType } from "../1-stock/artefact.ts"
import { ledType, modelThermalVoltage } from "../1-stock/leds.ts"
import { modelOf, partType } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { ControllerSignal, Net, Part } from "./artefact.ts"
import { conductorOhm, earthWire } from "./feed-wires.ts"
import { type RelayModel, windingAt } from "./relay-coil.ts"
import { type BipolarLaw, Network } from "./solver/network.ts"
import type { End } from "./string-current.ts"

export interface CircuitBody {
  readonly parts: readonly Part[]
  readonly nets: readonly { readonly name: string; readonly kind: Net["kind"]; readonly wire?: string }[]
  readonly earth: string
  readonly signals: readonly ControllerSignal[]
  readonly controller?: string
}

/** What the controller does with a signal: drives it, or leaves it alone. */
export type Drive = "high" | "low" | "open"

export interface Setting {
  /** Wire name → volt at its far end (battery side). Wires not named are open. */
  readonly wires: ReadonlyMap<string, number>
  /** Resistance in front of a wire beside its own, ohm: a flasher that leaks. */
  readonly behind?: ReadonlyMap<string, number>
  readonly parts: "weakest" | "usual" | "strongest"
  /** Only parts of this kind stand at that end, all others are usual: what one tolerance does by itself. */
  readonly only?: Tolerance
  readonly celsius: number
  /** How much hotter than the air the junction of that ref runs: LEDs, diodes, transistors. */
  readonly ledRise?: ReadonlyMap<string, number>
  /** Signal name → what the controller does; absent: all left alone (no program running). */
  readonly drive?: (signal: ControllerSignal) => Drive
  /** Diodes leak as much as hot ones may, and LEDs break down at their reverse rating: for a reversed battery. */
  readonly leaky?: boolean
  /** With the protection diodes of the controller's input pins (to earth; those to its supply stand in the circuit). */
  readonly pinDiodes?: boolean
  /** The regulator shut down, as it does in a surge. */
  readonly regulatorOff?: boolean
  /** Coils end on a node of their own, `K1.coil`, and contacts are left out: both stand beside the network over time. */
  readonly relaysApart?: boolean
  /** Equal parts side by side that a part (of an array: `U1.18`, a section) stands for; absent: itself alone. */
  readonly alike?: ReadonlyMap<string, number>
}

type Npn = Extract<PartType["model"], { readonly kind: "npn" }>

/** Parts whose tolerance counts, by what varies in them. */
export type Tolerance = "leds" | "resistors" | "diodes" | "switches" | "regulators" | "transistors" | "relays"

const toleranceOf: Partial<Record<PartType["model"]["kind"], Tolerance>> = {
  resistor: "resistors",
  "resistor-array": "resistors",
  diode: "diodes",
  "low-side-array": "switches",
  regulator: "regulators",
  "adjustable-regulator": "regulators",
  npn: "transistors",
  relay: "relays",
}

const endOf = { weakest: "high", usual: "usual", strongest: "low" } as const
const toleranceSign = { weakest: 1, usual: 0, strongest: -1 } as const
const spreadSign = { low: -1, usual: 0, high: 1 } as const

/** A silicon junction of some ten ohm: 0.6 V at half a milliampere. */
const pinDiode = { saturation: 5e-14, nVt: modelThermalVoltage, series: 20 }

/** A large silicon junction: 0.7 V at an ampere. */
const backDiode = { saturation: 2e-12, nVt: modelThermalVoltage, series: 0.05 }

/** Batteries have a few milliohm; it keeps every source real. */
const sourceOhm = 1e-3

export function modelCircuit(circuit: CircuitBody, lamp: Pick<Lamp, "vehicle">, setting: Setting): Network {
  const network = new Network()
  const wireOf = new Map(lamp.vehicle.wires.map((w) => [w.name, w]))
  network.resistor("wire:earth", circuit.earth, "0", conductorOhm(earthWire(lamp)) + sourceOhm)
  for (const net of circuit.nets) {
    if (net.wire === undefined || net.name === circuit.earth) continue
    const volt = setting.wires.get(net.wire)
    if (volt === undefined) continue
    network.source(
      `wire:${net.wire}`,
      net.name,
      "0",
      volt,
      conductorOhm(wireOf.get(net.wire)) + sourceOhm + (setting.behind?.get(net.wire) ?? 0),
    )
  }
  const contexts = {
    own: contextOf(circuit, setting),
    usual: contextOf(circuit, { ...setting, parts: "usual" }),
  }
  for (const part of circuit.parts) {
    const kind = part.kind === "led" ? "leds" : toleranceOf[partType(part.stock).model.kind]
    const at = setting.only === undefined || setting.only === kind ? contexts.own : contexts.usual
    addPart(network, part, at)
  }
  return network
}

const contextOf = (circuit: CircuitBody, setting: Setting): Context => ({
  circuit,
  setting,
  end: endOf[setting.parts],
  sign: toleranceSign[setting.parts],
})

interface Context {
  readonly circuit: CircuitBody
  readonly setting: Setting
  readonly end: End
  readonly sign: number
}

function addPart(network: Network, part: Part, context: Context): void {
  const { setting, end, sign, circuit } = context
  const pin = (name: string) => part.pins[name]
  const times = setting.alike?.get(part.ref) ?? 1
  if (part.kind === "led") {
    const led = ledType(part.stock)
    const t = setting.celsius + (setting.ledRise?.get(part.ref) ?? 0)
    const law = diodeLaw(led.model[end], led.voltagePerKelvin * (t - 25))
    network.diode(part.ref, pin("A")!, pin("K")!, beside(law, times))
    if (setting.leaky) {
      network.curve(`${part.ref}.reverse`, pin("A")!, pin("K")!, [
        [-led.maximumReverse - 10, -1],
        [-led.maximumReverse, -led.reverseCurrent],
        [0, 0],
        [1, 1e-9],
      ])
    }
    return
  }
  const { model } = partType(part.stock)
  switch (model.kind) {
    case "resistor": {
      const turned = setsRail(circuit, part) ? -sign : sign
      // Warmth takes it further the same way: nobody knows which way a part drifts.
      const t = setting.celsius + (setting.ledRise?.get(part.ref) ?? 0)
      const off = (1 + turned * model.tolerance) * (1 + turned * model.perKelvin * Math.abs(t - 25))
      network.resistor(part.ref, pin("1")!, pin("2")!, (part.amount! * off) / times)
      return
    }
    case "diode": {
      const t = setting.celsius + (setting.ledRise?.get(part.ref) ?? 0)
      const shift = spreadSign[end] * model.spread + model.voltagePerKelvin * (t - 25)
      network.diode(part.ref, pin("A")!, pin("K")!, diodeLaw(model.law, shift))
      if (setting.leaky) {
        network.curve(`${part.ref}.reverse`, pin("A")!, pin("K")!, [
          [-model.reverse, -1.1 * model.leakage],
          [-0.1, -model.leakage],
          [0, 0],
          [1, 1e-9],
        ])
      }
      return
    }
    case "clamp": {
      // Cathode to the rail: leaks nothing below its breakdown, conducts forwards like a rectifier.
      const opens = end === "low" ? model.breakdownLow : model.breakdownHigh
      network.curve(part.ref, pin("K")!, pin("A")!, [
        [-1, -10],
        [-0.7, -1e-6],
        [0, 0],
        [opens, 1e-6],
        [Math.max(model.clampAt, opens + 1), model.clampCurrent],
      ])
      return
    }
    case "zener": {
      const volt = end === "low" ? model.low : model.high
      network.curve(part.ref, pin("K")!, pin("A")!, [
        [-1, -1],
        [-0.7, -1e-6],
        [0, 0],
        [volt - model.at * model.slope, 1e-6],
        [volt, model.at],
      ])
      return
    }
    case "capacitor":
      return
    case "resistor-array":
      for (const own of model.sectionPins) {
        const net = pin(own)
        if (net !== undefined) {
          const ohm = model.resistance * (1 + sign * model.tolerance)
          network.resistor(`${part.ref}.${own}`, pin(model.commonPin)!, net, ohm)
        }
      }
      return
    case "low-side-array":
      addArray(network, part, model, context)
      return
    case "regulator":
      if (setting.regulatorOff) return
      network.regulator(part.ref, pin("1")!, pin("3")!, pin("2")!, {
        // The weak regulator gives the least.
        volt: model.out[
          setting.parts === "weakest" ? "low" : setting.parts === "strongest" ? "high" : "usual"
        ],
        ohm: 0.02,
        dropout: model.dropout / model.dropoutCurrent,
        quiescent: model.quiescent,
      })
      return
    case "adjustable-regulator": {
      const which = setting.parts === "weakest" ? "low" : setting.parts === "strongest" ? "high" : "usual"
      network.regulator(part.ref, pin(model.pins.input)!, pin(model.pins.output)!, pin(model.pins.set)!, {
        volt: model.reference[which],
        ohm: 0.02,
        dropout: model.dropout,
        headroom: model.headroom,
        quiescent: model.adjustCurrent[which],
        limit: model.maximumCurrent,
      })
      // Its pass element conducts backwards, output to input, like a rectifier (data sheets, from memory).
      if (setting.leaky)
        network.diode(`${part.ref}.back`, pin(model.pins.output)!, pin(model.pins.input)!, backDiode)
      return
    }
    case "npn":
      network.bipolar(
        part.ref,
        { collector: pin("C")!, base: pin("B")!, emitter: pin("E")! },
        beside(
          npnLaw(
            model,
            setting.parts,
            setting.celsius + (setting.ledRise?.get(part.ref) ?? 0),
            overcome(circuit, part),
          ),
          times,
        ),
      )
      return
    case "relay": {
      const { pins } = model
      const cold = model.coil * (1 + sign * model.coilTolerance)
      const t = setting.celsius + (setting.ledRise?.get(part.ref) ?? 0)
      const [from, to] = pins.coil
      const law = { ...relayLaw(model, cold), coilOhm: cold * windingAt(model, t) }
      if (setting.relaysApart) network.resistor(part.ref, pin(from)!, `${part.ref}.coil`, law.coilOhm)
      else
        network.relay(
          part.ref,
          {
            coil: [pin(from)!, pin(to)!],
            common: pin(pins.common)!,
            make: pin(pins.make),
            rest: pin(pins.rest),
          },
          law,
        )
      return
    }
    case "controller": {
      const vcc = pin(model.packagePins.VCC![0]!)!
      const amps = setting.parts === "usual" ? model.supplyCurrent.usual : model.supplyCurrent.high
      network.curve(part.ref, vcc, circuit.earth, [
        [-1, -1],
        [-0.7, -1e-6],
        [0, 0],
        [1.5, 1e-6],
        [4.5, amps],
        [6, amps * 1.2],
      ])
      for (const signal of circuit.signals) {
        if (setting.pinDiodes && signal.direction === "input")
          network.diode(`${part.ref}.${signal.name}`, circuit.earth, signal.net, pinDiode)
        const drive = setting.drive?.(signal) ?? "open"
        if (drive === "open" || signal.direction === "input") continue
        const rail = drive === "high" ? vcc : circuit.earth
        network.resistor(`${part.ref}.${signal.name}`, rail, signal.net, model.pinResistance)
      }
      return
    }
    default:
      return
  }
}

/** Contact and pull of a relay whose winding has `ohm` at 20 °C: it pulls by current, whatever its temperature. */
export const relayLaw = (model: RelayModel, ohm: number) => ({
  pullIn: model.pullIn / ohm,
  dropOut: model.dropOut / ohm,
  contactOhm: model.contactResistance,
  openOhm: 1e9,
})

/**
 * A resistor from a regulator's set pin towards earth makes the rail higher, not lower, the greater it is: it stands
 * at the other end of its tolerance. So does one in row with it, at a relay's contact.
 */
function setsRail(circuit: CircuitBody, part: Part): boolean {
  const nets = Object.values(part.pins)
  return circuit.parts.some((p) => {
    if (p.kind === "relay") return nets.includes(p.pins[modelOf(p.stock, "relay").pins.rest]!)
    if (p.kind !== "adjustable-regulator") return false
    const { pins } = modelOf(p.stock, "adjustable-regulator")
    return nets.includes(p.pins[pins.set]!) && !nets.includes(p.pins[pins.output]!)
  })
}

/** A transistor whose emitter drives another's base: its own base–emitter voltage only has to be overcome. */
const overcome = (circuit: CircuitBody, part: Part) =>
  circuit.parts.some((p) => p.kind === "transistor" && p.pins.B === part.pins.E)

/**
 * A section as its data sheet shows it: the input is a resistor behind two junctions, the output a low voltage that
 * rises with current, or open. Whether it is on is asked of the input by `controlledOn`, before solving.
 */
function addArray(
  network: Network,
  part: Part,
  model: Extract<ReturnType<typeof partType>["model"], { kind: "low-side-array" }>,
  context: Context,
): void {
  const earth = part.pins[model.earthPin]!
  for (const [input, output] of model.sectionPins) {
    const signal = part.pins[input]
    const load = part.pins[output]
    if (signal !== undefined) {
      const junctions = context.end === "low" ? model.junctions.low : model.junctions.high
      network.curve(`${part.ref}.${input}`, signal, earth, [
        [-1, -1e-6],
        [0, 0],
        [junctions, 5e-5],
        [junctions + model.inputResistance * 1e-3, 1.05e-3],
      ])
    }
    if (load === undefined) continue
    if (signal !== undefined && sectionOn(signal, context)) {
      const times = context.setting.alike?.get(`${part.ref}.${output}`) ?? 1
      const points = model.dropAt.map((d): [number, number] => [d[context.end], d.current * times])
      network.curve(
        `${part.ref}.${output}`,
        load,
        earth,
        [[-0.6, -1e-3], [0, 0], [points[0]![0] * 0.9, 1e-4 * times], ...points],
        points[1]![0],
      )
    } else {
      network.resistor(`${part.ref}.${output}`, load, earth, 1e8)
    }
  }
}

/** On when driven high, or left alone with a pull-up that has a supply. */
function sectionOn(net: string, { circuit, setting }: Context): boolean {
  if (setting.regulatorOff) return false
  const signal = circuit.signals.find((s) => s.net === net)
  const drive = signal === undefined ? "open" : (setting.drive?.(signal) ?? "open")
  if (drive === "low") return false
  if (drive === "high") return true
  return circuit.parts.some((p) => p.kind === "resistor-array" && Object.values(p.pins).includes(net))
}

/**
 * The transistor of a data sheet. Weakest: least gain, lowest base–emitter voltage (a sink gives least), greatest
 * saturation voltage; strongest the other way. The reverse gain is what its saturation voltage at a forced gain of 20
 * asks for, by Ebers and Moll's formula. `overcome`: the weakest is the one with the highest base–emitter voltage.
 */
export function npnLaw(model: Npn, parts: Setting["parts"], celsius: number, overcome = false): BipolarLaw {
  const end = parts === "weakest" ? "low" : parts === "strongest" ? "high" : "usual"
  const gain = model.gain[end]
  const other = { low: "high", usual: "usual", high: "low" } as const
  const volt = model.baseEmitter[overcome ? other[end] : end]
  const shift = model.voltagePerKelvin * (celsius - 25)
  const nVt = modelThermalVoltage
  const saturated = model.saturation * { weakest: 1, usual: 0.5, strongest: 0.25 }[parts]
  const forced = Math.min(20, gain / 2)
  return {
    type: "npn",
    saturation: model.baseEmitterAt / Math.expm1((volt + shift) / nVt),
    nVt,
    gain,
    reverseGain: (1 + forced) / (Math.exp(saturated / nVt) * (1 - forced / gain) - 1),
    series: 0,
    early: model.early,
  }
}

/** The law of several equal junctions side by side. */
const beside = <Law extends { readonly saturation: number; readonly series: number }>(
  law: Law,
  times: number,
): Law => (times === 1 ? law : { ...law, saturation: times * law.saturation, series: law.series / times })

/** The diode law with its curve moved along the voltage axis by `shift`. */
function diodeLaw(model: DiodeModel, shift: number) {
  const nVt = model.emission * modelThermalVoltage
  return { saturation: model.saturation * Math.exp(-shift / nVt), nVt, series: model.series }
}
