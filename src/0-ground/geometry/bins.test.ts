// Against asking everyone: nobody near a point or a line is left out.

import { expect, test } from "vitest"
import { random } from "../numbers/random.ts"
import { Bins } from "./bins.ts"
import { spanToSpan } from "./segment.ts"

const rnd = random(5)
const somewhere = () => 60 * rnd.next() - 10
const things = Array.from({ length: 400 }, () => {
  const x = somewhere()
  const y = somewhere()
  return { ax: x, ay: y, bx: x + 6 * rnd.next() - 3, by: y + 6 * rnd.next() - 3, reach: 2 * rnd.next() }
})
const bins = new Bins(2.54)
for (const [i, t] of things.entries())
  bins.put(
    i,
    Math.min(t.ax, t.bx) - t.reach,
    Math.min(t.ay, t.by) - t.reach,
    Math.max(t.ax, t.bx) + t.reach,
    Math.max(t.ay, t.by) + t.reach,
  )

/** Ids of all things within their reach of the segment. */
const near = (ax: number, ay: number, bx: number, by: number) =>
  [...things.keys()].filter((i) => {
    const t = things[i]!
    return spanToSpan(ax, ay, bx, by, t.ax, t.ay, t.bx, t.by) < t.reach
  })

test("everything within reach of a point is told there", () => {
  for (let k = 0; k < 2000; k++) {
    // Now and then on the very border of a cell.
    const x = k % 5 === 0 ? 2.54 * rnd.below(20) : somewhere()
    const y = somewhere()
    const told = bins.at(x, y)
    for (const i of near(x, y, x, y)) expect(told).toContain(i)
  }
})

test("everything within reach of a line is told along it, once, and far fewer than all", () => {
  let asked = 0
  for (let k = 0; k < 2000; k++) {
    // Now and then on the border of a row; level, upright, and any way.
    const [ax, ay] = [somewhere(), k % 3 === 0 ? 2.54 * rnd.below(20) : somewhere()]
    const bx = k % 7 === 0 ? ax : somewhere()
    const by = k % 5 === 0 ? ay : somewhere()
    const told = bins.along(ax, ay, bx, by)
    expect(new Set(told).size).toBe(told.length)
    for (const i of near(ax, ay, bx, by)) expect(told).toContain(i)
    asked += told.length
  }
  expect(asked / 2000).toBeLessThan(things.length / 4)
})
