import { beforeAll, describe, expect, test } from "vitest"
import type { Finding } from "../../0-ground/finding.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import type { LightTrace } from "../artefact.ts"
import { makeCircuit } from "../made-lamps.testing.ts"
import { checkRules } from "./check-rules.ts"
import { functionLights } from "./function-light.ts"
import { patchSpacing, sweepShape } from "./sweep-shape.ts"
import { sweepTimes } from "./sweep-times.ts"

let lamp: Lamp
let circuit: Circuit
beforeAll(() => {
  ;({ lamp, circuit } = makeCircuit("tern"))
})

const find = (findings: readonly Finding[], code: string, group?: string) =>
  findings.filter((f) => f.code === `light.${code}` && (group === undefined || f.where.group === group))
const judge = (change: Partial<Lamp> = {}, other = circuit) => {
  const told = checkRules({ ...lamp, ...change }, other, undefined)
  expect(unexplained(told)).toEqual([])
  return told.findings
}
const severities = (found: readonly Finding[]) => [...new Set(found.map((f) => f.severity))]

describe("sweep shape", () => {
  const row = (points: readonly (readonly [number, number])[]) => points.map(([x, y]) => ({ x, y }))

  test("a level row outward has nothing to say", () => {
    const s = sweepShape(
      row([
        [10, 0],
        [20, 0],
        [30, 0],
      ]),
      5,
      0,
    )
    expect(s).toMatchObject({ backward: 0, turns: 0, gap: 5, uneven: 0 })
    expect(s.box).toBe(25 / 5)
  })

  test("outward is away from the centre line on either side", () => {
    expect(
      sweepShape(
        row([
          [-10, 0],
          [-20, 0],
        ]),
        5,
        0,
      ).backward,
    ).toBe(0)
    expect(
      sweepShape(
        row([
          [-20, 0],
          [-10, 0],
        ]),
        5,
        0,
      ).backward,
    ).toBe(1)
  })

  test("vertical turns: a bow has one, a zigzag many, level steps none", () => {
    expect(
      sweepShape(
        row([
          [0, 0],
          [1, 2],
          [2, 2],
          [3, 1],
        ]),
        0,
        undefined,
      ).turns,
    ).toBe(1)
    expect(
      sweepShape(
        row([
          [0, 0],
          [1, 2],
          [2, 0],
          [3, 2],
        ]),
        0,
        undefined,
      ).turns,
    ).toBe(2)
    expect(
      sweepShape(
        row([
          [0, 0],
          [1, 0.001],
          [2, 0],
          [3, 0.001],
        ]),
        0,
        undefined,
      ).turns,
    ).toBe(0)
  })

  test("a tall column fails the box, a wide step the gap", () => {
    expect(
      sweepShape(
        row([
          [0, 0],
          [1, 20],
        ]),
        5,
        undefined,
      ).box,
    ).toBeCloseTo(6 / 25, 9)
    expect(
      sweepShape(
        row([
          [0, 0],
          [60, 0],
        ]),
        5,
        undefined,
      ).gap,
    ).toBe(55)
  })

  test("patches are joined nearest first", () => {
    expect(
      patchSpacing(
        row([
          [0, 0],
          [30, 0],
          [10, 0],
          [20, 0],
        ]),
        5,
      ),
    ).toBe(5)
    expect(patchSpacing(row([[0, 0]]), 5)).toBe(0)
  })
})

test("always says that the lamp is not type-approved, and memory alone never makes a red", () => {
  const findings = judge()
  expect(find(findings, "not-approved")).toHaveLength(1)
  expect(findings.filter((f) => f.severity === "red")).toEqual([])
  for (const rules of ["un-car", "us-motorcycle"] as const) {
    const other = judge({ vehicle: { ...lamp.vehicle, rules } })
    for (const f of other.filter((x) => x.severity === "red")) expect(f.source?.known).toBe("read")
  }
})

test("a rule from memory says where to look it up", () => {
  const few = lamp.groups.map((g) => ({ ...g, leds: g.leds.slice(0, 2) }))
  const dim = find(judge({ groups: few }), "intensity-least", "tail-stop")[0]!
  expect(dim).toMatchObject({ severity: "amber", source: { known: "memory" } })
  expect(dim.advice).toContain(`look it up: ${dim.source!.document}`)
})

test("axis intensity of the stop light: LEDs × bin × current ÷ test current × warmth, by hand", () => {
  const stop = functionLights(lamp, circuit).find((l) => l.function === "stop")!
  const c = circuit.corners.find((x) => x.parts === "usual" && x.live.join() === "plus,brake")!
  let sum = 0
  for (const l of lamp.groups.find((g) => g.name === "tail-stop")!.leds) {
    const i = c.ledCurrent[l.ref]!
    sum +=
      stop.led.intensity.usual *
      (i / 0.02) *
      (1 + stop.led.intensityPerKelvin * stop.led.thermalResistance * i * stop.led.forwardVoltage.usual)
  }
  expect(stop.usual.value).toBeCloseTo(sum, 9)
  expect(stop.least.value).toBeLessThan(stop.usual.value)
  expect(stop.most.value).toBeGreaterThan(stop.usual.value)
})

test("least light is the product of what it is told with: LEDs, bin, current, temperature", () => {
  for (const l of functionLights(lamp, circuit)) {
    const own = (end: RegExp) => l.least.inputs!.find((f) => end.test(f.id))!
    const leds = own(/\.leds$/)
    expect(leds.value).toBe(l.group.leds.length)
    const bin = own(/\.intensity-low$/)
    expect(bin.value).toBe(l.led.intensity.low)
    const factor = own(/\.temperature-factor$/)
    expect(factor.value).toBeLessThan(1)
    const product = (leds.value * bin.value * own(/\.current$/).value * factor.value) / (1000 * 0.02)
    expect(product).toBeCloseTo(l.least.value, 9)
    const warmth = factor.inputs!.find((f) => f.unit === "K")!
    expect(1 + l.led.intensityPerKelvin * warmth.value).toBeCloseTo(factor.value, 9)
  }
})

test("a grid point is the axis light times its angle factor", () => {
  const { findings, figures } = checkRules(lamp, circuit, undefined)
  const found = find(findings, "distribution", "sweep-left")[0]!
  const there = figures.find((f) => f.id === found.figure)!
  expect(there.inputs!.map((f) => f.unit)).toEqual(["cd", ""])
  const [axis, factor] = there.inputs!
  expect(axis!.id).toBe("light.sweep-left.direction-indicator.least")
  expect(axis!.value * factor!.value).toBeCloseTo(there.value, 12)
  // 5° aside, 23° between the half-intensity directions: cos(5°)^34.2 = 0.878.
  const n = Math.log(0.5) / Math.log(Math.cos((11.5 * Math.PI) / 180))
  expect(factor!.value).toBeCloseTo(Math.cos((5 * Math.PI) / 180) ** n, 12)
})

test("far off the axis the law of the beam is called an idealisation and only warns", () => {
  for (const f of find(judge(), "visibility")) {
    expect(f.severity).toBe("amber")
    expect(f.corner).toContain("idealisation")
    expect(f.advice).toContain("stray light")
    // No light that nobody could measure.
    expect(f.measured!.value === 0 || f.measured!.value >= 1e-3).toBe(true)
  }
})

test("half the LEDs give half the light; too few miss the minimum", () => {
  const few = lamp.groups.map((g) => ({ ...g, leds: g.leds.slice(0, Math.ceil(g.leds.length / 4)) }))
  expect(severities(find(judge({ groups: few }), "intensity-least", "tail-stop"))).toContain("amber")
  expect(find(judge(), "intensity-least", "tail-stop").every((f) => f.severity === "green")).toBe(true)
})

test("a tail light as bright as the stop light breaks the ratio that was read", () => {
  const tail = circuit.corners.find((c) => c.live.join() === "plus,tail")!
  const bright = {
    ...circuit,
    corners: circuit.corners.map((c) =>
      c.live.join() === "plus,tail"
        ? { ...c, ledCurrent: Object.fromEntries(Object.keys(tail.ledCurrent).map((k) => [k, 0.015])) }
        : c,
    ),
  }
  expect(severities(find(judge(), "stop-to-tail"))).toEqual(["green"])
  expect(severities(find(judge({}, bright), "stop-to-tail"))).toEqual(["red"])
})

test("narrow beams do not reach the edge of the field, wide ones do", () => {
  expect(severities(find(judge(), "visibility"))).toEqual(["amber"])
  const white = lamp.groups.map((g) => ({ ...g, functions: ["front-position" as const], led: "white-5mm" }))
  const programme = lamp.programme.filter((l) => l.when.join() === "brake")
  const seen = find(judge({ groups: white, programme }), "visibility", "tail-stop")[0]!
  expect(seen.measured!.value).toBeGreaterThan(0)
})

test("United States: points at 60 % and sums of groups; a uniform beam at the table's sums just passes", () => {
  const us = judge({ vehicle: { ...lamp.vehicle, rules: "us-motorcycle" } })
  const stop = find(us, "intensity-least", "tail-stop").find((f) => f.title.includes("as stop"))!
  // Group 3: H-V, 5U-V, 5D-V, H-5L, H-5R against 380 cd; one beam for all LEDs.
  const l = functionLights(lamp, circuit).find((x) => x.function === "stop")!
  const five = Math.cos((5 * Math.PI) / 180) ** l.beam.value
  const ten = Math.cos((10 * Math.PI) / 180) ** l.beam.value
  const corner = (h: number, v: number) =>
    (Math.cos((h * Math.PI) / 180) * Math.cos((v * Math.PI) / 180)) ** l.beam.value
  const shares = [
    (l.least.value * (1 + 4 * five)) / 380,
    (l.least.value * (ten + 2 * corner(10, 5))) / 100,
    (l.least.value * (2 * corner(5, 10) + 2 * corner(20, 5))) / 52,
  ]
  expect(stop.measured!.value).toBeCloseTo(100 * Math.min(...shares), 6)
  // Each indicator as a whole and its first step, and the stop light.
  expect(find(us, "lit-area")).toHaveLength(5)
  // Rear light, stop light, and both indicators with their half tables.
  expect(find(us, "three-sections").map((f) => f.severity)).toEqual(["green", "amber", "amber", "amber"])
  expect(find(us, "two-sections")).toHaveLength(4)
})

test("flash rate and on-share as described", () => {
  const wires = (change: object) =>
    lamp.vehicle.wires.map((w) => (w.role === "flashing" ? { ...w, ...change } : w))
  const at = (change: object) => judge({ vehicle: { ...lamp.vehicle, wires: wires(change) } })
  expect(severities(find(at({ rate: 150 / 60 }), "flash-rate"))).toEqual(["red"])
  expect(severities(find(at({ rate: 45 / 60 }), "flash-rate"))).toEqual(["red"])
  expect(severities(find(at({ rate: 119 / 60 }), "flash-rate"))).toEqual(["amber"])
  expect(severities(find(at({ onShare: 0.8 }), "on-share"))).toEqual(["amber"])
})

test("a sweep that is too slow, runs inward, or stands too far in is told", () => {
  const slow = lamp.programme.map((l) => (l.sweep ? { ...l, sweep: { within: 0.25 } } : l))
  expect(severities(find(judge({ programme: slow }), "sweep-finished"))).toEqual(["amber"])
  const inward = lamp.groups.map((g) => ({ ...g, leds: [...g.leds].reverse() }))
  expect(severities(find(judge({ groups: inward }), "sweep-order"))).toEqual(["amber"])
  const zigzag = lamp.groups.map((g) => ({
    ...g,
    leds: g.leds.map((l, k) => ({ ...l, hole: { ...l.hole, y: l.hole.y + (k % 2) * 8 } })),
  }))
  expect(severities(find(judge({ groups: zigzag }), "sweep-turns"))).toEqual(["red"])
  const apart = find(judge(), "indicators-apart")[0]!
  const xs = (name: string) => lamp.groups.find((g) => g.name === name)!.leds.map((l) => l.hole.x)
  const clear = Math.min(...xs("sweep-right")) - Math.max(...xs("sweep-left")) - 5.3
  expect(apart.measured!.value).toBeCloseTo(clear, 6)
  const near = lamp.groups.map((g) =>
    g.name === "sweep-left"
      ? { ...g, leds: g.leds.map((l) => ({ ...l, hole: { ...l.hole, x: l.hole.x + 40 } })) }
      : g,
  )
  expect(severities(find(judge({ groups: near }), "indicators-apart"))).toEqual(["amber"])
})

test("colour: the wrong LED, and amber that drifts out", () => {
  const red = lamp.groups.map((g) => (g.name === "sweep-left" ? { ...g, led: "red-5mm" } : g))
  expect(find(judge({ groups: red }), "colour-wanted", "sweep-left")).toHaveLength(1)
  expect(find(judge(), "colour-wanted")).toEqual([])
  expect(severities(find(judge(), "colour", "sweep-left"))).toEqual(["green"])
  expect(severities(find(judge(), "colour-range", "sweep-left"))).toEqual(["amber"])
})

test("sweep times are read from a trace: wire's rise to the last LED at its level", () => {
  const samples = 100
  const group = { ...lamp.groups[1]!, leds: lamp.groups[1]!.leds.slice(0, 2) }
  const on = (k: number) => (k >= 10 && k < 60 ? 1 : 0)
  const led = (start: number) => Array.from({ length: samples }, (_, k) => (on(k) && k >= start ? 200 : 0))
  const trace: LightTrace = {
    step: 0.004,
    samples,
    wires: { left: Array.from({ length: samples }, (_, k) => on(k)) },
    leds: { [group.leds[0]!.ref]: led(12), [group.leds[1]!.ref]: led(40) },
  }
  expect(sweepTimes(trace, group, ["left"])).toMatchObject([{ at: 0.04, finished: 0.12, dropped: 0 }])
  expect(sweepTimes({ ...trace, leds: {} }, group, ["left"])).toBeUndefined()
})
