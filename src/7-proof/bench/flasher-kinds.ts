// What a vehicle's own flasher does to its wire, by kind: rate and on-share with their spread, the first flash,
// bouncing contacts, what leaks between flashes (into the lamp's bleed resistor) and how slow the edges are.
// Common practice, no source.

import type { Wire } from "../../2-lamp/artefact.ts"
import type { WireVolts } from "./wire-volts.ts"
import { type Flasher, flasher, type WireEdge } from "./wires.ts"

export type FlasherKind = NonNullable<Wire["flasher"]>

type Habit = Pick<Flasher, "rate" | "onShare" | "jitter" | "bounce" | "firstFlash"> &
  Pick<WireVolts, "dead" | "ramp">

/** At nominal 90 flashes a minute, half on. */
export const habits: Readonly<Record<FlasherKind, Habit>> = {
  // A bimetal strip: heats up first, wanders with supply and weather, its contacts bounce.
  thermal: {
    rate: 1.4,
    onShare: 0.55,
    jitter: 0.03,
    firstFlash: 1.6,
    bounce: { pulses: 3, longest: 0.0018 },
    dead: 0,
    ramp: 0.00002,
  },
  // A relay with a shunt in the wire: its contact bounces, its electronics leak a little to the lamp.
  "load-sensing": {
    rate: 1.5,
    onShare: 0.5,
    jitter: 0.004,
    bounce: { pulses: 2, longest: 0.001 },
    dead: 1.3,
    ramp: 0.00005,
  },
  // A transistor: steady and clean, slow on purpose against interference, leaks most.
  electronic: { rate: 1.5, onShare: 0.5, jitter: 0.001, dead: 2.3, ramp: 0.0006 },
}

export interface FlashingWire {
  readonly edges: readonly WireEdge[]
  readonly volts: WireVolts
}

/** One wire of such a flasher; what is given goes before the kind's own habits. */
export function flasherOf(
  kind: FlasherKind,
  own: Omit<Flasher, "rate" | "onShare"> & Partial<Flasher>,
  supply = 13.5,
): FlashingWire {
  const { dead, ramp, ...habit } = habits[kind]
  return {
    edges: flasher({ ...habit, ...own }),
    volts: { live: supply, dead, ramp, seed: own.seed ?? 1 },
  }
}
