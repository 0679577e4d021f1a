// What a vehicle's own flasher does to its wire, by kind: rate and on-share with their spread, the first flash,
// bouncing contacts and how slow the edges are. What leaks between flashes is in `wire-levels.ts`.
// Common practice, no source.

import type { Wire } from "../../2-lamp/artefact.ts"
import type { WireVolts } from "./wire-volts.ts"
import { type Flasher, flasher, type WireEdge } from "./wires.ts"

export type FlasherKind = NonNullable<Wire["flasher"]>

export type Habit = Pick<Flasher, "rate" | "onShare" | "jitter" | "bounce" | "firstFlash"> &
  Pick<WireVolts, "ramp">

/** At nominal 90 flashes a minute, half on. */
export const habits: Readonly<Record<FlasherKind, Habit>> = {
  // A bimetal strip: heats up first, wanders with supply and weather, its contacts bounce.
  thermal: {
    rate: 1.4,
    onShare: 0.55,
    jitter: 0.03,
    firstFlash: 1.6,
    bounce: { pulses: 3, longest: 0.0018 },
    ramp: 0.00002,
  },
  // A relay behind electronics: its contact bounces.
  "load-sensing": {
    rate: 1.5,
    onShare: 0.5,
    jitter: 0.004,
    bounce: { pulses: 2, longest: 0.001 },
    ramp: 0.00005,
  },
  // A transistor: steady and clean, slow on purpose against interference.
  electronic: { rate: 1.5, onShare: 0.5, jitter: 0.001, ramp: 0.0006 },
}

/** One wire of such a flasher: what it asks for by itself goes before the kind's own habits. */
export function flasherOf(
  kind: FlasherKind,
  own: Omit<Flasher, "rate" | "onShare"> & Partial<Flasher>,
): WireEdge[] {
  const { ramp: _, ...habit } = habits[kind]
  return flasher({ ...habit, ...own })
}
