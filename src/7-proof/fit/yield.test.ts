import { expect, test } from "vitest"
import { random } from "../../0-ground/numbers/random.ts"
import { entersAll, entersOne, holeFor, normalWithin, rayleigh, rayleighReach, rice } from "./yield.ts"

// Rayleigh's law, computed: P(r ≤ kσ) = 1 − exp(−k²/2).
test.each([
  [1, 0.39346934],
  [2, 0.864664717],
  [3, 0.988891003],
  [3.5, 0.997812509],
  [1.17741002, 0.5],
])("one hole, %f σ", (k, p) => {
  expect(rayleigh(k * 0.05, 0.05)).toBeCloseTo(p, 8)
})

test.each([
  [0.9, 2.14596603],
  [0.95, 2.44774683],
  [0.99, 3.03485426],
  [0.999, 3.71692219],
])("reach for a chance of %f", (p, k) => {
  expect(rayleighReach(p)).toBeCloseTo(k, 8)
})

// Normal law, computed.
test.each([
  [1, 0.682689492],
  [2, 0.954499736],
  [3, 0.997300204],
])("one axis, %i σ", (k, p) => {
  expect(normalWithin(k)).toBeCloseTo(p, 9)
})

// Rice's law, computed.
test.each([
  [0.5, 2, 0.83085936],
  [1, 2, 0.73098794],
  [1, 3, 0.956284028],
  [2, 3, 0.785637912],
  [2, 4, 0.965865155],
])("with a bias of %f σ, circle %f σ", (b, c, p) => {
  expect(rice(c * 0.1, b * 0.1, 0.1)).toBeCloseTo(p, 8)
})

test("no bias: Rice is Rayleigh", () => {
  for (const k of [0.3, 1, 2.5, 6]) expect(rice(k, 0, 1)).toBeCloseTo(rayleigh(k, 1), 9)
  expect(rice(60, 55, 1)).toBeCloseTo(normalOneSided(5), 3)
})

/** Far from the middle the circle's edge is nearly straight. */
const normalOneSided = (k: number) => 0.5 + normalWithin(k) / 2

// Independent holes: the product, computed.
test.each([
  [4, 3, 0.956299004],
  [20, 3, 0.799776276],
  [60, 3, 0.51157057],
  [20, 3.5, 0.957147527],
])("all of %i holes at %f σ", (n, k, p) => {
  const sharp = { hole: 5 + 2 * k * 0.05, body: 5, bodyTolerance: 0, play: 0, sigma: 0.05 }
  expect(entersAll(sharp, n)).toBeCloseTo(p, 8)
})

test("agrees with 100 000 seeded draws within four standard errors", () => {
  const e = { hole: 5.2, body: 5, bodyTolerance: 0.2, play: 0.1, sigma: 0.07 }
  const chance = random(5)
  const normal = () => Math.sqrt(-2 * Math.log(1 - chance.next())) * Math.cos(2 * Math.PI * chance.next())
  let good = 0
  const draws = 100_000
  for (let i = 0; i < draws; i++) {
    const body = e.body + (normal() * e.bodyTolerance) / 3
    const r = Math.hypot(normal() * e.sigma, normal() * e.sigma)
    if (body <= e.hole && r <= (e.hole - body) / 2 + e.play) good++
  }
  const p = entersOne(e)
  expect(Math.abs(good / draws - p)).toBeLessThan(4 * Math.sqrt((p * (1 - p)) / draws))
})

test("the hole asked for does let them in, the next smaller does not", () => {
  const e = { hole: 5.2, body: 5, bodyTolerance: 0.2, play: 0, sigma: 0.05 }
  const hole = holeFor(e, 22, 0.95)
  expect(entersAll({ ...e, hole }, 22)).toBeGreaterThanOrEqual(0.95)
  expect(entersAll({ ...e, hole: hole - 0.1 }, 22)).toBeLessThan(0.95)
})
