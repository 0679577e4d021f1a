// How LED light is drawn: colours of core and halo, and brightness as the eye takes it.

import type { LedType } from "../../1-stock/artefact.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"

export type LightColour = LedType["colour"]

export interface LightPaint {
  /** Lens without light. */
  readonly lens: readonly [string, string, string]
  /** Red, green, blue of the halo and of the core. */
  readonly halo: readonly [number, number, number]
  readonly core: readonly [number, number, number]
  /** The lens when lit, before it goes pale. */
  readonly lit: readonly [number, number, number]
  /** On paper, for the score. */
  readonly ink: string
}

export const paints: Record<LightColour, LightPaint> = {
  red: {
    lens: ["#7d2a22", "#47130f", "#1f0806"],
    halo: [255, 34, 16],
    core: [255, 214, 196],
    lit: [255, 62, 40],
    ink: "--red-light",
  },
  amber: {
    lens: ["#8a6222", "#513507", "#231602"],
    halo: [255, 112, 0],
    core: [255, 240, 200],
    lit: [255, 170, 32],
    ink: "--amber",
  },
  white: {
    lens: ["#8d9092", "#4d5153", "#212425"],
    halo: [196, 216, 255],
    core: [255, 255, 255],
    lit: [232, 240, 255],
    ink: "--ink-soft",
  },
}

export const lightColour = (stock: string): LightColour => leds.find(stock)?.colour ?? "white"

/** LED reference → colour. */
export function ledColours(lamp: Lamp): Map<string, LightColour> {
  return new Map(lamp.groups.flatMap((g) => g.leds.map((l) => [l.ref, lightColour(g.led)] as const)))
}

/** 0…255 of current to 0…1 as seen: the eye follows roughly the square root. */
export const seen = (level: number): number => Math.sqrt(Math.max(0, Math.min(255, level)) / 255)
