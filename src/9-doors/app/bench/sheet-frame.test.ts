// A board on a sheet is turned and moved, never mirrored, and stands where the programs' numbers say.

import { expect, test } from "vitest"
import { signedArea } from "../../../0-ground/geometry/polygon.ts"
import type { Board } from "../../../5-board/artefact.ts"
import { boardFrame } from "./board-frame.ts"
import { sheetFrame } from "./sheet-frame.ts"

/** An L: no turn of it is its mirror image. */
const outline = [
  { x: 0, y: 0 },
  { x: 30, y: 0 },
  { x: 30, y: 10 },
  { x: 10, y: 10 },
  { x: 10, y: 20 },
  { x: 0, y: 20 },
]
const board = { name: "control", outline } as unknown as Board
const size = { w: 160, h: 100 }

test("a quarter turn goes counter-clockwise as seen on the sheet, then the board is moved", () => {
  const { at } = sheetFrame(board, { board: "control", turn: 90, x: 50, y: 5 }, { size })
  // (30, 0) turns to (0, 30), is moved to (50, 35), and is drawn 65 mm below the sheet's upper edge.
  expect(at({ x: 30, y: 0 })).toEqual({ x: 50, y: 65 })
  expect(at({ x: 0, y: 0 })).toEqual({ x: 50, y: 95 })
})

for (const turn of [0, 90, 180, 270] as const)
  test(`turned ${turn}° it is the board of the copper side, with all its distances`, () => {
    const frame = sheetFrame(board, { board: "control", turn, x: 60, y: 40 }, { size })
    const alone = boardFrame(board, "copper")
    const area = (f: typeof frame) => signedArea(outline.map(f.at))
    expect(area(frame)).toBeCloseTo(area(alone), 9)
    for (const p of outline)
      for (const q of outline) {
        const [a, b] = [frame.at(p), frame.at(q)]
        expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeCloseTo(Math.hypot(p.x - q.x, p.y - q.y), 9)
      }
    const { minX, maxX, minY, maxY } = frame.box
    expect([maxX - minX, maxY - minY].sort((a, b) => a - b)).toEqual([20, 30])
  })
