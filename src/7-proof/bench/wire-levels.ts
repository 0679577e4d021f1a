// The electrical hand-over: how high the drive room's solved circuit lets a wire stand at the lamp while it is live,
// and what is left on it while it is dead (what leaks through its flasher, what the lamp itself feeds back).

import { flashers } from "../../1-stock/flashers.ts"
import type { Lamp, Wire } from "../../2-lamp/artefact.ts"
import type { Circuit } from "../../3-drive/artefact.ts"

export interface WireLevels {
  /** Volts at the lamp with the lowest, usual and highest supply. */
  readonly lowest: number
  readonly usual: number
  readonly highest: number
  readonly dead: number
}

/** Levels are told in twentieths of a volt, each to its worse side: a millivolt more or less changes no edge. */
const down = (volt: number) => Math.floor(20 * volt + 1e-9) / 20
const up = (volt: number) => Math.max(0, Math.ceil(20 * volt - 1e-9)) / 20

/** A lamp whose circuit was not solved is taken to stand at the supply. */
export function wireLevels(lamp: Lamp, circuit: Circuit, wire: Wire): WireLevels {
  const { supply } = lamp.vehicle
  const net = circuit.nets.find((n) => n.wire === wire.name)?.name
  const volts = (live: boolean) =>
    net === undefined
      ? []
      : circuit.corners
          .filter((c) => c.live.includes(wire.name) === live && c.nodeVoltage[net] !== undefined)
          .map((c) => ({
            supply: c.supply,
            volt: c.nodeVoltage[net]! - (c.nodeVoltage[circuit.earth] ?? 0),
          }))
  const on = volts(true)
  const at = (wanted: number, worst: (...all: number[]) => number) => {
    const near = on.filter((c) => Math.abs(c.supply - wanted) < 0.05).map((c) => c.volt)
    return near.length > 0 ? worst(...near) : wanted
  }
  return {
    lowest: down(at(supply.lowest, Math.min)),
    usual: down(at(supply.usual, Math.min)),
    highest: up(at(supply.highest, Math.max)),
    dead: up(Math.max(0, leaks(circuit, wire, net), ...volts(false).map((c) => c.volt))),
  }
}

/** Through the flasher's own resistance into every resistor from the wire to earth. */
function leaks(circuit: Circuit, wire: Wire, net: string | undefined): number {
  if (wire.role !== "flashing" || circuit.corners.length === 0) return 0
  const { volt, ohm } = flashers[wire.flasher ?? "electronic"].off
  const conductance = circuit.parts
    .filter((p) => p.kind === "resistor" && p.amount !== undefined && p.amount > 0)
    .filter((p) => {
      const nets = Object.values(p.pins)
      return net !== undefined && nets.includes(net) && nets.includes(circuit.earth)
    })
    .reduce((sum, p) => sum + 1 / p.amount!, wire.ballast === undefined ? 0 : 1 / wire.ballast)
  return volt / (1 + ohm * conductance)
}
