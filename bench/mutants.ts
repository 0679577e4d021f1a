// How many single bits of the compiled program, turned over wherever the suite runs, the suite's trials notice.
// npm run bench -- mutants [NUMBER] [SEED]; some five seconds for each mutant that is not noticed.

import { random } from "../src/0-ground/numbers/random.ts"
import { imageTrials, same, tern } from "../src/7-proof/bench/random/image-trials.testing.ts"

const asked = Number(process.argv[2] ?? 40)
const seed = Number(process.argv[3] ?? 41)
// The longest trial is for coverage; a mutant is not worth its time.
const trials = imageTrials().filter((t) => !t.name.startsWith("longer"))
const { words: lengths } = tern.run({ wires: {} }).chip.core.program
const executed = new Uint8Array(lengths.length)
for (const trial of trials)
  trial.run(same).executed.forEach((x, at) => {
    if (x) executed[at] = 1
  })
const words = [...executed.keys()].filter((at) => executed[at])
const chance = random(seed)
let noticed = 0
const missed: string[] = []
for (let n = 0; n < asked; n++) {
  const first = words[chance.below(words.length)]!
  // Any bit of the whole instruction.
  const bit = chance.below(16 * lengths[first]!)
  const spoil = (image: Uint8Array) => {
    image[2 * first + (bit >> 3)]! ^= 1 << (bit & 7)
    return image
  }
  if (trials.some((t) => t.run(spoil).faults.length > 0)) noticed++
  else missed.push(`${(2 * first).toString(16)}.${bit}`)
}
console.log(
  `${asked} mutants of ${words.length} executed instructions, seed ${seed}: ${((100 * noticed) / asked).toFixed(1)} % noticed`,
)
console.log(`not noticed (byte address, bit): ${missed.join(" ")}`)
