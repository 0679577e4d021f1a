// What lights when, in the form the firmware's table takes; and the firmware made from it.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"

export interface BehaviourInput {
  readonly wire: string
  readonly signal: string
  readonly flashing: boolean
  readonly assertMs: number
  readonly releaseMs: number
}

/** One line of the table: when all `live` inputs are live, each listed channel goes to its level. */
export interface BehaviourRule {
  /** Indices into `inputs`. */
  readonly live: readonly number[]
  readonly targets: readonly {
    readonly channel: number
    /** 0…255. */
    readonly level: number
    /** Share of the sweep time after which this channel starts, 0…1; 0 without a sweep. */
    readonly startShare: number
    readonly riseMs: number
    readonly fallMs: number
  }[]
  /** Sweep time at most, ms; absent: everything at once. */
  readonly sweepWithinMs?: number
}

export interface Behaviour {
  readonly inputs: readonly BehaviourInput[]
  readonly channels: readonly { readonly index: number; readonly activeHigh: boolean }[]
  readonly rules: readonly BehaviourRule[]
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
}

export interface Firmware {
  readonly controller: "ATmega328P"
  /** Intel HEX text, LF line ends. */
  readonly hex: string
  readonly buildId: string
  /** Controller port pin of every signal, as chosen by the board: `output-0` → `PB3`. */
  readonly pinOf: Readonly<Record<string, string>>
  readonly fuses: {
    readonly low: number
    readonly high: number
    readonly extended: number
    readonly why: string
  }
  readonly codeBytes: number
  readonly tableBytes: number
  readonly clockHz: number
  readonly pwmFrequency: number
  /** Worst-case share of the tick's deadline used, 0…1. */
  readonly tickLoad: number
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
}
