// How numbers and comments are written, and what a short program looks like.

import { expect, test } from "vitest"
import { comment, number, programWriter } from "./program-writer.ts"
import { readProgram } from "./read-program.testing.ts"

test.each([
  [0, "0"],
  [-0, "0"],
  [-0.00001, "0"],
  [10, "10"],
  [100.5, "100.5"],
  [-0.1, "-0.1"],
  [1 / 3, "0.3333"],
  [1e-7, "0"],
  [12345.67891, "12345.6789"],
])("%f is written %s", (value, text) => {
  expect(number(value)).toBe(text)
})

test("comments have no brackets inside, are plain ASCII and never too long", () => {
  expect(comment("tip 30° (V), 0.2 µm × 2")).toBe("(tip 30 deg  V , 0.2 um x 2)")
  expect(comment("Rücklicht\n日本")).toBe("(Rucklicht???)")
  expect(comment("x".repeat(900)).length).toBeLessThanOrEqual(256)
})

test("a groove, a circle and home again", () => {
  const writer = programWriter({
    header: ["test"],
    spindle: 10000,
    clearHeight: 5,
    rapid: 1500,
    acceleration: 100,
  })
  writer.travelTo(10, 20)
  writer.plunge(-0.1, 60)
  writer.line(40, 20, -0.1, 300)
  writer.travelTo(15, 10)
  writer.plunge(-1, 60)
  writer.circle(10, 10, 300)
  const made = writer.finish()
  expect(made.text.split("\n")).toEqual([
    "(test)",
    "(runs for about 22 s)",
    "G21 G90 G94 G17",
    "G54",
    "G0 Z5",
    "S10000 M3",
    "G4 P2",
    "G0 X10 Y20",
    "G1 Z0.5 F750",
    "G1 Z-0.1 F60",
    "G1 X40 F300",
    "G0 Z5",
    "G0 X15 Y10",
    "G1 Z0.5 F750",
    "G1 Z-1 F60",
    "G3 X15 Y10 I-5 J0 F300",
    "G0 Z5",
    "M5",
    "G0 X0 Y0",
    "M30",
    "",
  ])
  expect(made.cutLength).toBeCloseTo(30 + 10 * Math.PI, 9)
  expect(made.plunges).toBe(2)
  // By hand, 100 mm/s²: rapids 1.1444 + 0.4517 + 1.3270 + 0.4899 + 0.9711 s; groove 0.4754 + 0.6 + 6.041 s;
  // circle 0.4754 + 1.5 + 6.3242 s; spindle 2 s.
  expect(made.time).toBeCloseTo(21.8, 2)
  expect(made.travel).toBeCloseTo(Math.hypot(10, 20) + Math.hypot(25, 10) + Math.hypot(15, 10), 9)
  expect(() => readProgram(made.text)).not.toThrow()
})

test("the strict reader refuses what the report refuses", () => {
  const wrap = (line: string) => `G21 G90 G94 G17\nG54\nG0 Z3\n${line}\nM30\n`
  for (const line of [
    "G1 G0 X1",
    "G0 X1 X2",
    "G1 X",
    "G0",
    "X5",
    "G2 X10 Y0 I5.01 J0",
    "G0 X1;comment",
    "G0 X1e3",
    "G0 X0.12345",
    "(a (b) c)",
    "G1 X5",
  ]) {
    expect(() => readProgram(wrap(line)), line).toThrow()
  }
})
