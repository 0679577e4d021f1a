// One way to drive a group as values: strings, resistors, and what a sink or a rail needs beside them. Nothing is
// written into a circuit here; `writeGroup` does that, for the candidate that is taken and for those that are tried.

import type { LedType } from "../1-stock/artefact.ts"
import { nearest, next, previous } from "../1-stock/e-series.ts"
import { modelOf } from "../1-stock/parts.ts"
import type { Lamp, LedPlace } from "../2-lamp/artefact.ts"
import type { Candidate } from "./artefact.ts"
import { type GroupPlan, switchedPlan } from "./choose-topology.ts"
import { loopOhm } from "./feed-wires.ts"
import { leastResistance, ledShare } from "./limits.ts"
import { pinnedFor } from "./pinned.ts"
import { deratedLedCurrent, divide, planStrings, type StringPlan } from "./plan-strings.ts"
import { rearRelay, relayModel } from "./relay-coil.ts"
import { chooseSecondOhms } from "./second-level.ts"
import { arrayVolt, type End, ledVolt } from "./string-current.ts"

export const feedDiode = "diode-1n4007"
export const railRegulator = "regulator-lm317"
export const smallTransistor = "transistor-bc547"
/** Carries a sink's string: short pulses on the supply stand across it. */
export const passTransistor = "transistor-2n5551"

export type Way = Candidate["kind"]

export interface GroupDesign {
  readonly plan: GroupPlan
  readonly way: Way
  readonly led: LedType
  /** LEDs on each channel; of a group without the controller all in one. */
  readonly pieces: readonly number[]
  readonly strings: StringPlan
  /** Resistor of a string of that many LEDs, for each feed (brightest first); of a sink its sense resistor. */
  readonly ohms: ReadonlyMap<number, readonly number[]>
  /** Feeds the base of a sink. */
  readonly bias?: number
  readonly rail?: RailDesign
}

/**
 * Resistors round the set pin: output to pin, pin to earth, and what makes the lower level of it: a transistor lays
 * `beside` beside `lower`, or a relay's contact bridges `bridged`, which stands in row with `lower`.
 */
export interface RailDesign {
  readonly upper: number
  readonly lower: number
  readonly beside?: number
  readonly bridged?: number
}

export interface DesignAsk {
  readonly lamp: Lamp
  /** As the programme needs it: pulses for two levels make their own plan of it. */
  readonly plan: GroupPlan
  readonly led: LedType
  readonly pieces: readonly number[]
  /** In the order in which they are taken into strings. */
  readonly leds: readonly LedPlace[]
}

/** Undefined where that way cannot be had with that many in series. */
export function designGroup(ask: DesignAsk, way: Way, inSeries: number): GroupDesign | undefined {
  switch (way) {
    case "current-sinks":
      return designSinks(ask, inSeries)
    case "regulated-rail":
      return designRail(ask, inSeries)
    case "rail-switched":
    case "rail-relay":
      return ask.plan.feeds.length === 2 ? designRail(ask, inSeries, way) : undefined
    case "pwm":
      return designResistors({ ...ask, plan: switchedPlan(ask.plan) }, way, inSeries)
    default:
      return designResistors(ask, way, inSeries)
  }
}

/** Strings with a resistor for each feed. */
function designResistors(ask: DesignAsk, way: Way, inSeries: number): GroupDesign {
  const { lamp, plan, led, pieces } = ask
  const { ohm, secondOhm } = pinnedFor(lamp, plan.group.name)
  const brightest = plan.feeds[0]!
  const strings = planStrings({
    lamp,
    leds: ask.leds,
    path: pathOf(ask),
    switched: plan.topology === "switched",
    pieces,
    current: wantedOf(ask),
    together:
      plan.topology === "two-feed" ? plan.feeds.reduce((sum, f) => sum + f.level, 0) / brightest.level : 1,
    pinnedInSeries: inSeries,
    ...(ohm === undefined ? {} : { pinnedOhm: ohm }),
  })
  const ohms = chooseSecondOhms({
    lamp,
    plan,
    strings,
    path: pathOf(ask),
    ...(secondOhm ? { pinned: secondOhm } : {}),
  })
  return { plan, way, led, pieces, strings, ohms }
}

/** A pair of transistors holds the base–emitter voltage of one across a sense resistor: the same for every length. */
function designSinks(ask: DesignAsk, inSeries: number): GroupDesign {
  const { lamp, plan, led, pieces } = ask
  const { supply, ambient } = lamp.vehicle
  const model = modelOf(smallTransistor, "npn")
  const wanted = wantedOf(ask)
  const held = (end: "low" | "usual" | "high", celsius: number) =>
    model.baseEmitter[end] + model.voltagePerKelvin * (celsius - 25)
  const pinned = pinnedFor(lamp, plan.group.name).ohm
  let ohm = pinned ?? nearest(held("usual", 25) / wanted, "E24")
  let heldBack: string | undefined
  while (pinned === undefined && held("high", ambient.lowest) / (leastResistance * ohm) > limitOf(ask)) {
    ohm = next(ohm, "E24")
    heldBack = "the cold raises what a sink takes, and the hot LED's rating holds for it too"
  }
  const full = held("usual", 25) / ohm
  const strings = cutStrings(ask, inSeries, full, heldBack)
  // Twice the base current that the weakest transistor asks for in the cold, at the lowest supply.
  const left = Math.max(1, supply.lowest - 2.5)
  const bias = nearest((left * modelOf(passTransistor, "npn").gain.low) / (2 * full), "E24")
  const ohms = new Map(lengthsOf(strings).map((n) => [n, [ohm]]))
  return { plan, way: "current-sinks", led, pieces, strings, ohms, bias }
}

/**
 * An adjustable regulator makes the LED rail; with two levels a transistor lays a resistor beside its lower one, or a
 * relay bridges a part of that.
 */
function designRail(
  ask: DesignAsk,
  inSeries: number,
  by: "regulated-rail" | "rail-switched" | "rail-relay" = "regulated-rail",
  held?: { readonly lower: number; readonly bridged: number },
): GroupDesign | undefined {
  const { lamp, plan, led, pieces } = ask
  const { usual, highest } = lamp.vehicle.supply
  const model = modelOf(railRegulator, "adjustable-regulator")
  const pinned = pinnedFor(lamp, plan.group.name)
  const wanted = wantedOf(ask)
  const total = wanted * stringCount(ask, inSeries)
  // High enough to leave the strings most of the supply, low enough to regulate at the usual one with weak parts.
  const target = usual - 1 - model.headroom - model.dropout * total - 0.2
  // A relay's contact carries all of what the set pin's resistors do: enough to keep it clean.
  const least =
    by === "rail-relay"
      ? Math.max(model.minimumLoad, 1.02 * relayModel(rearRelay).contactLeast)
      : model.minimumLoad
  const upper = upperSet(model.reference.low, least)
  const lower = held
    ? held.lower + held.bridged
    : below(Math.max(1, upper * (target / model.reference.usual - 1)))
  const volt = railVolt({ upper, lower }, "usual")
  const drop = (n: number, i: number, end: End, celsius: number) =>
    n * ledVolt(led, end, i, celsius) + (plan.topology === "switched" ? arrayVolt(end, i) : 0)
  if (volt - drop(inSeries, wanted, "usual", 25) < 0.3) return undefined
  // The strongest corner: rail high, LEDs low and hot, resistor low.
  const most = railVolt({ upper, lower }, "strongest")
  const limit = limitOf(ask)
  const strings = cutStrings(ask, inSeries, wanted)
  let heldBack = false
  const ohmFor = (n: number, current: number) => {
    let ohm = nearest(Math.max(1, (volt - drop(n, current, "usual", 25)) / current), "E24")
    const { ambient } = lamp.vehicle
    while (
      most - drop(n, limit, "low", ambient.highest + led.thermalResistance * limit * led.forwardVoltage.low) >
      leastResistance * ohm * limit
    ) {
      ohm = next(ohm, "E24")
      heldBack = true
    }
    return ohm
  }
  const longest = strings.inSeries
  const first = pinned.ohm ?? ohmFor(longest, wanted)
  const full = atRail(volt, first, longest, drop)
  const ohms = new Map(lengthsOf(strings).map((n) => [n, [n === longest ? first : ohmFor(n, full)]]))
  const reached: StringPlan = {
    ...strings,
    full,
    ohmOf: new Map([...ohms].map(([n, [o]]) => [n, o!])),
    ...(heldBack
      ? {
          heldBack: `the strongest corner may take ${Math.round(ledShare.value * 100)} % of the hot LED's rating at ${highest} V`,
        }
      : {}),
  }
  const design = { led, pieces, strings: reached, ohms }
  if (plan.topology !== "two-feed") return { ...design, plan, way: "regulated-rail", rail: { upper, lower } }
  // The rail at which the mean current is the lower level, and the resistor that brings it there.
  const mean = (v: number) => {
    const each = strings.strings.map((s) => s.length * atRail(v, ohms.get(s.length)![0]!, s.length, drop))
    return each.reduce((a, b) => a + b, 0) / plan.group.leds.length
  }
  const wish = (mean(volt) * plan.feeds[1]!.level) / plan.feeds[0]!.level
  if (by === "rail-relay") {
    const low =
      pinned.secondOhm ?? lowSet(lower, (ohm) => mean(railVolt({ upper, lower: ohm }, "usual")) / wish)
    if (low >= lower - 1) return undefined
    const two = held ?? { lower: low, bridged: below(lower - low) }
    // Two values in row rarely add up to one of the series: once more for what they do add up to.
    return held ? { ...design, plan, way: by, rail: { upper, ...two } } : designRail(ask, inSeries, by, two)
  }
  const dim = (beside: number) => mean(lowRailVolt({ upper, lower, beside }))
  let beside = pinned.secondOhm ?? nearest(lower, "E24")
  if (pinned.secondOhm === undefined) {
    while (dim(beside) > wish && beside > 10) beside = previous(beside, "E24")
    const above = next(beside, "E24")
    if (Math.abs(Math.log(dim(above) / wish)) < Math.abs(Math.log(Math.max(dim(beside), 1e-9) / wish)))
      beside = above
  }
  return { ...design, plan, way: by, rail: { upper, lower, beside } }
}

/** The E24 value below `most` that comes nearest to a share of 1; the share grows with it. */
function lowSet(most: number, share: (ohm: number) => number): number {
  const miss = (ohm: number) => Math.abs(Math.log(Math.max(share(ohm), 1e-9)))
  let best = previous(below(most), "E24")
  for (let ohm = best; ohm >= 10; ohm = previous(ohm, "E24")) {
    if (miss(ohm) < miss(best)) best = ohm
    if (share(ohm) < 1) break
  }
  return best
}

/** Output of the adjustable regulator: reference × (1 + lower ÷ upper) + current of the set pin × lower. */
export function railVolt(
  { upper, lower, bridged = 0 }: Pick<RailDesign, "upper" | "lower" | "bridged">,
  parts: "weakest" | "usual" | "strongest",
): number {
  const { reference, adjustCurrent } = modelOf(railRegulator, "adjustable-regulator")
  const end = { weakest: "low", usual: "usual", strongest: "high" } as const
  const sign = { weakest: -1, usual: 0, strongest: 1 }[parts]
  const set = (lower + bridged) * (1 + sign * 0.01)
  return reference[end[parts]] * (1 + set / (upper * (1 - sign * 0.01))) + adjustCurrent[end[parts]] * set
}

/** What a saturated small transistor drops at some milliamperes, usual part. */
const transistorDrop = 0.06

/** The rail at the lower level, usual parts. */
export function lowRailVolt({ upper, lower, beside }: RailDesign): number {
  const { reference, adjustCurrent } = modelOf(railRegulator, "adjustable-regulator")
  if (beside === undefined) return railVolt({ upper, lower }, "usual")
  const drawn = reference.usual / upper + adjustCurrent.usual + transistorDrop / beside
  return reference.usual + drawn / (1 / lower + 1 / beside)
}

/** The largest E24 value through which the reference alone draws the least load. */
const upperSet = (reference: number, load: number) => below(reference / load)

function below(ohm: number): number {
  const near = nearest(ohm, "E24")
  return near <= ohm ? near : previous(near, "E24")
}

/** Current of a string between a rail and earth through one resistor. */
function atRail(
  volt: number,
  ohm: number,
  inSeries: number,
  drop: (n: number, i: number, end: End, celsius: number) => number,
): number {
  let low = 0
  let high = volt / ohm
  for (let k = 0; k < 50; k++) {
    const i = (low + high) / 2
    if (drop(inSeries, i, "usual", 25) + i * ohm < volt) low = i
    else high = i
  }
  return low
}

function cutStrings(ask: DesignAsk, inSeries: number, full: number, heldBack?: string): StringPlan {
  const lengths = ask.pieces.flatMap((p) => divide(p, inSeries))
  let from = 0
  return {
    inSeries: Math.max(...lengths),
    strings: lengths.map((n) => {
      from += n
      return ask.leds.slice(from - n, from)
    }),
    ohmOf: new Map(),
    wanted: wantedOf(ask),
    full,
    ...(heldBack === undefined ? {} : { heldBack }),
  }
}

const stringCount = (ask: DesignAsk, inSeries: number) =>
  ask.pieces.reduce((n, p) => n + divide(p, inSeries).length, 0)

const lengthsOf = (strings: StringPlan) =>
  [...new Set(strings.strings.map((s) => s.length))].sort((a, b) => b - a)

export const pathOf = ({ lamp, plan, led }: Pick<DesignAsk, "lamp" | "plan" | "led">) => ({
  led,
  diode: feedDiode,
  wireOhm: loopOhm(lamp, plan.feeds[0]!.wires),
})

/** LED current asked for at full level. */
export function wantedOf({ plan, led }: Pick<DesignAsk, "plan" | "led">): number {
  const full = plan.group.current ?? led.testCurrent
  return full * (plan.topology === "switched" ? 1 : plan.feeds[0]!.level)
}

/** LED current allowed at the strongest corner. */
export const limitOf = (ask: Pick<DesignAsk, "lamp" | "plan" | "led">) =>
  ledShare.value *
  deratedLedCurrent({ ...pathOf(ask), strings: 1, onSection: 0 }, ask.lamp.vehicle.ambient.highest)
