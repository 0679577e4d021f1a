// The controller's supply over time: its diodes, clamp, capacitors, regulator and what the controller draws, with one
// wire's voltage as any function of time. Small enough to be run for every lamp.

import { heatOf } from "./corners.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import { modelCircuit } from "./model-circuit.ts"
import { real } from "./solver/operating-point.ts"
import { type Moment, transient } from "./solver/transient.ts"
import type { WrittenController } from "./write-controller.ts"

export interface Shape {
  readonly wire: string
  /** Volt at the far end of the wire. */
  volt(seconds: number): number
  /** Resistance in front of the wire. */
  ohm(seconds: number): number
  readonly end: number
  readonly jumps: readonly number[]
  readonly parts: "weakest" | "usual" | "strongest"
  readonly celsius: number
  /** Rail and 5 V at the start. */
  readonly rail: number
  readonly five: number
  readonly regulatorOff?: boolean
}

export interface SupplyRun {
  readonly finished: boolean
  readonly steps: number
  /** Highest and lowest of the rail, volt to earth. */
  readonly railMost: number
  readonly railLeast: number
  /** Joule turned to heat in each part. */
  readonly energy: ReadonlyMap<string, number>
  /** First moment at which the 5 V falls below that. */
  fiveBelow(volt: number): number | undefined
}

export function runSupply(made: MadeCircuit, controller: WrittenController, shape: Shape): SupplyRun {
  const diode = controller.supplyDiodes.find((d) => d.wire === shape.wire)
  const keep = new Set([diode?.ref, controller.clamp, controller.regulator, controller.ref])
  const net = made.body.nets.find((n) => n.wire === shape.wire)!
  const body = {
    ...made.body,
    parts: made.body.parts.filter((p) => keep.has(p.ref)),
    nets: made.body.nets.filter((n) => n === net || n.name === made.body.earth),
    signals: [],
  }
  const { rail, five } = controller
  const capacitors = made.body.parts.flatMap((p) => {
    if (p.kind !== "capacitor") return []
    const plus = p.pins["+"] ?? p.pins["1"]!
    if (plus !== rail && plus !== five) return []
    const volt = plus === rail ? shape.rail : shape.five
    // Capacitors at their low end: less to hold with, less to swallow with.
    return [{ ref: p.ref, a: plus, b: made.body.earth, farad: 0.8 * p.amount!, volt }]
  })
  const energy = new Map<string, number>()
  const fives: { seconds: number; volt: number }[] = []
  let railMost = shape.rail
  let railLeast = shape.rail
  let before = 0
  const see = ({ seconds, point }: Moment) => {
    const earth = point.voltage(made.body.earth)
    const volt = point.voltage(rail) - earth
    railMost = Math.max(railMost, volt)
    railLeast = Math.min(railLeast, volt)
    fives.push({ seconds, volt: point.voltage(five) - earth })
    for (const part of body.parts) {
      const watt =
        part.kind === "clamp"
          ? (point.voltage(part.pins.K!) - point.voltage(part.pins.A!)) * point.current(part.ref)
          : heatOf(part, point)
      energy.set(part.ref, (energy.get(part.ref) ?? 0) + watt * (seconds - before))
    }
    before = seconds
  }
  const network = modelCircuit(body, made.lamp, {
    wires: new Map([[shape.wire, shape.volt(0)]]),
    parts: shape.parts,
    celsius: shape.celsius,
    ...(shape.regulatorOff ? { regulatorOff: true } : {}),
  })
  const result = transient(
    {
      network,
      sourceAt: ({ ohm }, t) => ({ volt: shape.volt(t), ohm: ohm + shape.ohm(t) }),
      capacitors,
      inductors: [],
      relays: [],
      jumps: shape.jumps,
    },
    shape.end,
    {
      accuracy: real,
      tolerance: 2e-3,
      firstStep: shape.end / 2000,
      longestStep: shape.end / 25,
      mostSteps: 2000,
    },
    see,
  )
  return {
    ...result,
    railMost,
    railLeast,
    energy,
    fiveBelow: (volt) => fives.find((f) => f.volt < volt)?.seconds,
  }
}
