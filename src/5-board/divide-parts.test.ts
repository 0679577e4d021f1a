// Parts over boards against every possible division, on small circuits; the law it must keep on larger ones.

import fc from "fast-check"
import { expect, test } from "vitest"
import { divideParts, wiresBetween } from "./divide-parts.ts"

const circuits = (boards: number, parts: number) =>
  fc.record({
    allowed: fc.array(
      fc.shuffledSubarray(
        Array.from({ length: boards }, (_, i) => i),
        { minLength: 1 },
      ),
      { minLength: 2, maxLength: parts },
    ),
    draws: fc.array(fc.array(fc.nat({ max: 99 }), { minLength: 2, maxLength: 5 }), { maxLength: 12 }),
  })

const netsOf = (draws: readonly (readonly number[])[], parts: number) =>
  draws.map((d) => [...new Set(d.map((n) => n % parts))])

/** Least wires, and among those divisions the fewest parts away from their own board. */
function bruteForce(allowed: readonly (readonly number[])[], nets: readonly (readonly number[])[]) {
  let best = [Number.POSITIVE_INFINITY, 0]
  const on: number[] = []
  const visit = (p: number) => {
    if (p === allowed.length) {
      const away = on.filter((b, i) => b !== allowed[i]![0]).length
      const wires = wiresBetween(nets, on)
      if (wires < best[0]! || (wires === best[0] && away < best[1]!)) best = [wires, away]
      return
    }
    for (const b of allowed[p]!) {
      on[p] = b
      visit(p + 1)
    }
  }
  visit(0)
  return best
}

test("two boards: never a wire nor a moved part more than the best of all divisions", () => {
  fc.assert(
    fc.property(circuits(2, 9), ({ allowed, draws }) => {
      const nets = netsOf(draws, allowed.length)
      const on = divideParts({ allowed, nets, boards: 2 })
      on.forEach((b, p) => {
        expect(allowed[p]).toContain(b)
      })
      expect([wiresBetween(nets, on), on.filter((b, i) => b !== allowed[i]![0]).length]).toEqual(
        bruteForce(allowed, nets),
      )
    }),
    { numRuns: 300, seed: 5 },
  )
})

test("three and four boards: at least 99 of 100 with the fewest wires, never more than one above, never worse than left alone", () => {
  let cases = 0
  let best = 0
  fc.assert(
    fc.property(
      fc.constantFrom(3, 4).chain((b) => fc.tuple(fc.constant(b), circuits(b, 6))),
      ([boards, c]) => {
        const nets = netsOf(c.draws, c.allowed.length)
        const wires = wiresBetween(nets, divideParts({ allowed: c.allowed, nets, boards }))
        const [least] = bruteForce(c.allowed, nets)
        cases++
        if (wires === least) best++
        expect(wires).toBeLessThanOrEqual(least! + 1)
        expect(wires).toBeLessThanOrEqual(
          wiresBetween(
            nets,
            c.allowed.map((a) => a[0]!),
          ),
        )
      },
    ),
    { numRuns: 300, seed: 6 },
  )
  expect(best / cases).toBeGreaterThanOrEqual(0.99)
})

test("a resistor between two groups' boards goes where it saves a wire; a tie leaves it at home", () => {
  // Part 0 on board 0, part 1 on board 1; part 2 may be on either, at home on 0, and hangs on part 1 by two nets.
  expect(
    divideParts({
      allowed: [[0], [1], [0, 1]],
      nets: [
        [1, 2],
        [1, 2],
        [0, 2],
      ],
      boards: 2,
    }),
  ).toEqual([0, 1, 1])
  expect(
    divideParts({
      allowed: [[0], [1], [0, 1]],
      nets: [
        [1, 2],
        [0, 2],
      ],
      boards: 2,
    }),
  ).toEqual([0, 1, 0])
})
