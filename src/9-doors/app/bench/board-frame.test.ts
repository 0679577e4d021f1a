import { expect, test } from "vitest"
import type { Board } from "../../../5-board/artefact.ts"
import { boardFrame, pathOf, stadium } from "./board-frame.ts"

const outline = [
  { x: 2, y: 1 },
  { x: 42, y: 1 },
  { x: 42, y: 21 },
  { x: 2, y: 21 },
]
const board = { outline } as unknown as Board

test("the copper side keeps left and right and turns y down", () => {
  expect(boardFrame(board, "copper").at({ x: 2, y: 21 })).toEqual({ x: 2, y: 1 })
})

test("the component side mirrors left to right only, and twice is back again", () => {
  const copper = boardFrame(board, "copper")
  const component = boardFrame(board, "component")
  const p = { x: 10, y: 5 }
  expect(component.at(p)).toEqual({ x: 34, y: copper.at(p).y })
  expect(component.at({ x: component.at(p).x, y: p.y }).x).toBe(p.x)
})

test("an oval land is a line with round ends, along its longer side", () => {
  const wide = stadium({ x: 0, y: 0, w: 3, h: 1, rotation: 0 })
  expect(wide).toEqual({ width: 1, from: { x: -1, y: 0 }, to: { x: 1, y: 0 } })
  const turned = stadium({ x: 0, y: 0, w: 3, h: 1, rotation: 90 })
  expect(turned.to.x).toBeCloseTo(0, 12)
  expect(turned.to.y).toBeCloseTo(1, 12)
  const tall = stadium({ x: 5, y: 5, w: 1, h: 3, rotation: 0 })
  expect(tall.to.y).toBeCloseTo(6, 12)
})

test("paths are written in thousandths of a millimetre", () => {
  const d = pathOf(
    [
      { x: 2.00049, y: 1 },
      { x: 3, y: 2 },
    ],
    boardFrame(board, "copper"),
    true,
  )
  expect(d).toBe("M2 21L3 20Z")
})
