// The solver against closed formulas; every single fault of a small lamp revealed and found again.

import { describe, expect, test } from "vitest"
import { designMarker, designTern } from "../../../tests/tern.ts"
import { bringUpCsv } from "./bring-up-table.ts"
import { DcNetwork, diode, holdsVoltage } from "./dc-network.ts"
import { findFaults } from "./find-fault.ts"
import { planBringUp, solveFaults } from "./plan-bring-up.ts"
import { readReadings } from "./read-readings.ts"
import { resistanceBetween } from "./resistance.ts"

describe("networks", () => {
  test("twelve equal resistors along a cube's edges: 5/6 R across it (a textbook exercise)", () => {
    const edges = [...Array(8).keys()].flatMap((a) =>
      [1, 2, 4].filter((bit) => (a & bit) === 0).map((bit) => ({ a: `${a}`, b: `${a | bit}`, ohm: 120 })),
    )
    expect(edges).toHaveLength(12)
    expect(resistanceBetween(edges)("0", "7")).toBeCloseTo(100, 3)
  })
  test("a diode behind a resistor keeps its law and the sum of voltages", () => {
    const law = { saturation: 1e-12, emission: 1.5, series: 2 }
    const network = new DcNetwork("0", 1e-12)
    network.branch("in", "0", holdsVoltage(12))
    network.resistor("in", "a", 470)
    network.branch("a", "0", diode(law))
    const v = network.solve()!
    const i = (v.get("in")! - v.get("a")!) / 470
    expect(v.get("a")! - i * 2).toBeCloseTo(1.5 * 0.025852 * Math.log1p(i / 1e-12), 6)
  })
})

describe("the marker lamp", () => {
  const design = designMarker()
  const solved = solveFaults(design)
  const { plan, sound, signatures } = solved
  test("every single fault is revealed by a reading", () => {
    expect(plan.faults.length).toBeGreaterThan(20)
    expect(plan.faults.filter((f) => f.revealedBy === undefined)).toEqual([])
  })
  test("a sound lamp keeps every limit; a fault's own reading does not", () => {
    for (const r of plan.readings) {
      expect(sound.get(r.id)!.low).toBeGreaterThanOrEqual(r.low)
      expect(sound.get(r.id)!.high).toBeLessThanOrEqual(r.high)
    }
    for (const f of plan.faults) {
      const r = plan.readings.find((x) => x.id === f.revealedBy)!
      const shown = signatures.get(f.id)!.get(r.id)!
      expect(shown.high < r.low || shown.low > r.high, f.text).toBe(true)
    }
  })
  test("the fault finder names each fault among its first three", () => {
    for (const f of plan.faults) {
      const values = new Map([...signatures.get(f.id)!].map(([id, range]) => [id, range.usual]))
      const first = findFaults(solved, values).suspects.slice(0, 3)
      expect(
        first.flatMap((s) => s.faults),
        f.text,
      ).toContain(f.text)
    }
  })
  test("every net that touches the metal is a fault; those a wire reaches are told by the insulation reading", () => {
    const nets = new Set(design.boards.boards[0]!.lands.map((l) => l.net).filter((n) => n !== undefined))
    const onMetal = plan.faults.filter((f) => f.text.endsWith("touches the metal housing"))
    expect(onMetal).toHaveLength(nets.size)
    const insulation = plan.readings.find((r) => r.probe.startsWith("all vehicle wires twisted"))!
    expect(insulation).toMatchObject({ step: "in its housing, no supply", low: 1e6 })
    for (const net of ["tail", "earth"])
      expect(onMetal.find((f) => f.text.startsWith(`${net} on`))!.revealedBy).toBe(insulation.id)
    // Between two LEDs no meter below 0.3 V reaches the wires; eyes or the lit lamp tell.
    expect(signatures.get("plate tail on housing")!.get(insulation.id)!.high).toBeLessThan(1)
  })
  test("a lamp without boards has nothing to read, and nothing is claimed", () => {
    const bare = { ...design, boards: { ...design.boards, boards: [] } }
    expect(planBringUp(bare).readings).toEqual([])
  })
  test("resistors of 5 % are not taken for wrong ones: a sound lamp with all of them at an end keeps every limit", () => {
    const design = designMarker(
      "\npins: { drive.marker.way: resistor-strings, drive.marker.resistor-part: resistor-half-watt-5 }\n",
    )
    const { plan } = solveFaults(design)
    const resistor = design.circuit.parts.find((p) => p.stock === "resistor-half-watt-5")!
    const across = plan.readings.filter((r) => Math.abs(r.expected / resistor.amount! - 1) < 1e-3)
    expect(across.length).toBeGreaterThan(0)
    for (const r of across) {
      expect(r.low).toBeLessThanOrEqual(0.95 * r.expected)
      expect(r.high).toBeGreaterThanOrEqual(1.05 * r.expected)
    }
    expect(plan.faults.filter((f) => f.revealedBy === undefined)).toEqual([])
  })
  test("bring-up.csv with readings written in comes back", () => {
    const lines = bringUpCsv(plan).split("\r\n")
    const column = lines[0]!.split(",").indexOf("measured")
    expect(column).toBeGreaterThan(0)
    const read = readReadings("reading,measured\r\nB1,5600\r\nB2,\r\nB3,OL\r\n", plan)
    expect(read).toEqual({
      values: new Map([
        ["B1", 5600],
        ["B3", 3],
      ]),
    })
    expect(readReadings(bringUpCsv(plan), plan)).toEqual({ values: new Map() })
  })
  test.each([
    ["", 1, /columns/],
    ["reading,measured\nB999,1\n", 2, /no reading B999/],
    ["reading,measured\nB1,=1+1\n", 2, /no number/],
    ["reading,measured\nB1,1\nB1,2\n", 3, /twice/],
    ['reading,measured\nB1,"1\n', 2, /not closed/],
  ])("bad readings %j are told by line", (text, line, reason) => {
    const read = readReadings(text, plan)
    expect(read).toMatchObject({ fault: { line, reason: expect.stringMatching(reason) } })
  })
})

describe("the Tern lamp", () => {
  const solved = solveFaults(designTern())
  const { plan, signatures } = solved
  test("at least 300 single faults, every one revealed", () => {
    expect(plan.faults.length).toBeGreaterThanOrEqual(300)
    expect(plan.faults.filter((f) => f.revealedBy === undefined)).toEqual([])
  })
  test("the fault finder names at least 95 % among its first three, all readings taken", () => {
    const missed = plan.faults.filter((f) => {
      const values = new Map([...signatures.get(f.id)!].map(([id, range]) => [id, range.usual]))
      const first = findFaults(solved, values).suspects.slice(0, 3)
      return !first.some((s) => s.faults.includes(f.text))
    })
    expect(missed.length).toBeLessThanOrEqual(plan.faults.length * 0.05)
  })
})
