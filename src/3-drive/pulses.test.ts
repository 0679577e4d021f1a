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
  const network = new Network()
  network.source("V", "rail", "0", peak, ohm)
  network.curve("Z", "rail", "0", [
    [0, 0],
    [volt, 1e-6],
    [volt + 0.02, 1e3],
  ])
  const run = transient(
    {
      network,
      sourceAt: (source, t) => ({ volt: 14 + (peak - 14) * 10 ** (-t / seconds), ohm: source.ohm }),
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
  expect(events.size).toBe(15)
  for (const kind of ["led", "resistor", "diode", "capacitor", "clamp", "regulator", "low-side-array"]) {
    const refs = circuit.parts.filter((p) => p.kind === kind).map((p) => p.ref)
    for (const ref of refs) expect(circuit.pulses!.filter((p) => p.part === ref).length, ref).toBe(15)
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

// Levels and times: ISO 16750-2 and ISO 7637-2:2011, both from memory (vehicle sheet, sections 1.2, 1.3, 2.2).
test("a jump start puts its minute of heat into every part, by hand where it is plain", () => {
  const circuit = designDrive(tern, { lamps: 0 })
  const jump = circuit.pulses!.filter((p) => p.event === "jump start")
  const bleed = circuit.parts.find((p) => p.kind === "resistor" && p.purpose.startsWith("drains"))!
  const seen = jump.find((p) => p.part === bleed.ref)!
  // Strongest parts: 1 % low. The wire takes a few millivolts.
  const heat = (24 ** 2 / (0.99 * bleed.amount!)) * 60
  expect(seen.highest).toBeCloseTo(24, 0)
  expect(seen.energy / heat).toBeGreaterThan(0.98)
  expect(seen.energy / heat).toBeLessThan(1.001)
  const regulator = circuit.parts.find((p) => p.kind === "regulator")!.ref
  expect(jump.find((p) => p.part === regulator)!.highest).toBeLessThan(24)
  const told = circuit.findings.find((f) => f.figure === "drive.pulses.led-lasting")!
  expect(told.corner).toMatch(/^jump start/)
  expect(told.limit!.value).toBe(50)
})

test("a reversed battery for a minute: diodes block it, capacitors are hardly turned round, the clamp takes nothing", () => {
  const circuit = designDrive(tern, { lamps: 0 })
  const back = circuit.pulses!.filter((p) => p.event === "battery reversed")
  expect(back.length).toBeGreaterThan(90)
  for (const p of circuit.parts) {
    const seen = back.find((b) => b.part === p.ref)
    if (p.kind === "capacitor" && p.pins["+"] !== undefined) expect(seen!.lowest, p.ref).toBeGreaterThan(-1)
    if (p.kind === "clamp") expect(seen!.energy).toBeLessThan(0.01)
    if (p.kind === "diode" && p.pins.A === "brake") expect(seen!.highest).toBeGreaterThan(9)
  }
})

test("pulse 2b never lifts a part above the supply it had; starting lasts through its plateau of ten seconds", () => {
  const circuit = designDrive(tern, { lamps: 0 })
  const after = circuit.pulses!.filter((p) => p.event === "pulse 2b")
  expect(Math.max(...after.map((p) => p.highest))).toBeLessThan(13.6)
  const [one, four] = eventsOf(tern.vehicle).filter((e) => e.name.startsWith("starting"))
  expect(one!.end).toBeGreaterThan(1)
  expect(four!.end).toBeGreaterThan(10)
  expect(four!.volt(5)).toBe(6.5)
  const fed = circuit.pulses!.find(
    (p) =>
      p.event === "starting, level IV" && circuit.parts.some((x) => x.ref === p.part && x.kind === "led"),
  )
  expect(fed).toBeDefined()
})
