// The readings a builder can take, and what each shows with or without a fault.

import { ledType } from "../../1-stock/leds.ts"
import { partType } from "../../1-stock/parts.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Part } from "../../3-drive/artefact.ts"
import {
  addJunctions,
  type Bench,
  type Drive,
  type End,
  ends,
  factor,
  harness,
  pinNodes,
  resistances,
  shorted,
  unused,
} from "./bench-network.ts"
import { DcNetwork, diode, holdsCurrent, holdsVoltage } from "./dc-network.ts"
import type { Fault } from "./faults.ts"
import { openOhm, resistanceBetween } from "./resistance.ts"

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

/** Resistance of every pair while `fault` is there: with low test voltage, no junction conducts. */
export function ohmsOf(bench: Bench, setup: Setup, fault: Fault | undefined) {
  const on = (b: string) => setup.boards.includes(b)
  const between = resistanceBetween(resistances(bench, on, setup.fitted, fault, "usual"), 1e-8)
  const widest = spreadOf(bench, setup)
  return (a: string, b: string): Range => {
    const r = between(a, b)
    if (r >= open) return { low: open, usual: open, high: open }
    return { low: r * (1 - widest), usual: r, high: r * (1 + widest) }
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
    // Shorted it reads as very much.
    const nano = shorted(part, fault) ? 1e12 : part.amount * share * 1e9
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

/** A meter's diode test: 1 mA, 3 V at most. */
export function diodeTest(
  bench: Bench,
  setup: Setup,
  from: string,
  to: string,
  fault: Fault | undefined,
): Range {
  const shows = ends.map((end) => {
    const build = () => base(bench, setup, fault, end, () => "open", to)
    const { volts } = onSupply(build, from, to, 3, 1e-3) ?? {}
    return volts === undefined ? Number.NaN : (volts.get(from) ?? 0) - (volts.get(to) ?? 0)
  })
  return range(shows, shows[1]!)
}

export interface Powered {
  /** Node voltages at each end: where to begin with a fault. */
  readonly at: readonly ReadonlyMap<string, number>[]
  /** Between any node and the minus terminal, V. */
  readonly volt: (node: string) => Range
  /** From the supply, A. */
  readonly current: Range
  /** How many of these LEDs carry enough to be seen. */
  readonly lit: (leds: readonly string[]) => Range
  /** Of all LEDs. */
  readonly litOfAll: Range
}

/** The setup with its supply on; undefined where the network does not settle. */
export function powered(
  bench: Bench,
  lamp: Lamp,
  setup: Setup,
  fault: Fault | undefined,
  near?: Powered,
): Powered | undefined {
  const { power } = setup
  if (!power) return undefined
  const solved: { volts: ReadonlyMap<string, number>; amps: number; end: End }[] = []
  for (const [k, end] of ends.entries()) {
    const first = solveAt(bench, setup, fault, end, () => "open", near?.at[k])
    if (first === undefined) return undefined
    const drive = power.programmed ? driveOf(bench, lamp, power.wires ?? [], first.volts, fault) : undefined
    const last = drive ? solveAt(bench, setup, fault, end, drive, near?.at[k]) : first
    if (last === undefined) return undefined
    solved.push({ ...last, end })
  }
  const over = (of: (s: (typeof solved)[number]) => number) => range(solved.map(of), of(solved[1]!))
  const lit = (leds: readonly string[]) =>
    over((s) => leds.filter((ref) => lights(bench, ref, s.volts, s.end, fault)).length)
  return {
    at: solved.map((s) => s.volts),
    volt: (node) => over((s) => s.volts.get(node) ?? 0),
    current: over((s) => s.amps),
    lit,
    get litOfAll() {
      return lit(bench.circuit.parts.filter((p) => p.kind === "led").map((p) => p.ref))
    },
  }
}

function solveAt(
  bench: Bench,
  setup: Setup,
  fault: Fault | undefined,
  end: End,
  drive: Drive,
  near: ReadonlyMap<string, number> | undefined,
): Solved | undefined {
  const power = setup.power!
  const build = () => {
    const network = base(bench, setup, fault, end, drive, power.minus)
    for (const node of power.plus) network.resistor("supply", node, 0.02)
    return network
  }
  return onSupply(build, "supply", power.minus, power.volt, power.limit, near)
}

interface Solved {
  readonly volts: ReadonlyMap<string, number>
  /** From the supply, A. */
  readonly amps: number
}

/** The network on a supply that holds its voltage, or, where that takes more than its limit, its current. */
function onSupply(
  build: () => DcNetwork,
  plus: string,
  minus: string,
  volt: number,
  limit: number,
  near?: ReadonlyMap<string, number>,
): Solved | undefined {
  const held = build()
  held.branch(plus, minus, holdsVoltage(volt))
  const volts = held.solve(near)
  if (volts === undefined) return undefined
  const amps = -holdsVoltage(volt)((volts.get(plus) ?? 0) - (volts.get(minus) ?? 0)).i
  if (amps <= limit) return { volts, amps }
  const limited = build()
  limited.branch(plus, minus, holdsCurrent(limit))
  const low = limited.solve(volts)
  return low && { volts: low, amps: limit }
}

function base(
  bench: Bench,
  setup: Setup,
  fault: Fault | undefined,
  end: End,
  drive: Drive,
  reference: string,
): DcNetwork {
  // As through a voltmeter of 10 MΩ.
  const network = new DcNetwork(reference, setup.leak ?? 1e-7)
  const on = (b: string) => setup.boards.includes(b)
  for (const r of resistances(bench, on, setup.fitted, fault, end, true)) network.resistor(r.a, r.b, r.ohm)
  if (setup.power?.wires)
    for (const h of harness(bench, fault)) {
      const part = (node: string) => node.startsWith("vehicle|") || on(node.slice(0, node.indexOf("|")))
      if (part(h.a) && part(h.b)) network.resistor(h.a, h.b, h.ohm)
    }
  addJunctions(network, bench, on, setup.fitted, fault, end, drive)
  return network
}

/** What the running programme does with its outputs: lights the groups whose wires it sees live, else dark. */
function driveOf(
  bench: Bench,
  lamp: Lamp,
  live: readonly string[],
  volts: ReadonlyMap<string, number>,
  fault: Fault | undefined,
): Drive {
  const { circuit } = bench
  const chip = circuit.parts.find((p) => p.ref === circuit.controller)
  if (!chip) return () => "open"
  const { model } = partType(chip.stock)
  if (model.kind !== "controller") return () => "open"
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
    const land = [...(bench.pins.get(chip.ref)?.nets ?? [])].find(([, n]) => n === input.net)?.[0]
    const cut = fault?.kind === "section" && fault.ref === chip.ref && fault.pin === land
    return land !== undefined && !cut && at(land) > model.inputHigh * own
  }
  const lit = new Set(lamp.programme.filter((l) => l.when.every(seen)).map((l) => l.light))
  return (name) => {
    if (name === unused) return alive ? "pulled" : "open"
    const signal = circuit.signals.find((s) => s.name === name)
    if (!alive || signal?.direction !== "output") return "open"
    const channel = circuit.channels.find((c) => c.index === signal.channel)
    return channel && lit.has(channel.group) === channel.activeHigh ? "high" : "low"
  }
}

function lights(
  bench: Bench,
  ref: string,
  volts: ReadonlyMap<string, number>,
  end: End,
  fault: Fault | undefined,
): boolean {
  const part = bench.circuit.parts.find((p) => p.ref === ref)
  if (!part || factor(part, fault) === undefined || shorted(part, fault)) return false
  const pin = pinNodes(bench, part, fault)
  const [a, k] = [pin("A"), pin("K")]
  if (a === undefined || k === undefined) return false
  const model = ledType(part.stock).model[end === "low" ? "high" : end === "high" ? "low" : "usual"]
  // A quarter of a milliampere is plainly seen in a dim room with any of the stocked LEDs (common practice, no source).
  return diode(model)((volts.get(a) ?? 0) - (volts.get(k) ?? 0)).i > 2.5e-4
}
