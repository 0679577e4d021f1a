// A few seconds that show what a lamp does: lights on, left, brake, right, hazard.

import type { Lamp } from "../../2-lamp/artefact.ts"
import { type FlasherKind, flasherOf } from "./flasher-kinds.ts"
import { flasher, type Stimulus, steady, taps, type WireEdge } from "./wires.ts"

/** Length of the demonstration in seconds. */
export const demonstrationSeconds = 8
/** Seconds between the samples of its light. */
export const demonstrationStep = 0.004

/** `kind`: the flashing wires hang on such a flasher as it is in a vehicle; absent: they flash as described, evenly. */
export function defaultStimulus(lamp: Lamp, kind?: FlasherKind): Stimulus {
  const wires: Record<string, readonly WireEdge[]> = {}
  const used = new Set(lamp.programme.flatMap((l) => l.when))
  const named = lamp.vehicle.wires.filter((w) => used.has(w.name))
  const stops = new Set(lamp.groups.filter((g) => g.functions.includes("stop")).map((g) => g.name))
  const brakes = (wire: string) => lamp.programme.some((l) => l.when.includes(wire) && stops.has(l.light))
  const tail = (wire: string) =>
    lamp.programme.some((l) => l.when.includes(wire) && stops.has(l.light) && l.level < 1)
  let turn = 0
  let other = 0
  for (const { name, role, rate = 1.5, onShare = 0.5 } of named) {
    const flashes = (from: number, until: number) =>
      kind === undefined
        ? flasher({ from, until, rate, onShare })
        : flasherOf(kind, { from, until, seed: lamp.seed + 100 * turn + Math.round(from) })
    if (role === "flashing") {
      // One side after the other, then all together.
      const from = 0.5 + (turn++ % 2) * 2.4
      wires[name] = [...flashes(from, from + 2.1), ...flashes(5.4, demonstrationSeconds - 0.4)]
    } else if (brakes(name) && !tail(name)) wires[name] = taps([1.3, 2.2], [2.4, 2.6], [4, 5])
    else if (role === "steady") wires[name] = steady(0.2 + 0.2 * other++, demonstrationSeconds - 0.2)
  }
  return { wires }
}
