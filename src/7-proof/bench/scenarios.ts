// What the wires do while the bench watches: good flashers at the ends of what rules allow, and bad ones.

import type { Lamp } from "../../2-lamp/artefact.ts"
import { defaultStimulus, demonstrationSeconds } from "./default-stimulus.ts"
import { type Flasher, flasher, type Stimulus, steady, taps, type WireEdge } from "./wires.ts"

export interface Scenario {
  readonly name: string
  readonly stimulus: Stimulus
  readonly seconds: number
  /** Flashes without bounce or gaps: sweeps are measured in them. */
  readonly clean: boolean
}

/** `inputs`: wires that reach the controller. The first scenario is the demonstration, whose light is shown. */
export function scenarios(lamp: Lamp, inputs: readonly string[]): Scenario[] {
  const read = lamp.vehicle.wires.filter((w) => inputs.includes(w.name))
  const flashing = read.filter((w) => w.role === "flashing").map((w) => w.name)
  const still = read.filter((w) => w.role !== "flashing").map((w) => w.name)
  const out: Scenario[] = [
    {
      name: "demonstration",
      stimulus: defaultStimulus(lamp),
      seconds: demonstrationSeconds,
      clean: true,
    },
  ]
  const add = (
    name: string,
    seconds: number,
    clean: boolean,
    wires: Readonly<Record<string, readonly WireEdge[]>>,
  ) => {
    if (Object.keys(wires).length > 0) out.push({ name, stimulus: { wires }, seconds, clean })
  }
  /** Each flashing wire with its own seed and start, over steady wires held live. */
  const each = (f: Omit<Flasher, "from" | "seed">, apart = 0.037, background = true) => ({
    ...(background ? Object.fromEntries(still.map((w) => [w, steady(0.02)])) : {}),
    ...Object.fromEntries(
      flashing.map((w, i) => [w, flasher({ from: 0.05 + i * apart, seed: lamp.seed + i, ...f })]),
    ),
  })
  if (flashing.length > 0) {
    add(
      "slowest flasher, both sides at once (60 /min, 75 %)",
      3.1,
      true,
      each({ until: 2.5, rate: 1, onShare: 0.75 }, 0),
    )
    add("fastest flasher (120 /min, 30 %)", 2.3, true, each({ until: 2, rate: 2, onShare: 0.3 }))
    add("fastest flasher, long first flash (120 /min, 40 %)", 2.3, true, {
      ...each({ until: 2, rate: 2, onShare: 0.4, firstFlash: 1.6 }, 0.25),
    })
    add(
      "lamp out: twice the rate (200 /min, 50 %)",
      1.7,
      true,
      each({ until: 1.4, rate: 200 / 60, onShare: 0.5 }),
    )
    add(
      "wandering rate and bouncing contacts",
      2.6,
      false,
      each({
        until: 2.3,
        cut: true,
        rate: 1.5,
        onShare: 0.5,
        jitter: 0.03,
        bounce: { pulses: 3, longest: 0.0018 },
      }),
    )
    add(
      "contact lets go for 12 ms",
      2,
      false,
      each({ until: 1.4, rate: 1.5, onShare: 0.6, dropOut: { chance: 1, length: 0.012 } }, 0.11),
    )
    add(
      "contact lets go for 45 ms",
      2,
      false,
      each({ until: 1.4, rate: 1.5, onShare: 0.6, dropOut: { chance: 1, length: 0.045 } }, 0.11),
    )
    add("flashes too short", 1.4, false, each({ until: 1.2, rate: 2.5, onShare: 0.18 }, 0.05, false))
    add("live at power-on and steady", 2, false, {
      ...Object.fromEntries(still.map((w) => [w, steady(0)])),
      ...Object.fromEntries(flashing.map((w, i) => [w, steady(i === 0 ? 0 : 0.1, 1.9)])),
    })
  }
  if (still.length > 0) {
    const tap = Object.fromEntries(
      still.map((w, i) => [w, taps([0.05 + 0.1 * i, 0.6], [0.65, 0.7], [0.71, 0.9], [1, 1.4 - 0.1 * i])]),
    )
    add("taps on the steady wires", 1.6, false, tap)
  }
  return out
}
