import { expect, test } from "vitest"
import { roundLength } from "./scale-bar.tsx"

test("bars have round lengths, never shorter than asked", () => {
  for (const [least, round] of [
    [1, 1],
    [1.2, 2],
    [2.1, 5],
    [6, 10],
    [43, 50],
    [0.03, 0.05],
    [0.2, 0.2],
  ] as const)
    expect(roundLength(least)).toBeCloseTo(round, 12)
})
