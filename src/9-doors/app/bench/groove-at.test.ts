import { expect, test } from "vitest"
import type { BoardCopper } from "../../../6-copper/artefact.ts"
import { grooveAt, grooveWords } from "./groove-at.ts"

// A 60° V-bit with a 0.1 mm tip, 0.1 mm deep: 0.1 + 2 · 0.1 · tan 30° = 0.2155 mm (plane geometry).
const copper = { grooveWidth: 0.2155, depth: 0.1 } as BoardCopper
const foil = 0.035

test("a V-groove widens by twice the tangent of half its angle for each millimetre", () => {
  expect(grooveAt(copper, 60, 0.1, foil).top).toBeCloseTo(0.2155, 6)
  expect(grooveAt(copper, 60, 0.2, foil).top).toBeCloseTo(0.1 + 2 * 0.2 * Math.tan(Math.PI / 6), 3)
  expect(grooveAt(copper, 60, 0.1, foil).bottom).toBeCloseTo(0.1 + 2 * 0.065 * Math.tan(Math.PI / 6), 3)
})

test("a groove that ends in the foil separates nothing, and says so", () => {
  const shallow = grooveAt(copper, 60, 0.03, foil)
  expect(shallow.bottom).toBe(0)
  expect(grooveWords(shallow, 0.03)).toMatch(/nothing is separated/)
  expect(grooveAt(copper, 60, -0.01, foil).top).toBe(0)
})
