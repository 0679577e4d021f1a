// Every way to drive LEDs, held by hand, goes the whole way: circuit, boards without an open net, cutter programs that
// give back the netlist, no shorts, a pack with its bring-up plan, wiring and soldering order. The plan reveals every
// single fault, and the finder names it among its first three.

import { describe, expect, test } from "vitest"
import { finish } from "../src/0-ground/progress.ts"
import { circuitFaults } from "../src/3-drive/check-circuit.testing.ts"
import { findFaults, packLamp, solveFaults } from "../src/8-pack/pack-lamp.ts"
import { designLamp } from "../src/design-lamp.ts"
import { oneLevel, swept, twoLevels } from "./ways.testing.ts"

describe.each([
  ["oneLevel", oneLevel, "resistor-strings", "resistor"],
  ["oneLevel", oneLevel, "current-sinks", "transistor"],
  ["oneLevel", oneLevel, "regulated-rail", "adjustable-regulator"],
  ["twoLevels", twoLevels, "two-feed", "diode"],
  ["twoLevels", twoLevels, "rail-switched", "adjustable-regulator"],
  ["twoLevels", twoLevels, "rail-relay", "relay"],
  ["twoLevels", twoLevels, "pwm", "controller"],
  ["swept", swept, "current-sinks", "transistor"],
  ["swept", swept, "regulated-rail", "adjustable-regulator"],
] as const)("%s", (_, describeLamp, way, kind) => {
  test(way, () => {
    const design = finish(designLamp(describeLamp(way), () => undefined))
    if (!design.lamp) throw new Error(JSON.stringify(design.findings))
    expect(design.findings.filter((f) => f.severity === "red").map((f) => f.title)).toEqual([])
    const { circuit, boards, proof } = design
    expect(circuitFaults(circuit)).toEqual([])
    expect(circuit.drives.map((d) => d.way)).toEqual([way])
    expect(circuit.candidates!.filter((c) => c.taken).map((c) => [c.kind, c.why])).toEqual([
      [way, "held by hand"],
    ])
    expect(new Set(circuit.candidates!.map((c) => c.kind)).size).toBe(describeLamp === twoLevels ? 4 : 3)
    expect(circuit.parts.some((p) => p.kind === kind)).toBe(true)
    for (const board of boards.boards) expect(board.unrouted).toEqual([])
    for (const board of proof.boards) expect([board.shorts, board.opens]).toEqual([[], []])
    const pack = packLamp(design)
    const sheet = pack.files.find((f) => f.path === "build-sheet.html")!.text
    for (const part of circuit.parts) expect(sheet).toContain(part.ref)
    const bringUp = JSON.parse(pack.files.find((f) => f.path === "report.json")!.text as string).bringUp
    expect(bringUp.readings.length).toBeGreaterThan(10)
    expect(bringUp.faults.filter((f: { revealedBy: unknown }) => f.revealedBy === null)).toEqual([])
    const solved = solveFaults(design)
    const missed = solved.plan.faults.filter((f) => {
      const values = new Map([...solved.signatures.get(f.id)!].map(([id, range]) => [id, range.usual]))
      const first = findFaults(solved, values).suspects.slice(0, 3)
      return !first.some((s) => s.faults.includes(f.text))
    })
    expect(missed.length).toBeLessThanOrEqual(0.05 * solved.plan.faults.length)
    for (const path of ["wiring.csv", "parts.csv", "drawings/circuit.svg", "bring-up.csv"])
      expect(pack.files.some((f) => f.path === path)).toBe(true)
  }, 120_000)
})
