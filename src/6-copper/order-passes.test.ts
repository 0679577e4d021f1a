// The order of passes: against published test sets where they are at hand, against every permutation on small cases.

import { existsSync, readFileSync } from "node:fs"
import { resolve } from "node:path"
import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { finish } from "../0-ground/progress.ts"
import { travelBound } from "./order-bound.ts"
import { type Ends, nearestNeighbour, orderPasses, tourTravel } from "./order-passes.ts"

const sets = resolve(import.meta.dirname, "../../../shared/reference/data/tsplib")

function readPoints(name: string): Ends {
  const rows = readFileSync(resolve(sets, `${name}.tsp`), "utf8")
    .split("\n")
    .map((line) => line.trim().split(/\s+/).map(Number))
    .filter((row) => row.length === 3 && row.every(Number.isFinite))
  const xy = new Float64Array(4 * rows.length)
  rows.forEach(([, x, y], i) => {
    xy.set([x!, y!, x!, y!], 4 * i)
  })
  return { xy, whole: true }
}

const asTour = (nodes: readonly number[]) => nodes.flatMap((n) => [2 * n, 2 * n + 1])

// TSPLIB95 (G. Reinelt, ORSA J. Computing 3(4), 1991); optima and tours as in the reference sheet, group P.
if (!existsSync(sets)) {
  test("published test sets did not run: their files are not beside this repository", () => {
    console.log("P-1 … P-6 did not run: the TSPLIB files are not beside this repository")
  })
} else {
  const { instances } = JSON.parse(readFileSync(resolve(sets, "optima.json"), "utf8")) as {
    instances: Record<
      string,
      { optimal: number; canonical_tour_length: number; nearest_neighbour_from_node_1: number }
    >
  }
  describe.each(Object.entries(instances))("TSPLIB %s", (name, known) => {
    const ends = readPoints(name)
    const count = ends.xy.length / 4

    test("P-1, P-3: length of the tour 1, 2, … n", () => {
      expect(tourTravel(ends, asTour(Array.from({ length: count }, (_, i) => i)))).toBe(
        known.canonical_tour_length,
      )
    })
    const tourFile = resolve(sets, "tours", `${name}.tour`)
    if (existsSync(tourFile)) {
      test("P-2: length of the optimal tour", () => {
        const nodes = readFileSync(tourFile, "utf8")
          .split(/\s+/)
          .filter((w) => /^\d+$/.test(w))
          .map((w) => Number(w) - 1)
        expect(nodes).toHaveLength(count)
        expect(tourTravel(ends, asTour(nodes))).toBe(known.optimal)
      })
    }
    test("P-5: nearest neighbour from node 1", () => {
      expect(tourTravel(ends, nearestNeighbour(ends))).toBe(known.nearest_neighbour_from_node_1)
    })
    test("P-4, P-6: within 2 % of the optimum, never below, every node once, same seed same order", () => {
      const a = finish(orderPasses(ends, 1))
      expect(a.travel).toBeGreaterThanOrEqual(known.optimal)
      expect(a.travel).toBeLessThanOrEqual(known.optimal * 1.02)
      expect([...a.order].sort((p, q) => p - q)).toEqual(Array.from({ length: count }, (_, i) => i))
      expect(finish(orderPasses(ends, 1)).order).toEqual(a.order)
      const bound = finish(travelBound({ ...ends }, a.travel))
      expect(bound).toBeLessThanOrEqual(known.optimal)
      expect(bound).toBeGreaterThan(known.optimal * 0.88)
    })
  })
}

const place = fc.integer({ min: 0, max: 200 }).map((v) => v / 2)
const strokes = (most: number) =>
  fc
    .array(fc.tuple(place, place, place, place, fc.boolean()), { minLength: 1, maxLength: most })
    .map((rows) =>
      Float64Array.from(rows.flatMap(([a, b, c, d, hole]) => (hole ? [a, b, a, b] : [a, b, c, d]))),
    )

/** Least travel over every order and direction. */
function leastTravel(xy: Float64Array): number {
  const count = xy.length / 4
  let least = Number.POSITIVE_INFINITY
  const go = (tour: number[], left: number[]) => {
    if (left.length === 0) {
      least = Math.min(least, tourTravel({ xy }, tour))
      return
    }
    for (const s of left) {
      const rest = left.filter((t) => t !== s)
      go([...tour, 2 * s, 2 * s + 1], rest)
      go([...tour, 2 * s + 1, 2 * s], rest)
    }
  }
  go(
    [0, 1],
    Array.from({ length: count - 1 }, (_, i) => i + 1),
  )
  return least
}

test("no order of up to six strokes is missed by much, and the bound never lies above the least", () => {
  fc.assert(
    fc.property(strokes(6), (xy) => {
      const least = leastTravel(xy)
      const found = finish(orderPasses({ xy }, 1)).travel
      expect(found).toBeGreaterThanOrEqual(least - 1e-9)
      // 2-opt and Or-opt alone can stick on so few strokes; kicks start at eight.
      expect(found).toBeLessThanOrEqual(least * 1.35 + 1e-9)
      expect(finish(travelBound({ xy }, found))).toBeLessThanOrEqual(least + 1e-6)
    }),
    { numRuns: 200, seed: 5 },
  )
})

test("every stroke once, travel as told, never longer than the nearest-neighbour tour", () => {
  fc.assert(
    fc.property(strokes(40), fc.integer({ min: 1, max: 99 }), (xy, seed) => {
      const count = xy.length / 4
      const { order, reversed, travel, before } = finish(orderPasses({ xy }, seed, 300))
      expect([...order].sort((p, q) => p - q)).toEqual(Array.from({ length: count }, (_, i) => i))
      expect(order[0]).toBe(0)
      const tour = order.flatMap((s, k) => (reversed[k] ? [2 * s + 1, 2 * s] : [2 * s, 2 * s + 1]))
      expect(tourTravel({ xy }, tour)).toBeCloseTo(travel, 9)
      expect(travel).toBeLessThanOrEqual(before + 1e-9)
    }),
    { numRuns: 100, seed: 6 },
  )
})

test("nothing, one and two strokes", () => {
  expect(finish(orderPasses({ xy: new Float64Array(0) }, 1)).order).toEqual([])
  expect(finish(orderPasses({ xy: Float64Array.of(0, 0, 3, 4) }, 1)).travel).toBe(5)
  expect(finish(orderPasses({ xy: Float64Array.of(0, 0, 0, 0, 3, 4, 3, 4) }, 1)).travel).toBe(10)
})
