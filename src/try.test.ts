import { test } from "vitest"
import { chips, imageTrials, randomCases, same, longTrial } from "./7-proof/bench/random/image-trials.testing.ts"
for (const chip of chips.slice(0,1))
test("trials " + chip.name, () => {
  const cases = randomCases(chip.name !== "ATmega328P", 5, 27)
  const { trials } = imageTrials(chip, cases)
  for (const tr of trials) {
    if (tr.name === longTrial || !/random/.test(tr.name)) continue
    const { faults } = tr.run(same)
    if (faults.length) { console.log(tr.name, faults); }
  }
}, 600000)
