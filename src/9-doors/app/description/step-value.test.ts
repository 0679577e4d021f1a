import { expect, test } from "vitest"
import { stepped } from "./step-value.ts"

test.each([
  ["180 ms", "190 ms", "170 ms"],
  ["9 V", "10 V", "8 V"],
  ["13.5 V", "14.5 V", "12.5 V"],
  ["0.1 mm", "0.11 mm", "0.09 mm"],
  ["0.75 mm²", "0.76 mm²", "0.74 mm²"],
  ["2.4 m", "2.5 m", "2.3 m"],
  ["-20 °C", "-19 °C", "-21 °C"],
  ["30°", "31°", "29°"],
  ["12000 /min", "13000 /min", "11000 /min"],
  ["100 %", "110 %", "99 %"],
  ["23 mA", "24 mA", "22 mA"],
  ["4", "5", "3"],
  ["0.09 mm", "0.10 mm", "0.08 mm"],
  ["1 mm", "2 mm", "0.9 mm"],
])("%s steps to %s and %s", (written, up, down) => {
  expect(stepped(written, 1)).toBe(up)
  expect(stepped(written, -1)).toBe(down)
})

test("a value in another form is not stepped", () => {
  for (const other of ["4k7", "100 × 160 mm", "red", "", "1/4 in", "1,5 mm"])
    expect(stepped(other, 1)).toBeUndefined()
})
