// What the bench saw in one scenario, and what all judgements of it share.

import type { Source } from "../../0-ground/source.ts"
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

/** What one scenario showed. */
export interface Seen {
  readonly scenario: Scenario
  readonly run: BenchRun
  readonly flashes: readonly Flash[]
  readonly comparison: Comparison
  readonly wrong: { readonly frames: number; readonly where?: string }
  readonly dark: number
}
