import { expect, test } from "vitest"
import { designMarker } from "../../../tests/tern.ts"
import type { Figure } from "../../0-ground/figure.ts"
import { solveFaults } from "./plan-bring-up.ts"
import { whyReading } from "./why-reading.ts"

const design = designMarker()
const { plan, sound } = solveFaults(design)
const why = (id: string) => whyReading(design, plan.readings.find((r) => r.id === id)!, sound.get(id)!)

test("every reading tells its expected value and limits, down to facts with a source", () => {
  const grounded = (f: Figure): boolean =>
    f.inputs ? f.formula !== undefined && f.inputs.every(grounded) : f.source !== undefined
  for (const r of plan.readings) {
    const [expected, low, high] = why(r.id)
    expect(expected!.value).toBe(r.expected)
    if (r.how !== "look" && r.how !== "count") expect(low!.value).toBe(r.low)
    if (high) expect(high.value).toBe(r.high)
    for (const f of why(r.id)) expect(grounded(f), f.id).toBe(true)
  }
})

test("a resistor's reading leads to the resistor's own figure, its limit to the meter's error", () => {
  const [expected, low] = why("B1")
  expect(expected!.inputs!.map((f) => f.id)).toContain(
    design.circuit.parts.find((p) => p.ref === "R1")!.figure,
  )
  const [shown, share, fixed] = low!.inputs!.map((f) => f.value)
  expect(shown! - (shown! * share!) / 100 - fixed!).toBeCloseTo(low!.value, 9)
})
