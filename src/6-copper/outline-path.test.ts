// Tabs: enough of them, apart, on the straight, clear of the ramp; none where there is no room.

import fc from "fast-check"
import { expect, test } from "vitest"
import { growOutline } from "./grow-outline.ts"
import { insideCorner, outlinePath, stepsDown, tabWidth } from "./outline-path.ts"

const rectangle = (w: number, h: number) => [
  { x: 4, y: 4 },
  { x: 4 + w, y: 4 },
  { x: 4 + w, y: 4 + h },
  { x: 4, y: 4 + h },
]

test("tabs of any board of use: three to eight, in order, apart and as wide as asked", () => {
  fc.assert(
    fc.property(fc.integer({ min: 12, max: 400 }), fc.integer({ min: 10, max: 300 }), (w, h) => {
      const { tabs, length } = outlinePath(growOutline(rectangle(w, h), 0.75)[0]!, 1.5)
      expect(tabs.length).toBeGreaterThanOrEqual(3)
      expect(tabs.length).toBeLessThanOrEqual(8)
      let before = 8
      for (const { from, to } of tabs) {
        expect(from).toBeGreaterThan(before)
        expect(to - from).toBeCloseTo(tabWidth + 1.5, 9)
        before = to
      }
      expect(before).toBeLessThan(length)
    }),
    { numRuns: 60, seed: 3 },
  )
})

test("a board too small for tabs has none", () => {
  expect(outlinePath(growOutline(rectangle(3, 3), 0.75)[0]!, 1.5).tabs).toEqual([])
})

test("tabs of a rectangle stand on its sides, not round its corners", () => {
  const ring = growOutline(rectangle(86, 50), 0.75)[0]!
  const { tabs, points } = outlinePath(ring, 1.5)
  let s = 0
  points.forEach((p, i) => {
    const q = points[(i + 1) % points.length]!
    const piece = Math.hypot(q.x - p.x, q.y - p.y)
    // Only the long straight pieces may lie under a tab.
    for (const { from, to } of tabs) if (piece < 1) expect(s + piece <= from || s >= to).toBe(true)
    s += piece
  })
})

test("outside corners and wide curves lose nothing", () => {
  expect(insideCorner(rectangle(30, 20), 1.5).left).toBe(0)
  const hollow = [
    ...rectangle(60, 30).slice(0, 3),
    ...Array.from({ length: 41 }, (_, i) => ({
      x: 34 + 20 * Math.cos((i * Math.PI) / 40),
      y: 34 - 20 * Math.sin((i * Math.PI) / 40),
    })),
    { x: 4, y: 34 },
  ]
  expect(insideCorner(hollow, 1.5).left).toBeLessThan(0.02)
})

test.each([
  [1.8, 0.5, 4],
  [1.5, 0.5, 3],
  [1.8, 5, 1],
  [1.8, 0, 1],
  [1.8, Number.NaN, 1],
])("%f mm in steps of %f mm: %i", (bottom, step, expected) => {
  expect(stepsDown(bottom, step)).toBe(expected)
})
