// Laws that hold for any lamp: whatever the groups and supplies, the circuit is sound and says what it cannot do.

import fc from "fast-check"
import { expect, test } from "vitest"
import { nearest } from "../1-stock/e-series.ts"
import type { Wire } from "../2-lamp/artefact.ts"
import { circuitFaults } from "./check-circuit.testing.ts"
import { designDrive } from "./design-drive.ts"
import { group, lampOf, line } from "./fixtures.testing.ts"
import { dumpEnergy } from "./judge-abuse.ts"
import { readOhm } from "./pinned.ts"
import { divide } from "./plan-strings.ts"

const wires: readonly Wire[] = [
  { name: "a", role: "steady", fuse: 5 },
  { name: "b", role: "steady", fuse: 5, size: 0.5, length: 4 },
  { name: "f", role: "flashing", flasher: "load-sensing", onShare: 0.5, rate: 1.5, fuse: 5 },
  { name: "plus", role: "supply", fuse: 5 },
  { name: "earth", role: "earth" },
]

const aGroup = fc.record({
  led: fc.constantFrom("red-5mm", "amber-5mm", "white-5mm", "red-3mm", "white-3mm"),
  count: fc.integer({ min: 1, max: 24 }),
  wires: fc.subarray(["a", "b", "f"], { minLength: 1 }),
  levels: fc.array(fc.double({ min: 0.05, max: 1, noNaN: true }), { minLength: 3, maxLength: 3 }),
  kind: fc.constantFrom("plain", "fade", "sweep"),
})
const aSupply = fc.record({
  lowest: fc.double({ min: 6, max: 11, noNaN: true }),
  usual: fc.double({ min: 11.5, max: 14, noNaN: true }),
  highest: fc.double({ min: 14.5, max: 18, noNaN: true }),
})

test("random lamps: sound circuits, solved corners, red where a group cannot light or burns", () => {
  fc.assert(
    fc.property(fc.array(aGroup, { minLength: 1, maxLength: 3 }), aSupply, (groups, supply) => {
      const lamp = lampOf(
        "random",
        wires,
        groups.map((g, k) => group(`g${k}`, g.led, g.count, ["marker"])),
        groups.flatMap((g, k) =>
          g.wires.map((w, i) =>
            line([w], `g${k}`, {
              level: g.levels[i]!,
              ...(g.kind === "fade" ? { rise: 0.2 } : {}),
              ...(g.kind === "sweep" ? { sweep: { within: 0.15 } } : {}),
            }),
          ),
        ),
      )
      const made = designDrive(
        { ...lamp, vehicle: { ...lamp.vehicle, supply: { ...supply, surge: "clamped" } } },
        { lamps: 20 },
      )
      expect(circuitFaults(made)).toEqual([])
      expect(made.findings.filter((f) => f.code === "drive.not-solved")).toEqual([])
      for (const f of made.findings) {
        if (f.measured) expect(Number.isFinite(f.measured.value), f.title).toBe(true)
        const figure = made.figures.find((g) => g.id === f.figure)
        if (f.measured) expect({ value: figure?.value, unit: figure?.unit }, f.title).toEqual(f.measured)
      }
      // The bleed always keeps a dead wire dead.
      for (const f of made.findings)
        if (f.code === "drive.input-dead") expect(f.severity, f.title).toBe("green")
      // Our own choices never overload an LED, at any corner.
      for (const f of made.findings) {
        if (f.code === "drive.led-current" || f.code === "drive.surge-led")
          expect(f.severity, f.title).not.toBe("red")
      }
      // What lights at a corner lights in the right groups only.
      for (const c of made.corners) {
        groups.forEach((g, k) => {
          if (g.wires.some((w) => c.live.includes(w))) return
          for (let i = 1; i <= g.count; i++) expect(c.ledCurrent[`g${k}-${i}`] ?? 0).toBeLessThan(2e-6)
        })
      }
    }),
    { seed: 5, numRuns: 25 },
  )
}, 60_000)

test("a large group shares its current among several feed diodes", () => {
  const brake: Wire = { name: "brake", role: "steady", fuse: 10 }
  const tail: Wire = { name: "tail", role: "steady", fuse: 5 }
  const lamp = lampOf(
    "large",
    [brake, tail, { name: "earth", role: "earth" }],
    [group("bar", "red-5mm", 100, ["stop", "rear-position"])],
    [line(["brake"], "bar"), line(["tail"], "bar", { level: 0.1 })],
  )
  const made = designDrive(lamp)
  expect(circuitFaults(made)).toEqual([])
  expect(made.findings.filter((f) => f.severity === "red").map((f) => f.title)).toEqual([])
  const diodes = made.parts.filter((p) => p.kind === "diode" && p.pins.A === "brake")
  expect(diodes.length).toBeGreaterThan(1)
  const most = made.findings.find((f) => f.code === "drive.diode-current")!
  expect(most.measured!.value).toBeLessThan(600)
})

test("strings are as equal as can be and none is too long", () => {
  expect(divide(22, 3)).toEqual([3, 3, 3, 3, 3, 3, 2, 2])
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 400 }), fc.integer({ min: 1, max: 12 }), (count, most) => {
      const parts = divide(count, most)
      expect(parts.reduce((a, b) => a + b, 0)).toBe(count)
      expect(Math.max(...parts)).toBeLessThanOrEqual(most)
      expect(Math.max(...parts) - Math.min(...parts)).toBeLessThanOrEqual(1)
      expect(parts.length).toBe(Math.ceil(count / most))
    }),
  )
})

// Vehicle sheet 1.4: energy into an ideal clamp at 36 V, 14 V before the pulse; computed there from the same closed form
// and here checked against the integral.
test.each([
  [101, 4, 0.4, 54.33],
  [101, 2, 0.4, 108.67],
  [101, 0.5, 0.4, 434.68],
  [79, 0.5, 0.4, 239.73],
  [79, 0.5, 0.04, 23.97],
  [79, 4, 0.04, 3.0],
])("load dump %s V, %s Ω, %s s puts %s J into a 36 V clamp", (peak, ohm, seconds, joule) => {
  const closed = dumpEnergy(peak, 14, ohm, seconds, 36)
  expect(closed).toBeCloseTo(joule, 1)
  let sum = 0
  const step = seconds / 20000
  for (let t = step / 2; t < seconds; t += step) {
    const volt = 14 + (peak - 14) * 10 ** (-t / seconds)
    if (volt > 36) sum += ((volt - 36) / ohm) * 36 * step
  }
  expect(Math.abs(sum / closed - 1)).toBeLessThan(1e-3)
})

test("resistances are read as a builder writes them", () => {
  expect([
    readOhm(330),
    readOhm("330"),
    readOhm("330 Ω"),
    readOhm("4k7"),
    readOhm("4.7 kΩ"),
    readOhm("0R5"),
    readOhm("1M"),
  ]).toEqual([330, 330, 330, 4700, 4700, 0.5, 1e6])
  for (const bad of ["", "k", "-5", "4k7k", "1e99", "12 V"]) expect(readOhm(bad)).toBeUndefined()
  expect(nearest(readOhm("4k6")!, "E24")).toBe(4700)
})
