// Pulses through whole circuits: a clamp by itself against the closed form of its energy, a lamp without capacitors
// against its operating point at the peak, and what the findings say.

import { expect, test } from "vitest"
import { runEvent } from "./circuit-transient.ts"
import { designDrive } from "./design-drive.ts"
import { eventsOf } from "./events.ts"
import { group, lampOf, line, tern } from "./fixtures.testing.ts"
import { dumpEnergy } from "./judge-abuse.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import { modelCircuit } from "./model-circuit.ts"
import { Network } from "./solver/network.ts"
import { operatingPoint, real } from "./solver/operating-point.ts"
import { transient } from "./solver/transient.ts"

// Vehicle sheet section 1.4, worked out there in closed form: U_S, R_i, t_d, V_c, energy; U_A 14 V.
test.each([
  [101, 4, 0.4, 36, 54.33],
  [101, 2, 0.4, 36, 108.67],
  [101, 0.5, 0.4, 36, 434.68],
  [79, 0.5, 0.4, 36, 239.73],
  [79, 0.5, 0.04, 36, 23.97],
  [79, 4, 0.04, 36, 3],
])("load dump of %s V, %s Ω, %s s puts its energy into a %s V clamp", (peak, ohm, seconds, volt, joule) => {
  expect(Math.abs(dumpEnergy(peak, 14, ohm, seconds, volt) / joule - 1)).toBeLessThan(2e-4 + 0.005 / joule)
  // The same over time: a stiff clamp as a curve, its power summed up.
  let energy = 0
  let before = { seconds: 0, watt: ((peak - volt) / ohm) * volt }
  const run = transient(
    {
      network: (t) => {
        const n = new Network()
        n.source("V", "rail", "0", 14 + (peak - 14) * 10 ** (-t / seconds), ohm)
        n.curve("Z", "rail", "0", [
          [0, 0],
          [volt, 1e-6],
          [volt + 0.02, 1e3],
        ])
        return n
      },
      capacitors: [],
      inductors: [],
      relays: [],
      jumps: [],
    },
    seconds,
    {
      accuracy: real,
      tolerance: 1e-4,
      firstStep: seconds / 1000,
      longestStep: seconds / 400,
      mostSteps: 4000,
    },
    ({ seconds: t, point }) => {
      const watt = point.voltage("rail") * point.current("Z")
      energy += ((watt + before.watt) / 2) * (t - before.seconds)
      before = { seconds: t, watt }
    },
  )
  expect(run.finished).toBe(true)
  expect(Math.abs(energy / joule - 1)).toBeLessThan(2e-3)
})

const single = lampOf(
  "single",
  [
    { name: "tail", role: "steady", fuse: 5 },
    { name: "earth", role: "earth" },
  ],
  [group("g", "red-5mm", 3, ["marker"])],
  [line(["tail"], "g")],
)

test("without capacitors a pulse is its peak: the operating point at that voltage", () => {
  const circuit = designDrive(single)
  const event = eventsOf(single.vehicle).find((e) => e.name === "pulse 2a")!
  const made = {
    lamp: single,
    body: circuit,
    controller: undefined,
    part: new Map(circuit.parts.map((p) => [p.ref, p])),
  } as unknown as MadeCircuit
  const run = runEvent(made, event, ["tail"], () => "open")
  expect(run.finished).toBe(true)
  const peak = operatingPoint(
    modelCircuit(circuit, single, {
      wires: new Map([["tail", 63.5]]),
      behind: new Map([["tail", 2]]),
      parts: "strongest",
      celsius: single.vehicle.ambient.highest,
    }),
    real,
  )
  const got = run.stress.get("g-1")!
  expect(got.ampere / peak.current("g-1")).toBeGreaterThan(0.98)
  expect(got.ampere / peak.current("g-1")).toBeLessThanOrEqual(1.0001)
  // Charge of a pulse that falls to a tenth in its length: about peak × length ÷ ln 10 above the steady current.
  expect(got.coulomb).toBeGreaterThan((peak.current("g-1") * 50e-6) / Math.LN10)
})

test("the rear lamp bears every pulse or says which part does not; each finding has its figure and stands in the table", () => {
  const circuit = designDrive(tern, { lamps: 0 })
  const told = circuit.findings.filter((f) => f.code === "drive.pulse-part")
  expect(told.length).toBeGreaterThanOrEqual(11)
  expect(told.filter((f) => f.severity === "red")).toEqual([])
  for (const f of told) {
    const figure = circuit.figures.find((g) => g.id === f.figure)!
    expect({ value: figure.value, unit: figure.unit }).toEqual(f.measured)
    expect(figure.inputs!.length).toBeGreaterThan(2)
  }
  // Each part that is not copper or a clock, in each event.
  const events = new Set(circuit.pulses!.map((p) => `${p.event} ${p.what}`))
  expect(events.size).toBe(12)
  for (const kind of ["led", "resistor", "diode", "capacitor", "clamp", "regulator", "low-side-array"]) {
    const refs = circuit.parts.filter((p) => p.kind === kind).map((p) => p.ref)
    for (const ref of refs) expect(circuit.pulses!.filter((p) => p.part === ref).length, ref).toBe(12)
  }
  // A blocking diode keeps a negative pulse from the LEDs: its voltage stands over the diodes.
  const blocked = circuit.pulses!.filter((p) => p.event === "pulse 1")
  for (const p of blocked) if (p.part.startsWith("sweep-")) expect(p.current).toBeLessThan(0.05)
  const diode = circuit.parts.find((p) => p.kind === "diode" && p.pins.K === "rail")!.ref
  expect(Math.max(...blocked.filter((p) => p.part === diode).map((p) => p.highest))).toBeGreaterThan(86)
})

test("too small a capacitor on the rail is caught by the pulses", () => {
  const starts = designDrive(tern, { lamps: 0 }).findings.filter((f) => f.code === "drive.starting")
  expect(starts.map((f) => f.severity)).toEqual(["green", "green"])
  // A vehicle whose load dump nothing clamps: the LEDs' currents say so too.
  const raw = designDrive(
    { ...tern, vehicle: { ...tern.vehicle, supply: { ...tern.vehicle.supply, surge: "unclamped" } } },
    { lamps: 0 },
  )
  const dump = raw.pulses!.filter((p) => p.event === "load dump")
  expect(dump.length).toBeGreaterThan(50)
  const clamp = raw.parts.find((p) => p.kind === "clamp")!.ref
  expect(Math.max(...dump.filter((p) => p.part === clamp).map((p) => p.energy))).toBeGreaterThan(0.87)
})
