// The defining property: no point inside any triangle's circle; and the area of the convex hull is covered once.

import { expect, test } from "vitest"
import { random } from "../numbers/random.ts"
import { triangulate } from "./triangulate.ts"

test("triangles of random and of grid points are counter-clockwise with empty circles and cover the hull", () => {
  const rnd = random(5)
  const scattered = Array.from({ length: 300 }, () => ({ x: 100 * rnd.next(), y: 60 * rnd.next() }))
  const grid = Array.from({ length: 120 }, (_, i) => ({ x: 2.54 * (i % 12), y: 2.54 * Math.floor(i / 12) }))
  for (const points of [scattered, grid]) {
    const t = triangulate(points)
    let area = 0
    for (let i = 0; i < t.length; i += 3) {
      const [a, b, c] = [points[t[i]!]!, points[t[i + 1]!]!, points[t[i + 2]!]!]
      const twice = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
      expect(twice).toBeGreaterThan(-0.02)
      area += twice / 2
      if (twice < 0.5) continue
      // Centre of the circle through the corners, from the perpendicular bisectors.
      const [ux, uy, vx, vy] = [b.x - a.x, b.y - a.y, c.x - a.x, c.y - a.y]
      const [u2, v2] = [ux * ux + uy * uy, vx * vx + vy * vy]
      const cx = a.x + (vy * u2 - uy * v2) / (2 * twice)
      const cy = a.y + (ux * v2 - vx * u2) / (2 * twice)
      const r = Math.hypot(a.x - cx, a.y - cy)
      for (const p of points) expect(Math.hypot(p.x - cx, p.y - cy)).toBeGreaterThan(r - 0.01 * (1 + r / 10))
    }
    if (points === grid) expect(area).toBeCloseTo(11 * 2.54 * 9 * 2.54, 1)
    else expect(area).toBeGreaterThan(100 * 60 * 0.9)
  }
})

test("a point given twice is used once", () => {
  const points = [
    { x: 0, y: 0 },
    { x: 4, y: 0 },
    { x: 0, y: 4 },
    { x: 4, y: 0 },
  ]
  expect(triangulate(points).length).toBe(3)
})
