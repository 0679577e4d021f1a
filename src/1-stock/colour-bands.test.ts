import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { colourBands } from "./colour-bands.ts"

// Reference sheet checks.md R-7 and data resistor_colours.json: digits and multipliers read (pages naming IEC
// 60062:2016); tolerance colours from memory.
test.each([
  ["brown black red gold", 1000, 0.05],
  ["yellow violet brown gold", 470, 0.05],
  ["red red orange gold", 22000, 0.05],
  ["green blue gold silver", 5.6, 0.1],
  ["brown black black brown brown", 1000, 0.01],
  ["yellow violet black black brown", 470, 0.01],
  ["brown red black red brown", 12000, 0.01],
  ["red violet black gold brown", 27, 0.01],
  ["blue grey black black red", 680, 0.02],
  ["orange orange black silver brown", 3.3, 0.01],
  ["brown black black", 10, 0.2],
])("%s is %s Ω", (bands, ohm, tolerance) => {
  expect(colourBands(ohm, tolerance)?.join(" ")).toBe(bands)
})

describe("laws", () => {
  const value = {
    black: 0,
    brown: 1,
    red: 2,
    orange: 3,
    yellow: 4,
    green: 5,
    blue: 6,
    violet: 7,
    grey: 8,
    white: 9,
  }
  const power = { ...value, gold: -1, silver: -2, pink: -3 }
  test("read back by the table, the bands give the value", () => {
    fc.assert(
      fc.property(fc.integer({ min: 100, max: 999 }), fc.integer({ min: -3, max: 6 }), (three, tens) => {
        const ohm = Number(`${three}e${tens}`)
        const bands = colourBands(ohm, 0.01)!
        expect(bands).toHaveLength(5)
        const read = bands.slice(0, 3).reduce((n, b) => 10 * n + value[b as keyof typeof value], 0)
        expect(read * 10 ** power[bands[3] as keyof typeof power]).toBeCloseTo(ohm, 6)
      }),
    )
  })
  test("a value the code cannot show has no bands", () => {
    for (const [ohm, tolerance] of [
      [1234, 0.01],
      [475, 0.05],
      [0, 0.01],
      [Number.NaN, 0.01],
      [470, 0.03],
      [1e15, 0.01],
    ] as const)
      expect(colourBands(ohm, tolerance)).toBeUndefined()
  })
})
