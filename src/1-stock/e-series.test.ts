import fc from "fast-check"
import { describe, expect, test } from "vitest"
import {
  above,
  below,
  decade,
  isPreferred,
  nearest,
  next,
  previous,
  type Series,
  showOhm,
} from "./e-series.ts"

const all: readonly Series[] = ["E12", "E24", "E96"]

describe("preferred values", () => {
  // IEC 60063 as given in published lists (read).
  test("the tables", () => {
    expect(decade.E12).toEqual([10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82])
    expect(decade.E24).toEqual([
      10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
    ])
    expect(decade.E96).toHaveLength(96)
    const some = [100, 102, 147, 178, 226, 261, 332, 412, 475, 549, 619, 715, 825, 909, 931, 953, 976]
    for (const v of some) expect(decade.E96).toContain(v)
    for (const v of decade.E12) expect(decade.E24).toContain(v)
  })
  // E24 departs from 10^(n/24) at eight values; that is why the list is stored.
  test("E24 differs from its formula at eight values", () => {
    const differs = decade.E24.filter((v, n) => v !== Math.round(10 * 10 ** (n / 24)))
    expect(differs).toEqual([27, 30, 33, 36, 39, 43, 47, 82])
  })
  // R-3 and E-2: worked values, upward in E12 (read).
  test.each([
    [215, 220],
    [365, 390],
    [515, 560],
    [1115, 1200],
  ])("%s Ω upward in E12 is %s", (v, to) => {
    expect(above(v, "E12")).toBe(to)
  })
  // worked values (read).
  test("worked values in E24 and E12", () => {
    expect(above(1440, "E24")).toBe(1500)
    expect(nearest(2040, "E24")).toBe(2000)
    expect(above(2040, "E24")).toBe(2200)
    expect(nearest(1276, "E24")).toBe(1300)
    expect(nearest(860, "E12")).toBe(820)
  })
  // edges of the decade.
  test("the next decade is reached", () => {
    expect(above(99, "E24")).toBe(100)
    expect(nearest(99, "E24")).toBe(100)
    expect(below(99, "E24")).toBe(91)
    expect(above(990e3, "E12")).toBe(1e6)
    expect([above(1, "E24"), below(1, "E24"), nearest(1, "E24")]).toEqual([1, 1, 1])
    expect(nearest(4950, "E24")).toBe(5100)
    expect(next(91, "E24")).toBe(100)
    expect(previous(100, "E24")).toBe(91)
    expect(nearest(9.9, "E96")).toBe(10)
  })
  // 515 lies 45 from both neighbours; by ratio the higher is nearer.
  test("ties go by ratio", () => {
    expect(nearest(515, "E12")).toBe(560)
    expect(nearest(400, "E12")).toBe(390)
    expect(nearest(412.5, "E12")).toBe(390)
    expect(nearest(412.5, "E24")).toBe(430)
  })
  test("nothing is picked for what is no resistance", () => {
    for (const bad of [0, -5, Number.NaN, Number.POSITIVE_INFINITY]) expect(nearest(bad, "E24")).toBeNaN()
  })
  test("always a preferred value, never further than half a step by ratio", () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-2, max: 1e8, noNaN: true }), fc.constantFrom(...all), (v, series) => {
        const n = nearest(v, series)
        const up = above(v, series)
        const down = below(v, series)
        expect(isPreferred(n, series)).toBe(true)
        expect(down).toBeLessThanOrEqual(v * (1 + 1e-9))
        expect(up).toBeGreaterThanOrEqual(v * (1 - 1e-9))
        expect(Math.abs(Math.log(n / v))).toBeLessThanOrEqual(
          Math.min(Math.log(up / v), Math.log(v / down)) + 1e-8,
        )
      }),
    )
  })
  test("shown as on a parts list", () => {
    expect([showOhm(0.47), showOhm(470), showOhm(4700), showOhm(1e6)]).toEqual([
      "0.47 Ω",
      "470 Ω",
      "4.7 kΩ",
      "1 MΩ",
    ])
  })
})
