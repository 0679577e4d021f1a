import { expect, test } from "vitest"
import { generalTolerance, stackOf } from "./check-stack.ts"

test("stack of four times 0.1; and of 0.05, 0.1, 0.2 (handbook identities, computed)", () => {
  const links = (...tolerances: number[]) => stackOf(tolerances.map((tolerance) => ({ size: 1, tolerance })))
  expect(links(0.1, 0.1, 0.1, 0.1).worst).toBeCloseTo(0.4, 12)
  expect(links(0.1, 0.1, 0.1, 0.1).statistical).toBeCloseTo(0.2, 12)
  expect(links(0.05, 0.1, 0.2).worst).toBeCloseTo(0.35, 12)
  expect(links(0.05, 0.1, 0.2).statistical).toBeCloseTo(0.229129, 6)
  expect(links(0.05, 0.1, 0.2).nominal).toBe(3)
})

test("ISO 2768-1 class m, as seen in a secondary copy", () => {
  expect([1, 6, 6.1, 30, 31, 120, 300].map(generalTolerance)).toEqual([0.1, 0.1, 0.2, 0.2, 0.3, 0.3, 0.5])
})
