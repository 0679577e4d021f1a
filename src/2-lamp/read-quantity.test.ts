import { describe, expect, test } from "vitest"
import { type Dimension, readQuantity, readSize } from "./read-quantity.ts"

const read = (raw: string | number, dimension: Dimension) => {
  const r = readQuantity(raw, dimension)
  if (!r.ok) throw new Error(r.says)
  return r.value
}

describe("reads values with their units", () => {
  // Exact by definition: 1 in = 25.4 mm, 0 °C = 273.15 K = 32 °F, 1 thou = 0.001 in.
  const cases: [string | number, Dimension, number][] = [
    ["20 mA", "current", 0.02],
    ["0.1 mm", "length", 0.1],
    ["2.4 m", "length", 2400],
    ["35 µm", "length", 0.035],
    ["35 \u03bcm", "length", 0.035],
    ["1/16 in", "length", 1.5875],
    ["0.5 in", "length", 12.7],
    ['2"', "length", 50.8],
    ["8 thou", "length", 0.2032],
    ["4k7", "resistance", 4700],
    ["4R7", "resistance", 4.7],
    ["1M5", "resistance", 1.5e6],
    ["10k", "resistance", 10_000],
    ["470 Ω", "resistance", 470],
    ["2.2 k\u2126", "resistance", 2200],
    ["90 /min", "rate", 1.5],
    ["1.5 Hz", "rate", 1.5],
    ["-20 °C", "temperature", -20],
    ["\u221220 °C", "temperature", -20],
    ["-4 °F", "temperature", -20],
    ["30°", "angle", 30],
    ["0.75 mm²", "area", 0.75],
    ["0.75 mm2", "area", 0.75],
    ["12 %", "share", 0.12],
    ["12%", "share", 0.12],
    ["180 ms", "time", 0.18],
    ["300 mm/min", "feed", 300],
    ["5 mm/s", "feed", 300],
    ["100 mm/s²", "acceleration", 100],
    ["13.5\u00a0V", "voltage", 13.5],
  ]
  for (const [raw, dimension, value] of cases)
    test(`${raw} as ${dimension}`, () => expect(read(raw, dimension)).toBeCloseTo(value, 9))

  // Conductor of 18 AWG: 0.823 mm² in published gauge tables (ASTM B258; value from memory).
  test("18 AWG is 0.823 mm²", () => {
    expect(read("18 AWG", "area")).toBeCloseTo(0.823, 3)
    expect(read("AWG 18", "area")).toBeCloseTo(0.823, 3)
  })
})

describe("refuses with what is wrong and what would be right", () => {
  const cases: [string | number, Dimension, string, string | undefined, string][] = [
    ["20 ma", "current", "unknown-unit", "20 mA", "not known"],
    ["20 mAA", "current", "unknown-unit", "20 mA", "not known"],
    ["5 V", "length", "wrong-dimension", "2 mm", "is a voltage where a length is asked"],
    ["2", "length", "no-unit", "2 mm", "has no unit"],
    [2, "length", "no-unit", "2 mm", "has no unit"],
    [0.5, "share", "no-unit", "0.5 %", "has no unit"],
    ["2,4 mm", "length", "no-number", "2.4 mm", "decimal comma"],
    ["wide", "length", "no-number", "2 mm", "where a length is asked"],
    ["", "length", "no-number", "2 mm", "where a length is asked"],
    ["1e999 mm", "length", "no-number", "2 mm", "not a number"],
    ["5 constructor", "length", "unknown-unit", "2 mm", "not known"],
    ["90", "rate", "no-unit", "90 /min", "has no unit"],
  ]
  for (const [raw, dimension, problem, suggestion, says] of cases)
    test(`${JSON.stringify(raw)} as ${dimension}`, () => {
      const r = readQuantity(raw, dimension)
      expect(r).toMatchObject({ ok: false, problem, suggestion })
      expect(r.ok || r.says).toContain(says)
    })
})

test("sizes take one unit or two", () => {
  expect(readSize("70 × 45 mm")).toEqual({ ok: true, w: 70, h: 45 })
  expect(readSize("70 mm x 4.5 cm")).toEqual({ ok: true, w: 70, h: 45 })
  expect(readSize("3 in * 2 in")).toMatchObject({ ok: true, w: 3 * 25.4, h: 2 * 25.4 })
  expect(readSize("70 mm")).toMatchObject({ ok: false, suggestion: "70 × 45 mm" })
  expect(readSize("70 × 45")).toMatchObject({ ok: false, problem: "no-unit" })
  expect(readSize("70 × 45 V")).toMatchObject({ ok: false, problem: "wrong-dimension" })
})
