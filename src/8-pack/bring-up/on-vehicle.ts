// The last readings: on the vehicle, engine running, each light by its own switch. They confirm what the bench told and
// find what lies outside the lamp: a corroded earth, a thin wire, a flasher that minds the small load.

import { wireOhm } from "../../1-stock/wire.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import type { How, Range } from "./readings.ts"

export interface VehicleReading {
  readonly how: How
  readonly probe: string
  readonly unit: string
  readonly healthy: Range
}

/** More than this lost in the earth wire tells of a bad joint, V; common practice, no source. */
const mostEarthDrop = 0.5
/** Direction indicators flash 90 ± 30 times a minute (UN R6 and R48, recalled). */
const flashes = { low: 60, high: 120 }

export function vehicleReadings(lamp: Lamp, circuit: Circuit): readonly VehicleReading[] {
  const { supply, wires } = lamp.vehicle
  const out: VehicleReading[] = []
  const voltsAt = (name: string, on: string) =>
    out.push({
      how: "voltage",
      probe: `red on wire ${name}, black on the lamp's earth wire, at the lamp, ${on}`,
      unit: "V",
      healthy: { low: supply.lowest, usual: supply.usual, high: supply.highest },
    })
  for (const wire of wires) {
    if (wire.role === "earth") continue
    const on = wire.role === "supply" ? "key on" : `${wire.name} switched on`
    // A flashing wire is told by its light: a meter does not follow it.
    if (wire.role !== "flashing") voltsAt(wire.name, on)
    for (const group of groupsOn(lamp, wire.name)) {
      const count = group.leds.length
      out.push({
        how: "count",
        probe: `LEDs of ${group.name} that light, ${on}`,
        unit: "",
        healthy: { low: count, usual: count, high: count },
      })
    }
    if (wire.role === "flashing")
      out.push({
        how: "count",
        probe: `flashes of ${wire.name} in one minute`,
        unit: "/min",
        healthy: { ...flashes, usual: Math.round(60 * (wire.rate ?? 1.5)) },
      })
  }
  const earth = wires.find((w) => w.role === "earth")
  const most = heaviest(lamp, circuit)
  if (earth?.size !== undefined && earth.length !== undefined && most > 0)
    out.push({
      how: "voltage",
      probe: "red on the lamp's earth wire at the lamp, black on the battery's minus, everything switched on",
      unit: "V",
      healthy: {
        low: 0,
        usual: most * wireOhm(earth.size, earth.length),
        // `limits` adds the meter's error.
        high: mostEarthDrop,
      },
    })
  return out
}

/** Groups that this wire lights by itself or with others. */
function groupsOn(lamp: Lamp, wire: string) {
  const lit = new Set(lamp.programme.filter((l) => l.when.includes(wire)).map((l) => l.light))
  return lamp.groups.filter((g) => lit.has(g.name))
}

/** The lamp's greatest current at the usual supply with usual parts, A. */
function heaviest(lamp: Lamp, { corners }: Circuit): number {
  const sums = corners
    .filter((c) => c.parts === "usual" && Math.abs(c.supply - lamp.vehicle.supply.usual) < 0.05)
    .map((c) => c.live.reduce((sum, w) => sum + Math.abs(c.wireCurrent[w] ?? 0), 0))
  return Math.max(0, ...sums)
}
