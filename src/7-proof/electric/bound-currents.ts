// The currents of the LED strings again, by another road: no solver, only intervals that shrink. Every relation
// between string, feed and supply is applied to intervals that surely hold the true values, until nothing moves.
// Whatever the parts within their tolerances, the current of a string lies between the two numbers found.

import type { DiodeModel, LedType } from "../../1-stock/artefact.ts"
import { leds, modelThermalVoltage } from "../../1-stock/leds.ts"
import { partType } from "../../1-stock/parts.ts"
import type { Circuit, LedString, Part } from "../../3-drive/artefact.ts"
import { drift } from "./resistor-drift.ts"
import { type RailBound, railBound, type SinkBound, sinkBound } from "./set-current.ts"

export interface Interval {
  readonly low: number
  readonly high: number
}

export interface Conditions {
  /** At the lamp's end of nothing: at the battery. */
  readonly supply: Interval
  /** Around the parts, °C. */
  readonly temperature: Interval
  /** Names of the wires that are live. */
  readonly live: readonly string[]
  /** Resistance of the way there and back, Ω, at most; 0 at least. */
  readonly wireOhm: number
  /** What else the lamp may draw from the wires, A, at most. */
  readonly otherCurrent: number
  /** Every part as its data sheet's usual one, no tolerance, no warmth of its own: the bounds close in on one lamp. */
  readonly usualParts?: boolean
}

const rounds = 60

/** Bounds on each string's current while it is on, by string name. */
export function boundCurrents(circuit: Circuit, at: Conditions): ReadonlyMap<string, Interval> {
  return new Map(
    drawnTogether(circuit, at).strings.flatMap((s) =>
      s.strings.map((own): [string, Interval] => [own.name, s.current]),
    ),
  )
}

/** What a string's greatest current was reached with. */
export interface StringEnds {
  readonly string: LedString
  readonly current: number
  /** Least voltage of its LEDs at that current. */
  readonly leds: number
  /** What holds the current, where a sink does. */
  readonly sink?: SinkBound
  readonly branches: readonly {
    readonly resistor: string
    readonly ohm: number
    readonly feed: string
    /** False: no live wire feeds it, it floats with its strings. */
    readonly live: boolean
    /** Greatest voltage of the feed. */
    readonly volt: number
  }[]
}

/** The greatest current of one string and the ends of the intervals that make it; undefined for an unknown name. */
export function greatestCurrent(circuit: Circuit, at: Conditions, string: string): StringEnds | undefined {
  const { strings, feeds } = drawnTogether(circuit, at)
  const s = strings.find((b) => b.strings.some((own) => own.name === string))
  const own = s?.strings.find((o) => o.name === string)
  if (!s || !own) return undefined
  const leds = endVolt(s, s.current.high, "low", at)
  const branches = s.branches.map((b) => {
    const feed = feeds.get(b.feed)!
    const volt = feed.volt.high
    const ohm = volt < leds ? b.ohm.high : b.ohm.low
    // The string's own resistor in the place of its equal.
    const resistor = own.resistors[s.strings[0]!.resistors.indexOf(b.ref)] ?? b.ref
    return { resistor, ohm, feed: b.feed, live: feed.live, volt }
  })
  return { string: own, current: s.current.high, leds, branches, ...(s.sink ? { sink: s.sink } : {}) }
}

function drawnTogether(
  circuit: Circuit,
  at: Conditions,
): { readonly strings: readonly BoundString[]; readonly feeds: ReadonlyMap<string, Feed> } {
  const byRef = new Map(circuit.parts.map((p) => [p.ref, p]))
  const wireOf = new Map(circuit.nets.flatMap((n) => (n.wire ? [[n.name, n.wire] as const] : [])))
  const feeds = new Map<string, Feed>()
  const strings = alike(circuit.strings.map((s) => boundString(s, circuit, byRef, at)))
  for (const s of strings) {
    for (const branch of s.branches) {
      const known = feeds.get(branch.feed)
      if (known) known.strings.push(s)
      else feeds.set(branch.feed, { ...liveOf(branch.feed, circuit, wireOf, at), strings: [s] })
    }
  }
  const fed = fedStrings(feeds)
  for (const s of strings) if (!fed.has(s)) s.current = { low: 0, high: 0 }
  for (let k = 0; k < rounds; k++) {
    for (const s of strings)
      s.top = { low: endVolt(s, s.current.low, "low", at), high: endVolt(s, s.current.high, "high", at) }
    for (const f of feeds.values()) f.volt = feedVolt(f, at)
    let moved = 0
    for (const s of fed) {
      const next = {
        low: Math.max(s.current.low, balance(s, feeds, "low", at)),
        high: Math.min(s.current.high, balance(s, feeds, "high", at)),
      }
      for (const b of s.branches) {
        const f = feeds.get(b.feed)!.volt
        b.current = s.sink
          ? { low: next.low, high: next.high + s.sink.bias }
          : {
              low: over(f.low - s.top.high, b.ohm, "low"),
              high: over(f.high - s.top.low, b.ohm, "high"),
            }
      }
      moved = Math.max(moved, next.low - s.current.low, s.current.high - next.high)
      s.current = next
    }
    if (moved < 1e-7) break
  }
  return { strings, feeds }
}

/** Strings of the same LEDs, resistors, feeds and lower end have the same bounds: they are drawn together as one. */
function alike(strings: readonly BoundString[]): BoundString[] {
  const known = new Map<string, BoundString>()
  for (const s of strings) {
    const leds = s.leds.map((l) => `${l.count} ${l.led.key}`).join()
    const branches = s.branches.map((b) => `${b.feed} ${b.ohm.low} ${b.ohm.high}`).join()
    const key = `${leds};${branches};${s.foot.low} ${s.foot.high};${s.sink?.bias}`
    const equal = known.get(key)
    if (equal) equal.strings.push(...s.strings)
    else known.set(key, s)
  }
  return [...known.values()]
}

/** Strings that a live feed reaches, directly or through other strings; the others carry nothing. */
function fedStrings(feeds: ReadonlyMap<string, Feed>): Set<BoundString> {
  const fed = new Set<BoundString>()
  const open = [...feeds.values()].filter((f) => f.live)
  const seen = new Set(open)
  for (let f = open.pop(); f; f = open.pop()) {
    for (const s of f.strings) {
      fed.add(s)
      for (const b of s.branches) {
        const other = feeds.get(b.feed)!
        if (seen.has(other)) continue
        seen.add(other)
        open.push(other)
      }
    }
  }
  return fed
}

/**
 * The current at which the branches bring as much as the string takes, with every feed, resistor and LED at the end
 * that makes it least or greatest. What comes falls and what goes rises with the current, so halving finds it; the
 * outer side of the last half is returned.
 */
function balance(
  s: BoundString,
  feeds: ReadonlyMap<string, Feed>,
  end: "low" | "high",
  at: Conditions,
): number {
  let low = 0
  let high = s.current.high
  for (let k = 0; k < 34; k++) {
    const i = (low + high) / 2
    const top = endVolt(s, i, end === "low" ? "high" : "low", at)
    let comes = 0
    // A starved sink stands fully on: its sense resistor and the base current through it take what is left.
    const sat = s.sink && end === "low" ? s.sink.saturation : 0
    for (const b of s.branches) comes += over(feeds.get(b.feed)!.volt[end] - top - sat, b.ohm, end)
    if (s.sink && end === "low") comes -= s.sink.bias
    if (comes > i) low = i
    else high = i
  }
  const found = end === "low" ? low : high
  return s.sink ? Math.min(found, s.sink.current[end]) : found
}

/** One resistor between a feed and the upper end of a string; current towards the string. */
interface Branch {
  readonly ref: string
  readonly feed: string
  readonly ohm: Interval
  current: Interval
}

interface BoundString {
  /** One, or several that are alike. */
  readonly strings: LedString[]
  readonly branches: readonly Branch[]
  readonly leds: readonly { readonly led: LedType; readonly count: number }[]
  /** Voltage at the earth end. */
  readonly foot: Interval
  readonly sink?: SinkBound
  current: Interval
  top: Interval
}

interface Feed {
  readonly name: string
  readonly live: boolean
  readonly diodes: readonly Part[]
  /** A regulator between the diodes and this net. */
  readonly rail?: RailBound
  readonly strings: BoundString[]
  volt: Interval
}

function boundString(
  string: LedString,
  circuit: Circuit,
  byRef: ReadonlyMap<string, Part>,
  at: Conditions,
): BoundString {
  const branches = string.resistors.flatMap((ref) => {
    const part = byRef.get(ref)
    if (!part || part.amount === undefined) return []
    const type = partType(part.stock)
    const { model } = type
    const tolerance = at.usualParts
      ? 0
      : (model.kind === "resistor" ? model.tolerance : 0.05) + drift(type, at)
    const feed = string.sink ? string.nets[0] : Object.values(part.pins).find((n) => !string.nets.includes(n))
    const ohm = { low: part.amount * (1 - tolerance), high: part.amount * (1 + tolerance) }
    if (feed === undefined) return []
    const most = at.supply.high / ohm.low
    return [{ ref, feed, ohm, current: { low: -most, high: most } }]
  })
  const members = new Map<LedType, number>()
  for (const ref of string.leds) {
    const led = leds.find(byRef.get(ref)?.stock ?? "")
    if (led) members.set(led, (members.get(led) ?? 0) + 1)
  }
  const end = string.sink?.foot ?? string.nets[string.nets.length - 1]
  const sink = sinkBound(string, byRef, at)
  const conductance = branches.reduce((sum, b) => sum + 1 / b.ohm.low, 0)
  return {
    strings: [string],
    branches,
    leds: [...members].map(([led, count]) => ({ led, count })),
    foot: end === circuit.earth ? { low: 0, high: 0 } : sectionDrop(circuit, end!, at),
    ...(sink ? { sink } : {}),
    current: { low: 0, high: at.supply.high * conductance },
    top: { low: 0, high: at.supply.high },
  }
}

/** Output voltage of a low-side section that is on: anything up to the greatest, with half a volt for a weakly driven base. */
function sectionDrop(circuit: Circuit, net: string, at: Conditions): Interval {
  const array = circuit.parts.find((p) => p.kind === "low-side-array" && Object.values(p.pins).includes(net))
  const model = array && partType(array.stock).model
  if (model?.kind !== "low-side-array") return { low: 0, high: 0 }
  if (!at.usualParts) return { low: 0, high: Math.max(...model.dropAt.map((d) => d.high)) + 0.5 }
  const usual = model.dropAt.map((d) => d.usual)
  return { low: 0.9 * Math.min(...usual), high: Math.max(...usual) }
}

function liveOf(
  feed: string,
  circuit: Circuit,
  wireOf: ReadonlyMap<string, string>,
  at: Conditions,
): Omit<Feed, "strings"> {
  const volt = { low: 0, high: at.supply.high }
  const rail = railBound(circuit, feed, at)
  if (rail) return { ...liveOf(rail.feed, circuit, wireOf, at), name: feed, rail }
  const own = wireOf.get(feed)
  if (own !== undefined) return { name: feed, live: at.live.includes(own), diodes: [], volt }
  const diodes = circuit.parts.filter((p) => p.kind === "diode" && p.pins.K === feed)
  const from = diodes.filter((d) => at.live.includes(wireOf.get(d.pins.A ?? "") ?? ""))
  return { name: feed, live: from.length > 0, diodes: from, volt }
}

/** Least or greatest voltage of the string's upper end at a current. */
function endVolt(s: BoundString, current: number, end: "low" | "high", at: Conditions): number {
  let volt = s.foot[end]
  for (const { led, count } of s.leds) {
    const warm = at.temperature.high + (at.usualParts ? 0 : current * 4 * led.thermalResistance)
    const a = led.voltagePerKelvin * (at.temperature.low - 25)
    const b = led.voltagePerKelvin * (warm - 25)
    volt +=
      count *
      Math.max(
        0,
        junction(led.model[at.usualParts ? "usual" : end], current) +
          (end === "low" ? Math.min(a, b) : Math.max(a, b)),
      )
  }
  return volt
}

/**
 * A live feed stands at the supply less wire and diode; a diode that blocks lets it float up to its strings.
 * Into a dark feed no current flows on balance: it floats at the mean of its strings' ends, weighted by conductance.
 */
function feedVolt(f: Feed, at: Conditions): Interval {
  const own = f.strings.flatMap((s) =>
    s.branches.filter((b) => b.feed === f.name).map((b) => ({ ...b, top: s.top, times: s.strings.length })),
  )
  if (!f.live)
    return own.length === 0
      ? f.volt
      : { low: mean(own, "low"), high: Math.min(mean(own, "high"), at.supply.high) }
  const least = Math.max(
    0,
    own.reduce((sum, b) => sum + b.times * b.current.low, 0),
  )
  const most = Math.max(
    0,
    own.reduce((sum, b) => sum + b.times * b.current.high, 0),
  )
  let dropLow = Number.POSITIVE_INFINITY
  let dropHigh = 0
  for (const d of f.diodes) {
    const { model } = partType(d.stock)
    if (model.kind !== "diode") continue
    const warm = at.temperature.high + (at.usualParts ? 0 : most * 1.5 * model.thermalResistance)
    const spread = at.usualParts ? 0 : model.spread
    const shift = [at.temperature.low, warm].map((t) => model.voltagePerKelvin * (t - 25))
    // Diodes from several live wires share the current: the least any of them drops is at a share of it.
    const share = least / f.diodes.length
    dropLow = Math.min(dropLow, Math.max(0, junction(model.law, share) - spread + Math.min(...shift)))
    dropHigh = Math.max(dropHigh, junction(model.law, most) + spread + Math.max(...shift))
  }
  if (f.diodes.length === 0) dropLow = 0
  const wire = at.wireOhm * (most + at.otherCurrent)
  const low = Math.max(0, at.supply.low - wire - dropHigh)
  const high = least > 0 ? at.supply.high - dropLow : at.supply.high
  const { rail } = f
  if (!rail) return { low, high }
  return {
    low: Math.max(
      0,
      Math.min(
        rail.volt.low - rail.perAmpere * (most + 0.02),
        low - rail.headroom - rail.dropout * (most + 0.02),
      ),
    ),
    high: Math.min(rail.volt.high, high - (at.usualParts ? rail.headroom : 0)),
  }
}

/**
 * Least or greatest weighted mean of the string ends with every conductance free in its interval: the extreme is
 * reached with the ends on one side of the mean at full weight and the others at least weight.
 */
function mean(
  branches: readonly { readonly ohm: Interval; readonly top: Interval; readonly times: number }[],
  end: "low" | "high",
): number {
  const sign = end === "low" ? 1 : -1
  const sorted = branches
    .map((b) => ({ v: b.top[end], most: b.times / b.ohm.low, least: b.times / b.ohm.high }))
    .sort((a, b) => sign * (a.v - b.v))
  let best = sign * Number.POSITIVE_INFINITY
  for (let full = 0; full <= sorted.length; full++) {
    let sum = 0
    let weight = 0
    for (const [k, b] of sorted.entries()) {
      const g = k < full ? b.most : b.least
      sum += g * b.v
      weight += g
    }
    if (sign * (sum / weight - best) < 0) best = sum / weight
  }
  return best
}

/** Diode law turned round: V = n·Vt·ln(1 + i/Is) + i·Rs. */
function junction(m: DiodeModel, i: number): number {
  return i <= 0 ? 0 : m.emission * modelThermalVoltage * Math.log1p(i / m.saturation) + i * m.series
}

/** v ÷ R at the end asked for, whatever the sign of v. */
function over(v: number, ohm: Interval, end: "low" | "high"): number {
  return v / ((end === "low") === v >= 0 ? ohm.high : ohm.low)
}
