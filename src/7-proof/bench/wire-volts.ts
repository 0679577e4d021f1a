// How a vehicle wire's voltage reaches the controller's pin. The drive room's solved input network says above which
// voltage the pin surely reads live, below which it surely reads dead, and how late its edges come at the most.
// Between the two a pin may read either way: there it changes at random, as a slow edge makes it do.

import { type Random, random } from "../../0-ground/numbers/random.ts"
import { atPin, type WireEdge } from "./wires.ts"

/** What stands behind a wire's edges; without it they are steps from nothing to the usual supply. */
export interface WireVolts {
  /** Volts while live and while dead. */
  readonly live: number
  readonly dead: number
  /** Seconds from one to the other. */
  readonly ramp: number
  /** The supply sags for a while, as when an engine is started. */
  readonly dips?: readonly { readonly from: number; readonly until: number; readonly volt: number }[]
  readonly seed: number
}

/** What the drive room solved for one wire. */
export interface PinNetwork {
  readonly liveAbove: number
  readonly deadBelow: number
  readonly riseDelay: number
  readonly fallDelay: number
}

/** Shortest and longest time a pin between its thresholds stays at one level, seconds. */
const shortest = 40e-6
const longest = 400e-6
/** A wire that stays between the thresholds is followed for this long. */
const undecidedFor = 5

/** Edges at the pin, live and dead by turns. */
export function pinEdges(
  edges: readonly WireEdge[],
  volts: WireVolts | undefined,
  network: PinNetwork,
): WireEdge[] {
  const { riseDelay, fallDelay } = network
  if (!volts) return atPin(edges, riseDelay, fallDelay)
  const chance = random(volts.seed)
  const out: WireEdge[] = []
  let reads = false
  const say = (t: number, live: boolean) => {
    if (live !== reads) out.push({ t, live })
    reads = live
  }
  for (const span of courses(edges, volts)) {
    for (const part of zones(span, network)) {
      if (part.zone !== "between") say(part.from, part.zone === "live")
      else for (const t of turns(part.from, part.until, chance)) say(t, !reads)
    }
  }
  return atPin(out, riseDelay, fallDelay)
}

/** A stretch of time in which the voltage runs straight from one value to another. */
interface Course {
  readonly from: number
  readonly until: number
  readonly begins: number
  readonly ends: number
}

function courses(edges: readonly WireEdge[], v: WireVolts): Course[] {
  const dips = v.dips ?? []
  const times = [
    0,
    ...edges.map((e) => e.t),
    ...dips.flatMap((d) => [d.from, d.until]),
    Number.POSITIVE_INFINITY,
  ].sort((a, b) => a - b)
  const slope = v.ramp > 0 ? Math.abs(v.live - v.dead) / v.ramp : Number.POSITIVE_INFINITY
  const out: Course[] = []
  let volt = v.dead
  for (const [i, from] of times.slice(0, -1).entries()) {
    const until = times[i + 1]!
    if (until <= from) continue
    const live = edges.findLast((e) => e.t <= from)?.live ?? false
    const dip = dips.find((d) => d.from <= from && from < d.until)
    const target = live ? (dip ? Math.min(dip.volt, v.live) : v.live) : v.dead
    const takes = Math.abs(target - volt) / slope
    const arrives = Math.min(until, from + takes)
    const there = takes > 0 ? volt + ((target - volt) * (arrives - from)) / takes : target
    if (arrives > from) out.push({ from, until: arrives, begins: volt, ends: there })
    volt = there
    if (until > arrives)
      out.push({ from: arrives, until: Math.min(until, arrives + 1e6), begins: volt, ends: volt })
  }
  return out
}

interface Part {
  readonly from: number
  readonly until: number
  readonly zone: "dead" | "between" | "live"
}

function zones(c: Course, { deadBelow, liveAbove }: PinNetwork): Part[] {
  const zoneOf = (volt: number) => (volt >= liveAbove ? "live" : volt <= deadBelow ? "dead" : "between")
  if (c.begins === c.ends) return [{ from: c.from, until: c.until, zone: zoneOf(c.ends) }]
  const at = (volt: number) => c.from + ((c.until - c.from) * (volt - c.begins)) / (c.ends - c.begins)
  const cuts = [c.from, at(deadBelow), at(liveAbove), c.until]
    .filter((t) => t >= c.from && t <= c.until)
    .sort((a, b) => a - b)
  return cuts.slice(1).flatMap((until, i): Part[] => {
    const from = cuts[i]!
    if (until <= from) return []
    const middle = c.begins + ((c.ends - c.begins) * ((from + until) / 2 - c.from)) / (c.until - c.from)
    return [{ from, until, zone: zoneOf(middle) }]
  })
}

/** When a pin between its thresholds changes. */
function turns(from: number, until: number, chance: Random): number[] {
  const out: number[] = []
  const end = Math.min(until, from + undecidedFor)
  for (let t = from; ; ) {
    t += shortest + (longest - shortest) * chance.next()
    if (t >= end) return out
    out.push(t)
  }
}
