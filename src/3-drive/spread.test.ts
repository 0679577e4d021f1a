// Tolerances one at a time and by lot: against the solver with the part itself changed, against corners, and against
// published intervals.

import { expect, test } from "vitest"
import type { Circuit } from "./artefact.ts"
import { liveSets, programmeDrive } from "./corners.ts"
import { designDrive } from "./design-drive.ts"
import { group, lampOf, line, tern } from "./fixtures.testing.ts"
import { modelCircuit } from "./model-circuit.ts"
import { drawLamps } from "./monte-carlo.ts"
import { operatingPoint, real } from "./solver/operating-point.ts"
import { wilson } from "./wilson.ts"

const wires = [
  { name: "tail", role: "steady", fuse: 5 },
  { name: "earth", role: "earth" },
] as const
const single = lampOf("single", wires, [group("g", "red-5mm", 3, ["marker"])], [line(["tail"], "g")], {
  seed: 4,
  pins: { "drive.g.way": "resistor-strings" },
})
const made = designDrive(single)

// R. G. Newcombe, Statistics in Medicine 17 (1998), p. 857, table I, method 3 (from memory); the second row by hand:
// z² ÷ (n + z²) for none of n.
test.each([
  [81, 263, 0.2553, 0.3662],
  [15, 148, 0.0624, 0.1605],
  [0, 20, 0, 0.1611],
  [1, 29, 0.0061, 0.1718],
])("95 %% interval of %s in %s: %s…%s", (hits, count, low, high) => {
  const got = wilson(hits, count)
  expect(got.low).toBeCloseTo(low, 4)
  expect(got.high).toBeCloseTo(high, 4)
})

const current = (circuit: Circuit, volt: number, celsius = 25) => {
  const network = modelCircuit(circuit, single, {
    wires: new Map([["tail", volt]]),
    parts: "usual",
    celsius,
    drive: programmeDrive(single, new Map(), ["tail"]),
  })
  return 1000 * operatingPoint(network, real).current("g-1")
}
const figure = (circuit: Circuit, id: string) => circuit.figures.find((f) => f.id === id)!.value

test("what one tolerance takes is what the lamp takes with that alone changed", () => {
  const usual = current(made, 13.5)
  const { supply, ambient } = single.vehicle
  expect(supply.usual).toBe(13.5)
  expect(figure(made, "drive.g.eats.supply")).toBeCloseTo(current(made, supply.highest) - usual, 4)
  expect(figure(made, "drive.g.eats-light.supply")).toBeCloseTo(usual - current(made, supply.lowest), 4)
  expect(figure(made, "drive.g.eats.temperature")).toBeCloseTo(
    current(made, 13.5, ambient.highest) - usual,
    4,
  )
  const less = {
    ...made,
    parts: made.parts.map((p) => (p.kind === "resistor" ? { ...p, amount: 0.99 * p.amount! } : p)),
  }
  expect(figure(made, "drive.g.eats.resistors")).toBeCloseTo(current(less, 13.5) - usual, 4)
})

test("lots reach towards the corners and never beyond; the same lamp is drawn for every set", () => {
  const strong = Math.max(...made.corners.map((c) => c.ledCurrent["g-1"] ?? 0))
  const weak = Math.min(...made.corners.map((c) => c.ledCurrent["g-1"] ?? 1))
  let [most, least] = [0, 1]
  const report = drawLamps(made, single, new Map(), liveSets(single, []), 4000, (d) => {
    most = Math.max(most, d.current("g-1"))
    least = Math.min(least, d.current("g-1"))
  })
  expect(report.stuck).toBe(0)
  expect(report.powerError).toBeLessThan(1e-6)
  expect(most).toBeLessThanOrEqual(strong)
  expect(least).toBeGreaterThanOrEqual(weak)
  expect(most).toBeGreaterThan(0.85 * strong)
  expect(least).toBeLessThan(2.5 * weak)

  const circuit = designDrive(tern, { lamps: 0 })
  expect(circuit.findings.some((f) => f.code === "drive.yield")).toBe(false)
  const groupOf = new Map(circuit.channels.map((c) => [c.index, c.group]))
  const sets = liveSets(tern, [])
  const weather = new Map<number, Set<string>>()
  const tail = new Map<number, number[]>()
  drawLamps(circuit, tern, groupOf, sets, 6 * sets.length, (d) => {
    weather.set(d.lamp, (weather.get(d.lamp) ?? new Set()).add(`${d.supply} ${d.celsius}`))
    // The tail alone, and with a side beside it: the same LED takes the same but for the wires' drop.
    if (d.live.includes("tail") && !d.live.includes("brake"))
      tail.set(d.lamp, [...(tail.get(d.lamp) ?? []), d.current("tail-stop-1")])
  })
  expect(weather.size).toBe(6)
  for (const w of weather.values()) expect(w.size).toBe(1)
  for (const [, i] of tail) expect(Math.max(...i)).toBeLessThan(1.02 * Math.min(...i))
})

test("a lamp with little to spare loses lamps by lot, and the finding counts them", () => {
  const thin = designDrive({
    ...single,
    vehicle: { ...single.vehicle, supply: { ...single.vehicle.supply, lowest: 7.4 } },
    pins: { ...single.pins, "drive.g.in-series": 3 },
  })
  const told = thin.findings.find((f) => f.code === "drive.yield")!
  expect(told.severity).toBe("amber")
  const kept = Number(/(\d+) of 500/.exec(told.title)![1])
  expect(kept).toBeLessThan(500)
  expect(kept).toBeGreaterThan(250)
  expect(told.measured!.value).toBeCloseTo(100 * wilson(kept, 500).low, 1)
  const sound = made.findings.find((f) => f.code === "drive.yield")!
  expect(sound.severity).toBe("green")
  expect(figure(made, "drive.g.yield")).toBe(100)
})
