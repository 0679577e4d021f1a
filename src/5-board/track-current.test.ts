// Checked against the values worked from the formula and constants printed for IPC-2221 outer layers
// (k 0.048, 0.44, 0.725): 1 A, 10 K, 1.378 mil foil → 0.30038 mm; 35 µm foil: 2 A, 20 K → 0.51310 mm and
// 1 mm at 10, 20, 30 K → 2.3916, 3.2444, 3.8781 A; each to 1e-4.

import { expect, test } from "vitest"
import { trackCurrent, trackWidth } from "./track-current.ts"

test("widths for a current", () => {
  expect(Math.abs(trackWidth(1, 1.378 * 0.0254, 10) / 0.30038 - 1)).toBeLessThan(1e-4)
  expect(Math.abs(trackWidth(2, 0.035, 20) / 0.5131 - 1)).toBeLessThan(1e-4)
  expect(trackWidth(0, 0.035, 20)).toBe(0)
})

test.each([
  [10, 2.3916],
  [20, 3.2444],
  [30, 3.8781],
])("1 mm of 35 µm warmed by %i K carries %f A", (rise, current) => {
  expect(Math.abs(trackCurrent(1, 0.035, rise) / current - 1)).toBeLessThan(1e-4)
})
