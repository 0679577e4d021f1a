// Against asking everyone: each cell lists exactly the boxes that touch it, in ascending order, filled once or again.

import { expect, test } from "vitest"
import { random } from "../0-ground/numbers/random.ts"
import { CellLists } from "./cell-lists.ts"

const size = 2
const listed = (lists: CellLists, x: number, y: number): number[] => {
  const cell = lists.cell(x, y)
  if (cell < 0) return []
  return Array.from({ length: lists.end(cell) - lists.first(cell) }, (_, k) =>
    lists.item(lists.first(cell) + k),
  )
}

test("every cell lists the boxes that touch it, whatever was in before", () => {
  const rnd = random(3)
  const lists = new CellLists(size)
  for (const count of [300, 40, 500, 1, 0]) {
    const boxes = new Float64Array(4 * count)
    for (let i = 0; i < count; i++) {
      const [x, y] = [40 * rnd.next() - 12, 30 * rnd.next() - 12]
      boxes.set([x, y, x + 5 * rnd.next(), y + 5 * rnd.next()], 4 * i)
    }
    lists.fill(boxes, count)
    for (let y = -9; y < 14; y++)
      for (let x = -9; x < 20; x++) {
        const touching = Array.from({ length: count }, (_, i) => i).filter(
          (i) =>
            Math.floor(boxes[4 * i]! / size) <= x &&
            Math.floor(boxes[4 * i + 2]! / size) >= x &&
            Math.floor(boxes[4 * i + 1]! / size) <= y &&
            Math.floor(boxes[4 * i + 3]! / size) >= y,
        )
        expect(listed(lists, x, y)).toEqual(touching)
      }
  }
})
