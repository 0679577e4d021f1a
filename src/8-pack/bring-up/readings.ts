// The readings a builder can take, and what each shows with or without a fault.

import { partType } from "../../1-stock/parts.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Part } from "../../3-drive/artefact.ts"
import {
  type Bench,
  bridged,
  type Drive,
  type End,
  ends,
  factor,
  harness,
  ledLaw,
  pinNodes,
  type Resistance,
  resistances,
  shorted,
  undriven,
  unused,
} from "./bench-network.ts"
import type { Volts } from "./dc-network.ts"
import type { Fault } from "./faults.ts"
import { feeling } from "./feeling.ts"
import { type Bed, PreparedBench, type Solved } from "./prepared-bench.ts"
import { openOhm, ResistanceNetwork, resistanceBetween } from "./resistance.ts"

export type How = "resistance" | "capacitance" | "diode" | "voltage" | "current" | "count" | "look"

/** Assembly steps in order; a reading is taken at the end of its step. */
export const steps = [
  "wire links in",
  "ceramic capacitors in",
  "resistors in",
  "suppressors in",
  "diodes in",
  "electrolytic capacitors in",
  "everything in, no supply",
  "first power, board alone",
  "in its housing, no supply",
  "whole lamp wired, not programmed",
  "programmed",
  "on the vehicle",
] as const
/** The step whose readings tell whether anything touches the metal. */
export const housed = "in its housing, no supply"
/** The last step: what is read there confirms; no single fault is told by it that was not told before. */
export const fittedToVehicle = "on the vehicle"
export type StepName = (typeof steps)[number]

/** What a reading is taken on: some parts fitted, perhaps a supply connected. */
export interface Setup {
  readonly step: StepName
  /** Boards that belong to it. */
  readonly boards: readonly string[]
  readonly fitted: (part: Part) => boolean
  /** Conductance of the voltmeter at each node, S; absent: 10 MΩ. */
  readonly leak?: number
  /** Powered setups: nodes on the plus terminal, and the minus terminal's node. */
  readonly power?: {
    readonly name: string
    readonly plus: readonly string[]
    readonly minus: string
    readonly volt: number
    /** Ampere. */
    readonly limit: number
    /** Vehicle wires that are live, when the whole lamp is wired. */
    readonly wires?: readonly string[]
    readonly programmed?: boolean
  }
}

/** What a meter would show between two nodes (or of the supply), in SI. */
export interface Range {
  readonly low: number
  readonly usual: number
  readonly high: number
}

export const range = (values: readonly number[], usual: number): Range => ({
  low: Math.min(...values),
  usual,
  high: Math.max(...values),
})

/** Shown for "open". */
export const open = openOhm

/** A resistance of several bears at least this, share: the widest of the resistor networks. */
const leastSpread = 0.02
/** Of a relay's coil: its own tolerance, and what a warm workshop adds. */
const coilSpread = 0.14

/** The widest tolerance among the resistances that stand on the boards bounds any mesh of them. */
function spreadOf(bench: Bench, setup: Setup): number {
  let most = leastSpread
  for (const part of bench.circuit.parts) {
    const at = bench.pins.get(part.ref)
    if (!at || !setup.boards.includes(at.board) || !setup.fitted(part)) continue
    if (part.kind === "relay") most = Math.max(most, coilSpread)
    else if (part.kind === "resistor" || part.kind === "resistor-array")
      most = Math.max(most, toleranceOf(part))
  }
  return most
}

/** Resistance of every pair while a fault is there: with low test voltage, no junction conducts. */
export function ohmsOf(bench: Bench, setup: Setup) {
  const on = (b: string) => setup.boards.includes(b)
  const network = (fault: Fault | undefined) =>
    new ResistanceNetwork(resistances(bench, on, setup.fitted, fault, "usual"), 1e-8)
  const widest = spreadOf(bench, setup)
  let sound: ResistanceNetwork | undefined
  const withFault = (fault: Fault | undefined): ((a: string, b: string) => number) => {
    sound ??= network(undefined)
    const between = (n: ReturnType<typeof network>) => (a: string, b: string) => n.between(a, b)
    if (!fault) return between(sound)
    if (fault.kind === "bridge" && fault.over === undefined) {
      const [{ a, b, ohm }] = bridged(fault) as [Resistance]
      if (sound.has(a) && sound.has(b)) return sound.joined(a, b, ohm)
    }
    return between(network(fault))
  }
  return (fault: Fault | undefined) => {
    const between = withFault(fault)
    return (a: string, b: string): Range => {
      const r = between(a, b)
      if (r >= open) return { low: open, usual: open, high: open }
      return { low: r * (1 - widest), usual: r, high: r * (1 + widest) }
    }
  }
}

/** Resistance of every pair with the boards joined by their wires and all vehicle wires twisted together. */
export function joinedOhms(bench: Bench, setup: Setup) {
  const on = (b: string) => setup.boards.includes(b)
  const wires = harness(bench, undefined)
  const ends = [...new Set(wires.flatMap((h) => [h.a, h.b]).filter((n) => n.startsWith("vehicle|")))]
  return resistanceBetween(
    [
      ...resistances(bench, on, setup.fitted, undefined, "usual"),
      ...wires,
      ...ends.map((a) => ({ a, b: twisted, ohm: 0.02 })),
    ],
    1e-8,
  )
}
/** Node of the vehicle wires twisted together. */
export const twisted = "vehicle|all"

/** Capacitance of every pair, F. */
export function faradsOf(bench: Bench, setup: Setup, fault: Fault | undefined) {
  const branches: { a: string; b: string; ohm: number }[] = []
  let tolerance = 0
  for (const part of bench.circuit.parts) {
    const placed = bench.pins.get(part.ref)
    if (!placed || part.kind !== "capacitor" || !setup.boards.includes(placed.board) || !setup.fitted(part))
      continue
    const share = factor(part, fault)
    const names = [...placed.nets.keys()]
    const pin = pinNodes(bench, part, fault)
    const [a, b] = [pin(names[0]!), pin(names[1]!)]
    if (share === undefined || part.amount === undefined || a === undefined || b === undefined) continue
    // Shorted it reads as very much; much more would leave the faint leak no digits.
    const nano = shorted(part, fault) ? 1e8 : part.amount * share * 1e9
    branches.push({ a, b, ohm: 1 / nano })
    tolerance = Math.max(tolerance, toleranceOf(part))
  }
  const between = resistanceBetween(branches, 1e-6)
  return (a: string, b: string): Range => {
    const f = 1e-9 / Math.max(between(a, b), 1e-12)
    return { low: f * (1 - tolerance), usual: f, high: f * (1 + tolerance) }
  }
}

const toleranceOf = (part: Part) =>
  partType(part.stock).facts.find((f) => f.id.endsWith(".tolerance"))?.value ?? 0.2

/** A meter's diode test between two places: 1 mA, 3 V at most. */
export function diodeTest(bench: Bench, setup: Setup, from: string, to: string) {
  const bed = bedOf(setup, { leads: [], plus: from, minus: to, volt: 3, limit: 1e-3 })
  const prepared = new PreparedBench(bench, bed)
  const sound = new Map(ends.map((end) => [end, prepared.solve(undefined, end, undriven)]))
  const feels = feeling(
    bench,
    setup.boards,
    [...sound.values()].flatMap((s) => s?.volts ?? []),
  )
  /** `only`: that end alone. `at`: where the places are while the fault is there. */
  return (fault: Fault | undefined, at: { from: string; to: string }, only?: End): Range => {
    // Beyond a missing link the meter touches another node.
    const same = at.from === from && at.to === to
    const own = same ? prepared : new PreparedBench(bench, { ...bed, plus: at.from, minus: at.to })
    const changes = fault !== undefined && (!same || feels(fault))
    return over(only, (end) => {
      const before = sound.get(end)
      const { volts } = (changes ? own.solve(fault, end, undriven, before) : before) ?? {}
      return volts === undefined ? Number.NaN : (volts.get(at.from) ?? 0) - (volts.get(at.to) ?? 0)
    })
  }
}

/** What a figure is at each end, or at one only. */
function over(only: End | undefined, of: (end: End) => number): Range {
  if (only !== undefined) {
    const value = of(only)
    return { low: value, usual: value, high: value }
  }
  const low = of("low")
  const usual = of("usual")
  const high = of("high")
  return { low: Math.min(low, usual, high), usual, high: Math.max(low, usual, high) }
}

const bedOf = (setup: Setup, supply: Pick<Bed, "leads" | "plus" | "minus" | "volt" | "limit">): Bed => ({
  boards: setup.boards,
  fitted: setup.fitted,
  // As through a voltmeter of 10 MΩ.
  leak: setup.leak ?? 1e-7,
  wired: setup.power?.wires !== undefined,
  ...supply,
})

/** Node voltages of a powered setup at one end. */
interface PoweredEnd extends Solved {
  /** Before the programme runs. */
  readonly first?: Solved
  readonly undriven: Volts
}

export interface Powered {
  /** At each end; before and while the programme runs. */
  readonly at: (end: End) => PoweredEnd
  /** Between any node and the minus terminal, V. */
  readonly volt: (node: string) => Range
  /** From the supply, A. */
  readonly current: Range
  /** How many of these LEDs carry enough to be seen. */
  readonly lit: (leds: readonly string[]) => Range
}

/** A powered setup, to be solved without and then with one fault after the other. */
export class PoweredBench {
  private readonly bench: Bench
  private readonly lamp: Lamp
  private readonly setup: Setup
  private readonly prepared: PreparedBench

  /** Of the supply, A. */
  set limit(amps: number) {
    this.prepared.limit = amps
  }

  constructor(bench: Bench, lamp: Lamp, setup: Setup) {
    const power = setup.power!
    this.bench = bench
    this.lamp = lamp
    this.setup = setup
    this.prepared = new PreparedBench(
      bench,
      bedOf(setup, {
        leads: power.plus,
        plus: "supply",
        minus: power.minus,
        volt: power.volt,
        limit: power.limit,
      }),
    )
  }

  /**
   * What is to be read while `fault` is there; undefined where the network does not settle at some end, or with `only`
   * at that end, the one that is looked at. `near`: where to begin.
   */
  show(
    fault: Fault | undefined,
    near: Powered | undefined,
    known: SolvedEnds,
    only?: End,
  ): Powered | undefined {
    for (const end of only === undefined ? (["usual", "low", "high"] as const) : [only]) {
      if (!known.has(end)) {
        // A fault moves about as much at every end.
        const usual = end === "usual" ? undefined : known.get("usual")
        const from = near?.at(end)
        known.set(end, this.solve(fault, end, from && usual ? moved(from, near!.at("usual"), usual) : from))
      }
      if (known.get(end) === undefined) return undefined
    }
    const at = (end: End) => known.get(end)!
    return {
      at,
      volt: (node) => over(only, (end) => at(end).volts.get(node) ?? 0),
      get current() {
        return over(only, (end) => at(end).amps)
      },
      lit: (leds) =>
        over(only, (end) => {
          let count = 0
          for (const ref of leds) if (lights(this.bench, ref, at(end).volts, end, fault)) count++
          return count
        }),
    }
  }

  private solve(fault: Fault | undefined, end: End, near: PoweredEnd | undefined): PoweredEnd | undefined {
    const { bench, lamp, prepared } = this
    const { programmed, wires } = this.setup.power!
    const first = prepared.solve(fault, end, undriven, near?.first ?? near)
    if (first === undefined) return undefined
    if (!programmed) return { ...first, undriven: first.volts }
    const drive = driveOf(bench, lamp, wires ?? [], first.volts, fault)
    const last = prepared.solve(fault, end, drive, near)
    return last && { ...last, first, undriven: first.volts }
  }
}

/** `from`, moved as far as `before` is from `after`. */
function moved(from: PoweredEnd, before: PoweredEnd, after: PoweredEnd): PoweredEnd {
  const by = (own: Solved, then: Solved, now: Solved): Solved => ({
    volts: own.volts.moved(then.volts, now.volts),
    amps: now.amps,
  })
  const last = by(from, before, after)
  return from.first && before.first && after.first
    ? { ...last, first: by(from.first, before.first, after.first), undriven: from.undriven }
    : { ...last, undriven: from.undriven }
}

/** Ends that were solved with one fault, kept between looks. */
export type SolvedEnds = Map<End, PoweredEnd | undefined>

/** What the running programme does with its outputs: lights the groups whose wires it sees live, else dark. */
function driveOf(
  bench: Bench,
  lamp: Lamp,
  live: readonly string[],
  volts: Volts,
  fault: Fault | undefined,
): Drive {
  const { circuit } = bench
  const chip = circuit.parts.find((p) => p.ref === circuit.controller)
  if (!chip) return undriven
  const { model } = partType(chip.stock)
  if (model.kind !== "controller") return undriven
  const pin = pinNodes(bench, chip, fault)
  const at = (p: string | undefined) => (p === undefined ? 0 : (volts.get(pin(p) ?? "") ?? 0))
  const own = at(model.packagePins.VCC![0]) - at(model.packagePins.GND![0])
  const reset = at(model.packagePins.RESET![0])
  const clock = circuit.parts
    .filter((p) => p.kind === "resonator" || p.kind === "controller")
    .every((p) => factor(p, fault) !== undefined && !shorted(p, fault))
  const alive = clock && own > 4.5 && reset > model.inputHigh * own
  const seen = (wire: string) => {
    const input = circuit.signals.find((s) => s.direction === "input" && s.wire === wire)
    if (!input) return live.includes(wire)
    const land = bench.pins.get(chip.ref)?.pinOn.get(input.net)
    const cut = fault?.kind === "section" && fault.ref === chip.ref && fault.pin === land
    return land !== undefined && !cut && at(land) > model.inputHigh * own
  }
  const lit = new Set(lamp.programme.filter((l) => l.when.every(seen)).map((l) => l.light))
  const of: Drive["of"] = (name) => {
    if (name === unused) return alive ? "pulled" : "open"
    const signal = circuit.signals.find((s) => s.name === name)
    if (!alive || signal?.direction !== "output") return "open"
    const channel = circuit.channels.find((c) => c.index === signal.channel)
    return channel && lit.has(channel.group) === channel.activeHigh ? "high" : "low"
  }
  return { key: alive ? [...lit].sort().join(" ") || "dark" : "", of }
}

function lights(bench: Bench, ref: string, volts: Volts, end: End, fault: Fault | undefined): boolean {
  const part = bench.parts.get(ref)
  if (!part || factor(part, fault) === undefined || shorted(part, fault)) return false
  const pin = pinNodes(bench, part, fault)
  const a = pin("A")
  const k = pin("K")
  if (a === undefined || k === undefined) return false
  // A quarter of a milliampere is plainly seen in a dim room with any of the stocked LEDs (common practice, no source).
  return ledLaw(part.stock, end)((volts.get(a) ?? 0) - (volts.get(k) ?? 0)).i > 2.5e-4
}
