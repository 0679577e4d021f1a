import { describe, expect, test } from "vitest"
import type { Figure } from "../0-ground/figure.ts"
import { designDrive } from "./design-drive.ts"
import { marker, tern } from "./fixtures.testing.ts"
import { randomLamp } from "./random-lamps.testing.ts"

const scale: Readonly<Record<string, number>> = { Ω: 1, F: 1, µF: 1e-6, nF: 1e-9 }

describe.each([
  ["the rear lamp", tern],
  ["the marker", marker],
  ["sinks", { ...marker, pins: { "drive.marker.way": "current-sinks" } }],
  ["a rail", { ...marker, pins: { "drive.marker.way": "regulated-rail" } }],
  ["a switched rail", { ...tern, pins: { "drive.tail-stop.way": "rail-switched" } }],
  ["pulses", { ...tern, pins: { "drive.tail-stop.way": "pwm" } }],
  ["a random lamp", randomLamp(11)],
  ["another", randomLamp(12)],
])("%s", (_, lamp) => {
  const circuit = designDrive(lamp)
  const known = new Map<string, Figure>()
  const visit = (f: Figure) => {
    known.set(f.id, f)
    f.inputs?.forEach(visit)
  }
  circuit.figures.forEach(visit)
  test("every part with a value points to a figure of that very value, and the figure says why", () => {
    const valued = circuit.parts.filter((p) => p.amount !== undefined)
    expect(valued.length).toBeGreaterThan(0)
    for (const part of valued) {
      const figure = known.get(part.figure ?? "")
      expect(figure, `${part.ref} ${part.value}: ${part.purpose}`).toBeDefined()
      const told = figure!.value * scale[figure!.unit]!
      expect(told / part.amount!, `${part.ref} ${figure!.id}`).toBeCloseTo(1, 9)
      const why = figure!.source?.place ?? figure!.source?.document ?? figure!.formula ?? ""
      expect(why.length).toBeGreaterThan(8)
    }
  })
})
