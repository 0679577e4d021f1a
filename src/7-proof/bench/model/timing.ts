// Times and shares of `src/4-behaviour/SEMANTICS.md`, restated for the proof, in milliseconds (= looks).

import type { Lamp } from "../../../2-lamp/artefact.ts"

const usual = {
  /** Section 1: looks until a wire counts as live, as dead. */
  quick: { assert: 3, release: 8 },
  slow: { assert: 3, release: 10 },
  /** Section 2: how long a group with both kinds of lines stays dark after a flash. */
  flashGap: 750,
  /** Section 4: in 1/256 of an on-time. */
  sweepShare: 218,
  knownNeeded: 2,
  remembered: 3,
  operationGap: 2000,
  /** Section 5. */
  contactGap: 80,
  /** Section 6. */
  steadyAfter: 1500,
  shortestOn: 100,
  risesWithin: 1024,
  risesTooMany: 5,
  unstableFor: 2000,
}

export type Timing = typeof usual

/** The times of section 9, where the description sets them. */
export function timingOf({ flashing = {} }: Lamp): Timing {
  const ms = (seconds: number | undefined, other: number) =>
    seconds === undefined ? other : Math.round(1000 * seconds)
  return {
    ...usual,
    flashGap: ms(flashing.heldBackFor, usual.flashGap),
    operationGap: ms(flashing.newOperationAfter, usual.operationGap),
    contactGap: ms(flashing.contactGap, usual.contactGap),
    steadyAfter: ms(flashing.steadyAfter, usual.steadyAfter),
    shortestOn: ms(flashing.shortestOn, usual.shortestOn),
    risesWithin: ms(flashing.fiveFlashesWithin, usual.risesWithin),
    unstableFor: ms(flashing.unstableFor, usual.unstableFor),
  }
}

/** Section 3: least code of a lit LED, and the slots of section 8 in cycles of a frame of 4000. */
export const leastCode = 8
export const slots = [16, 32, 64, 128, 248, 504, 1000, 2008] as const
export const frameCycles = 4000

const duties = Float64Array.from({ length: 256 }, (_, code) =>
  slots.reduce((sum, cycles, bit) => sum + ((code >> bit) & 1) * (cycles / frameCycles), 0),
)

/** Share of a frame that a whole code 0…255 is on. */
export function dutyOf(code: number): number {
  return duties[code]!
}

/** 8-bit code of a level 0…1. */
export function codeOf(level: number): number {
  return level <= 0 ? 0 : Math.max(leastCode, Math.round(255 * level))
}
