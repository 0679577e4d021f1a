// How much of the compiled program the suite runs through. Reached at all: see reachable-words.testing.ts.

import { expect, test } from "vitest"
import { imageTrials, same, tern } from "./image-trials.testing.ts"
import { reachableWords } from "./reachable-words.testing.ts"

test("every trial holds, and together they run through at least 98 % of the reachable words", () => {
  const { bytes } = tern.image
  const reached = reachableWords(
    bytes,
    Array.from({ length: 26 }, (_, v) => 2 * v),
  )
  const hit = new Uint8Array(reached.length)
  const failed: string[] = []
  for (const trial of imageTrials()) {
    const { faults, executed } = trial.run(same)
    if (faults.length > 0) failed.push(`${trial.name}: ${faults.join("; ")}`)
    executed.forEach((x, at) => {
      if (x) hit[at] = 1
    })
  }
  expect(failed).toEqual([])
  const words = [...reached.keys()].filter((at) => reached[at])
  const missed = words.filter((at) => !hit[at])
  const share = 1 - missed.length / words.length
  console.log(
    `${words.length} reachable instructions, ${(100 * share).toFixed(2)} % executed; not: ${missed.map((at) => (2 * at).toString(16)).join(" ")}`,
  )
  expect(share).toBeGreaterThanOrEqual(0.98)
}, 600_000)
