// Seeded mutations of a compiled program, one bit each, wherever its trials run: which of them the trials notice.

import { type Random, random } from "../../../0-ground/numbers/random.ts"
import { decodeFlash } from "../cpu/decode.ts"
import { type ImageTrials, longTrial, type Spoil, same } from "./image-trials.testing.ts"

/** A bit of the instruction whose first word is `word`; its second word's bits follow from 16 on. */
export interface Mutant {
  readonly word: number
  readonly bit: number
}

export const spoilt =
  ({ word, bit }: Mutant): Spoil =>
  (image) => {
    image[2 * word + (bit >> 3)]! ^= 1 << (bit & 7)
    return image
  }

/** Byte address and bit. */
export const nameOf = ({ word, bit }: Mutant) => `${(2 * word).toString(16)}.${bit}`

/** How a mutant shows: a promise is broken; or only some edge comes at another cycle than from the sound image. */
export type Notice = { readonly trial: string; readonly by: "promise" | "edges" }

export interface MutantTrials {
  /** First words of the instructions that some trial executes. */
  readonly words: readonly number[]
  /** A mutant drawn from them; every bit of an instruction is as likely. */
  readonly draw: (chance: Random) => Mutant
  /** Undefined: no trial notices it. `anyhow`: the first notice of either kind is enough. */
  readonly noticed: (mutant: Mutant, anyhow?: boolean) => Notice | undefined
}

/** Runs every trial once on the sound image; throws where one fails it. */
export function prepareMutants({ image, trials }: ImageTrials): MutantTrials {
  // The longest trial is for coverage; a mutant is not worth its time.
  const quick = trials.filter((t) => t.name !== longTrial)
  const { words: lengths } = decodeFlash(image)
  const passing = quick.map((trial) => {
    const { faults, executed, seen } = trial.run(same)
    if (faults.length > 0) throw Error(`${trial.name} fails on the sound image: ${faults.join("; ")}`)
    return { trial, executed: executed.slice(), seen }
  })
  const words = Array.from(lengths.keys()).filter((at) => passing.some((p) => p.executed[at]))
  return {
    words,
    draw: (chance) => {
      const word = words[chance.below(words.length)]!
      return { word, bit: chance.below(16 * lengths[word]!) }
    },
    noticed: (mutant, anyhow = false) => {
      let notice: Notice | undefined
      for (const { trial, executed, seen } of passing) {
        // What a trial does not run through cannot change it.
        if (!executed[mutant.word]) continue
        const told = trial.run(spoilt(mutant), true)
        if (told.faults.length > 0) return { trial: trial.name, by: "promise" }
        if (told.seen !== seen) notice ??= { trial: trial.name, by: "edges" }
        if (notice && anyhow) break
      }
      return notice
    },
  }
}

export const drawMutants = (of: MutantTrials, number: number, seed: number): Mutant[] => {
  const chance = random(seed)
  return Array.from({ length: number }, () => of.draw(chance))
}
