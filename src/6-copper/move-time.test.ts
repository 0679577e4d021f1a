// Times of moves, worked by hand from s = v·t and v² = 2·a·s.

import { expect, test } from "vitest"
import { cornerError, cornerSpeed, type Move, movesTime, rampTime } from "./move-time.ts"

const straight = (rapid: boolean, length: number, speed: number, x = 1, y = 0): Move => ({
  rapid,
  length,
  speed,
  start: [x, y, 0],
  end: [x, y, 0],
})

test("a long move: length ÷ speed and one ramp's worth more", () => {
  // 100 mm at 25 mm/s with 100 mm/s²: 0.25 s up, 3.125 mm each ramp, 93.75 mm in 3.75 s, 0.25 s down.
  expect(rampTime(100, 0, 0, 25, 100)).toBeCloseTo(4.25, 12)
})

test("a short move never reaches its speed", () => {
  // 1 mm with 100 mm/s²: half way in √(2·0.5/100) = 0.1 s, and the same to stop.
  expect(rampTime(1, 0, 0, 25, 100)).toBeCloseTo(0.2, 12)
})

test("a move already at its speed", () => {
  expect(rampTime(10, 5, 5, 5, 100)).toBeCloseTo(2, 12)
})

test("from standing to a corner taken at speed", () => {
  // 10 mm at 5 mm/s, 100 mm/s²: 0.05 s over 0.125 mm, then 9.875 mm at 5 mm/s = 1.975 s.
  expect(rampTime(10, 0, 5, 5, 100)).toBeCloseTo(2.025, 12)
})

test("corners: no turn no limit, about-turn a stop, a right angle by the rounding arc", () => {
  expect(cornerSpeed([1, 0, 0], [1, 0, 0], 100)).toBe(Number.POSITIVE_INFINITY)
  expect(cornerSpeed([1, 0, 0], [-1, 0, 0], 100)).toBeCloseTo(0, 6)
  // r = e / (1/cos 45° − 1) = 0.01 / 0.41421 = 0.024142 mm; v = √(100 · 0.024142) = 1.5538 mm/s.
  expect(cornerError).toBe(0.01)
  expect(cornerSpeed([1, 0, 0], [0, 1, 0], 100)).toBeCloseTo(1.5538, 4)
})

test("rapid moves stop between each other, cutting moves in line do not", () => {
  expect(movesTime([straight(true, 100, 25), straight(true, 100, 25)], 100)).toBeCloseTo(8.5, 12)
  expect(movesTime([straight(false, 100, 25), straight(false, 100, 25)], 100)).toBeCloseTo(8.25, 12)
})

test("a right-angled corner: down to 1.5538 mm/s and up again", () => {
  const v = 1.5538
  // Two legs of 10 mm at 5 mm/s: each 0 → 5 → 1.5538 (or the other way round).
  const up = 5 / 100
  const down = (5 - v) / 100
  const level = (10 - 25 / 200 - (25 - v * v) / 200) / 5
  expect(movesTime([straight(false, 10, 5), straight(false, 10, 5, 0, 1)], 100)).toBeCloseTo(
    2 * (up + down + level),
    4,
  )
})

test("a very short move between long ones holds their corners down", () => {
  // 0.0005 mm cannot change speed by much: v² may differ by 2·100·0.0005 = 0.1 along it.
  const moves = [straight(false, 10, 5), straight(false, 0.0005, 5, 0, 1), straight(false, 10, 5, 1, 0)]
  const t = movesTime(moves, 100)
  expect(t).toBeGreaterThan(movesTime([straight(false, 20, 5)], 100))
  expect(t).toBeLessThan(2 * movesTime([straight(false, 10, 5)], 100) + 0.1)
})

test("an arc is not run faster than the acceleration can bend", () => {
  const arc: Move = { rapid: false, length: Math.PI, speed: 50, start: [1, 0, 0], end: [-1, 0, 0], radius: 1 }
  // √(100·1) = 10 mm/s at most: never faster than π/10 s.
  expect(movesTime([arc], 100)).toBeGreaterThan(Math.PI / 10)
})

test("nothing takes no time", () => {
  expect(movesTime([], 100)).toBe(0)
})
