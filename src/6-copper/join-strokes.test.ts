// Chains into strokes: straightest through a junction, every chain once.

import { expect, test } from "vitest"
import type { Chain } from "./groove-chains.ts"
import { joinStrokes, polylineLength } from "./join-strokes.ts"

const chain = (from: number, to: number, ...points: number[]): Chain => ({
  points: Float64Array.from(points),
  from,
  to,
  pieces: [0, 1],
})

test("at a junction of three the straightest two become one stroke", () => {
  // Junction 0 at (10, 0): from the left, on to the right with a slight bend, and one straight up.
  const strokes = joinStrokes(
    [chain(-1, 0, 0, 0, 10, 0), chain(0, -1, 10, 0, 10, 10), chain(0, -1, 10, 0, 20, 1)],
    0,
  )
  expect(strokes).toEqual([
    [
      { x: 0, y: 0 },
      { x: 10, y: 0 },
      { x: 20, y: 1 },
    ],
    [
      { x: 10, y: 0 },
      { x: 10, y: 10 },
    ],
  ])
})

test("a crossing gives two strokes, whichever way the chains run", () => {
  const strokes = joinStrokes(
    [
      chain(0, -1, 0, 0, 9, 0),
      chain(-1, 0, 0, 9, 0, 0),
      chain(-1, 0, -9, 0, 0, 0),
      chain(0, -1, 0, 0, 0, -9),
    ],
    0,
  )
  expect(strokes).toHaveLength(2)
  for (const s of strokes) {
    expect(s).toHaveLength(3)
    expect(s[0]!.x === s[2]!.x || s[0]!.y === s[2]!.y).toBe(true)
  }
})

test("a ring through one junction is cut once round", () => {
  const strokes = joinStrokes([chain(0, 0, 0, 0, 5, 0, 5, 5, 0, 0)], 0)
  expect(strokes).toHaveLength(1)
  expect(polylineLength(strokes[0]!)).toBeCloseTo(10 + Math.hypot(5, 5), 12)
})

test("no length is lost or cut twice", () => {
  const chains = [
    chain(0, 1, 0, 0, 10, 0),
    chain(1, 2, 10, 0, 10, 10),
    chain(2, 0, 10, 10, 0, 0),
    chain(-1, 0, -5, -5, 0, 0),
    chain(1, -1, 10, 0, 20, -3),
    chain(2, -1, 10, 10, 11, 20),
  ]
  const total = chains.reduce((sum, { points: p }) => sum + Math.hypot(p[2]! - p[0]!, p[3]! - p[1]!), 0)
  expect(joinStrokes(chains, 0).reduce((sum, s) => sum + polylineLength(s), 0)).toBeCloseTo(total, 9)
})

test("a hair between two junctions is left out when it stands alone", () => {
  const chains = [
    chain(0, 1, 0, 0, 0.01, 0.01),
    chain(-1, 0, 0, -9, 0, 0),
    chain(0, -1, 0, 0, 0, 9),
    chain(-1, 1, 0.01, -9, 0.01, 0.01),
    chain(1, -1, 0.01, 0.01, 0.01, 9),
  ]
  expect(joinStrokes(chains, 0.05)).toHaveLength(2)
  expect(joinStrokes(chains, 0.001)).toHaveLength(3)
})
