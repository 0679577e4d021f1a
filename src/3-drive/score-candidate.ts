// What a way to drive a group is worth: its own circuit solved at every corner, then points lost for what a builder
// pays for. The points are chosen by this program; every number they are made of is solved or counted.

import { show, showNumber } from "../0-ground/text/show.ts"
import { modelOf } from "../1-stock/parts.ts"
import type { Wire } from "../2-lamp/artefact.ts"
import type { Candidate } from "./artefact.ts"
import {
  type DesignAsk,
  feedDiode,
  type GroupDesign,
  limitOf,
  passTransistor,
  railRegulator,
} from "./group-design.ts"
import { diodeCurrent, leastShare, stopRatio, surgeVolt, unclampedVolt } from "./limits.ts"
import { rearRelay, relayModel } from "./relay-coil.ts"
import type { Stressed } from "./stress-candidate.ts"
import { type Bench, type Outcome, tryDesign } from "./try-design.ts"

/** Points lost for each. */
export const points = {
  /** Per factor of e that the dimmest LED loses at the lowest supply. */
  dim: 0.5,
  /** At the current limit; in proportion below it. */
  strong: 1,
  /** Per factor of e between the least and the greatest ratio of the two levels. */
  spread: 3,
  /** Per watt turned to heat beside the LEDs. */
  heat: 0.3,
  part: 0.15,
  /** Per cm² of board under bodies. */
  area: 0.1,
  /** Per lamp by lot that misses a limit, of all drawn. */
  yield: 5,
  /** At the most a part bears in any pulse; in proportion below it. */
  pulse: 0.5,
  /** When the two levels cannot be told apart with the controller dead. */
  silent: 2,
} as const

export type Scored = Omit<Candidate, "taken" | "why"> & {
  readonly terms: Readonly<Record<keyof typeof points, number>>
}

export function scoreCandidate(ask: DesignAsk, design: GroupDesign, controller: boolean): Scored {
  const { lamp, plan } = ask
  const levels = plan.topology === "two-feed" ? plan.feeds.length : 1
  const all = Array.from({ length: levels }, (_, f) => f)
  const liveSets = levels > 1 ? [[0], all, [levels - 1]] : [[0]]
  const tried = tryDesign({ lamp, asked: plan, design, controller, corners: cornersOf(ask), liveSets })
  const usual = tried.corners.find((c) => c.at.parts === "usual")!
  const lowest = Math.min(...tried.corners.map((c) => c.at.supply))
  let weakest = Number.POSITIVE_INFINITY
  let strongest = 0
  let least = Number.POSITIVE_INFINITY
  let greatest = 0
  let heat = 0
  let stuck = 0
  let regulator = Number.NEGATIVE_INFINITY
  let transistor = Number.NEGATIVE_INFINITY
  let coil = Number.POSITIVE_INFINITY
  for (const { at, outcomes } of tried.corners) {
    for (const [k, out] of outcomes.entries()) {
      if (!out.converged) {
        stuck++
        continue
      }
      strongest = Math.max(strongest, ...out.led.values())
      heat = Math.max(heat, out.heat)
      regulator = Math.max(regulator, out.regulator ?? regulator)
      transistor = Math.max(transistor, out.transistor ?? transistor)
      if (out.live.includes(0)) coil = Math.min(coil, out.coil ?? coil)
      if (at.supply !== lowest || at.parts !== "weakest") continue
      const same = usual.outcomes[k]!.led
      for (const [ref, i] of out.led) weakest = Math.min(weakest, i / Math.max(same.get(ref)!, 1e-12))
    }
    if (levels > 1) {
      const [, both, low] = outcomes as readonly [Outcome, Outcome, Outcome]
      for (const [ref, i] of both.led) {
        const ratio = i / Math.max(low.led.get(ref)!, 1e-9)
        least = Math.min(least, ratio)
        greatest = Math.max(greatest, ratio)
      }
    }
  }
  // With the controller dead either wire lights what it would pulse.
  const silentSame = design.way === "pwm" && plan.topology === "two-feed"
  const stop = plan.group.functions.includes("stop") && plan.group.functions.includes("rear-position")
  const limit = limitOf({ ...ask, plan: design.plan })
  const surge = lamp.vehicle.supply.surge === "clamped" ? surgeVolt.value : unclampedVolt.value
  const pass = modelOf(railRegulator, "adjustable-regulator")
  const npn = modelOf(passTransistor, "npn")
  const { tooTall } = tried
  const feedAmps = design.rail ? design.strings.full * design.strings.strings.length : 0
  const fails = [
    ...(stuck > 0 ? ["a corner has no solution"] : []),
    ...(weakest < leastShare.value ? ["dark at the lowest supply"] : []),
    ...(strongest > limit ? ["LEDs get too much at the strongest corner"] : []),
    ...(stop && levels > 1 && least < stopRatio.value ? ["stop does not stand out from tail"] : []),
    ...(stop && silentSame ? ["with the controller dead the tail wire lights it as bright as stop"] : []),
    ...(regulator > pass.maximumJunction
      ? [`its regulator would reach ${show(regulator, "°C")} inside`]
      : []),
    ...(transistor > npn.maximumJunction
      ? [`its transistors would reach ${show(transistor, "°C")} inside`]
      : []),
    ...(coil < 1 ? ["at the lowest supply its relay, warm, does not surely pull in"] : []),
    ...(design.way === "rail-relay" ? wornBy(plan.feeds[0]!.wires) : []),
    ...(design.rail && surge - 1 > pass.maximumAcross
      ? [`a surge of ${surge} V is more than its regulator holds off`]
      : []),
    ...(design.way === "current-sinks" && surge > npn.maximumVoltage
      ? [`a surge of ${surge} V is more than its transistors hold off`]
      : []),
    ...(design.way === "current-sinks" && strongest > npn.maximumCurrent
      ? [`its transistors carry ${show(npn.maximumCurrent, "A")} at most`]
      : []),
    ...(feedAmps > diodeCurrent.value
      ? [
          `${show(feedAmps, "A")} through its one feed diode (${feedDiode.slice(6).toUpperCase()}), more than we let it carry`,
        ]
      : []),
    ...(tooTall
      ? [
          `${tooTall.part.value} stands ${showNumber(tooTall.height)} mm tall, its board has ${showNumber(tooTall.room)} mm of room`,
        ]
      : []),
  ]
  const terms = {
    dim: points.dim * -Math.log(Math.max(Math.min(weakest, 1), 1e-3)),
    strong: points.strong * (strongest / limit),
    spread: levels > 1 ? points.spread * Math.log(greatest / Math.max(least, 1e-9)) : 0,
    heat: points.heat * heat,
    part: points.part * tried.parts,
    area: (points.area * tried.area) / 100,
    // Drawn by lot and run through pulses only while it may still be the best: see `stressed`.
    yield: 0,
    pulse: 0,
    silent: silentSame ? points.silent : 0,
  }
  return {
    group: plan.group.name,
    kind: design.way,
    label: labelOf(design, plan.topology === "switched"),
    inSeries: design.strings.inSeries,
    weakestShare: weakest,
    strongest,
    ...(levels > 1 ? { ratio: { least, greatest } } : {}),
    heat,
    parts: tried.parts,
    area: tried.area,
    silent: silentSame
      ? "either wire lights it at full level"
      : plan.topology === "switched"
        ? "it lights from its own wire, unswept"
        : "everything lights: no controller in its path",
    score: Object.values(terms).reduce((a, b) => a + b, 0),
    fails,
    terms,
  }
}

/** A relay that follows a flasher soon has switched as often as it can. */
function wornBy(wires: readonly Wire[]): string[] {
  const flashing = wires.find((w) => w.role === "flashing")
  if (!flashing) return []
  const hours = relayModel(rearRelay).operations / ((flashing.rate ?? 1.5) * 3600)
  return [`its relay would be worn out after ${showNumber(hours)} h of flashing on ${flashing.name}`]
}

/** The candidate with what lots and pulses cost it. */
export function stressed(scored: Scored, stress: Stressed): Scored {
  const terms = {
    ...scored.terms,
    yield: points.yield * stress.missed,
    pulse: points.pulse * stress.pulse,
  }
  return {
    ...scored,
    terms,
    missed: stress.missed,
    pulse: { share: stress.pulse, worst: stress.worst },
    score: Object.values(terms).reduce((a, b) => a + b, 0),
    fails: [
      ...scored.fails,
      ...(stress.sure && stress.pulse > 1 ? [`${stress.worst} is more than a part bears`] : []),
    ],
  }
}

function cornersOf({ lamp }: DesignAsk): readonly Bench[] {
  const { supply, ambient } = lamp.vehicle
  return [
    { supply: supply.usual, celsius: 25, parts: "usual" },
    { supply: supply.lowest, celsius: ambient.lowest, parts: "weakest" },
    { supply: supply.usual, celsius: 25, parts: "weakest" },
    { supply: supply.usual, celsius: 25, parts: "strongest" },
    { supply: supply.highest, celsius: ambient.highest, parts: "strongest" },
    { supply: supply.highest, celsius: ambient.lowest, parts: "strongest" },
  ]
}

function labelOf({ way, strings }: GroupDesign, switched: boolean): string {
  const name = {
    "resistor-strings": "resistor strings",
    "two-feed": "a resistor for each feed",
    pwm: switched ? "resistor strings switched by the controller" : "dimmed by the controller's pulses",
    "current-sinks": "two-transistor current sinks",
    "regulated-rail": "rail of an adjustable regulator",
    "rail-switched": "rail of an adjustable regulator, its set resistor switched by a transistor",
    "rail-relay": "rail of an adjustable regulator, its set resistor switched by a relay",
  }[way]
  return `${name}, ${strings.inSeries} in series`
}
