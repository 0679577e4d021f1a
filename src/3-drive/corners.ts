// The corners of the worst case, and the whole circuit solved at each: supply, parts, temperature, and which wires are live.

import { ledType } from "../1-stock/leds.ts"
import { testVoltage } from "../1-stock/lighting-rules.ts"
import { modelOf, partType } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { ControllerSignal, CornerState, Part } from "./artefact.ts"
import { type CircuitBody, type Drive, modelCircuit } from "./model-circuit.ts"
import { type OperatingPoint, operatingPoint, real } from "./solver/operating-point.ts"

export interface CornerCase {
  readonly name: string
  readonly live: readonly string[]
  readonly supply: number
  readonly celsius: number
  readonly parts: CornerState["parts"]
}

export interface SolvedCorner {
  readonly at: CornerCase
  readonly point: OperatingPoint
}

/**
 * Sets of live wires worth solving: each alone, all steady ones, both sides, everything, and what the programme
 * combines; and each wire that feeds a switched group without the lamp's own supply.
 */
export function liveSets(lamp: Lamp, switching: readonly string[]): readonly (readonly string[])[] {
  const wires = lamp.vehicle.wires
  const plus = wires.filter((w) => w.role === "supply").map((w) => w.name)
  const steady = wires.filter((w) => w.role === "steady").map((w) => w.name)
  const flashing = wires.filter((w) => w.role === "flashing").map((w) => w.name)
  const sets: string[][] = [...steady, ...flashing].map((w) => [...plus, w])
  if (steady.length > 1) sets.push([...plus, ...steady])
  if (flashing.length > 1) sets.push([...plus, ...flashing])
  if (steady.length > 0 && flashing.length > 0) sets.push([...plus, ...steady, ...flashing])
  for (const l of lamp.programme) sets.push([...new Set([...plus, ...l.when])])
  if (plus.length > 0) for (const w of switching) sets.push([w])
  if (sets.length === 0) sets.push(plus)
  const seen = new Set<string>()
  return sets.filter((s) => {
    const key = [...s].sort().join("+")
    if (seen.has(key)) return false
    seen.add(key)
    return true
  })
}

/**
 * `cold`: something takes most in the cold (a current sink), so that end is a corner too. Where the rule book measures
 * light at another voltage than the usual supply, that is a corner as well.
 */
export function cornerCases(lamp: Lamp, switching: readonly string[], cold = false): readonly CornerCase[] {
  const { supply, ambient } = lamp.vehicle
  const test = testVoltage(lamp.vehicle.rules, supply)
  const conditions = [
    { supply: supply.lowest, celsius: ambient.lowest, parts: "weakest" },
    { supply: supply.usual, celsius: 25, parts: "weakest" },
    { supply: supply.usual, celsius: 25, parts: "usual" },
    { supply: supply.usual, celsius: 25, parts: "strongest" },
    ...(test === supply.usual
      ? []
      : (["weakest", "usual", "strongest"] as const).map((parts) => ({ supply: test, celsius: 25, parts }))),
    { supply: supply.highest, celsius: ambient.highest, parts: "strongest" },
    ...(cold ? ([{ supply: supply.highest, celsius: ambient.lowest, parts: "strongest" }] as const) : []),
  ] as const
  return liveSets(lamp, switching).flatMap((live) =>
    conditions.map((c) => ({
      ...c,
      live,
      name: `${live.join(" + ")} at ${c.supply} V, ${c.celsius} °C, ${c.parts} parts`,
    })),
  )
}

/** All corners; each starts from the one before with the same wires live. */
export function solveCorners(
  circuit: CircuitBody,
  lamp: Lamp,
  groupOf: ReadonlyMap<number, string>,
): SolvedCorner[] {
  const solved: SolvedCorner[] = []
  const switching = circuit.signals.flatMap((s) => s.wire ?? [])
  const cold = circuit.parts.some((p) => p.kind === "transistor")
  for (const at of cornerCases(lamp, switching, cold)) {
    const before = solved[solved.length - 1]
    const like = before && before.at.live === at.live ? before.point : undefined
    solved.push(solveCorner(circuit, lamp, groupOf, at, like))
  }
  return solved
}

/** What the running programme makes of the outputs with these wires live, fully swept and faded. */
export function programmeDrive(
  lamp: Pick<Lamp, "programme">,
  groupOf: ReadonlyMap<number, string>,
  live: readonly string[],
) {
  const lit = new Set(
    lamp.programme.filter((l) => l.level > 0 && l.when.every((w) => live.includes(w))).map((l) => l.light),
  )
  return (signal: ControllerSignal): Drive => {
    if (signal.direction === "input" || signal.channel === undefined) return "open"
    return lit.has(groupOf.get(signal.channel) ?? "") ? "high" : "low"
  }
}

export function solveCorner(
  circuit: CircuitBody,
  lamp: Lamp,
  groupOf: ReadonlyMap<number, string>,
  at: CornerCase,
  like?: OperatingPoint,
): SolvedCorner {
  const setting = settingOf(lamp, groupOf, at)
  const point = operatingPoint(modelCircuit(circuit, lamp, setting), real, like)
  if (at.parts !== "strongest" || !point.converged) return { at, point }
  // Strong parts run warm, and warm junctions take more: again with their own heat until it stands still.
  let warm = point
  let ledRise: ReadonlyMap<string, number> = new Map()
  for (let round = 0; round < mostRounds; round++) {
    const rise = risesOf(circuit, warm)
    let change = 0
    for (const [ref, kelvin] of rise) change = Math.max(change, Math.abs(kelvin - (ledRise.get(ref) ?? 0)))
    if (change < still) return { at, point: warm }
    ledRise = rise
    warm = operatingPoint(modelCircuit(circuit, lamp, { ...setting, ledRise }), real, warm)
    if (!warm.converged) return { at, point: warm }
  }
  // It runs away: there is no temperature at which it stays.
  return { at, point: { ...warm, converged: false } }
}

/** Heat is settled when no junction moves by more than this, K. */
const still = 0.05
const mostRounds = 20

/** How much hotter than the air each junction is that the solver knows by its own temperature. */
function risesOf(circuit: CircuitBody, point: OperatingPoint): Map<string, number> {
  const rise = new Map<string, number>()
  for (const part of circuit.parts) {
    if (part.kind === "led") rise.set(part.ref, heatOf(part, point) * ledType(part.stock).thermalResistance)
    else if (part.kind === "resistor") rise.set(part.ref, heatOf(part, point) * bodyToAir(part))
    else if (part.kind === "diode" || part.kind === "transistor" || part.kind === "relay")
      rise.set(part.ref, heatOf(part, point) * junctionToAir(part))
  }
  return rise
}

/** K/W of a resistor's body to the air: its rated power takes it from 70 °C to 155 °C. */
export const bodyToAir = (part: Part): number => (155 - 70) / modelOf(part.stock, "resistor").rated

/** K/W of a diode's or transistor's junction, or of a relay's winding, to the air; 0 for other parts. */
export function junctionToAir(part: Part): number {
  const { model } = partType(part.stock)
  return model.kind === "diode" || model.kind === "npn" || model.kind === "relay"
    ? model.thermalResistance
    : 0
}

const settingOf = (lamp: Lamp, groupOf: ReadonlyMap<number, string>, at: CornerCase) => ({
  wires: new Map(at.live.map((w) => [w, at.supply])),
  parts: at.parts,
  celsius: at.celsius,
  drive: programmeDrive(lamp, groupOf, at.live),
})

/** The corner as it is kept in the circuit: what carries current and what has voltage, rounded to what means something. */
export function cornerState(circuit: CircuitBody, { at, point }: SolvedCorner): CornerState {
  const round = (v: number) => Number(v.toPrecision(6))
  // Adding 0 turns −0 into 0, which JSON cannot keep.
  const milli = (v: number) => Math.round(v * 1e4) / 1e4 + 0
  const earth = point.voltage(circuit.earth)
  const ledCurrent: Record<string, number> = {}
  const dissipation: Record<string, number> = {}
  for (const part of circuit.parts) {
    const i = point.current(part.ref)
    if (part.kind === "led" && i > 1e-9) ledCurrent[part.ref] = round(i)
    const watt = heatOf(part, point)
    if (watt > 1e-6) dissipation[part.ref] = round(watt)
  }
  const nodeVoltage: Record<string, number> = {}
  for (const net of circuit.nets) {
    const v = point.voltage(net.name)
    if (Number.isFinite(v)) nodeVoltage[net.name] = milli(v - earth)
  }
  const wireCurrent: Record<string, number> = {}
  for (const w of at.live) {
    const i = point.current(`wire:${w}`)
    if (Number.isFinite(i)) wireCurrent[w] = round(i)
  }
  return {
    corner: at.name,
    live: at.live,
    supply: at.supply,
    temperature: at.celsius,
    parts: at.parts,
    ledCurrent,
    nodeVoltage,
    wireCurrent,
    dissipation,
  }
}

/** Watt turned into heat in a part; 0 for parts the solver does not see. */
export function heatOf(part: Part, point: OperatingPoint): number {
  const v = (a: string, b: string) => point.voltage(part.pins[a]!) - point.voltage(part.pins[b]!)
  switch (part.kind) {
    case "led":
    case "diode":
      return Math.max(0, v("A", "K") * point.current(part.ref))
    case "resistor":
      return Math.max(0, v("1", "2") * point.current(part.ref))
    case "regulator": {
      const own = modelOf(part.stock, "regulator").quiescent
      const i = point.current(part.ref)
      return Number.isFinite(i) ? Math.max(0, v("1", "3") * i + v("1", "2") * own) : 0
    }
    case "adjustable-regulator": {
      const { pins } = modelOf(part.stock, "adjustable-regulator")
      const i = point.current(part.ref)
      return Number.isFinite(i) ? Math.max(0, v(pins.input, pins.output) * i) : 0
    }
    case "relay": {
      const watt = v("A1", "A2") * point.current(part.ref)
      return Number.isFinite(watt) ? Math.max(0, watt) : 0
    }
    case "transistor": {
      const watt = v("C", "E") * point.current(`${part.ref}.C`) + v("B", "E") * point.current(`${part.ref}.B`)
      return Number.isFinite(watt) ? Math.max(0, watt) : 0
    }
    case "low-side-array": {
      const model = modelOf(part.stock, "low-side-array")
      let sum = 0
      for (const [input, output] of model.sectionPins) {
        for (const pin of [input, output]) {
          if (part.pins[pin] === undefined) continue
          sum += Math.max(0, v(pin, model.earthPin) * point.current(`${part.ref}.${pin}`))
        }
      }
      return sum
    }
    default:
      return 0
  }
}
