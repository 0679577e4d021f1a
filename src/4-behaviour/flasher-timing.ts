// The times by which flashers are judged, and why they are what they are.

import type { Source } from "../0-ground/source.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { FlasherTiming } from "./artefact.ts"

/** Shortest legal on-time: 120 flashes a minute with the light on for 30 % of the time. */
export const shortestLegalOnMs = 150
/** Shortest legal off-time: 120 a minute, on for 75 %. */
export const shortestLegalOffMs = 125

/** Longest legal on-time and off-time: 60 a minute, on for 75 % and for 30 %. */
export const longestLegalOnMs = 750
export const longestLegalOffMs = 700
/** Beginning to beginning of the first and the fifth flash at 120 a minute. */
export const fiveLegalFlashesMs = 2000

export const legalTiming: Source = {
  document: "flash rate 60…120 /min (UN R53 6.3, SAE J945), on-time share 30…75 % (SAE J590b)",
  place: "rate read, share from memory",
  known: "memory",
  confidence: "H",
}

export const flasherTiming: FlasherTiming = {
  // Fast flash (lamp out, 2.2 × the rate) still gives about 120 ms at the usual rates.
  shortestOnMs: 100,
  // 85 % leaves 15 ms of 100 ms for the 4 ms of filter and showing, bounce and the input network.
  sweepShare: 218,
  // The first on-time after switching may be longer than the rest; with two the shorter one decides.
  trusted: 2,
  // The longest legal on-time is 750 ms.
  steadyAfterMs: 1500,
  // The shortest legal off-time is 125 ms.
  contactGapMs: 80,
  operationGapMs: 2000,
  unstableForMs: 2000,
  riseWindowMs: 1024,
  // The longest legal off-time is 700 ms.
  flashGapMs: 750,
}

/** The times of this lamp: those above, where the description does not set its own. */
export function timingOf(lamp: Lamp): FlasherTiming {
  const asked = lamp.flashing ?? {}
  const ms = (seconds: number | undefined, usual: number) =>
    seconds === undefined ? usual : Math.round(1000 * seconds)
  return {
    ...flasherTiming,
    shortestOnMs: ms(asked.shortestOn, flasherTiming.shortestOnMs),
    steadyAfterMs: ms(asked.steadyAfter, flasherTiming.steadyAfterMs),
    contactGapMs: ms(asked.contactGap, flasherTiming.contactGapMs),
    operationGapMs: ms(asked.newOperationAfter, flasherTiming.operationGapMs),
    unstableForMs: ms(asked.unstableFor, flasherTiming.unstableForMs),
    riseWindowMs: ms(asked.fiveFlashesWithin, flasherTiming.riseWindowMs),
    flashGapMs: ms(asked.heldBackFor, flasherTiming.flashGapMs),
  }
}
