// How a vehicle wire's voltage reaches the controller's pin. The drive room's solved input network says above which
// voltage the pin surely reads live, below which it surely reads dead, and how late its edges come at the usual
// supply: a resistance and a capacitor, which round every edge and let low supplies come later than high ones.
// Between the two thresholds a pin may read either way: there it changes at random, as a slow edge makes it do.

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

/** What the drive room solved for one wire, at the wire's own voltage. */
export interface PinNetwork {
  readonly liveAbove: number
  readonly deadBelow: number
  /** Of a step between nothing and `usual`, seconds. */
  readonly riseDelay: number
  readonly fallDelay: number
  /** Supply at which the delays were solved. */
  readonly usual: number
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
  if (!volts) return atPin(edges, network.riseDelay, network.fallDelay)
  const chance = random(volts.seed)
  const out: WireEdge[] = []
  let reads = false
  const say = (t: number, live: boolean) => {
    if (live !== reads) out.push({ t, live })
    reads = live
  }
  for (const part of parts(filtered(courses(edges, volts), lagOf(network)), network)) {
    if (part.zone !== "between") say(part.from, part.zone === "live")
    else for (const t of turns(part.from, part.until, chance)) say(t, !reads)
  }
  return out
}

/** When the wire itself, before the network, comes above a voltage and falls below it. */
export function wireEdges(edges: readonly WireEdge[], volts: WireVolts, level: number): WireEdge[] {
  const out: WireEdge[] = []
  for (const { from, zone } of parts(filtered(courses(edges, volts), 0), {
    liveAbove: level,
    deadBelow: level,
  }))
    if ((out.at(-1)?.live ?? false) !== (zone === "live")) out.push({ t: from, live: zone === "live" })
  return out
}

/** Time constant of the network, seconds: a step of the usual supply comes to either threshold within its delay. */
export function lagOf({ liveAbove, deadBelow, riseDelay, fallDelay, usual }: PinNetwork): number {
  const rise = Math.log(usual / (usual - liveAbove))
  const fall = Math.log(usual / deadBelow)
  // A threshold beyond the supply says nothing; the delay itself is then the longest the constant can be.
  const constant = (delay: number, share: number) => (share > 0 ? delay / share : delay)
  return Math.max(constant(riseDelay, rise), constant(fallDelay, fall))
}

/** A stretch of time in which the wire's voltage runs straight from one value to another. */
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
  let next = 0
  let live = false
  for (const [i, from] of times.slice(0, -1).entries()) {
    while (next < edges.length && edges[next]!.t <= from) live = edges[next++]!.live
    const until = times[i + 1]!
    if (until <= from) continue
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

/** A stretch in which the voltage behind the network only rises or only falls. */
interface Slope {
  readonly from: number
  readonly until: number
  readonly at: (t: number) => number
}

/** The network's lag over the courses; `lag` 0: none. */
function* filtered(list: readonly Course[], lag: number): Generator<Slope> {
  let volt = list[0]?.begins ?? 0
  for (const { from, until, begins, ends } of list) {
    const rate = (ends - begins) / (until - from)
    const wire = (t: number) => begins + rate * (t - from)
    if (lag <= 0) {
      yield { from, until, at: wire }
      continue
    }
    // Of lag · y' + y = begins + rate · t the part that dies away.
    const dying = volt - begins + rate * lag
    const at = (t: number) => wire(t) - rate * lag + dying * Math.exp((from - t) / lag)
    // It turns at most once, where it meets the wire's own voltage.
    const share = dying / (rate * lag)
    const turn = share > 1 ? from + lag * Math.log(share) : Number.POSITIVE_INFINITY
    if (turn > from && turn < until) {
      yield { from, until: turn, at }
      yield { from: turn, until, at }
    } else yield { from, until, at }
    volt = at(until)
  }
}

interface Part {
  readonly from: number
  readonly until: number
  readonly zone: "dead" | "between" | "live"
}

function* parts(
  slopes: Iterable<Slope>,
  { liveAbove, deadBelow }: Pick<PinNetwork, "liveAbove" | "deadBelow">,
): Generator<Part> {
  for (const s of slopes) {
    const rising = s.at(s.until) >= s.at(s.from)
    const thresholds = rising ? [deadBelow, liveAbove] : [liveAbove, deadBelow]
    const cuts = [s.from, ...thresholds.flatMap((level) => crossing(s, level)), s.until]
    for (let i = 1; i < cuts.length; i++) {
      const [from, until] = [cuts[i - 1]!, cuts[i]!]
      if (until <= from) continue
      const volt = s.at((from + until) / 2)
      yield { from, until, zone: volt >= liveAbove ? "live" : volt <= deadBelow ? "dead" : "between" }
    }
  }
}

/** Where a slope passes a voltage, by halving. */
function crossing({ from, until, at }: Slope, level: number): number[] {
  const above = at(from) >= level
  if (at(until) >= level === above) return []
  let [low, high] = [from, until]
  for (let i = 0; i < 80 && high - low > 1e-9; i++) {
    const middle = (low + high) / 2
    if (at(middle) >= level === above) low = middle
    else high = middle
  }
  return [high]
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
