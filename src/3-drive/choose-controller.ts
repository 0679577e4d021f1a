// Which controller: the small one where pins, table and time suffice, else the large one; or the one held by hand.

import type { GroupPlan } from "./choose-topology.ts"

export const controllerPin = "drive.controller"
export const controllerNames = ["ATtiny84A", "ATmega328P"] as const
export type ControllerName = (typeof controllerNames)[number]

export const controllerStock: Readonly<Record<ControllerName, string>> = {
  ATtiny84A: "controller-attiny84a",
  ATmega328P: "controller-atmega328p",
}

export const nameOfStock = (stock: string): ControllerName =>
  controllerNames.find((n) => controllerStock[n] === stock) ?? "ATmega328P"

/** The choice held by hand, if it can be read. */
export const controllerHeld = (pins: Readonly<Record<string, string | number>>): ControllerName | undefined =>
  controllerNames.find((n) => n.toLowerCase() === String(pins[controllerPin] ?? "").toLowerCase())

/** What the ATtiny84A's table has room for (`firmware/TABLE.md`). */
const most = { inputs: 4, channels: 8, rules: 6 }
/** Cycles after which a millisecond's work comes late, and the share of them that may be used. */
const deadline = 13_650
const useful = 0.78

/** Pins are counted by the caller. */
export function smallSuffices(
  switched: readonly GroupPlan[],
  pieces: ReadonlyMap<string, readonly number[]>,
): boolean {
  const wires = new Map(
    switched.flatMap((p) => p.feeds.flatMap((f) => f.wires.map((w) => [w.name, w] as const))),
  )
  const flashes = (name: string) => wires.get(name)?.role === "flashing"
  const outputs = (plan: GroupPlan) => pieces.get(plan.group.name)?.length ?? 0
  const channels = switched.reduce((n, p) => n + outputs(p), 0)
  const lines = switched.flatMap((p) => p.lines)
  // A group with both kinds of lines takes a further one for the dark between flashes.
  const held = switched.flatMap((p) => {
    const flashing = p.lines.filter((l) => l.when.some(flashes))
    return flashing.length < p.lines.length ? flashing : []
  })
  const rules = lines.length + held.length
  const sweeps = lines.filter((l) => l.sweep)
  const swept = switched.filter((p) => p.sweeps).reduce((n, p) => n + outputs(p), 0)
  // The parts of a millisecond's work, as measured on the image (4-behaviour, tick cycles; a test compares the two).
  const work =
    800 +
    145 * wires.size +
    515 * [...wires.keys()].filter(flashes).length +
    545 * channels +
    30 * swept +
    95 * rules +
    345 * sweeps.length +
    550 * sweeps.reduce((n, l) => n + l.when.length, 0)
  const cycles = work + 580 * Math.ceil(work / 3420)
  return (
    wires.size <= most.inputs &&
    channels <= most.channels &&
    rules <= most.rules &&
    cycles <= useful * deadline
  )
}
