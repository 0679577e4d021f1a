// Every way to drive a group that makes sense for it, designed, solved and scored; the best sound one is taken, a
// pinned one is taken whatever its score.

import { show, showNumber } from "../0-ground/text/show.ts"
import type { LedType } from "../1-stock/artefact.ts"
import { adjustable, bodyArea, sinkPair } from "../1-stock/drive-options.ts"
import { nearest, next } from "../1-stock/e-series.ts"
import { packageType } from "../1-stock/packages.ts"
import { partType } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Candidate } from "./artefact.ts"
import { type Bench, type GroupMake, railVolt, type StringKind, solveMake } from "./candidate-network.ts"
import type { GroupPlan } from "./choose-topology.ts"
import { loopOhm } from "./feed-wires.ts"
import { leastShare, ledShare } from "./limits.ts"
import { pinnedFor } from "./pinned.ts"
import { deratedLedCurrent, divide, planStrings, type StringPlan } from "./plan-strings.ts"
import { ratingFor } from "./rate-resistor.ts"
import { points, type Scored, type Setup, scoreCandidate } from "./score-candidate.ts"
import { chooseSecondOhms } from "./second-level.ts"

export interface Comparison {
  readonly candidates: readonly Candidate[]
  /** LEDs in series of the one taken. */
  readonly inSeries: number
}

/** Kinds this room writes circuits for; the others are designed and scored, so that their loss can be seen. */
export const written: readonly Candidate["kind"][] = ["resistor-strings", "two-feed", "pwm"]

interface Ask {
  readonly lamp: Lamp
  readonly plan: GroupPlan
  readonly led: LedType
  readonly pieces: readonly number[]
  /** Another group needs the controller anyway. */
  readonly controller: boolean
}

const feedDiode = "diode-1n4007"
/** Regulator, controller, resonator, header, clamp, capacitors, reset resistor: what a controller brings with it. */
const controllerParts = 14
const inputParts = 5

export function compareCandidates(ask: Ask): Comparison {
  const pinned = pinnedFor(ask.lamp, ask.plan.group.name)
  const scored = everyWay(ask)
  const own =
    ask.plan.topology === "direct"
      ? "resistor-strings"
      : ask.plan.topology === "two-feed"
        ? "two-feed"
        : "pwm"
  const mine = scored.filter(
    (s) => s.kind === own && (pinned.inSeries === undefined || s.inSeries === pinned.inSeries),
  )
  const rank = (s: Scored) => (s.fails.length > 0 ? 1e3 : 0) + s.score
  const taken = mine.reduce<Scored | undefined>(
    (best, s) => (best === undefined || rank(s) < rank(best) ? s : best),
    undefined,
  )
  if (!taken) return { candidates: [], inSeries: 1 }
  const held = pinned.way !== undefined || pinned.inSeries !== undefined
  return {
    candidates: [...scored]
      .sort((a, b) => rank(a) - rank(b) || (a.label < b.label ? -1 : 1))
      .map(({ terms: _, ...s }): Candidate => {
        const is = s.kind === taken.kind && s.inSeries === taken.inSeries
        const why = is
          ? held
            ? "held by hand"
            : "loses the fewest points of all sound ways"
          : lost(s, taken, scored)
        return { ...s, taken: is, why }
      }),
    inSeries: taken.inSeries,
  }
}

/** What it fails by, or the two things it pays most for beside the one taken. */
function lost(s: Omit<Scored, "terms">, taken: Scored, all: readonly Scored[]): string {
  if (s.fails.length > 0) return s.fails.join("; ")
  const terms = all.find((a) => a.label === s.label)!.terms
  const keys = (Object.keys(points) as (keyof typeof points)[])
    .map((k) => ({ k, more: terms[k] - taken.terms[k] }))
    .filter((t) => t.more > 0.02)
    .sort((a, b) => b.more - a.more)
    // The spread of two levels is always told where it is wider: nobody sees it before the lamp is built.
    .filter((t, i) => i < 2 || (t.k === "spread" && t.more > 0.3))
  const words = keys.map(({ k }) => {
    switch (k) {
      case "dim":
        return `${percent(s.weakestShare)} of its current left at the lowest supply (${percent(taken.weakestShare)})`
      case "strong":
        return `${show(s.strongest, "A")} at the strongest corner (${show(taken.strongest, "A")})`
      case "spread":
        return `the levels' ratio spreads over ${between(s)} (${between(taken)})`
      case "heat":
        return `${show(s.heat, "W")} of heat (${show(taken.heat, "W")})`
      case "part":
        return `${s.parts} parts (${taken.parts})`
      case "area":
        return `${showNumber(s.area / 100)} cm² of parts (${showNumber(taken.area / 100)} cm²)`
      default:
        return `with the controller dead ${s.silent}`
    }
  })
  if (words.length === 0) return "no circuit is written for it yet; by its points it would be as good"
  const better = s.score < taken.score
  return `${better ? "fewer points, but no circuit is written for it yet; it costs " : ""}${words.join("; ")}`
}

const between = (s: { readonly ratio?: Candidate["ratio"] }) =>
  s.ratio ? `${showNumber(s.ratio.least)}…${showNumber(s.ratio.greatest)} : 1` : ""
const percent = (share: number) => `${showNumber(100 * share)} %`

interface Tried {
  readonly setup: Setup
  readonly scored: Scored
}

const tried = (setup: Setup): Tried => ({ setup, scored: scoreCandidate(setup) })

function everyWay(ask: Ask): Scored[] {
  const { lamp, plan, led, pieces } = ask
  const longest = Math.min(Math.max(...pieces), 12)
  const usual = lamp.vehicle.supply.usual
  const most = Math.max(1, Math.min(longest, Math.floor(usual / led.forwardVoltage.low)))
  // Lengths that really occur: four LEDs by threes are two strings of two.
  const lengths = Array.from({ length: most }, (_, i) => i + 1).filter(
    (n) => Math.max(...pieces.flatMap((p) => divide(p, n))) === n,
  )
  const setups: Tried[] = []
  for (const n of lengths) {
    const way = tried(ownWay(ask, n))
    setups.push(way)
    // Longer strings are darker still.
    if (way.scored.weakestShare < leastShare.value && n > 1) break
  }
  // One rival of each kind: the best of its lengths stands for it.
  const best = (list: readonly (Setup | undefined)[]) =>
    list
      .filter((s) => s !== undefined)
      .map(tried)
      .sort(
        (a, b) =>
          a.scored.fails.length - b.scored.fails.length ||
          a.scored.score - b.scored.score ||
          a.scored.inSeries - b.scored.inSeries,
      )
      .slice(0, 1)
  if (plan.topology === "two-feed") {
    if (plan.feeds.length === 2) {
      setups.push(...best(lengths.map((n) => rail(ask, n, true))))
      setups.push(...best(lengths.map((n) => pulsed(ask, n))))
    }
    return setups.map((s) => s.scored)
  }
  setups.push(...best(lengths.map((n) => sinks(ask, n))))
  setups.push(...best(lengths.map((n) => rail(ask, n, false))))
  return setups.map((s) => s.scored)
}

/** The way the plan stands for, with n in series. */
function ownWay(ask: Ask, n: number): Setup {
  const { lamp, plan } = ask
  const strings = stringsOf(ask, n)
  const ohms = chooseSecondOhms({ lamp, plan, strings, path: pathOf(ask), ...pinnedSecond(ask) })
  const kinds = kindsOf(strings, (length) => ohms.get(length)!)
  const switched = plan.topology === "switched"
  const kind = switched ? "pwm" : plan.topology === "two-feed" ? "two-feed" : "resistor-strings"
  const name = {
    pwm: "resistor strings switched by the controller",
    "two-feed": "a resistor for each feed",
    "resistor-strings": "resistor strings",
  }[kind]
  return {
    ...common(ask, kinds),
    label: `${name}, ${n} in series`,
    make: { ...base(ask, kinds), kind },
    silent: switched
      ? "it lights from its own wire, unswept"
      : "everything lights: no controller in its path",
    levels: plan.topology === "two-feed" ? plan.feeds.length : 1,
  }
}

/** A two-level group with one resistor a string, dimmed by the controller. */
function pulsed(ask: Ask, n: number): Setup {
  const { plan } = ask
  const strings = stringsOf(ask, n, true)
  const kinds = kindsOf(strings, (length) => [strings.ohmOf.get(length)!])
  const wires = plan.feeds.flatMap((f) => f.wires).length
  const more = 1 + wires * inputParts + (ask.controller ? 0 : controllerParts)
  const plain = common(ask, kinds)
  return {
    ...plain,
    label: `dimmed by the controller's pulses, ${n} in series`,
    make: {
      ...base(ask, kinds),
      kind: "pwm",
      section: true,
      onSection: Math.max(1, Math.ceil(0.25 / Math.max(strings.full, 1e-3))),
      level: plan.feeds[1]!.level / plan.feeds[0]!.level,
    },
    parts: plain.parts + more,
    area: plain.area + more * 40,
    silent: "either wire lights it at full level",
    silentSame: true,
    levels: 2,
  }
}

/** Two transistors and a sense resistor a string. */
function sinks(ask: Ask, n: number): Setup {
  const lengths = ask.pieces.flatMap((p) => divide(p, n))
  const wanted = wantedOf(ask)
  let ohm = nearest(sinkPair.baseEmitter.usual / wanted, "E24")
  const cold = sinkPair.baseEmitter.high + sinkPair.perKelvin * (ask.lamp.vehicle.ambient.lowest - 25)
  while (cold / (0.99 * ohm) > limitOf(ask)) ohm = next(ohm, "E24")
  const kinds = count(lengths, () => [ohm])
  const plain = common(ask, kinds)
  return {
    ...plain,
    label: `two-transistor current sinks, ${n} in series`,
    make: { ...base(ask, kinds), kind: "current-sinks", section: false },
    parts: plain.parts + 3 * lengths.length,
    area: plain.area + lengths.length * (2 * bodyArea.transistor + 15),
    silent: ask.plan.topology === "switched" ? "it lights from its own wire" : plain.silent,
  }
}

/** An adjustable regulator makes the LED rail; `switches`: a relay on the brighter wire changes its set resistor. */
function rail(ask: Ask, n: number, switches: boolean): Setup | undefined {
  const { lamp, plan, led } = ask
  const { usual } = lamp.vehicle.supply
  // High enough to leave the strings most of the supply, low enough to regulate at usual supply with every part weak.
  const target = usual - 1 - adjustable.headroom - adjustable.dropout - 0.2
  const setOhm = (volt: number) =>
    nearest(Math.max(1, adjustable.upperOhm * (volt / adjustable.reference.usual - 1)), "E24")
  let full = setOhm(target)
  while (railVolt(full, "usual") > target + 0.4) full = nearest(full / 1.1, "E24")
  const wanted = wantedOf(ask)
  const drop = (ask.plan.topology === "switched" ? 0.9 : 0) + n * led.forwardVoltage.usual
  if (railVolt(full, "usual") - drop < 0.3) return undefined
  const lengths = ask.pieces.flatMap((p) => divide(p, n))
  let step = 0
  const kindsAt = (k: number) =>
    count(lengths, (length) => {
      const left = railVolt(full, "usual") - drop + (n - length) * led.forwardVoltage.usual
      let ohm = nearest(left / wanted, "E24")
      for (let i = 0; i < k; i++) ohm = next(ohm, "E24")
      return [ohm]
    })
  const hot: Bench = {
    supply: lamp.vehicle.supply.highest,
    celsius: lamp.vehicle.ambient.highest,
    parts: "strongest",
  }
  const make = (k: number, low?: number): GroupMake => ({
    ...base(ask, kindsAt(k)),
    kind: switches ? "rail-switched" : "regulated-rail",
    set: { full, ...(low === undefined ? {} : { low }) },
  })
  while (step < 24 && Math.max(...solveMake(make(step), hot, [0]).led) > limitOf(ask)) step++
  let low: number | undefined
  if (switches) {
    // The lower set resistor by halving: the rail at which the mean current is the lower level.
    const middle: Bench = { supply: usual, celsius: 25, parts: "usual" }
    const bright = mean(solveMake(make(step, full), middle, [0]).led)
    const wish = (bright * plan.feeds[1]!.level) / plan.feeds[0]!.level
    let a = 1
    let b = full
    for (let i = 0; i < 24; i++) {
      const m = (a + b) / 2
      if (mean(solveMake(make(step, m), middle, [1]).led) > wish) b = m
      else a = m
    }
    low = nearest(b, "E24")
  }
  const made = make(step, low)
  const plain = common(ask, made.strings)
  return {
    ...plain,
    label: switches
      ? `rail of an adjustable regulator, switched by a relay, ${n} in series`
      : `rail of an adjustable regulator, ${n} in series`,
    make: made,
    parts: plain.parts + (switches ? 8 : 5),
    area: plain.area + bodyArea.regulator + 2 * 20 + 2 * 15 + (switches ? bodyArea.relay + 30 : 0),
    levels: switches ? 2 : 1,
  }
}

const mean = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length

const pathOf = ({ lamp, plan, led }: Ask) => ({
  led,
  diode: feedDiode,
  wireOhm: loopOhm(lamp, plan.feeds[0]!.wires),
})

function pinnedSecond({ lamp, plan }: Ask) {
  const { secondOhm } = pinnedFor(lamp, plan.group.name)
  return secondOhm === undefined ? {} : { pinned: secondOhm }
}

function wantedOf({ plan, led }: Ask): number {
  const full = plan.group.current ?? led.testCurrent
  return full * (plan.topology === "switched" ? 1 : plan.feeds[0]!.level)
}

const limitOf = (ask: Ask) =>
  ledShare.value *
  deratedLedCurrent({ ...pathOf(ask), strings: 1, onSection: 0 }, ask.lamp.vehicle.ambient.highest)

function stringsOf(ask: Ask, n: number, pulsed = false): StringPlan {
  const { lamp, plan } = ask
  const { ohm } = pinnedFor(lamp, plan.group.name)
  const brightest = plan.feeds[0]!
  return planStrings({
    lamp,
    leds: plan.group.leds,
    path: pathOf(ask),
    switched: plan.topology === "switched" || pulsed,
    pieces: ask.pieces,
    current: wantedOf(ask),
    together:
      plan.topology === "two-feed" && !pulsed
        ? plan.feeds.reduce((sum, f) => sum + f.level, 0) / brightest.level
        : 1,
    pinnedInSeries: n,
    ...(ohm === undefined ? {} : { pinnedOhm: ohm }),
  })
}

const kindsOf = (strings: StringPlan, ohms: (length: number) => readonly number[]): StringKind[] =>
  count(
    strings.strings.map((s) => s.length),
    ohms,
  )

function count(lengths: readonly number[], ohms: (length: number) => readonly number[]): StringKind[] {
  return [...new Set(lengths)]
    .sort((a, b) => b - a)
    .map((length) => ({ length, count: lengths.filter((l) => l === length).length, ohms: ohms(length) }))
}

function base(ask: Ask, strings: readonly StringKind[]): Omit<GroupMake, "kind"> {
  return {
    led: ask.led,
    diode: feedDiode,
    strings,
    wireOhm: pathOf(ask).wireOhm,
    section: ask.plan.topology === "switched",
    onSection: Math.max(...ask.pieces.map((p) => divide(p, strings[0]!.length).length)),
  }
}

/** What every way shares: resistors and feed diodes, corners, limits. */
function common(ask: Ask, kinds: readonly StringKind[]): Omit<Setup, "label" | "make"> {
  const { lamp, plan } = ask
  const { supply, ambient } = lamp.vehicle
  const resistors = kinds.reduce((n, k) => n + k.count * k.ohms.length, 0)
  const diodes = plan.feeds.reduce((n, f) => n + f.wires.length, 0)
  const body = (key: string) => {
    const { w, h } = packageType(partType(key).package).body
    return w * h
  }
  return {
    group: plan.group.name,
    parts: resistors + diodes,
    area: resistors * body(sizeOf(ask, kinds)) + diodes * body(feedDiode),
    silent: "everything lights: no controller in its path",
    silentSame: false,
    stop: plan.group.functions.includes("stop") && plan.group.functions.includes("rear-position"),
    limit: limitOf(ask),
    levels: plan.topology === "two-feed" ? plan.feeds.length : 1,
    corners: [
      { supply: supply.lowest, celsius: ambient.lowest, parts: "weakest" },
      { supply: supply.usual, celsius: 25, parts: "weakest" },
      { supply: supply.usual, celsius: 25, parts: "usual" },
      { supply: supply.usual, celsius: 25, parts: "strongest" },
      { supply: supply.highest, celsius: ambient.highest, parts: "strongest" },
      { supply: supply.highest, celsius: ambient.lowest, parts: "strongest" },
    ],
  }
}

/** Size of the resistors by their worst heat. */
function sizeOf(ask: Ask, [first]: readonly StringKind[]): string {
  return ratingFor({
    lamp: ask.lamp,
    plan: ask.plan,
    strings: { inSeries: first!.length, strings: [], ohmOf: new Map(), wanted: 0, full: 0 },
    path: pathOf(ask),
    feed: 0,
    ohm: Math.max(first!.ohms[0]!, 50),
    inSeries: first!.length,
    onSection: ask.plan.topology === "switched" ? 1 : 0,
  })
}
