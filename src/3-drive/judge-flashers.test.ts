// Flashers that watch their load, a tell-tale between the sides, fuses before thin wire, and what must be red when the
// controller is dead.

import { describe, expect, test } from "vitest"
import { ledType } from "../1-stock/leds.ts"
import type { Lamp, Wire } from "../2-lamp/artefact.ts"
import type { Circuit } from "./artefact.ts"
import { chooseTopology } from "./choose-topology.ts"
import { designDrive } from "./design-drive.ts"
import { Figures } from "./drive-figures.ts"
import { tern } from "./fixtures.testing.ts"
import { designGroup } from "./group-design.ts"
import { judgeSafety } from "./judge-safety.ts"
import type { MadeCircuit } from "./made-circuit.ts"

const withWires = (change: (w: Wire) => Wire): Lamp => ({
  ...tern,
  vehicle: { ...tern.vehicle, wires: tern.vehicle.wires.map(change) },
})
const flashing = (more: Partial<Wire>, only?: string) =>
  withWires((w) => (w.role === "flashing" && (only === undefined || w.name === only) ? { ...w, ...more } : w))
const of = (c: Circuit, code: string) => c.findings.filter((f) => f.code === `drive.${code}`)

describe("a flasher that watches its load", () => {
  const bare = designDrive(flashing({ flasher: "load-sensing" }))
  test("sees too little and is told the load resistor, its heat and the better way", () => {
    const [load] = of(bare, "flasher-load")
    expect(load!.severity).toBe("amber")
    expect(load!.advice).toMatch(/load-independent flasher.*metal-cased/)
    const [ballast] = of(bare, "flasher-ballast")
    expect(ballast!.severity).toBe("amber")
    const value = (id: string) => bare.figures.find((f) => f.id === id)!.value
    // By hand: 75 % of 21 W less what the lamp takes, at 13.5 V; E12 at or below; heat at 16 V.
    const lamp = value("drive.wire.left.load")
    const ohm = value("drive.wire.left.ballast")
    expect(13.5 ** 2 / ohm).toBeGreaterThanOrEqual(0.75 * 21 - lamp)
    expect(13.5 ** 2 / (ohm * 1.25)).toBeLessThan(0.75 * 21 - lamp)
    expect(ballast!.measured!.value).toBeCloseTo(16 ** 2 / ohm, 3)
    expect(value("drive.wire.left.ballast-rating")).toBeGreaterThanOrEqual(16 ** 2 / ohm)
  })
  test("is content with that resistor once it is described", () => {
    const ohm = bare.figures.find((f) => f.id === "drive.wire.left.ballast")!.value
    const fitted = designDrive(flashing({ flasher: "load-sensing", ballast: ohm }))
    for (const f of of(fitted, "flasher-load")) expect(f.severity).toBe("green")
    for (const f of of(fitted, "flasher-ballast")) expect(f.title).toContain("has a load resistor")
  })
  test("one that does not watch needs none", () => {
    const free = designDrive(tern)
    expect(of(free, "flasher-load")).toEqual([])
    expect(of(free, "flasher-ballast")).toEqual([])
  })
})

describe("a tell-tale between the sides", () => {
  test("feeds the idle side back: red, with the diodes that part them", () => {
    const made = designDrive(flashing({ tellTale: { to: "right", bulb: 3.4 } }, "left"))
    const found = of(made, "tell-tale")
    expect(found.map((f) => f.where.wire).sort()).toEqual(["left", "right"])
    for (const f of found) {
      expect(f.severity).toBe("red")
      expect(f.advice).toContain("two diodes")
    }
  })
  test("one that nothing comes through is no fault: a bulb of a tenth of a watt into the bleed", () => {
    const tiny = designDrive(flashing({ tellTale: { to: "right", bulb: 0.02 } }, "left"))
    for (const f of of(tiny, "tell-tale")) expect(f.severity).not.toBe("red")
  })
  test("without one nothing is said", () => expect(of(designDrive(tern), "tell-tale")).toEqual([]))
})

describe("fuse and wire", () => {
  // ISO 10133 table A.1 as recalled in the vehicle sheet, section 6.3: 0.75 mm² 10 A, 1.5 mm² 18 A at 70 °C insulation.
  test.each([
    [5, 0.75, "green"],
    [10, 0.75, "green"],
    [15, 0.75, "amber"],
    [15, 1.5, "green"],
    [5, 0.3, "amber"],
  ])("a %s A fuse before %s mm² is %s", (fuse, size, severity) => {
    const made = designDrive(withWires((w) => (w.name === "tail" ? { ...w, fuse, size } : w)))
    const found = of(made, "fuse-wire").find((f) => f.where.wire === "tail")!
    expect(found.severity).toBe(severity)
  })
})

describe("the controller dead", () => {
  const circuit = designDrive(tern)
  const group = tern.groups[1]!
  const plan = chooseTopology(tern, group)!
  const ask = { lamp: tern, plan, led: ledType(group.led), pieces: group.leds.map(() => 1), leds: group.leds }
  const design = designGroup(ask, "pwm", 1)!
  const judged = (parts: Circuit["parts"]) => {
    const made: MadeCircuit = {
      lamp: tern,
      body: { ...circuit, parts },
      groups: [{ ...design, feedNets: [], resistors: [], sinks: [], pinned: {} }],
      controller: undefined,
      strings: circuit.strings,
      solved: [],
      inputs: circuit.inputs,
      part: new Map(parts.map((p) => [p.ref, p])),
    }
    return judgeSafety(made, new Figures(tern)).find((f) => f.code === "drive.safe-default")!
  }
  test("an indicator lights from its own wire", () => expect(judged(circuit.parts).severity).toBe("green"))
  test("without the pull-ups it stays dark, and that is red", () => {
    const found = judged(circuit.parts.filter((p) => p.kind !== "resistor-array"))
    expect(found.severity).toBe("red")
    expect(found.measured!.value).toBeLessThan(1)
  })
  test("without its feed diode too", () => {
    const feed = circuit.strings.find((s) => s.group === group.name)!
    const top = circuit.parts.find((p) => p.ref === feed.resistors[0])!.pins["1"]
    expect(judged(circuit.parts.filter((p) => p.pins.K !== top)).severity).toBe("red")
  })
})
