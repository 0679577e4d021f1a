import { describe, expect, test } from "vitest"
import { flashLimits } from "../../1-stock/flashers.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import { habits } from "./flasher-kinds.ts"
import { scenarios } from "./scenarios.ts"
import { exampleLamp, makeForBench } from "./tern.testing.ts"
import { wireLevels } from "./wire-levels.ts"
import { liveSpans } from "./wires.ts"

const made = makeForBench(exampleLamp("tern"))
const list = scenarios(made, ["left", "right"])
const left = made.lamp.vehicle.wires.find((w) => w.name === "left")!

describe("levels of a wire, from the solved circuit", () => {
  const at = wireLevels(made.lamp, made.circuit, left)

  test("live: what the harness leaves of the supply", () => {
    const { supply } = made.lamp.vehicle
    for (const [volt, of] of [
      [at.lowest, supply.lowest],
      [at.usual, supply.usual],
      [at.highest, supply.highest],
    ] as const) {
      expect(volt).toBeLessThanOrEqual(of + 1e-6)
      expect(volt).toBeGreaterThan(0.93 * of)
    }
  })

  // 12 V behind 2.4 kΩ into the 560 Ω bleed: 12 · 560 / 2960 = 2.27 V, by hand, told as 2.3 V;
  // with a ballast of the same size 12 · 280 / 2680 = 1.25 V, told as 1.3 V.
  test("dead: what leaks through an electronic flasher into the bleed", () => {
    expect(at.dead).toBe(2.3)
    const half = wireLevels(made.lamp, made.circuit, { ...left, ballast: 560 })
    expect(half.dead).toBe(1.3)
    expect(wireLevels(made.lamp, made.circuit, { ...left, flasher: "thermal" }).dead).toBeLessThan(0.1)
  })

  test("or what the lamp feeds back, where that is more", () => {
    const net = made.circuit.nets.find((n) => n.wire === "left")!.name
    const corners: Circuit["corners"] = made.circuit.corners.map((c) =>
      c.live.includes("left") ? c : { ...c, nodeVoltage: { ...c.nodeVoltage, [net]: 3.1 } },
    )
    expect(wireLevels(made.lamp, { ...made.circuit, corners }, left).dead).toBeGreaterThan(3)
  })

  test("a circuit that was not solved: the supply, and nothing", () => {
    const bare = wireLevels(made.lamp, { ...made.circuit, corners: [] }, left)
    expect(bare).toEqual({ lowest: 9, usual: 13.5, highest: 16, dead: 0 })
  })
})

describe("what the product's bench does to a lamp", () => {
  test("every kind of flasher, with its own slow edges and the circuit's voltages", () => {
    const ramps = new Set(list.map((s) => s.stimulus.volts!.left!.ramp))
    for (const { ramp } of Object.values(habits)) expect(ramps).toContain(ramp)
    for (const s of list) {
      expect(s.stimulus.volts!.left!.dead).toBe(2.3)
      expect(s.stimulus.volts!.left!.live).toBeGreaterThan(8)
    }
    const live = list.map((s) => s.stimulus.volts!.left!.live)
    expect(Math.min(...live)).toBeLessThan(9.01)
    expect(Math.max(...live)).toBeGreaterThan(15)
  })

  test("reaches both ends of the lawful rates and on-times, a lamp out, and beyond", () => {
    const rates = list.flatMap((s) => {
      const flashes = liveSpans(s.stimulus.wires.left ?? [], s.seconds).filter(([a, b]) => b - a > 0.05)
      return flashes.slice(1).map(([a], i) => 60 / (a - flashes[i]![0]))
    })
    expect(Math.min(...rates)).toBeLessThan(1.05 * flashLimits.rate.low)
    expect(rates.some((r) => Math.abs(r - flashLimits.rate.high) < 2)).toBe(true)
    expect(rates.some((r) => Math.abs(r - 2.2 * 90) < 4)).toBe(true)
  })

  test("bounces, lets go, sags as when the engine is started, and is live at power-on", () => {
    const pulses = list.flatMap((s) => liveSpans(s.stimulus.wires.right ?? [], s.seconds))
    expect(pulses.some(([a, b]) => b - a < 0.002)).toBe(true)
    expect(list.some((s) => s.stimulus.volts!.left!.dips?.some((d) => d.volt === 6))).toBe(true)
    expect(list.some((s) => s.stimulus.wires.left?.[0]?.t === 0)).toBe(true)
    expect(list.some((s) => s.stimulus.wires.right?.[0]?.t === 0)).toBe(true)
  })

  test("sides of the hazard lights close within milliseconds, not in the same one", () => {
    const both = list.find((s) => /all sides at once/.test(s.name))!
    const first = (w: string) => both.stimulus.wires[w]![0]!.t
    expect(first("right") - first("left")).toBeGreaterThan(0.001)
    expect(first("right") - first("left")).toBeLessThan(0.04)
  })

  test("stays under half a minute, the same each time", () => {
    expect(list.reduce((sum, s) => sum + s.seconds, 0)).toBeLessThan(28)
    expect(JSON.stringify(scenarios(made, ["left", "right"]))).toBe(JSON.stringify(list))
  })

  test("steady wires alone: taps and the starting engine; none: the demonstration", () => {
    expect(scenarios(made, ["brake"]).map((s) => s.name)).toEqual([
      "demonstration",
      "taps on the steady wires, lowest supply",
      "the engine is started (6 V, level IV)",
    ])
    expect(scenarios(made, []).map((s) => s.name)).toEqual(["demonstration"])
  })
})
