// Which size of resistor a string needs: its worst dissipation, at half of what the size may carry when hot.

import { modelOf } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { GroupPlan } from "./choose-topology.ts"
import { flashingShare, leastResistance, resistorShare } from "./limits.ts"
import type { StringPlan } from "./plan-strings.ts"
import { type Path, stringCurrent } from "./string-current.ts"

export const resistorSizes = ["resistor-quarter-watt", "resistor-half-watt", "resistor-one-watt"] as const

/** Film resistors: full power to 70 °C, then falling in a straight line to nothing at 155 °C. */
export const deratedPower = (rated: number, celsius: number) =>
  rated * Math.min(1, Math.max(0, (155 - celsius) / 85))

/** Average share of the time the wires of a feed are live at most. */
export const liveShare = (plan: GroupPlan, feed: number) =>
  plan.feeds[feed]!.wires.every((w) => w.role === "flashing") ? flashingShare.value : 1

export function ratingFor(ask: {
  readonly lamp: Lamp
  readonly plan: GroupPlan
  readonly strings: StringPlan
  readonly path: Omit<Path, "strings" | "onSection">
  readonly feed: number
  readonly ohm: number
  readonly inSeries: number
  readonly onSection: number
}): string {
  const { supply, ambient } = ask.lamp.vehicle
  const path = { ...ask.path, strings: ask.strings.strings.length, onSection: ask.onSection }
  const least = ask.ohm * leastResistance
  const i = stringCurrent(path, ask.inSeries, least, {
    supply: supply.highest,
    end: "low",
    celsius: ambient.highest,
  })
  const power = i * i * least * liveShare(ask.plan, ask.feed)
  return sizeFor(power, ambient.highest)
}

/** The smallest size that carries `power` watt at half of its derated rating; the largest where none does. */
export function sizeFor(power: number, celsius: number): string {
  const fits = resistorSizes.find(
    (key) => power <= resistorShare.value * deratedPower(modelOf(key, "resistor").rated, celsius),
  )
  return fits ?? resistorSizes[resistorSizes.length - 1]!
}
