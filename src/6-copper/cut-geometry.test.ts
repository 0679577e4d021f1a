// Areas against Steiner's formula (a convex body grown by r: A + P·r + π·r²): checks C-10, C-11 and C-12.

import { expect, test } from "vitest"
import { grooveWidth } from "../0-ground/geometry/groove.ts"
import { signedArea } from "../0-ground/geometry/polygon.ts"
import { finish } from "../0-ground/progress.ts"
import { copperIslands } from "./copper-islands.ts"
import { copperShapes } from "./copper-shapes.ts"
import { growOutline } from "./grow-outline.ts"
import { syntheticBoard } from "./synthetic-boards.testing.ts"

const square = [
  { x: 0, y: 0 },
  { x: 10, y: 0 },
  { x: 10, y: 10 },
  { x: 0, y: 10 },
]
const angle = [
  { x: 0, y: 0 },
  { x: 10, y: 0 },
  { x: 10, y: 5 },
  { x: 5, y: 5 },
  { x: 5, y: 10 },
  { x: 0, y: 10 },
]
const disc = Array.from({ length: 2000 }, (_, i) => ({
  x: 5 * Math.cos((i * Math.PI) / 1000),
  y: 5 * Math.sin((i * Math.PI) / 1000),
}))
const area = (rings: readonly (readonly { x: number; y: number }[])[]) =>
  rings.reduce((sum, ring) => sum + signedArea(ring), 0)

test.each([
  ["square grown by 1", square, 1, 143.141593],
  ["square shrunk by 1", square, -1, 64],
  ["disc of radius 5 grown by 1", disc, 1, 113.097336],
  ["angle grown by 1", angle, 1, 117.926991],
])("C-10: %s", (_, ring, by, expected) => {
  expect(Math.abs(area(growOutline(ring, by)) - expected)).toBeLessThan(0.01)
  expect(Math.abs(area(growOutline([...ring].reverse(), by)) - expected)).toBeLessThan(0.01)
})

const empty = copperShapes({ ...syntheticBoard({ seed: 1, w: 30, h: 10, lands: 0 }), screws: [] }, 0.3)
const board = [
  { x: 0, y: 0 },
  { x: 30, y: 0 },
  { x: 30, y: 10 },
  { x: 0, y: 10 },
]
const width = grooveWidth(0.1, 30, 0.1)

test("C-11: a 20 mm pass takes 20·w + π·w²/4 away", () => {
  const groove = [
    {
      points: [
        { x: 5, y: 5 },
        { x: 25, y: 5 },
      ],
    },
  ]
  const islands = finish(copperIslands(empty, board, groove, width))
  expect(islands).toHaveLength(1)
  const left = signedArea(islands[0]!.ring) + islands[0]!.holes!.reduce((s, h) => s + signedArea(h), 0)
  expect(Math.abs(300 - left - 3.090324)).toBeLessThan(0.002)
})

test("C-12: one pass right across makes two islands, none leaves one", () => {
  const groove = [
    {
      points: [
        { x: 15, y: -1 },
        { x: 15, y: 11 },
      ],
    },
  ]
  expect(finish(copperIslands(empty, board, groove, width))).toHaveLength(2)
  expect(finish(copperIslands(empty, board, [], width))).toHaveLength(1)
})
