// The lower level of a two-feed group. While only the lower feed is live, the strings still hang together through
// the resistors of the dark feed, so the value is found by solving the whole group, not one string.

import { nearest, next, previous } from "../1-stock/e-series.ts"
import { modelThermalVoltage } from "../1-stock/leds.ts"
import { modelOf } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { GroupPlan } from "./choose-topology.ts"
import type { StringPlan } from "./plan-strings.ts"
import { Network } from "./solver/network.ts"
import { operatingPoint, real } from "./solver/operating-point.ts"
import { ohmFor, type Path } from "./string-current.ts"

interface Ask {
  readonly lamp: Lamp
  readonly plan: GroupPlan
  readonly strings: StringPlan
  readonly path: Omit<Path, "strings" | "onSection">
  readonly pinned?: number
}

/** String length → resistor of each feed, brightest first. Values are E24. */
export function chooseSecondOhms(ask: Ask): ReadonlyMap<number, readonly number[]> {
  const { strings, plan } = ask
  const lengths = [...strings.ohmOf.keys()].sort((a, b) => b - a)
  const ohms = new Map(lengths.map((n) => [n, [strings.ohmOf.get(n)!]]))
  for (let f = 1; f < plan.feeds.length; f++) {
    const share = plan.feeds[f]!.level / plan.feeds[0]!.level
    const target = share * groupCurrents(ask, ohms, 0).mean
    for (const n of lengths) ohms.get(n)!.push(firstGuess(ask, n, target))
    settle(ask, ohms, lengths, f, target)
  }
  return ohms
}

const usualAt = (lamp: Lamp) => ({ supply: lamp.vehicle.supply.usual, end: "usual", celsius: 25 }) as const

function firstGuess(ask: Ask, inSeries: number, current: number): number {
  const path = { ...ask.path, strings: ask.strings.strings.length, onSection: 0 }
  const ohm = ohmFor(path, inSeries, current, usualAt(ask.lamp))
  return nearest(Math.max(ohm, 1), "E24")
}

/** Moves each length's resistor by single E24 steps while that brings its strings nearer to the target. */
function settle(
  ask: Ask,
  ohms: Map<number, number[]>,
  lengths: readonly number[],
  f: number,
  target: number,
): void {
  const longest = lengths[0]!
  if (ask.pinned !== undefined && f === 1) ohms.get(longest)![f] = ask.pinned
  const miss = () => {
    const { byLength } = groupCurrents(ask, ohms, f)
    return lengths.reduce((sum, n) => sum + Math.abs(Math.log((byLength.get(n) ?? 1e-12) / target)), 0)
  }
  let best = miss()
  for (let round = 0; round < 8; round++) {
    let moved = false
    for (const n of lengths) {
      if (ask.pinned !== undefined && f === 1 && n === longest) continue
      const was = ohms.get(n)![f]!
      for (const to of [next(was, "E24"), previous(was, "E24")]) {
        ohms.get(n)![f] = to
        const now = miss()
        if (now < best - 1e-9) {
          best = now
          moved = true
          break
        }
        ohms.get(n)![f] = was
      }
    }
    if (!moved) return
  }
}

/** LED currents at usual supply with usual parts while only feed `live` is live. */
function groupCurrents(ask: Ask, ohms: ReadonlyMap<number, readonly number[]>, live: number) {
  const { led } = ask.path
  const network = new Network()
  const silicon = modelOf(ask.path.diode, "diode").law
  // Brighter feeds are split by string length, as in the circuit; the dimmest is common.
  const last = ask.plan.feeds.length - 1
  const feedOf = (f: number, length: number) => `feed${f}${f < last ? `.${length}` : ""}`
  for (let f = 0; f <= last; f++) {
    const volt = f === live ? ask.lamp.vehicle.supply.usual : 0
    network.source(`V${f}`, `wire${f}`, "0", volt, f === live ? Math.max(ask.path.wireOhm, 1e-3) : 1e6)
    for (const feed of new Set([...ohms.keys()].map((n) => feedOf(f, n)))) {
      network.diode(`D${feed}`, `wire${f}`, feed, { ...silicon, nVt: silicon.emission * modelThermalVoltage })
    }
  }
  const law = led.model.usual
  // Strings of one length are alike, so they are solved as one.
  for (const [n, values] of ohms) {
    const count = ask.strings.strings.filter((m) => m.length === n).length
    if (count === 0) continue
    values.forEach((ohm, f) => {
      network.resistor(`R${f}.${n}`, feedOf(f, n), `top${n}`, ohm / count)
    })
    network.diode(`L${n}`, `top${n}`, "0", {
      saturation: count * law.saturation,
      nVt: n * law.emission * modelThermalVoltage,
      series: (n * law.series) / count,
    })
  }
  const point = operatingPoint(network, real)
  const byLength = new Map<number, number>()
  let sum = 0
  for (const n of ohms.keys()) {
    const count = ask.strings.strings.filter((m) => m.length === n).length
    if (count === 0) continue
    const i = point.converged ? point.current(`L${n}`) : Number.NaN
    sum += i
    byLength.set(n, i / count)
  }
  return { mean: sum / ask.strings.strings.length, byLength }
}
