// A rail whose set resistor a relay switches: what the wires light, that it works without a controller, that the coil
// pulls in warm and low, and what happens over time.

import { describe, expect, test } from "vitest"
import type { Lamp } from "../2-lamp/artefact.ts"
import { circuitFaults } from "./check-circuit.testing.ts"
import { runEvent } from "./circuit-transient.ts"
import { designDrive } from "./design-drive.ts"
import { group, lampOf, line } from "./fixtures.testing.ts"
import type { MadeCircuit } from "./made-circuit.ts"
import { modelCircuit } from "./model-circuit.ts"
import { coilTemperature, pullInVolt, relayModel } from "./relay-coil.ts"
import { operatingPoint, real } from "./solver/operating-point.ts"

const wires = [
  { name: "tail", role: "steady", fuse: 5 },
  { name: "brake", role: "steady", fuse: 5 },
  { name: "earth", role: "earth" },
] as const
const lamp: Lamp = lampOf(
  "relay",
  wires,
  [group("rear", "red-5mm", 6, ["rear-position", "stop"])],
  [line(["tail"], "rear", { level: 0.12 }), line(["brake"], "rear")],
  { pins: { "drive.rear.way": "rail-relay" } },
)
const circuit = designDrive(lamp)
const relay = circuit.parts.find((p) => p.kind === "relay")!

test("a sound circuit without a controller, with the relay, its diode and suppressor and nothing red", () => {
  expect(circuitFaults(circuit)).toEqual([])
  expect(circuit.controller).toBeUndefined()
  expect(circuit.findings.filter((f) => f.severity === "red").map((f) => f.title)).toEqual([])
  expect(circuit.drives[0]).toMatchObject({ way: "rail-relay", topology: "two-feed" })
  for (const code of ["relay-pull-in", "relay-heat", "relay-contact"])
    expect(circuit.findings.find((f) => f.code === `drive.${code}`)?.severity).toBe("green")
})

test("the tail wire alone gives the lower level, the brake wire the full one, with the tail wire live or not", () => {
  const at = (live: string) =>
    circuit.corners.find((c) => c.live.join("+") === live && c.parts === "usual")!.ledCurrent["rear-1"]!
  expect(at("tail") / at("brake")).toBeGreaterThan(0.08)
  expect(at("tail") / at("brake")).toBeLessThan(0.17)
  expect(at("tail+brake") / at("brake")).toBeCloseTo(1, 2)
})

describe("the coil", () => {
  const model = relayModel(relay.stock)
  // Sheet on vehicle electrics, section 16.3 (worked out there): 7.2 V at 20 °C is 9.04 V with the winding at 85 °C.
  test("its pull-in voltage rises with its winding", () => {
    expect(pullInVolt(model, 20)).toBeCloseTo(7.2, 12)
    expect(pullInVolt(model, 85)).toBeCloseTo(9.04, 2)
  })
  test("its temperature balances its heat", () => {
    const t = coilTemperature(model, 260, 13.5, 50)
    const heat = 13.5 ** 2 / (260 * (1 + 0.00393 * (t - 20)))
    expect(t).toBeCloseTo(50 + model.thermalResistance * heat, 9)
    expect(coilTemperature(model, 260, 0, 50)).toBe(50)
  })
  test("a relay that must start from less than it needs is red, one that only fails warm amber", () => {
    const supply = (lowest: number) => ({
      ...lamp,
      vehicle: { ...lamp.vehicle, supply: { ...lamp.vehicle.supply, lowest } },
    })
    const told = (lowest: number) =>
      designDrive(supply(lowest), { lamps: 0, pulses: false }).findings.find(
        (f) => f.code === "drive.relay-pull-in",
      )?.severity
    expect([told(9), told(8.5), told(7.5)]).toEqual(["green", "amber", "red"])
  })
})

test("a reversed battery finds no way through diode and suppressor; the coil only carries its own current", () => {
  const network = modelCircuit(circuit, lamp, {
    wires: new Map([
      ["tail", -14],
      ["brake", -14],
    ]),
    parts: "strongest",
    celsius: 25,
    leaky: true,
  })
  const point = operatingPoint(network, real)
  expect(point.converged).toBe(true)
  const clamp = circuit.parts.find((p) => p.kind === "clamp")!
  expect(Math.abs(point.current(clamp.ref))).toBeLessThan(1e-3)
  expect(-point.current(relay.ref)).toBeCloseTo(14 / (260 * 0.9 * (1 + 0.00393 * 5)), 2)
})

describe("over time", () => {
  const made = { lamp, body: circuit, controller: undefined } as unknown as MadeCircuit
  const rising = (end: number) =>
    runEvent(
      made,
      {
        name: "brake",
        what: "brake wire goes live",
        volt: (t) => (t < 1e-4 ? 0 : 13.5),
        rest: 0,
        ohm: 0.01,
        end,
        jumps: [1e-4],
        parts: "weakest",
        shutsDown: false,
      },
      ["brake"],
      () => "open",
    )
  // Sheet on vehicle electrics, section 16.3: t = −(L/R)·ln(1 − I_pull ÷ I_final), constant inductance.
  test("the rail rises when the coil's current has reached its pull-in value, and not before", () => {
    const model = relayModel(relay.stock)
    const ohm = model.coil * 1.1 * (1 + 0.00393 * (lamp.vehicle.ambient.highest - 20))
    const pull = model.pullIn / (model.coil * 1.1)
    const due = 1e-4 - (model.inductance.high / ohm) * Math.log(1 - pull / (13.5 / ohm))
    const led = (end: number) => rising(end).stress.get("rear-1")!.ampere
    expect(due).toBeGreaterThan(2e-3)
    const full = led(0.03)
    expect(led(due * 0.97)).toBeLessThan(full / 3)
    expect(led(due * 1.05)).toBeGreaterThan(full / 2)
  })
  test("the coil's current dies through the suppressor: no more than its breakdown at the wire", () => {
    const run = runEvent(
      made,
      {
        name: "brake",
        what: "brake wire opens",
        volt: () => 13.5,
        rest: 13.5,
        ohm: 1e6,
        end: 0.02,
        jumps: [],
        parts: "strongest",
        shutsDown: false,
      },
      ["brake"],
      () => "open",
    )
    expect(run.finished).toBe(true)
    const clamp = circuit.parts.find((p) => p.kind === "clamp")!
    const { least } = run.stress.get(relay.ref)!
    expect(least).toBeLessThan(-25)
    expect(least).toBeGreaterThan(-36)
    // Half of L·I² is what there is to take; the winding takes its part.
    const model = relayModel(relay.stock)
    const stored = 0.5 * model.inductance.high * (13.5 / (model.coil * 0.9)) ** 2
    const taken = run.stress.get(clamp.ref)!.joule
    expect(taken).toBeGreaterThan(0.3 * stored)
    expect(taken).toBeLessThan(stored)
  })
  test("every pulse runs to its end with the relay in it, and tells what the coil sees", () => {
    expect(circuit.findings.filter((f) => f.code === "drive.pulse-not-solved")).toEqual([])
    const seen = circuit.pulses!.filter((p) => p.part === relay.ref)
    expect(new Set(seen.map((p) => p.event)).size).toBeGreaterThan(5)
    expect(Math.max(...seen.map((p) => p.highest))).toBeGreaterThan(30)
  })
})

// Parts sheet, section 6 (worked out there): 1e5 operations at 90 a minute are 18.5 h.
test("a relay that would follow a flasher is told to wear out", () => {
  const flashes = lampOf(
    "flashing relay",
    [wires[0], { name: "left", role: "flashing", rate: 1.5, onShare: 0.5, fuse: 5 }, wires[2]],
    [group("rear", "red-5mm", 6, ["marker"])],
    [line(["tail"], "rear", { level: 0.12 }), line(["left"], "rear")],
  )
  const told = designDrive(flashes, { lamps: 0, pulses: false }).candidates!.filter(
    (c) => c.kind === "rail-relay",
  )
  expect(told.length).toBeGreaterThan(0)
  for (const c of told) {
    expect(c.taken).toBe(false)
    expect(c.fails.join()).toMatch(/worn out after 18\.5 h/)
  }
})
