// The whole circuit over time while something happens on its wires: what every part sees at most, and the heat it
// takes meanwhile. Capacitors stand at their low end.

import { modelOf } from "../1-stock/parts.ts"
import type { ControllerSignal, Part } from "./artefact.ts"
import { heatOf } from "./corners.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import { type Drive, modelCircuit, relayLaw } from "./model-circuit.ts"
import { relayModel } from "./relay-coil.ts"
import { type OperatingPoint, operatingPoint, real } from "./solver/operating-point.ts"
import { type Moment, transient } from "./solver/transient.ts"

/** What a pulse does to the wires. */
export interface Event {
  readonly name: string
  /** In words: `50 V on 13.5 V behind 2 Ω, 50 µs`. */
  readonly what: string
  /** Volt at the far end of every live wire; before 0 it is `rest`. */
  volt(seconds: number): number
  readonly rest: number
  /** Resistance of its source. */
  readonly ohm: number
  readonly end: number
  readonly jumps: readonly number[]
  /** Parts at the end that makes it worst. */
  readonly parts: "weakest" | "strongest"
  /** The regulator shuts itself down in it. */
  readonly shutsDown: boolean
  /** The battery stands the wrong way round: diodes leak and LEDs break down. */
  readonly leaky?: boolean
  /** Air around the lamp, °C; absent: the hottest described. */
  readonly celsius?: number
}

export interface Stress {
  /** Greatest voltage between its pins (cathode to anode of a diode that blocks, input to earth of a regulator). */
  readonly volt: number
  /** Least of the same: below nothing means backwards. */
  readonly least: number
  readonly ampere: number
  /** Charge that passed, coulomb. */
  readonly coulomb: number
  /** Heat taken while it lasts, joule; 0 for capacitors, which give back what they take. */
  readonly joule: number
}

export interface EventRun {
  readonly event: Event
  readonly finished: boolean
  readonly steps: number
  readonly stress: ReadonlyMap<string, Stress>
  /** Lowest supply of the controller, volt; NaN without one. */
  readonly fiveLeast: number
  readonly fiveMost: number
}

const none = { volt: 0, least: 0, ampere: 0, coulomb: 0, joule: 0 }

/** Capacitors at this share of their value: less to swallow and to hold with. */
const leastCapacitance = 0.8

/** `alike`: how many equal parts side by side each part stands for; what it goes through is told for one of them. */
export function runEvent(
  made: Pick<MadeCircuit, "lamp" | "body" | "controller">,
  event: Event,
  wires: readonly string[],
  drive: (signal: ControllerSignal) => Drive,
  alike: ReadonlyMap<string, number> = new Map(),
): EventRun {
  const { body } = made
  const celsius = event.celsius ?? made.lamp.vehicle.ambient.highest
  const base = modelCircuit(body, made.lamp, {
    wires: new Map(wires.map((w) => [w, event.rest])),
    behind: new Map(wires.map((w) => [w, event.ohm])),
    parts: event.parts,
    celsius,
    drive,
    alike,
    pinDiodes: true,
    relaysApart: true,
    ...(event.leaky ? { leaky: true } : {}),
    ...(event.shutsDown ? { regulatorOff: true } : {}),
  })
  // Before it: everything at rest, with the regulator at work and the source stiff.
  const before = operatingPoint(
    modelCircuit(body, made.lamp, {
      wires: new Map(wires.map((w) => [w, event.rest])),
      parts: event.parts,
      celsius,
      drive,
      alike,
      pinDiodes: true,
    }),
    real,
  )
  const across = (p: OperatingPoint, part: Part, [a, b]: readonly [string, string]) =>
    p.voltage(part.pins[a]!) - p.voltage(part.pins[b]!)
  const capacitors = body.parts.flatMap((part) => {
    if (part.kind !== "capacitor") return []
    const [a, b] = part.pins["+"] === undefined ? (["1", "2"] as const) : (["+", "-"] as const)
    const volt = across(before, part, [a, b])
    if (!Number.isFinite(volt)) return []
    return [
      { ref: part.ref, a: part.pins[a]!, b: part.pins[b]!, farad: leastCapacitance * part.amount!, volt },
    ]
  })
  const coils = body.parts.flatMap((part) => {
    if (part.kind !== "relay") return []
    const model = relayModel(part.stock)
    const { pins } = model
    const { pullIn, dropOut, contactOhm, openOhm } = relayLaw(
      model,
      model.coil * (1 + (event.parts === "weakest" ? 1 : -1) * model.coilTolerance),
    )
    const ampere = before.current(part.ref)
    const inductor = `${part.ref}.coil`
    const common = part.pins[pins.common]!
    const contact = (pin: string, rest: boolean) => {
      const b = part.pins[pin]
      if (b === undefined) return []
      const on = { a: common, b, onOhm: rest ? openOhm : contactOhm, offOhm: rest ? contactOhm : openOhm }
      return [
        {
          ref: `${part.ref}.${rest ? "break" : "make"}`,
          coil: inductor,
          pullIn,
          dropOut,
          contact: on,
          closed: ampere >= pullIn,
        },
      ]
    }
    return [
      {
        inductor: {
          ref: inductor,
          a: inductor,
          b: part.pins[pins.coil[1]]!,
          henry: model.inductance.high,
          ampere: Number.isFinite(ampere) ? ampere : 0,
        },
        relays: [...contact(pins.rest, true), ...contact(pins.make, false)],
      },
    ]
  })
  const watched = body.parts.flatMap((part) => {
    const pins = pinsOf(part)
    const times = alike.get(part.ref) ?? 1
    const through = part.kind === "transistor" ? `${part.ref}.C` : part.ref
    const turns = turnsOf(part)
    return pins.length > 0
      ? [{ part, pins, through, turns, times, stress: { ...none }, watt: 0, amps: 0 }]
      : []
  })
  // A controller's input pins: what flows through their protection diodes.
  const inputs = body.signals.flatMap((s) =>
    s.direction === "input" ? [{ ref: `${body.controller}.${s.name}`, stress: { ...none } }] : [],
  )
  const { controller } = made
  let fiveLeast = Number.NaN
  let fiveMost = Number.NaN
  let since = 0
  const see = ({ seconds, point }: Moment) => {
    for (const w of watched) {
      const { part, stress } = w
      let volt = 0
      for (const pins of w.pins) {
        volt = across(point, part, pins)
        stress.volt = Math.max(stress.volt, volt)
        stress.least = Math.min(stress.least, volt)
      }
      const through = point.current(w.through)
      const amps = (Number.isFinite(through) ? Math.abs(through) : 0) / w.times
      stress.ampere = Math.max(stress.ampere, amps)
      stress.coulomb += ((amps + w.amps) / 2) * (seconds - since)
      w.amps = amps
      if (part.kind === "capacitor") continue
      // For most parts heat is that very voltage times that very current.
      const watt = (w.turns ? Math.max(0, w.turns * volt * through) : heatOf(part, point)) / w.times
      stress.joule += ((watt + w.watt) / 2) * (seconds - since)
      w.watt = watt
    }
    for (const { ref, stress } of inputs) stress.ampere = Math.max(stress.ampere, point.current(ref))
    if (controller) {
      const five = point.voltage(controller.five) - point.voltage(body.earth)
      fiveLeast = Number.isNaN(fiveLeast) ? five : Math.min(fiveLeast, five)
      fiveMost = Number.isNaN(fiveMost) ? five : Math.max(fiveMost, five)
    }
    since = seconds
  }
  const run = transient(
    {
      network: base,
      sourceAt: ({ ohm }, t) => ({ volt: event.volt(t), ohm }),
      capacitors,
      inductors: coils.map((c) => c.inductor),
      relays: coils.flatMap((c) => c.relays),
      jumps: event.jumps,
    },
    event.end,
    {
      accuracy: real,
      tolerance: 5e-3,
      // Edges of milliseconds stand before plateaus of a minute.
      firstStep: Math.min(event.end / 1000, 1e-3),
      longestStep: event.end / 20,
      mostSteps: 600,
    },
    see,
  )
  return {
    event,
    ...run,
    stress: new Map([
      ...watched.map((w): [string, Stress] => [w.part.ref, w.stress]),
      ...inputs.map((i): [string, Stress] => [i.ref, i.stress]),
    ]),
    fiveLeast,
    fiveMost,
  }
}

/** Between which pins a part's voltage is told: positive is what it must hold off, or what a current drives. */
function pinsOf(part: Part): readonly (readonly [string, string])[] {
  switch (part.kind) {
    case "led":
      return [["A", "K"]]
    case "diode":
    case "clamp":
    case "zener":
      return [["K", "A"]]
    case "resistor":
      return [["1", "2"]]
    case "capacitor":
      return [part.pins["+"] === undefined ? ["1", "2"] : ["+", "-"]]
    case "regulator":
      return [["1", "2"]]
    case "adjustable-regulator":
      return [["3", "2"]]
    case "transistor":
      return [["C", "E"]]
    case "relay":
      return [["A1", "A2"]]
    case "low-side-array": {
      const { sectionPins, earthPin } = modelOf(part.stock, "low-side-array")
      return sectionPins.flatMap(([, out]) =>
        part.pins[out] === undefined ? [] : [[out, earthPin] as const],
      )
    }
    default:
      return []
  }
}

/** Sign with which the voltage between its pins drives a part's current; 0 where its heat is more than their product. */
function turnsOf({ kind }: Part): number {
  if (kind === "led" || kind === "resistor" || kind === "clamp") return 1
  return kind === "diode" ? -1 : 0
}
