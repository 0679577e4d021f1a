// What is solved by changing a prepared network, or not solved at all because no current flows, against the same fault
// built into a network from nothing and solved from nothing.

import { describe, expect, test } from "vitest"
import { designTern } from "../../../tests/tern.ts"
import {
  addJunctions,
  benchOf,
  bridged,
  type End,
  ends,
  harness,
  resistances,
  undriven,
} from "./bench-network.ts"
import { stations } from "./candidates.ts"
import { DcNetwork, holdsCurrent, holdsVoltage } from "./dc-network.ts"
import { type Fault, listFaults } from "./faults.ts"
import type { Setup } from "./readings.ts"
import { ResistanceNetwork } from "./resistance.ts"

const design = designTern()
const bench = benchOf(design.circuit, design.boards)
const faults = listFaults(design.circuit, design.boards, design.copper)
const all = stations(
  bench,
  design.lamp,
  faults.filter((f) => f.kind === "bridge"),
)

/** From nothing; not for a programme that runs. */
function anew({ boards, fitted, power }: Setup, fault: Fault, end: End) {
  const on = (board: string) => boards.includes(board)
  const { plus, minus, volt, limit, wires } = power!
  const build = () => {
    const network = new DcNetwork(minus, 1e-7)
    for (const { a, b, ohm } of resistances(bench, on, fitted, fault, end, true)) network.resistor(a, b, ohm)
    if (wires)
      for (const { a, b, ohm } of harness(bench, fault))
        if ([a, b].every((n) => n.startsWith("vehicle|") || on(n.split("|")[0]!))) network.resistor(a, b, ohm)
    for (const part of design.circuit.parts)
      if (on(bench.pins.get(part.ref)?.board ?? "") && fitted(part))
        addJunctions(network, bench, part, fault, end, undriven)
    for (const node of plus) network.resistor("supply", node, 0.02)
    return network
  }
  const held = build()
  const law = holdsVoltage(volt)
  held.branch("supply", minus, law)
  const volts = held.solve()
  if (!volts) return undefined
  const amps = -law(volts.get("supply")!).i
  if (amps <= limit) return { volts, amps }
  const limited = build()
  limited.branch("supply", minus, holdsCurrent(limit))
  const low = limited.solve()
  return low && { volts: low, amps: limit }
}

describe("faults of the Tern lamp", () => {
  const powered = all.filter((s) => s.sound && !s.setup.power!.programmed)
  const hits = (s: (typeof all)[number], f: Fault) =>
    f.kind === "wire" ? s.setup.power!.wires !== undefined : s.setup.boards.includes(f.board)
  test("solved by a change of the prepared network as solved from nothing", () => {
    let compared = 0
    let asleep = 0
    for (const [k, station] of powered.entries())
      for (const [i, fault] of faults.entries()) {
        if (fault.kind === "housing" || !hits(station, fault) || (i + k) % 23 !== 0) continue
        for (const end of ends) {
          const whole = anew(station.setup, fault, end)
          const felt = station.feels!(fault)
          const quick = felt ? station.show(fault).power!(end)?.at(end) : station.sound!.at(end)
          expect(quick === undefined, `${fault.id} settles`).toBe(whole === undefined)
          if (!quick || !whole) continue
          if (!felt) asleep++
          compared++
          expect(Math.abs(quick.amps - whole.amps), fault.id).toBeLessThan(1e-5)
          for (const node of whole.volts.index.keys()) {
            const off = Math.abs((quick.volts.get(node) ?? 0) - whole.volts.get(node)!)
            expect(off, `${fault.id}, ${station.setup.power!.name}, ${end}: ${node}`).toBeLessThan(1e-3)
          }
        }
      }
    expect(compared).toBeGreaterThan(300)
    expect(asleep).toBeGreaterThan(50)
  })
  test("a bridge in a network of resistors as in one inverted anew", () => {
    const { setup } = all.find((s) => s.setup.step === "everything in, no supply" && s.board === "control")!
    const on = (board: string) => setup.boards.includes(board)
    const sound = new ResistanceNetwork(resistances(bench, on, setup.fitted, undefined, "usual"), 1e-8)
    const lands = design.boards.boards.find((b) => b.name === "control")!.lands
    const nodes = [...new Set(lands.flatMap((l) => (l.net === undefined ? [] : [`control|${l.net}`])))]
    let compared = 0
    for (const fault of faults) {
      if (fault.kind !== "bridge" || fault.board !== "control" || fault.over !== undefined) continue
      const { a, b, ohm } = bridged(fault)[0]!
      if (!sound.has(a) || !sound.has(b)) continue
      const quick = sound.joined(a, b, ohm)
      const whole = new ResistanceNetwork(resistances(bench, on, setup.fitted, fault, "usual"), 1e-8)
      for (const p of nodes)
        for (const q of nodes) {
          const r = whole.between(p, q)
          expect(Math.abs(quick(p, q) - r), `${fault.id}: ${p} ${q}`).toBeLessThan(1e-2 + 1e-6 * r)
        }
      compared++
    }
    expect(compared).toBeGreaterThan(20)
  })
})
