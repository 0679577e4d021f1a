// What the bench saw in one scenario, and what all judgements of it share.

import { fact } from "../../0-ground/figure.ts"
import { practice, type Source } from "../../0-ground/source.ts"
import type { Comparison } from "./compare.ts"
import type { Flash } from "./measure-flashes.ts"
import type { BenchRun } from "./run-bench.ts"
import type { Scenario } from "./scenarios.ts"

/** The ceramic resonator and its load may be this much slow. */
export const clockSlow = 1.005

export const emulated: Source = {
  document: "virtual bench: the firmware file on the emulated controller",
  known: "computed",
}

/** The same as a figure. */
export const slowClock = fact(
  "bench.slow-clock",
  "period of a ceramic resonator with its load, at most, against the wanted one",
  clockSlow,
  "",
  practice("ceramic resonator within 0.5 %: common practice, no source"),
)

/** Seen in one scenario or trial. */
export const seenIn = (place: string): Source => ({ ...emulated, place })

/** What one scenario showed. */
export interface Seen {
  readonly scenario: Scenario
  readonly run: BenchRun
  readonly flashes: readonly Flash[]
  readonly comparison: Comparison
  readonly wrong: { readonly frames: number; readonly where?: string }
  readonly dark: number
}
