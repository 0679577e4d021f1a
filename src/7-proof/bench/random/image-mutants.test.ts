// Single bits of the compiled program turned over, wherever the suite runs: does the suite notice?
// `LAMPWRIGHT_MUTANTS` asks for another number than the usual sample.

import { expect, test } from "vitest"
import { random } from "../../../0-ground/numbers/random.ts"
import { imageTrials, same, tern } from "./image-trials.testing.ts"

const asked = Number(process.env.LAMPWRIGHT_MUTANTS ?? 40)

test(`at least nine of ten flipped bits of executed words are noticed (${asked} mutants, seed 41)`, () => {
  // The longest trial is for coverage; a mutant is not worth its time.
  const trials = imageTrials().filter((t) => !t.name.startsWith("longer"))
  const { decoded, executed } = executedBy(trials.map((t) => t.run(same).executed))
  const words = [...executed.keys()].filter((at) => executed[at])
  const chance = random(41)
  let noticed = 0
  const missed: string[] = []
  for (let n = 0; n < asked; n++) {
    const first = words[chance.below(words.length)]!
    // Any bit of the whole instruction.
    const bit = chance.below(16 * decoded[first]!)
    const spoil = (image: Uint8Array) => {
      image[2 * first + (bit >> 3)]! ^= 1 << (bit & 7)
      return image
    }
    if (trials.some((t) => t.run(spoil).faults.length > 0)) noticed++
    else missed.push(`${(2 * first).toString(16)}.${bit}`)
  }
  console.log(
    `${asked} mutants of ${words.length} executed instructions, ${((100 * noticed) / asked).toFixed(1)} % noticed; not: ${missed.join(" ")}`,
  )
  expect(noticed / asked).toBeGreaterThanOrEqual(0.9)
}, 3_600_000)

function executedBy(runs: readonly Uint8Array[]): { decoded: Uint8Array; executed: Uint8Array } {
  const executed = new Uint8Array(runs[0]!.length)
  for (const run of runs)
    run.forEach((x, at) => {
      if (x) executed[at] = 1
    })
  const { words } = tern.run({ wires: {} }).chip.core.program
  return { decoded: Uint8Array.from(words), executed }
}
