// Pictures of parts keep the proportions of the packages they are drawn from.

import { expect, test } from "vitest"
import { colourBands } from "../../../1-stock/colour-bands.ts"
import { packageType } from "../../../1-stock/packages.ts"
import { parts } from "../../../1-stock/parts.ts"
import { type Outline, outlineOf, type Shape } from "./part-outline.ts"

/** Where a path goes: its corners, relative steps followed. */
function reach(d: string) {
  let [x, y] = [0, 0]
  const at: { x: number; y: number }[] = []
  for (const [, letter = "", rest = ""] of d.matchAll(/([MLHVhvlaqZ])([^MLHVhvlaqZ]*)/g)) {
    const v = (rest.match(/-?[\d.]+/g) ?? []).map(Number)
    if (letter === "M" || letter === "L") [x, y] = [v[0]!, v[1]!]
    else if (letter === "H") x = v[0]!
    else if (letter === "V") y = v[0]!
    else if (letter === "h") x += v[0]!
    else if (letter === "v") y += v[0]!
    else if (letter !== "Z") [x, y] = [x + v.at(-2)!, y + v.at(-1)!]
    at.push({ x, y })
  }
  const [xs, ys] = [at.map((p) => p.x), at.map((p) => p.y)]
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]
  return { left, right, top, bottom, w: right - left, h: bottom - top }
}
const drawn = (stock: string, ohm?: number) => outlineOf(stock, ohm) ?? expect.fail(`no picture of ${stock}`)
const of = (o: Outline, as: Shape["as"]) => o.shapes.filter((s) => s.as === as)
const bodies = ["chip", "film", "carbon", "glass"]

test("every part of the stock has a picture, and nothing of it lies outside its box", () => {
  expect(parts.all.length).toBeGreaterThan(15)
  for (const { key } of parts.all) {
    const { box, shapes } = drawn(key)
    expect(shapes.some((s) => bodies.includes(s.as))).toBe(true)
    for (const s of shapes) {
      const r = reach(s.d)
      expect(r.left, `${key} ${s.as}`).toBeGreaterThanOrEqual(box.x - 1e-6)
      expect(r.right, `${key} ${s.as}`).toBeLessThanOrEqual(box.x + box.w + 1e-6)
      expect(r.top, `${key} ${s.as}`).toBeGreaterThanOrEqual(box.y - 1e-6)
      expect(r.bottom, `${key} ${s.as}`).toBeLessThanOrEqual(box.y + box.h + 1e-6)
    }
  }
  expect(outlineOf("no-such-part")).toBeUndefined()
})

test("resistors are as long and thick as their packages: more power, more body", () => {
  const sizes = ["resistor-quarter-watt", "resistor-half-watt", "resistor-one-watt"].map((key) => {
    const body = reach(of(drawn(key), "film")[0]!.d)
    const { w, h } = packageType(parts.get(key).package).body
    expect(body.w).toBeCloseTo(w, 3)
    expect(body.h).toBeCloseTo(h, 3)
    return body.w
  })
  expect(sizes).toEqual([...sizes].sort((a, b) => a - b))
})

test("bands are those of the value, the tolerance last and apart; none where the value is not known", () => {
  for (const [key, ohm, tolerance] of [
    ["resistor-half-watt", 330, 0.01],
    ["resistor-quarter-watt-5", 4700, 0.05],
  ] as const) {
    const bands = of(drawn(key, ohm), "band")
    expect(bands.map((b) => b.colour)).toEqual(colourBands(ohm, tolerance))
    const at = bands.map((b) => reach(b.d)).map((r) => (r.left + r.right) / 2)
    expect(at).toEqual([...at].sort((a, b) => a - b))
    const gaps = at.slice(1).map((x, i) => x - at[i]!)
    expect(gaps.at(-1)).toBe(Math.max(...gaps))
  }
  // IEC 60062: 330 Ω 1 % is orange, orange, black, black, brown.
  expect(of(drawn("resistor-half-watt", 330), "band").map((b) => b.colour)).toEqual([
    "orange",
    "orange",
    "black",
    "black",
    "brown",
  ])
  expect(of(drawn("resistor-half-watt"), "band")).toEqual([])
  // 333.3 Ω has no code.
  expect(of(drawn("resistor-half-watt", 333.3), "band")).toEqual([])
})

test("controllers are seen from above: as many pins as they have, 2.54 mm apart, pin 1 lower left by the notch", () => {
  for (const [key, pins] of [
    ["controller-attiny84a", 14],
    ["controller-atmega328p", 28],
    ["array-uln2803a", 18],
  ] as const) {
    const o = drawn(key)
    const leads = of(o, "lead").map((s) => reach(s.d))
    expect(leads.length).toBe(pins)
    const lower = leads.filter((l) => l.top > 0).map((l) => (l.left + l.right) / 2)
    expect(lower.length).toBe(pins / 2)
    const steps = [...lower].sort((a, b) => a - b)
    for (const [i, x] of steps.slice(1).entries()) expect(x - steps[i]!).toBeCloseTo(2.54, 6)
    const body = reach(of(o, "chip")[0]!.d)
    expect(body.w).toBeCloseTo(packageType(parts.get(key).package).body.h, 6)
    const [notch, dot] = of(o, "mark").map((s) => reach(s.d))
    expect(notch!.left).toBeCloseTo(body.left, 6)
    expect(dot!.top).toBeGreaterThan(0)
    expect((dot!.left + dot!.right) / 2 - steps[0]!).toBeLessThan(1)
    // Shapes come pin by pin: the first of the package is pin 1.
    expect((leads[0]!.left + leads[0]!.right) / 2).toBeCloseTo(steps[0]!, 6)
    expect(leads[0]!.top).toBeGreaterThan(0)
  }
})

test("transistor and regulator stand as high as their packages say, on three leads", () => {
  for (const key of ["transistor-bc547", "regulator-lm317", "regulator-lm2940"]) {
    const o = drawn(key)
    const { body } = packageType(parts.get(key).package)
    expect(of(o, "lead").length).toBe(3)
    expect(-o.box.y).toBeCloseTo(body.height, 6)
    expect(of(o, "hole").length).toBe(key.startsWith("regulator") ? 1 : 0)
  }
  const tab = reach(of(drawn("regulator-lm317"), "metal")[0]!.d)
  expect(tab.w).toBeCloseTo(packageType("to-220").body.w, 6)
})
