import { expect, test } from "vitest"
import { holds, seenBox } from "./carried.ts"

const view = { scale: 2, left: 100, top: 50, width: 800, height: 400 }
const parts = { minX: -1000, minY: -20, maxX: 1000, maxY: 100 }
const moved = (left: number, scale = view.scale) => ({ ...view, left: view.left + left, scale })

test("a view shows the millimetres between its edges", () => {
  expect(seenBox(view, 0)).toEqual({ minX: -50, maxX: 350, minY: -25, maxY: 175 })
  expect(seenBox(view, 0.5)).toEqual({ minX: -250, maxX: 550, minY: -125, maxY: 275 })
})

test("a picture drawn whole serves wherever it is carried", () => {
  for (const left of [-5000, 0, 5000]) expect(holds(view, moved(left), undefined)).toBe(true)
})

test("a picture of what is near the view serves until its edge comes near", () => {
  expect(holds(view, moved(100), parts)).toBe(true)
  expect(holds(view, moved(-100), parts)).toBe(true)
  expect(holds(view, moved(150), parts)).toBe(false)
  expect(holds(view, moved(-150), parts)).toBe(false)
})

test("where the content ends nothing is missing beyond it", () => {
  const small = { minX: 0, minY: 0, maxX: 300, maxY: 100 }
  for (const left of [-900, 900]) expect(holds(view, moved(left), small)).toBe(true)
  // Farther away more is seen, but there is no more.
  expect(holds(view, moved(0, 0.6), small)).toBe(true)
  expect(holds(view, moved(0, 0.6), parts)).toBe(false)
})

test("no picture is stretched or shrunk more than four times", () => {
  expect(holds(view, moved(0, 7.9), undefined)).toBe(true)
  expect(holds(view, moved(0, 8.1), undefined)).toBe(false)
  expect(holds(view, moved(0, 0.49), undefined)).toBe(false)
})
