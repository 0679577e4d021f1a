// Resistance of the way from the battery to the lamp and back, from size and length of the description's wires.

import { copperPerKelvin, wireOhm } from "../1-stock/wire.ts"
import type { Lamp, Wire } from "../2-lamp/artefact.ts"
import { usualWire } from "./limits.ts"

/** One conductor, ohm at that temperature. */
export function conductorOhm(wire: Wire | undefined, celsius = 20): number {
  const cold = wireOhm(wire?.size ?? usualWire.size, wire?.length ?? usualWire.length)
  return cold * (1 + copperPerKelvin * (celsius - 20))
}

export const earthWire = (lamp: Pick<Lamp, "vehicle">): Wire | undefined =>
  lamp.vehicle.wires.find((w) => w.role === "earth")
export const supplyWires = (lamp: Lamp): readonly Wire[] =>
  lamp.vehicle.wires.filter((w) => w.role === "supply")

/** Feed of the best of `wires` and earth together. */
export const loopOhm = (lamp: Lamp, wires: readonly Wire[]) =>
  Math.max(...wires.map((w) => conductorOhm(w)), 0) + conductorOhm(earthWire(lamp))
