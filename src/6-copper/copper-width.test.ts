// The way to the nearest groove against a walk in small steps that asks the distance to every segment.

import { expect, test } from "vitest"
import { pointToSegment } from "../0-ground/geometry/segment.ts"
import { random } from "../0-ground/numbers/random.ts"
import { wallIndex } from "./copper-width.ts"

const outline = [
  { x: 0, y: 0 },
  { x: 20, y: 0 },
  { x: 20, y: 20 },
  { x: 0, y: 20 },
]
const half = 0.127
const step = 0.002

test("grooves of short, slanting segments are met where they begin", () => {
  const chance = random(5)
  const grooves = Array.from({ length: 6 }, () => {
    let [x, y] = [2 + 16 * chance.next(), 2 + 16 * chance.next()]
    let turn = 7 * chance.next()
    return {
      points: Array.from({ length: 60 }, () => {
        turn += chance.next() - 0.5
        x += 0.2 * Math.cos(turn)
        y += 0.2 * Math.sin(turn)
        return { x, y }
      }),
    }
  })
  const walls = wallIndex({ outline }, grooves, half)
  const inGroove = (x: number, y: number) =>
    grooves.some(({ points }) =>
      points.some((p, i) => i > 0 && pointToSegment({ x, y }, points[i - 1]!, p) < half),
    )
  for (let n = 0; n < 60; n++) {
    const [x, y, a] = [1 + 18 * chance.next(), 1 + 18 * chance.next(), 7 * chance.next()]
    const [dx, dy] = [Math.cos(a), Math.sin(a)]
    let way = 0
    const out = (v: number) => v < 0 || v > 20
    while (!inGroove(x + way * dx, y + way * dy) && !out(x + way * dx) && !out(y + way * dy)) way += step
    expect(Math.abs(walls(x, y, dx, dy) - way)).toBeLessThan(2 * step)
  }
})
