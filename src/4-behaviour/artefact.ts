// What lights when, in the form the firmware's table takes; and the firmware made from it.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"

export interface BehaviourInput {
  readonly wire: string
  readonly signal: string
  readonly flashing: boolean
  /** Looks (one a millisecond) that must find the wire live before it counts as live; SEMANTICS.md section 1. */
  readonly assertMs: number
  /** Looks in a row that must find it dead. */
  readonly releaseMs: number
  /** The wire is live when the pin is low; absent: live when high. */
  readonly inverted?: boolean
}

/** Times by which flashers are judged, SEMANTICS.md sections 4 to 6. */
export interface FlasherTiming {
  /** Shortest on-time that is accepted. */
  readonly shortestOnMs: number
  /** Share of the shortest known on-time that a sweep may take, in 1/256. */
  readonly sweepShare: number
  /** On-times that must be known before they pace the sweep. */
  readonly trusted: number
  readonly steadyAfterMs: number
  readonly contactGapMs: number
  readonly operationGapMs: number
  readonly unstableForMs: number
  readonly riseWindowMs: number
  readonly flashGapMs: number
}

/**
 * One line of the table: when all `live` inputs are live, each listed channel goes to its level.
 * Rules stand in the order of their rank: for each channel the first active rule alone decides.
 */
export interface BehaviourRule {
  /** Indices into `inputs`. */
  readonly live: readonly number[]
  /** Inputs whose flashes must be going on (a group held dark between flashes); absent: none. */
  readonly flashing?: readonly number[]
  readonly group?: string
  /** Index of the programme line it stands for; absent for the dark between flashes. */
  readonly line?: number
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
  /** Share of an on-time that the sweep may take, in 1/256; absent: the flashers' own. */
  readonly sweepShare?: number
  /** Sweep time at which the rise is as described, ms; absent: the time at most. */
  readonly sweepNominalMs?: number
  /** Everything at once while on-times are not known. */
  readonly firstTogether?: boolean
}

/** What the lamp does in a situation, in words. */
export interface Told {
  readonly when: string
  readonly light: string
}

export interface Behaviour {
  readonly inputs: readonly BehaviourInput[]
  readonly channels: readonly { readonly index: number; readonly activeHigh: boolean }[]
  readonly rules: readonly BehaviourRule[]
  readonly timing?: FlasherTiming
  /** Empty or absent where no controller switches anything. */
  readonly told?: readonly Told[]
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
}

/** What is flashed into the controller: all that its light depends on. */
export interface FirmwareImage {
  readonly controller: "ATmega328P" | "ATtiny84A"
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
  readonly clockHz: number
}

export interface Firmware extends FirmwareImage {
  /** The same program to change by hand; built without a change it gives the bytes of `hex`. Empty with red pins. */
  readonly source: readonly { readonly name: string; readonly text: string }[]
  readonly codeBytes: number
  readonly tableBytes: number
  readonly pwmFrequency: number
  /** Worst-case share of the tick's deadline used, 0…1. */
  readonly tickLoad: number
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
}
