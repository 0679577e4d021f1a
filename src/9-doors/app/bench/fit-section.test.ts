import { expect, test } from "vitest"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import type { Board } from "../../../5-board/artefact.ts"
import { places, sectionOf, spansInside } from "./fit-section.ts"

const rectangle = (w: number, h: number) => [
  { x: 0, y: 0 },
  { x: w, y: 0 },
  { x: w, y: h },
  { x: 0, y: h },
]
const hole = (id: string, x: number) => ({ id, x, y: 10, diameter: 5.2 })
const holes = [hole("a", 15), hole("b", 30), hole("c", 45)]
const lamp = {
  faces: [
    {
      name: "plate",
      thickness: 2,
      outline: rectangle(60, 20),
      windows: [],
      ledHoles: holes,
      screwHoles: [{ id: "s", x: 22, y: 16, diameter: 3.2 }],
    },
  ],
  // Out of order on purpose: the section runs along the row all the same.
  groups: [
    {
      name: "g",
      led: "red-5mm",
      face: "plate",
      leds: [1, 0, 2].map((i) => ({ ref: `g-${i + 1}`, hole: holes[i]! })),
    },
  ],
  boards: [{ name: "back", height: 11, depth: 25 }],
  copperClad: { thickness: 1.6, copper: 0.035 },
} as unknown as Lamp
// Behind the plate, 2 mm inside its edge: board x = 58 − face x.
const pose = { originX: 58, originY: 2 }
const board = {
  name: "back",
  face: "plate",
  pose,
  outline: rectangle(56, 16),
  screws: [{ x: 58 - 22, y: 14, diameter: 3.2, keepOut: 4 }],
  parts: [
    ...holes.map((_, i) => ({ ref: `g-${i + 1}`, kind: "led", body: [], height: 8.7 })),
    {
      ref: "R1",
      kind: "resistor",
      height: 3,
      // Face x 20 to 26, across the row.
      body: [
        { x: 58 - 26, y: 6 },
        { x: 58 - 20, y: 6 },
        { x: 58 - 20, y: 10 },
        { x: 58 - 26, y: 10 },
      ],
    },
  ],
  lands: holes.flatMap((h, i) => [
    { ref: `g-${i + 1}`, pin: "A", x: 58 - (h.x - 1.27), y: 8 },
    { ref: `g-${i + 1}`, pin: "K", x: 58 - (h.x + 1.27), y: 8 },
  ]),
} as unknown as Board

test("the section runs along the row and cuts metal, holes, board and parts at their own sizes", () => {
  const s = sectionOf(lamp, board, "g")!
  expect(s.leds.map((l) => l.ref)).toEqual(["g-1", "g-2", "g-3"])
  // 15 mm from hole to hole, along the row.
  expect(s.leds[1]!.s - s.leds[0]!.s).toBeCloseTo(15, 6)
  const wide = s.metal.map(([a, b]) => b - a)
  // 60 mm of metal less three holes of 5.2 mm; the screw beside the row is not cut.
  expect(wide.length).toBe(4)
  expect(wide.reduce((a, b) => a + b, 0)).toBeCloseTo(60 - 3 * 5.2, 6)
  expect(s.board.length).toBe(1)
  expect(s.board[0]![1] - s.board[0]![0]).toBeCloseTo(56, 6)
  // The board begins 2 mm inside the face.
  expect(s.board[0]![0] - s.metal[0]![0]).toBeCloseTo(2, 6)
})

test("leads pass where the lands lie, seen from the road as the face is", () => {
  const s = sectionOf(lamp, board, "g")!
  const [led] = s.leds
  expect(led!.leads.map((x) => Math.round((x - led!.s) * 100) / 100).sort()).toEqual([-1.27, 1.27])
})

test("a part that the row crosses is cut, a screw beside it is told by how far", () => {
  const s = sectionOf(lamp, board, "g")!
  expect(s.blocks).toHaveLength(1)
  expect(s.blocks[0]).toMatchObject({ ref: "R1", height: 3 })
  expect(s.blocks[0]!.to - s.blocks[0]!.from).toBeCloseTo(6, 6)
  expect(s.screws[0]!.beside).toBeCloseTo(6, 6)
  expect(s.screws[0]!.s - s.leds[0]!.s).toBeCloseTo(7, 6)
})

test("a board without LEDs is cut through its tallest part", () => {
  const s = sectionOf(lamp, { ...board, face: undefined } as unknown as Board, undefined)!
  expect(s.leds).toEqual([])
  expect(s.metal).toEqual([])
  expect(s.board[0]![1] - s.board[0]![0]).toBeCloseTo(56, 6)
})

test("windows are no metal: even–odd along the path", () => {
  const path = [
    { x: -1, y: 5 },
    { x: 11, y: 5 },
  ]
  const window = [
    { x: 4, y: 4 },
    { x: 6, y: 4 },
    { x: 6, y: 6 },
    { x: 4, y: 6 },
  ]
  const spans = spansInside(path, places(path), [rectangle(10, 10), window])
  expect(spans.map(([a, b]) => [a, b].map((n) => Math.round(n * 1e6) / 1e6))).toEqual([
    [1, 5],
    [7, 11],
  ])
})
