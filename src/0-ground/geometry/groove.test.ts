// Groove widths against trigonometry worked in 40-digit arithmetic (checks C-1 … C-8 of the reference sheet).

import { expect, test } from "vitest"
import { drillPointLength, grooveDepth, grooveWidth, widthPerDepth } from "./groove.ts"
import { chordsPerTurn } from "./segment.ts"

test.each([
  // tip, angle, depth, width: C-1, C-2 (three), C-3 (four), C-4
  [0.1, 30, 0.1, 0.153589838],
  [0.1, 30, 0.05, 0.126794919],
  [0.1, 30, 0.15, 0.180384758],
  [0.1, 30, 0.2, 0.20717968],
  [0.2, 30, 0.1, 0.253589838],
  [0.1, 20, 0.1, 0.135265396],
  [0.1, 60, 0.1, 0.215470054],
  [0.1, 90, 0.1, 0.3],
  [0, 60, 0.1, 0.115470054],
])("groove of tip %f, %f°, %f mm deep is %f mm wide", (tip, angle, depth, width) => {
  expect(Math.abs(grooveWidth(tip, angle, depth) - width)).toBeLessThan(5.1e-9)
})

test("C-5: depth for a width", () => {
  expect(grooveDepth(0.1, 30, 0.2)).toBeCloseTo(0.18660254, 8)
  expect(grooveDepth(0.1, 0, 0.2)).toBeNaN()
})

test.each([
  [10, 0.174977327],
  [20, 0.352653961],
  [30, 0.535898385],
  [45, 0.828427125],
  [60, 1.154700538],
  [90, 2],
])("C-6: at %f° the width grows by %f per mm", (angle, growth) => {
  expect(Math.abs(widthPerDepth(angle) - growth)).toBeLessThan(1e-9)
})

test("C-7: ±0.05 mm of height error", () => {
  expect(Math.abs(grooveWidth(0.1, 30, 0.1 - 0.05) - 0.126794919)).toBeLessThan(1e-9)
  expect(Math.abs(grooveWidth(0.1, 30, 0.1 + 0.05) - 0.180384758)).toBeLessThan(1e-9)
})

test("C-8: drill points", () => {
  expect(drillPointLength(0.8, 118)).toBeCloseTo(0.240344, 6)
  expect(drillPointLength(1, 118)).toBeCloseTo(0.30043, 6)
  expect(drillPointLength(1, 130)).toBeCloseTo(0.233154, 6)
})

test.each([
  // radius, sagitta, chords
  [1, 0.01, 23],
  [5, 0.01, 50],
  [0.5, 0.005, 23],
])("C-9: a circle of %f mm in chords that leave it by at most %f mm", (radius, error, chords) => {
  expect(chordsPerTurn(radius, error)).toBe(chords)
  // Plain trigonometry: the middle of a chord lies r·cos(π ÷ n) from the centre.
  expect(radius * (1 - Math.cos(Math.PI / chords))).toBeLessThanOrEqual(error)
  expect(radius * (1 - Math.cos(Math.PI / (chords - 1)))).toBeGreaterThan(error)
})
