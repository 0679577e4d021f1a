// Flipped bits of the compiled programs are noticed. Everything on a larger number: `npm run bench -- mutants`.

import { expect, test } from "vitest"
import { isEquivalent } from "./equivalent-mutants.testing.ts"
import { chips, imageTrials, suiteCases } from "./image-trials.testing.ts"
import { drawMutants, nameOf, prepareMutants } from "./mutants.testing.ts"

const asked = Number(process.env.LAMPWRIGHT_MUTANTS ?? 50)
const seed = 61

test.each(chips)(
  `$name: of ${asked} flipped bits where the trials run, at least 90 % break a promise or move an edge (seed ${seed})`,
  (chip) => {
    const all = imageTrials(chip, suiteCases(chip))
    const mutants = prepareMutants(all)
    const counted = drawMutants(mutants, asked, seed).filter((m) => !isEquivalent(all.image, m))
    const missed = counted.filter((m) => mutants.noticed(m, true) === undefined)
    const share = 1 - missed.length / counted.length
    console.log(
      `${chip.name}: ${asked - counted.length} proved to do the same; of ${counted.length} ${(100 * share).toFixed(1)} % noticed; not: ${missed.map(nameOf).join(" ") || "none"}`,
    )
    // A trial that notices nothing would make every mutant an equal one.
    expect(counted.length).toBeGreaterThan(0.85 * asked)
    expect(share).toBeGreaterThanOrEqual(0.9)
  },
  600_000,
)
