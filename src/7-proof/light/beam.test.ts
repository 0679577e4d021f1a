// Beams: laws with known answers, and the Tern's own grids.

import { beforeAll, describe, expect, test } from "vitest"
import type { IntensityTable } from "../../0-ground/photometry/intensity-table.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import { makeCircuit } from "../made-lamps.testing.ts"
import { beamOf } from "./beam-grid.ts"
import { openShare, shareOf } from "./beam-shape.ts"
import { checkRules } from "./check-rules.ts"
import { gridDirections } from "./directions.ts"
import { functionLights } from "./function-light.ts"
import { beamExponent } from "./intensity.ts"

const open = { disc: 2.5, hole: 2.6, depth: -1 }
const rad = Math.PI / 180

describe("one LED", () => {
  test("a measured table of the cosine law gives what the law gives", () => {
    const m = beamExponent(30)
    const vertical = Array.from({ length: 361 }, (_, i) => i / 4)
    const table: IntensityTable = {
      type: "C",
      vertical,
      horizontal: [0],
      candela: [vertical.map((v) => 7 * Math.max(0, Math.cos(v * rad)) ** m)],
    }
    const [law, measured] = [shareOf(m, undefined, undefined, open), shareOf(m, table, undefined, open)]
    for (const [h, v] of [
      [0, 0],
      [10, 5],
      [-20, 5],
      [15, 0],
    ] as const)
      expect(measured(h, v)).toBeCloseTo(law(h, v), 3)
  })

  test("aimed aside it is brightest there, and as far from its aim as from any other it gives the same", () => {
    const m = beamExponent(40)
    const aimed = shareOf(m, undefined, { right: 25, up: -10 }, open)
    expect(aimed(25, -10)).toBeCloseTo(1, 12)
    const straight = shareOf(m, undefined, undefined, open)
    expect(aimed(25, -10 + 12)).toBeCloseTo(straight(0, 12), 12)
    expect(aimed(25, -10 - 12)).toBeCloseTo(straight(0, 12), 12)
    // A table that is not round turns with it.
    const angles = Array.from({ length: 121 }, (_, i) => i - 60)
    const flat: IntensityTable = {
      type: "A",
      vertical: angles,
      horizontal: angles,
      candela: angles.map((h) => angles.map((v) => Math.exp(-((h / 30) ** 2) - (v / 8) ** 2))),
    }
    const turned = shareOf(m, flat, { right: 30, up: 0 }, open)
    expect(turned(30, 8)).toBeCloseTo(Math.exp(-1), 3)
    expect(turned(0, 0)).toBeCloseTo(Math.exp(-1), 2)
  })

  test("hole and metal: nothing is lost while the dome stands out; deep inside the wall cuts the light off", () => {
    expect(openShare(open, 80)).toBe(1)
    const deep = { disc: 2.5, hole: 2.5, depth: 5 }
    expect(openShare(deep, 0)).toBe(1)
    // Two equal circles one radius apart share 2π/3 − √3/2 of r² (textbook): 0.391 of the disc.
    const apart = Math.atan(2.5 / 5) / rad
    expect(openShare(deep, apart)).toBeCloseTo((2 * Math.PI) / 3 / Math.PI - Math.sqrt(3) / 2 / Math.PI, 9)
    // Once they are two radii apart nothing is seen.
    expect(openShare(deep, Math.atan(5 / 5) / rad + 0.01)).toBe(0)
    // A wider hole shows all of the disc until its rim is reached.
    expect(openShare({ disc: 2, hole: 4, depth: 5 }, Math.atan(2 / 5) / rad - 0.01)).toBe(1)
  })
})

test("shading, ray by ray: what leaves a disc inside a hole and clears the rim of the metal", () => {
  for (const [disc, hole, depth, angle] of [
    [2.5, 2.6, 3, 20],
    [2.5, 2.6, 1.2, 60],
    [2.5, 4, 6, 35],
    [1.5, 1.6, 0.8, 75],
  ] as const) {
    const n = 300
    let [seen, all] = [0, 0]
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) {
        const [x, y] = [disc * ((2 * i + 1) / n - 1), disc * ((2 * j + 1) / n - 1)]
        if (Math.hypot(x, y) > disc) continue
        all++
        // A ray leaning in x comes up to the rim so far aside.
        if (Math.hypot(x + depth * Math.tan(angle * rad), y) <= hole) seen++
      }
    expect(openShare({ disc, hole, depth }, angle)).toBeCloseTo(seen / all, 2)
  }
})

describe("the Tern", () => {
  let lamp: Lamp
  let circuit: Circuit
  beforeAll(() => {
    ;({ lamp, circuit } = makeCircuit("tern"))
  })
  const stop = (change: object) =>
    functionLights(
      { ...lamp, groups: lamp.groups.map((g) => (g.name === "tail-stop" ? { ...g, ...change } : g)) },
      circuit,
    ).find((l) => l.function === "stop")!

  test("grids: weakest ≤ usual ≤ strongest, weather beyond both, flux of the cosine law", () => {
    const { beams } = checkRules(lamp, circuit, undefined)
    expect(beams.map((b) => `${b.group} ${b.function}`)).toEqual([
      "tail-stop rear-position",
      "tail-stop stop",
      "sweep-left direction-indicator",
      "sweep-right direction-indicator",
    ])
    for (const b of beams) {
      for (const [i, row] of b.usual.entries())
        for (const [k, usual] of row.entries()) {
          expect(b.least[i]![k]).toBeLessThanOrEqual(usual)
          expect(b.most[i]![k]).toBeGreaterThanOrEqual(usual)
          expect(b.weather.least[i]![k]).toBeLessThanOrEqual(b.least[i]![k]!)
          expect(b.weather.most[i]![k]).toBeGreaterThanOrEqual(b.most[i]![k]!)
        }
      const axis = b.usual[b.horizontal.indexOf(0)]![b.vertical.indexOf(0)]!
      const angle = b.group === "tail-stop" ? 30 : 23
      // 2π·I₀ ÷ (m + 1); the grid's steps and four digits cost a percent.
      expect(b.flux / ((2 * Math.PI * axis) / (beamExponent(angle) + 1))).toBeCloseTo(1, 1)
      expect(b.asked).toHaveLength(19)
      expect(b.lit.reduce((s, l) => s + l.light, 0) / axis).toBeCloseTo(1, 3)
      const area = b.lit.reduce((s, l) => s + (Math.PI * l.diameter ** 2) / 4, 0)
      expect((b.luminance * area) / 1e6 / axis).toBeCloseTo(1, 3)
    }
  })

  test("weakest and strongest over every solved corner: current, temperature and warmth of each LED, by hand", () => {
    const l = stop({})
    const { led } = l
    const { lowest, highest } = lamp.vehicle.ambient
    const at = (parts: string) =>
      circuit.corners.filter((c) => c.parts === parts && [...c.live].sort().join() === "brake,plus")
    const light = (c: Circuit["corners"][number], intensity: number, air: number, warm: number) =>
      l.group.leds.reduce((sum, { ref }) => {
        const i = c.ledCurrent[ref]!
        const junction = air + warm * led.thermalResistance * i * led.forwardVoltage.usual
        return sum + Math.max(0, ((intensity * i) / 0.02) * (1 - 0.007 * (junction - 25)))
      }, 0)
    const least = at("weakest").map((c) => light(c, led.intensity.low, Math.max(c.temperature, highest), 1))
    const most = at("strongest").map((c) => light(c, led.intensity.high, Math.min(c.temperature, lowest), 0))
    // The usual supply and the lowest; the usual one and the highest.
    expect(least.length).toBeGreaterThan(1)
    expect(most.length).toBeGreaterThan(1)
    const beam = beamOf(lamp, circuit, l)
    const [h, v] = [beam.horizontal.indexOf(0), beam.vertical.indexOf(0)]
    expect(beam.weather.least[h]![v]! / Math.min(...least)).toBeCloseTo(1, 3)
    expect(beam.weather.most[h]![v]! / Math.max(...most)).toBeCloseTo(1, 3)
    // Aside it is the same light by the beam's law.
    const aside = Math.cos(10 * rad) ** beamExponent(30)
    expect(beam.weather.least[beam.horizontal.indexOf(10)]![v]! / (Math.min(...least) * aside)).toBeCloseTo(
      1,
      3,
    )
  })

  test("a lens takes its share everywhere; LEDs turned aside take the light from the axis", () => {
    const plain = stop({})
    const glass = stop({ lens: 0.8 })
    expect(glass.least.value / plain.least.value).toBeCloseTo(0.8, 12)
    expect(
      beamOf(lamp, circuit, glass).usual[24]![12]! / beamOf(lamp, circuit, plain).usual[24]![12]!,
    ).toBeCloseTo(0.8, 3)
    const leds = plain.group.leds.map((l, k) => ({ ...l, aim: { right: k % 2 === 0 ? 15 : -15, up: 0 } }))
    const fan = stop({ leds })
    // 15° is half of the 30° between the half-intensity directions.
    expect(fan.least.value / plain.least.value).toBeCloseTo(0.5, 9)
    const { findings, figures } = checkRules(
      { ...lamp, groups: [{ ...fan.group }, ...lamp.groups.slice(1)] },
      circuit,
      undefined,
    )
    expect(unexplained({ findings, figures })).toEqual([])
    // The maximum is looked for where the beams go.
    const most = figures.find((f) => f.id.startsWith("light.tail-stop.stop.most.h"))!
    expect(most.value).toBeGreaterThan(fan.most.value)
  })

  test("a packet's bin stands in for the stock's figures, down to the sources", () => {
    const own = stop({ bin: { light: { low: 1.6, high: 2.1 }, beam: 60 } })
    expect(own.least.value / stop({}).least.value).toBeCloseTo(1.6 / 3.2, 12)
    expect(own.beam.value).toBeCloseTo(beamExponent(60), 12)
    expect(own.least.inputs!.map((f) => f.id)).toContain("description.groups.tail-stop.bin.intensity-low")
  })

  test("thick metal leaves less light aside", () => {
    const thick = { ...lamp, faces: lamp.faces.map((f) => ({ ...f, thickness: 7 })) }
    const [deep] = functionLights(thick, circuit)
    const [plain] = functionLights(lamp, circuit)
    expect(deep!.share.least(0, 0)).toBeCloseTo(1, 12)
    expect(deep!.share.least(30, 0)).toBeLessThan(plain!.share.least(30, 0))
    expect(unexplained(checkRules(thick, circuit, undefined))).toEqual([])
  })
})

test("between the test points the lowest share of those around counts", () => {
  const at = (h: number, v: number) => gridDirections.find((d) => d.h === h && d.v === v)?.share
  expect(at(0, 0)).toBe(1)
  expect(at(3, 0)).toBe(0.9)
  expect(at(7, 0)).toBe(0.35)
  expect(at(0, 3)).toBe(0.7)
  expect(at(15, 5)).toBe(0.1)
  // Outside the pattern nothing is asked.
  expect(at(20, 10)).toBeUndefined()
  expect(at(15, 9)).toBeUndefined()
})
