// The ways to drive a group: what is compared, what is taken, what is held by hand, and that the numbers are those of
// the whole circuit.

import { describe, expect, test } from "vitest"
import { measuredBy } from "../0-ground/figure.ts"
import type { Circuit } from "./artefact.ts"
import { circuitFaults } from "./check-circuit.testing.ts"
import { designDrive } from "./design-drive.ts"
import { marker, tern } from "./fixtures.testing.ts"
import { railVolt } from "./group-design.ts"

const circuit = designDrive(tern)
const of = (c: Circuit, group: string) => c.candidates!.filter((x) => x.group === group)

describe("the crescent", () => {
  const ways = of(circuit, "tail-stop")
  const taken = ways.find((w) => w.taken)!
  const rail = ways.find((w) => w.kind === "rail-switched")!
  const pulsed = ways.find((w) => w.kind === "pwm")!
  test("two feeds, a rail switched by transistor or relay, and pulses are compared; two feeds are taken", () => {
    expect(new Set(ways.map((w) => w.kind))).toEqual(
      new Set(["two-feed", "rail-switched", "rail-relay", "pwm"]),
    )
    expect(taken).toMatchObject({ kind: "two-feed", inSeries: 3, fails: [] })
    expect(ways.filter((w) => w.taken)).toHaveLength(1)
    for (const w of ways) if (w.fails.length === 0 && !w.taken) expect(w.score).toBeGreaterThan(taken.score)
  })
  test("at the same length the switched rail spreads the ratio of its levels many times as widely", () => {
    const spread = (w: typeof rail) => Math.log(w.ratio!.greatest / w.ratio!.least)
    const like = ways.find((w) => w.kind === "two-feed" && w.inSeries === rail.inSeries)!
    expect(spread(rail)).toBeGreaterThan(4 * spread(like))
    expect(rail.why).toMatch(/spreads over/)
    // Longer strings are worse: less is left over the resistors that even out the forward voltages.
    const pinned = of(designDrive({ ...tern, pins: { "drive.tail-stop.way": "rail-switched" } }), "tail-stop")
    const rails = pinned.filter((w) => w.kind === "rail-switched").sort((a, b) => a.inSeries - b.inSeries)
    expect(rails.length).toBeGreaterThan(1)
    for (const [k, w] of rails.entries()) if (k > 0) expect(spread(w)).toBeGreaterThan(spread(rails[k - 1]!))
  })
  test("pulses are refused: with the controller dead tail would look like stop", () =>
    expect(pulsed.fails.join()).toMatch(/controller dead/))
  // The group by itself carries less wire and earth current than the whole lamp: a few per cent.
  test("the comparison's numbers are those of the whole circuit", () => {
    const strongest = circuit.findings.find(
      (f) => f.code === "drive.led-current" && f.where.group === "tail-stop",
    )!
    expect(taken.strongest * 1000).toBeCloseTo(strongest.measured!.value, -0.5)
    const ratio = circuit.findings.find((f) => f.code === "drive.stop-ratio")!
    expect(taken.ratio!.least / ratio.measured!.value).toBeCloseTo(1, 1)
    const low = circuit.findings.find(
      (f) => f.code === "drive.led-light-low" && f.where.group === "tail-stop",
    )!
    expect(taken.weakestShare * 100).toBeCloseTo(low.measured!.value, 0)
  })
})

test("every way lost for a reason, and the finding tells all of them", () => {
  for (const group of tern.groups) {
    const told = circuit.findings.find((f) => f.code === "drive.way" && f.where.group === group.name)!
    for (const w of of(circuit, group.name).filter((x) => !x.taken)) {
      expect(w.why.length).toBeGreaterThan(5)
      expect(told.advice).toContain(w.label)
    }
    const figure = circuit.figures.find((f) => f.id === told.figure)!
    expect(measuredBy(figure).measured).toEqual(told.measured)
  }
})

test("the marker's strings are compared with sinks and a regulated rail", () => {
  const kinds = of(designDrive(marker), "marker").map((w) => w.kind)
  expect(kinds).toContain("current-sinks")
  expect(kinds).toContain("regulated-rail")
})

// LM317 data sheet worked example with 240 Ω and 720 Ω (reference data electrical.json): 5.036 V with 50 µA.
test("the adjustable regulator's rail, worked example", () => {
  expect(railVolt({ upper: 240, lower: 720 }, "usual")).toBeCloseTo(5.036, 6)
  // 1 % resistors, 1.20…1.30 V, 0…100 µA: 4.7287 V and 5.3515 V there, with the same 100 µA through 720 Ω × 1.01.
  expect(railVolt({ upper: 240, lower: 720 }, "weakest")).toBeCloseTo(4.7287128712871285, 6)
  expect(railVolt({ upper: 240, lower: 720 }, "strongest")).toBeCloseTo(5.35150787878788, 2)
})

describe("held by hand", () => {
  test("pulses for the crescent make a switched group, and amber or red says what that costs", () => {
    const made = designDrive({ ...tern, pins: { "drive.tail-stop.way": "pwm" } })
    expect(circuitFaults(made)).toEqual([])
    expect(made.drives.find((d) => d.group === "tail-stop")!.topology).toBe("switched")
    expect(made.findings.some((f) => f.severity !== "green" && f.where.group === "tail-stop")).toBe(true)
  })
  test("a way the programme does not allow is told", () => {
    const made = designDrive({ ...tern, pins: { "drive.sweep-left.way": "two-feed" } })
    const told = made.findings.find((f) => f.code === "drive.way" && f.where.group === "sweep-left")!
    expect(told.severity).toBe("amber")
  })
  test("a misspelt way is a finding with the nearest word", () => {
    const made = designDrive({ ...tern, pins: { "drive.tail-stop.way": "two-feeds" } })
    expect(made.findings.some((f) => f.code === "drive.unknown-pin")).toBe(true)
  })
  test("two in series where three would be taken: amber", () => {
    const made = designDrive({ ...tern, pins: { "drive.tail-stop.in-series": 2 } })
    const told = made.findings.find((f) => f.code === "drive.way" && f.where.group === "tail-stop")!
    expect(told.severity).toBe("amber")
    expect(told.title).toContain("held by hand")
  })
})
