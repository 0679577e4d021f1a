// Copper's resistance against the handbook's sheet resistance and hand-made nets.

import { expect, test } from "vitest"
import type { Board, Land } from "./artefact.ts"
import { greatestDrop } from "./voltage-drop.ts"

const land = (ref: string, x: number, y: number, net = "N"): Land => ({
  ref,
  pin: "1",
  net,
  x,
  y,
  shape: "round",
  w: 2,
  h: 2,
  rotation: 0,
  hole: 0.8,
})
const board = (over: Partial<Board>): Board =>
  ({ lands: [], tracks: [], links: [], ...over }) as unknown as Board
const ohm = (b: Board) => greatestDrop(b, () => 1, 0.035, 20)!.ohm

test("35 µm copper has 0.49 mΩ a square at 20 °C (handbook value, from memory), and 0.393 % more a kelvin", () => {
  const b = board({
    lands: [land("A", 0, 0), land("B", 100, 0)],
    tracks: [
      {
        net: "N",
        width: 0.5,
        points: [
          { x: 0, y: 0 },
          { x: 100, y: 0 },
        ],
      },
    ],
  })
  // 100 mm of 0.5 mm are 200 squares.
  expect(ohm(b) / 200).toBeCloseTo(0.00049, 5)
  expect(greatestDrop(b, () => 2, 0.035, 70)!.drop).toBeCloseTo(2 * ohm(b) * (1 + 0.00393 * 50), 6)
})

test("a branch joins in the middle of a track; the longest way between two lands counts", () => {
  const b = board({
    lands: [land("A", 0, 0), land("B", 40, 0), land("C", 20, 50)],
    tracks: [
      {
        net: "N",
        width: 0.5,
        points: [
          { x: 0, y: 0 },
          { x: 40, y: 0 },
        ],
      },
      {
        net: "N",
        width: 1,
        points: [
          { x: 20, y: 0 },
          { x: 20, y: 50 },
        ],
      },
    ],
  })
  const perSquare = 1.724e-5 / 0.035
  expect(ohm(b)).toBeCloseTo((40 + 50) * perSquare, 6)
})

test("a wire link carries on where copper ends; a net without current or without tracks is not told", () => {
  const link = { ref: "W1", net: "N", from: { x: 10, y: 0 }, to: { x: 30, y: 0 }, length: 20 }
  const ends = [land("W1", 10, 0), { ...land("W1", 30, 0), pin: "2" }]
  const b = board({
    lands: [land("A", 0, 0), land("B", 40, 0), ...ends],
    tracks: [
      {
        net: "N",
        width: 0.5,
        points: [
          { x: 0, y: 0 },
          { x: 10, y: 0 },
        ],
      },
      {
        net: "N",
        width: 0.5,
        points: [
          { x: 30, y: 0 },
          { x: 40, y: 0 },
        ],
      },
    ],
    links: [link],
  })
  const wire = (1.724e-5 * 20) / (Math.PI * 0.09)
  expect(ohm(b)).toBeCloseTo((40 * 1.724e-5) / 0.035 + wire, 6)
  expect(greatestDrop(b, () => 0, 0.035, 20)).toBeUndefined()
})
