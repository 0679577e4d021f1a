// Bridges to a land without a net. Some change nothing: an unused pin of a controller is an input with a pull-up, an
// unused pin of an array may be joined to nothing inside. Each is solved in every state with the supply on; one that
// no workshop meter could tell from a sound lamp is harmless, and said to be so rather than counted as a fault.

import { ends } from "./bench-network.ts"
import { isLoose } from "./bridges.ts"
import { meterError, type Station } from "./candidates.ts"
import { type BridgeFault, bridgeFault, type Fault } from "./faults.ts"
import type { Powered } from "./readings.ts"

export interface Harmless {
  readonly fault: BridgeFault
  /** How many states with the supply on were solved. */
  readonly states: number
  /** The most any voltage and the supply current move, V and A. */
  readonly volt: number
  readonly ampere: number
}

export function sortLoose(
  listed: readonly Fault[],
  stations: readonly Station[],
  leds: readonly string[],
  matters: (station: Station, fault: Fault) => boolean,
): { readonly faults: readonly Fault[]; readonly harmless: readonly Harmless[] } {
  const harmless: Harmless[] = []
  for (const fault of listed)
    if (fault.kind === "bridge" && fault.over === undefined && (isLoose(fault.a) || isLoose(fault.b))) {
      const told = solved(
        fault,
        stations.filter((s) => s.sound && matters(s, fault)),
        leds,
      )
      if (told) harmless.push(told)
    }
  const quiet = new Set<string>(harmless.flatMap(({ fault: f }) => [keyOf(f.board, f.a, f.b)]))
  const faults: Fault[] = []
  const at = new Map<string, number>()
  const put = (fault: Fault) => {
    if (fault.kind === "bridge" && fault.over === undefined)
      at.set(keyOf(fault.board, fault.a, fault.b), faults.length)
    faults.push(fault)
  }
  const rest: BridgeFault[] = []
  for (const fault of listed) {
    if (fault.kind !== "bridge") put(fault)
    else if (fault.over !== undefined) rest.push(fault)
    else if (!quiet.has(keyOf(fault.board, fault.a, fault.b))) put(fault)
  }
  for (const fault of rest) {
    const { board, a, b, over, places } = fault
    // What the land in between is joined to inside its part tells this from a plain bridge.
    if (!quiet.has(keyOf(board, a, over!)) || !quiet.has(keyOf(board, b, over!))) {
      put(fault)
      continue
    }
    const known = at.get(keyOf(board, a, b))
    if (known === undefined) put(bridgeFault(board, { a, b, places }))
    else {
      const before = faults[known] as BridgeFault
      faults[known] = bridgeFault(board, { a: before.a, b: before.b, places: [...before.places, ...places] })
    }
  }
  return { faults, harmless }
}

const keyOf = (board: string, a: string, b: string) => `${board} ${[a, b].sort().join(" ")}`

function solved(
  fault: BridgeFault,
  stations: readonly Station[],
  leds: readonly string[],
): Harmless | undefined {
  let [volt, ampere] = [0, 0]
  for (const station of stations) {
    if (!station.feels!(fault)) continue
    const moved = movement(station.sound!, station.show(fault).power!(), leds)
    if (!moved) return undefined
    volt = Math.max(volt, moved.volt)
    ampere = Math.max(ampere, moved.ampere)
  }
  // More digits would tell of the solver, not of the lamp.
  const short = (value: number) => Number(value.toPrecision(3))
  return { fault, states: stations.length, volt: short(volt), ampere: short(ampere) }
}

/** How far voltages and current move; undefined where a meter or an eye could tell. */
function movement(
  sound: Powered,
  shown: Powered | undefined,
  leds: readonly string[],
): { readonly volt: number; readonly ampere: number } | undefined {
  if (!shown) return undefined
  let volt = 0
  let ampere = 0
  for (const end of ends) {
    const [now, then] = [shown.at(end), sound.at(end)]
    for (const node of then.volts.index.keys()) {
      const v = then.volts.get(node)!
      const by = Math.abs((now.volts.get(node) ?? 0) - v)
      if (by > meterError("voltage", v)) return undefined
      volt = Math.max(volt, by)
    }
    const by = Math.abs(now.amps - then.amps)
    if (by > meterError("current", then.amps)) return undefined
    ampere = Math.max(ampere, by)
  }
  const [lit, was] = [shown.lit(leds), sound.lit(leds)]
  if (lit.low !== was.low || lit.usual !== was.usual || lit.high !== was.high) return undefined
  return { volt, ampere }
}
