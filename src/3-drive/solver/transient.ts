// A network over time: capacitors, inductors and relays beside it. Each step replaces them by what they are over that
// step (a source behind a resistance, trapezoidal rule, C. W. Gear, Numerical Initial Value Problems, 1971) and solves
// the operating point. The step is chosen so that one step and two half steps agree.

import { Network } from "./network.ts"
import type { Accuracy, OperatingPoint } from "./operating-point.ts"
import { type Answer, type Source, SteppedNetwork } from "./stepped-network.ts"

export interface Capacitor {
  readonly ref: string
  readonly a: string
  readonly b: string
  readonly farad: number
  /** Volt from a to b at the start. */
  readonly volt: number
}
export interface Inductor {
  readonly ref: string
  readonly a: string
  readonly b: string
  readonly henry: number
  /** Ampere from a to b at the start. */
  readonly ampere: number
}
/** A coil (its resistance stands in the network, its inductance here) and a contact that follows its current. */
export interface Relay {
  readonly ref: string
  /** The inductor whose current moves it. */
  readonly coil: string
  readonly pullIn: number
  readonly dropOut: number
  readonly contact: {
    readonly a: string
    readonly b: string
    readonly onOhm: number
    readonly offOhm: number
  }
  readonly closed: boolean
}

export interface TransientCircuit {
  readonly network: Network
  /** What a source of the network gives at a time; absent: what it stands with. */
  readonly sourceAt?: (source: Source, seconds: number) => { readonly volt: number; readonly ohm: number }
  readonly capacitors: readonly Capacitor[]
  readonly inductors: readonly Inductor[]
  readonly relays: readonly Relay[]
  /** Times at which something jumps: a step never crosses one. */
  readonly jumps: readonly number[]
}

export interface Moment {
  readonly seconds: number
  readonly point: OperatingPoint
  readonly volt: Readonly<Record<string, number>>
  readonly ampere: Readonly<Record<string, number>>
  readonly closed: Readonly<Record<string, boolean>>
}

export interface TransientResult {
  /** False when a step had no solution; it ends there. */
  readonly finished: boolean
  readonly steps: number
}

interface State {
  readonly volt: readonly number[]
  readonly voltCurrent: readonly number[]
  readonly ampere: readonly number[]
  readonly ampereVolt: readonly number[]
}

export interface Manner {
  readonly accuracy: Accuracy
  /** Disagreement of one step against two halves that is let pass, volt or ampere beside its share of the value. */
  readonly tolerance: number
  readonly firstStep: number
  readonly longestStep: number
  readonly mostSteps: number
}

/** Runs from 0 to `end`, telling every accepted moment. */
export function transient(
  circuit: TransientCircuit,
  end: number,
  manner: Manner,
  see: (moment: Moment) => void,
): TransientResult {
  const { capacitors, inductors, relays } = circuit
  let state: State = {
    volt: capacitors.map((c) => c.volt),
    voltCurrent: capacitors.map(() => 0),
    ampere: inductors.map((l) => l.ampere),
    ampereVolt: inductors.map(() => 0),
  }
  const closed = relays.map((r) => r.closed)
  const net = new Network(circuit.network)
  const sources = circuit.sourceAt
    ? net.elements.flatMap((source, k) => (source.kind === "source" ? [{ source, k }] : []))
    : []
  const firstOwn = net.elements.length
  const firstCoil = firstOwn + capacitors.length
  const firstRelay = firstCoil + inductors.length
  for (const c of capacitors) net.source(c.ref, c.b, c.a, 0, 1)
  for (const l of inductors) net.source(l.ref, l.b, l.a, 0, 1)
  for (const r of relays) net.resistor(r.ref, r.contact.a, r.contact.b, r.contact.offOhm)
  const network = new SteppedNetwork(net, manner.accuracy)
  const jumps = [...new Set([...circuit.jumps.filter((t) => t > 0 && t < end), end])].sort((a, b) => a - b)
  let t = 0
  let h = manner.firstStep
  let steps = 0
  // After a jump the trapezoidal rule would ring: the first step is by the backward rule.
  let fresh = true
  let last: Answer | undefined
  while (t < end && steps < manner.mostSteps) {
    const stop = jumps.find((j) => j > t + 1e-15 * end)!
    const step = Math.min(h, manner.longestStep, stop - t)
    const whole = advance(state, t, step, fresh, last)
    // What the whole step has found is near what its halves will find.
    const first = advance(state, t, step / 2, fresh, network.between(last, whole?.answer))
    const second = first && advance(first.state, t + step / 2, step / 2, false, whole?.answer ?? first.answer)
    steps++
    const miss = whole && second ? disagreement(whole.state, second.state) : Number.POSITIVE_INFINITY
    if (!(miss <= manner.tolerance) && step > 1e-12 * end) {
      h = step * (Number.isFinite(miss) ? Math.max(0.2, 0.8 * Math.cbrt(manner.tolerance / miss)) : 0.25)
      continue
    }
    if (!second) return { finished: false, steps }
    const flips = relays.some((r, i) => moved(r, i, second.state) !== closed[i])
    if (flips && step > manner.firstStep) {
      // Close in on the moment a contact moves.
      h = step / 4
      continue
    }
    t = stop - t <= step * (1 + 1e-12) ? stop : t + step
    fresh = t === stop
    state = second.state
    last = second.answer
    h = step * Math.min(3, 0.8 * Math.cbrt(manner.tolerance / Math.max(miss, 1e-15)))
    if (fresh) h = Math.min(h, manner.firstStep)
    relays.forEach((r, i) => {
      const now = moved(r, i, state)
      if (now === closed[i]) return
      closed[i] = now
      fresh = true
      h = Math.min(h, manner.firstStep)
    })
    see({
      seconds: t,
      point: network.point(last),
      volt: Object.fromEntries(capacitors.map((c, i) => [c.ref, state.volt[i]!])),
      ampere: Object.fromEntries(inductors.map((l, i) => [l.ref, state.ampere[i]!])),
      closed: Object.fromEntries(relays.map((r, i) => [r.ref, closed[i]!])),
    })
  }
  return { finished: t >= end, steps }

  /** Whether the contact is closed at that state. */
  function moved(r: Relay, i: number, at: State): boolean {
    const amps = Math.abs(at.ampere[inductors.findIndex((l) => l.ref === r.coil)] ?? 0)
    return closed[i] ? amps > r.dropOut : amps >= r.pullIn
  }

  function advance(
    from: State,
    at: number,
    by: number,
    backward: boolean,
    like: Answer | undefined,
  ): { readonly state: State; readonly answer: Answer } | undefined {
    // Sources that jump at the end of this step still have their value from before the jump.
    const now = Math.min(at + by, jumps.find((j) => j > at + 1e-15 * end)! - 1e-12 * end)
    for (const { source, k } of sources) {
      const { volt, ohm } = circuit.sourceAt!(source, now)
      network.setSource(k, volt, ohm)
    }
    const half = backward ? 1 : 2
    capacitors.forEach((c, i) => {
      const ohm = by / (half * c.farad)
      network.setSource(firstOwn + i, -(from.volt[i]! + (backward ? 0 : ohm * from.voltCurrent[i]!)), ohm)
    })
    inductors.forEach((l, i) => {
      const ohm = (half * l.henry) / by
      // i = (v + V)/R with V = R·i₀ + v₀: a source that pushes the old current on.
      network.setSource(firstCoil + i, ohm * from.ampere[i]! + (backward ? 0 : from.ampereVolt[i]!), ohm)
    })
    relays.forEach((r, i) => {
      network.setResistor(firstRelay + i, closed[i] ? r.contact.onOhm : r.contact.offOhm)
    })
    const answer = network.solve(like)
    if (!answer) return undefined
    const between = (p: { readonly a: string; readonly b: string }) =>
      network.voltage(answer, p.a) - network.voltage(answer, p.b)
    return {
      answer,
      state: {
        volt: capacitors.map(between),
        // The companion source delivers from b to a: what it delivers is the current from a to b.
        voltCurrent: capacitors.map((_, i) => network.current(answer, firstOwn + i)),
        ampere: inductors.map((_, i) => network.current(answer, firstCoil + i)),
        ampereVolt: inductors.map(between),
      },
    }
  }
}

/** Greatest difference of two states as a share of the value, with one volt or ampere as the least yardstick. */
function disagreement(a: State, b: State): number {
  let worst = 0
  const look = (x: readonly number[], y: readonly number[], least: number) => {
    x.forEach((v, i) => {
      worst = Math.max(worst, Math.abs(v - y[i]!) / Math.max(Math.abs(y[i]!), least))
    })
  }
  look(a.volt, b.volt, 1)
  look(a.ampere, b.ampere, 0.01)
  return worst
}
