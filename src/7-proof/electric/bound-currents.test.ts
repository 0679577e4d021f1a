import { beforeAll, expect, test } from "vitest"
import { random } from "../../0-ground/numbers/random.ts"
import { finish } from "../../0-ground/progress.ts"
import { next, previous } from "../../1-stock/e-series.ts"
import { ledType, modelThermalVoltage } from "../../1-stock/leds.ts"
import { modelOf } from "../../1-stock/parts.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, Part } from "../../3-drive/artefact.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import { makeCircuit } from "../made-lamps.testing.ts"
import { boundCurrents } from "./bound-currents.ts"
import { checkCurrents } from "./check-currents.ts"

const part = (
  ref: string,
  kind: Part["kind"],
  stock: string,
  pins: Record<string, string>,
  amount?: number,
): Part => ({
  ref,
  kind,
  stock,
  package: "",
  value: "",
  pins,
  purpose: "",
  home: { kind: "group", group: "g" },
  reversible: false,
  ...(amount === undefined ? {} : { amount }),
})

/** One wire, one diode, one resistor, three red LEDs. */
const single = {
  parts: [
    part("D1", "diode", "diode-1n4007", { A: "tail", K: "feed" }),
    part("R1", "resistor", "resistor-quarter-watt", { "1": "feed", "2": "a" }, 330),
    ...["a", "b", "c"].map((n, i) => part(`L${i}`, "led", "red-5mm", { A: n, K: ["b", "c", "earth"][i]! })),
  ],
  nets: [{ name: "tail", kind: "wire", wire: "tail", current: 0, voltage: 0 }],
  earth: "earth",
  strings: [
    { name: "s", group: "g", leds: ["L0", "L1", "L2"], nets: ["a", "b", "c", "earth"], resistors: ["R1"] },
  ],
} as unknown as Circuit

const point = (v: number) => ({ low: v, high: v })
const at = (supply: number, live = ["tail"]) => ({
  supply: point(supply),
  temperature: point(25),
  live,
  wireOhm: 0.1,
  otherCurrent: 0.1,
})

/** The current of the single string with every part at its own place in its tolerance, by halving. */
function exact(supply: number, share: () => number): number {
  const diode = modelOf("diode-1n4007", "diode")
  const led = ledType("red-5mm")
  const law = (m: { saturation: number; emission: number; series: number }, i: number) =>
    m.emission * modelThermalVoltage * Math.log1p(i / m.saturation) + i * m.series
  const ohm = 330 * (1 + (2 * share() - 1) * modelOf("resistor-quarter-watt", "resistor").tolerance)
  const spread = (2 * share() - 1) * diode.spread
  const mix = [share(), share(), share()]
  const wire = 0.1 * share()
  let low = 0
  let high = 0.1
  for (let k = 0; k < 60; k++) {
    const i = (low + high) / 2
    const leds = mix.reduce((v, t) => v + law(led.model.low, i) * (1 - t) + law(led.model.high, i) * t, 0)
    if (leds + law(diode.law, i) + spread + i * (ohm + wire) < supply) low = i
    else high = i
  }
  return low
}

test("500 builds of one string, parts anywhere in their tolerances, stay inside the bounds", () => {
  const chance = random(3)
  for (const supply of [9, 13.5, 16]) {
    const bound = boundCurrents(single, at(supply)).get("s")!
    let least = 1
    let most = 0
    for (let k = 0; k < 500; k++) {
      const edge = k % 2 === 0
      const i = exact(supply, () => (edge ? Math.round(chance.next()) : chance.next()))
      expect(i).toBeGreaterThanOrEqual(bound.low)
      expect(i).toBeLessThanOrEqual(bound.high)
      least = Math.min(least, i)
      most = Math.max(most, i)
    }
    // Not so wide that they say nothing: warmth and drift are in the bounds and not in the builds.
    expect(bound.high).toBeLessThan(most * 1.12 + 0.0005)
    expect(bound.low).toBeGreaterThan(least * 0.88 - 0.0005)
  }
})

test("a dark wire carries nothing; a higher supply never less", () => {
  expect(boundCurrents(single, at(16, [])).get("s")).toEqual({ low: 0, high: 0 })
  let before = 0
  for (let v = 6; v <= 20; v++) {
    const { high } = boundCurrents(single, at(v)).get("s")!
    expect(high).toBeGreaterThanOrEqual(before)
    before = high
  }
})

let tern: { lamp: Lamp; circuit: Circuit }
beforeAll(() => {
  tern = makeCircuit("tern")
})

test("every solved LED current of the demo lamp lies inside its bounds, and a wrong one is red", () => {
  const { findings, figures } = finish(checkCurrents(tern.lamp, tern.circuit))
  expect(unexplained({ findings, figures })).toEqual([])
  expect(findings.filter((f) => f.severity === "red").map((f) => f.title)).toEqual([])
  const [led] = Object.keys(tern.circuit.corners[6]!.ledCurrent)
  const corners = tern.circuit.corners.map((c) => ({
    ...c,
    ledCurrent: { ...c.ledCurrent, ...(c.ledCurrent[led!]! > 0.01 ? { [led!]: 0.06 } : {}) },
  }))
  const told = finish(checkCurrents(tern.lamp, { ...tern.circuit, corners }))
  expect(unexplained(told)).toEqual([])
  const wrong = told.findings
  expect(wrong.some((f) => f.code === "proof.current-disagrees" && f.severity === "red")).toBe(true)
})

test("the greatest current follows from the ends it is told with, by hand", () => {
  const { figures } = finish(checkCurrents(tern.lamp, tern.circuit))
  for (const group of tern.lamp.groups) {
    const bound = figures.find((f) => f.id === `proof.${group.name}.current-bound`)!
    const volts = bound.inputs!.filter((f) => f.unit === "V")
    const leds = volts.at(-1)!.value
    const feeds = volts.slice(0, -1)
    const ohms = bound.inputs!.filter((f) => f.unit === "Ω")
    expect(ohms.length).toBe(feeds.length)
    const sum = feeds.reduce((i, f, k) => i + (f.value - leds) / ohms[k]!.value, 0)
    // The last round still moved by less than 0.1 µA.
    expect(1000 * sum).toBeCloseTo(bound.value, 2)
  }
})

test("a resistor ten times too small breaks the LEDs' limit", () => {
  const parts = tern.circuit.parts.map((p) =>
    p.kind === "resistor" && p.home.kind === "group" && p.amount! < 1000
      ? { ...p, amount: p.amount! / 10 }
      : p,
  )
  const found = finish(checkCurrents(tern.lamp, { ...tern.circuit, parts })).findings
  expect(found.some((f) => f.code === "proof.led-current-bound" && f.severity === "red")).toBe(true)
})

test("a string resistor one E24 step off is noticed, whichever and whichever way", () => {
  const own = tern.circuit.strings.flatMap((s) => s.resistors.map((ref) => ({ ref, s })))
  const missed: string[] = []
  for (const { ref } of own) {
    for (const step of [next, previous]) {
      const parts = tern.circuit.parts.map((p) =>
        p.ref === ref ? { ...p, amount: step(p.amount!, "E24") } : p,
      )
      const found = finish(checkCurrents(tern.lamp, { ...tern.circuit, parts })).findings
      if (!found.some((f) => f.code === "proof.current-disagrees" && f.severity === "red"))
        missed.push(`${ref} ${step.name}`)
    }
  }
  expect(missed).toEqual([])
})
