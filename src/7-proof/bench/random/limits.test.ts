// The limits must break where the firmware is slow, dark too late, or its sweeps too long.

import fc from "fast-check"
import { expect, test } from "vitest"
import type { Behaviour } from "../../../4-behaviour/artefact.ts"
import { tryCase } from "./differential.testing.ts"
import { type Case, caseOf } from "./plans.testing.ts"

const drawn = fc.sample(caseOf, { numRuns: 10, seed: 77 })
/** A sweep of 200 ms under a flasher that is live for 267 ms. */
const sweeping: Case = {
  plan: {
    wires: [{ flasher: "electronic" }],
    groups: [{ leds: 5, order: "drawn", centre: 0, stop: false, perOutput: 1 }],
    lines: [
      {
        wires: [0],
        group: 0,
        level: 100,
        sweep: 200,
        rise: 0,
        fall: 0,
        step: 1,
        share: 0,
        together: false,
        othersBetween: false,
      },
    ],
    activeHigh: true,
    scramble: 0,
  },
  story: {
    wires: [
      {
        scenes: [
          {
            what: "flasher",
            gap: 30,
            kind: "electronic",
            rate: 90,
            onShare: 40,
            flashes: 3,
            cut: false,
            dropOut: 0,
            seed: 1,
          },
        ],
        late: 0,
        volts: undefined,
      },
    ],
    dips: [],
    resets: [],
    until: 2000,
  },
}
const cases = [sweeping, ...drawn]

test("a sound lamp breaks none, and each kind was looked at", () => {
  const { broken, lit, full, dark, sweeps } = tryCase(sweeping).limits
  expect(broken).toEqual([])
  expect(Math.min(lit, full, dark)).toBeGreaterThan(100)
  expect(sweeps).toBe(3)
})

test.each<[string, RegExp, (b: Behaviour) => Behaviour]>([
  [
    "a filter of 6 ms",
    /not lit within 5 ms/,
    (b) => ({ ...b, inputs: b.inputs.map((i) => ({ ...i, assertMs: 6 })) }),
  ],
  [
    "a release of 25 ms",
    /not dark within 20 ms/,
    (b) => ({ ...b, inputs: b.inputs.map((i) => ({ ...i, releaseMs: 25 })) }),
  ],
  [
    "sweeps that take what they want",
    /sweep not over 3 ms before the fall/,
    (b) => ({
      ...b,
      rules: b.rules.map((r) => (r.sweepWithinMs ? { ...r, sweepWithinMs: 700, sweepShare: 255 } : r)),
      ...(b.timing ? { timing: { ...b.timing, sweepShare: 255, shortestOnMs: 400 } } : {}),
    }),
  ],
  [
    "levels a tenth too low",
    /not at its level in time/,
    (b) => ({
      ...b,
      rules: b.rules.map((r) => ({
        ...r,
        targets: r.targets.map((t) => ({ ...t, level: Math.floor(0.9 * t.level) })),
      })),
    }),
  ],
])("%s is noticed", (_, says, wrong) => {
  expect(cases.some((of) => tryCase(of, undefined, wrong).limits.broken.some((b) => says.test(b)))).toBe(true)
})
