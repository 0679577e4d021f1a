// How much of each compiled program the suite runs through. Reached at all: see reachable-words.testing.ts.

import { expect, test } from "vitest"
import { chips, imageTrials, same, suiteCases } from "./image-trials.testing.ts"
import { reachableWords } from "./reachable-words.testing.ts"

test.each(chips)(
  "$name: every trial holds, and together they run through at least 98 % of the reachable words",
  (chip) => {
    const { image, trials } = imageTrials(chip, suiteCases(chip))
    const reached = reachableWords(
      image,
      Array.from({ length: chip.vectors }, (_, v) => chip.vectorWords * v),
    )
    const hit = new Uint8Array(reached.length)
    const failed: string[] = []
    for (const trial of trials) {
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
      `${chip.name}: ${words.length} reachable instructions, ${(100 * share).toFixed(2)} % executed; not: ${missed.map((at) => (2 * at).toString(16)).join(" ")}`,
    )
    expect(share).toBeGreaterThanOrEqual(0.98)
  },
  600_000,
)
