import { expect, test } from "vitest"
import { nextSnap, type Snaps, snapTo } from "./snap.ts"

const snaps: Snaps = {
  points: [
    { x: 0, y: 0, says: "hole a" },
    { x: 10, y: 0, says: "hole b" },
    { x: 10, y: 10, says: "hole c" },
  ],
  edges: [
    {
      line: [
        { x: -5, y: -5 },
        { x: 15, y: -5 },
        { x: 15, y: 15 },
        { x: -5, y: 15 },
      ],
      closed: true,
      says: "edge",
    },
  ],
}

test("a point catches at the nearest middle, then at an edge, then nowhere", () => {
  expect(snapTo({ x: 9.4, y: 0.3 }, snaps, 1)).toEqual({ x: 10, y: 0, says: "hole b" })
  expect(snapTo({ x: 4, y: -4.7 }, snaps, 1)).toEqual({ x: 4, y: -5, says: "edge" })
  // The side that closes the ring counts as well.
  expect(snapTo({ x: -4.8, y: 3 }, snaps, 1)).toEqual({ x: -5, y: 3, says: "edge" })
  expect(snapTo({ x: 4, y: 4 }, snaps, 1)).toEqual({ x: 4, y: 4, says: "" })
})

test("a hole within reach wins over a nearer edge", () => {
  const near: Snaps = { points: [{ x: 0, y: -4.5, says: "hole" }], edges: snaps.edges }
  expect(snapTo({ x: 0, y: -4.95 }, near, 1).says).toBe("hole")
})

test("arrows go to the next hole in their direction and stay where there is none", () => {
  expect(nextSnap({ x: 0, y: 0 }, 1, 0, snaps)?.says).toBe("hole b")
  expect(nextSnap({ x: 10, y: 0 }, 0, 1, snaps)?.says).toBe("hole c")
  expect(nextSnap({ x: 10, y: 10 }, 1, 0, snaps)).toBeUndefined()
})
