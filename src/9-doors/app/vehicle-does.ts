// What the vehicle is made to do with the lamp's wires: the demonstration with another flasher, a recording in its
// place, wires held by hand over either. Plain data, so that undo brings it back like the text.

import { flashLimits } from "../../1-stock/flashers.ts"
import type { Stimulus } from "../../7-proof/play-lamp.ts"
import type { Held } from "./held-wires.ts"
import type { Fits } from "./recording.ts"

export const flashers = {
  described: { words: "as described", rate: undefined, onShare: undefined, kind: undefined },
  thermal: {
    words: "hot wire: slow to begin, wandering, contacts bounce",
    rate: undefined,
    onShare: undefined,
    kind: "thermal",
  },
  relay: {
    words: "relay: contacts bounce",
    rate: undefined,
    onShare: undefined,
    kind: "load-sensing",
  },
  transistor: { words: "transistor: steady", rate: undefined, onShare: undefined, kind: "electronic" },
  slow: {
    words: "slowest allowed",
    rate: flashLimits.rate.low / 60,
    onShare: flashLimits.onShare.high,
    kind: undefined,
  },
  fast: {
    words: "fastest allowed",
    rate: flashLimits.rate.high / 60,
    onShare: flashLimits.onShare.low,
    kind: undefined,
  },
  outage: {
    words: "as with a bulb out",
    // Of the usual 90 /min.
    rate: flashLimits.outage.rateFactor * 1.5,
    onShare: flashLimits.outage.onShare,
    kind: undefined,
  },
} as const
export type Flasher = keyof typeof flashers

export interface Recording {
  readonly name: string
  readonly text: string
  readonly signals: readonly string[]
  readonly fits: Fits
  readonly stimulus: Stimulus
  readonly seconds: number
  /** That not all of it is played; empty when it is. */
  readonly note: string
}

export interface Does {
  readonly flasher: Flasher
  /** Its wires take the demonstration's place. */
  readonly recording: Recording | undefined
  /** Over whatever else the wires do. */
  readonly held: readonly Held[]
}

/** What the proof's demonstration does. */
export const asDescribed: Does = { flasher: "described", recording: undefined, held: [] }

export const isAsDescribed = ({ flasher, recording, held }: Does): boolean =>
  flasher === "described" && recording === undefined && held.length === 0

/** Wires still held when something else came in between stay so to the end of what is played, s. */
export const letGo = (does: Does, length: number): Does =>
  does.held.some((h) => h.until === undefined)
    ? { ...does, held: does.held.map((h) => ({ ...h, until: h.until ?? length })) }
    : does
