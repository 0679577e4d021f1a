// Heat and current together: the solved corner is the one in which every junction has the temperature its own heat
// gives it.

import { expect, test } from "vitest"
import { ledType } from "../1-stock/leds.ts"
import { modelOf } from "../1-stock/parts.ts"
import { bodyToAir, cornerCases, heatOf, junctionToAir, programmeDrive, solveCorner } from "./corners.ts"
import { designDrive } from "./design-drive.ts"
import { group, lampOf, line, marker } from "./fixtures.testing.ts"
import { modelCircuit } from "./model-circuit.ts"
import { operatingPoint, real } from "./solver/operating-point.ts"

const lamp = lampOf(
  "warm",
  [
    { name: "tail", role: "steady", fuse: 5 },
    { name: "earth", role: "earth" },
  ],
  [group("g", "red-5mm", 9, ["marker"])],
  [line(["tail"], "g")],
  { pins: { "drive.g.way": "resistor-strings" } },
)
const circuit = designDrive(lamp, { lamps: 0, pulses: false })
const corners = cornerCases(lamp, []).filter((c) => c.parts === "strongest")

test("junction temperatures and currents agree with each other at the strongest corners", () => {
  for (const at of corners) {
    const { point } = solveCorner(circuit, lamp, new Map(), at)
    expect(point.converged).toBe(true)
    const ledRise = new Map(
      circuit.parts.flatMap((p): [string, number][] => {
        const perWatt =
          p.kind === "led"
            ? ledType(p.stock).thermalResistance
            : p.kind === "resistor"
              ? bodyToAir(p)
              : junctionToAir(p)
        return perWatt > 0 ? [[p.ref, perWatt * heatOf(p, point)]] : []
      }),
    )
    const again = operatingPoint(
      modelCircuit(circuit, lamp, {
        wires: new Map(at.live.map((w) => [w, at.supply])),
        parts: at.parts,
        celsius: at.celsius,
        drive: programmeDrive(lamp, new Map(), at.live),
        ledRise,
      }),
      real,
    )
    for (const p of circuit.parts)
      if (p.kind === "led" || p.kind === "diode") {
        expect(Math.abs(again.current(p.ref) / point.current(p.ref) - 1)).toBeLessThan(1e-3)
        const perWatt = p.kind === "led" ? ledType(p.stock).thermalResistance : junctionToAir(p)
        expect(Math.abs(perWatt * heatOf(p, again) - ledRise.get(p.ref)!)).toBeLessThan(0.06)
      }
    // Warm LEDs take more than cold ones: the heat is really in it.
    const cold = operatingPoint(
      modelCircuit(circuit, lamp, {
        wires: new Map(at.live.map((w) => [w, at.supply])),
        parts: at.parts,
        celsius: at.celsius,
      }),
      real,
    )
    expect(point.current("g-1")).toBeGreaterThan(1.002 * cold.current("g-1"))
  }
})

test("the diodes' heat is judged, with the figures it comes from", () => {
  const told = circuit.findings.find((f) => f.code === "drive.diode-heat")!
  const figure = circuit.figures.find((f) => f.id === told.figure)!
  const [air, perWatt, heat] = figure.inputs!
  expect(figure.value).toBeCloseTo(air!.value + (perWatt!.value * heat!.value) / 1000, 3)
  expect(told.severity).toBe("green")
})

// 100 ppm/K, 1 %: 330 Ω at −20 °C is at most 330 × 1.01 × 1.0045; its body at half a watt's worth of rating is warmer.
test("resistors drift with the air and with their own heat, the way that makes the corner worse", () => {
  const circuit = designDrive(marker, { lamps: 0, pulses: false })
  const part = circuit.parts.find((p) => p.kind === "resistor" && p.home.kind === "group")!
  const { perKelvin, tolerance, rated } = modelOf(part.stock, "resistor")
  expect([perKelvin, tolerance]).toEqual([1e-4, 0.01])
  const ohm = (parts: "weakest" | "usual" | "strongest", celsius: number, rise = 0) => {
    const network = modelCircuit(circuit, marker, {
      wires: new Map([["tail", 13.5]]),
      parts,
      celsius,
      ledRise: new Map([[part.ref, rise]]),
    })
    const e = network.elements.find((x) => x.ref === part.ref)!
    return e.kind === "resistor" ? e.ohm / part.amount! : Number.NaN
  }
  expect(ohm("weakest", -20)).toBeCloseTo(1.01 * 1.0045, 12)
  expect(ohm("strongest", 50, 30)).toBeCloseTo(0.99 * (1 - 55e-4), 12)
  expect(ohm("usual", 80)).toBe(1)
  // 155 °C at its rating in air of 70 °C.
  expect(bodyToAir(part) * rated).toBeCloseTo(85, 9)
  // The hot corner carries it: the solved current is that of the drifted resistor.
  const hot = circuit.corners.find((c) => c.parts === "strongest" && c.supply === 16)!
  const volt = Math.abs(hot.nodeVoltage[part.pins["1"]!]! - hot.nodeVoltage[part.pins["2"]!]!)
  const warm = 50 - 25 + bodyToAir(part) * hot.dissipation[part.ref]!
  const is = volt ** 2 / hot.dissipation[part.ref]! / part.amount!
  expect(is).toBeCloseTo(0.99 * (1 - 1e-4 * warm), 4)
})
