// How many single bits of the compiled programs, turned over wherever the suite runs, the suite's trials notice.
// npm run bench -- mutants [NUMBER] [SEED]; some seconds for each mutant that is not noticed.

import { isEquivalent } from "../src/7-proof/bench/random/equivalent-mutants.testing.ts"
import { chips, imageTrials, suiteCases } from "../src/7-proof/bench/random/image-trials.testing.ts"
import { drawMutants, nameOf, prepareMutants } from "../src/7-proof/bench/random/mutants.testing.ts"

const asked = Number(process.argv[2] ?? 100)
const seed = Number(process.argv[3] ?? 41)
for (const chip of chips) {
  const all = imageTrials(chip, suiteCases(chip))
  const mutants = prepareMutants(all)
  const drawn = drawMutants(mutants, asked, seed)
  const same = drawn.filter((m) => isEquivalent(all.image, m))
  const told = drawn.filter((m) => !same.includes(m)).map((m) => ({ m, by: mutants.noticed(m)?.by }))
  const names = (by: string | undefined) =>
    told.flatMap((t) => (t.by === by ? [nameOf(t.m)] : [])).join(" ") || "none"
  const share = (by: readonly (string | undefined)[]) =>
    ((100 * told.filter((t) => by.includes(t.by)).length) / told.length).toFixed(1)
  console.log(
    `${chip.name}: ${asked} mutants of ${mutants.words.length} executed instructions, seed ${seed}: ${same.length} proved to do the same;\n` +
      `  of the other ${told.length} ${share(["promise", "edges"])} % noticed: ${share(["promise"])} % break a promise, ${share(["edges"])} % only move edges`,
  )
  console.log(`  do the same (byte address.bit): ${same.map(nameOf).join(" ") || "none"}`)
  console.log(`  only move edges: ${names("edges")}`)
  console.log(`  not noticed: ${names(undefined)}`)
}
