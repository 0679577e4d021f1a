// A network over time: capacitors, inductors and relays beside it. Each step replaces them by what they are over that
// step (a source behind a resistance, trapezoidal rule, C. W. Gear, Numerical Initial Value Problems, 1971) and solves
// the operating point. The step is chosen so that one step and two half steps agree.

import type { Network } from "./network.ts"
import { type Accuracy, type OperatingPoint, operatingPoint } from "./operating-point.ts"

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
  /** The network at a time; sources may depend on it, its nodes and elements may not. */
  network(seconds: number): Network
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
  const jumps = [...new Set([...circuit.jumps.filter((t) => t > 0 && t < end), end])].sort((a, b) => a - b)
  let t = 0
  let h = manner.firstStep
  let steps = 0
  // After a jump the trapezoidal rule would ring: the first step is by the backward rule.
  let fresh = true
  let last: OperatingPoint | undefined
  while (t < end && steps < manner.mostSteps) {
    const stop = jumps.find((j) => j > t + 1e-15 * end)!
    const step = Math.min(h, manner.longestStep, stop - t)
    const whole = advance(state, t, step, fresh, last)
    const first = advance(state, t, step / 2, fresh, last)
    const second = first && advance(first.state, t + step / 2, step / 2, false, first.point)
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
    last = second.point
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
      point: last,
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
    like: OperatingPoint | undefined,
  ): { readonly state: State; readonly point: OperatingPoint } | undefined {
    // Sources that jump at the end of this step still have their value from before the jump.
    const network = circuit.network(Math.min(at + by, jumps.find((j) => j > at + 1e-15 * end)! - 1e-12 * end))
    const half = backward ? 1 : 2
    capacitors.forEach((c, i) => {
      const ohm = by / (half * c.farad)
      network.source(c.ref, c.b, c.a, -(from.volt[i]! + (backward ? 0 : ohm * from.voltCurrent[i]!)), ohm)
    })
    inductors.forEach((l, i) => {
      const ohm = (half * l.henry) / by
      // i = (v + V)/R with V = R·i₀ + v₀: a source that pushes the old current on.
      network.source(l.ref, l.b, l.a, ohm * from.ampere[i]! + (backward ? 0 : from.ampereVolt[i]!), ohm)
    })
    relays.forEach((r, i) => {
      network.resistor(r.ref, r.contact.a, r.contact.b, closed[i] ? r.contact.onOhm : r.contact.offOhm)
    })
    const point = operatingPoint(network, manner.accuracy, like)
    if (!point.converged) return undefined
    const between = (p: { readonly a: string; readonly b: string }) => node(point, p.a) - node(point, p.b)
    return {
      point,
      state: {
        volt: capacitors.map(between),
        // The companion source delivers from b to a: what it delivers is the current from a to b.
        voltCurrent: capacitors.map((c) => point.current(c.ref)),
        ampere: inductors.map((l) => point.current(l.ref)),
        ampereVolt: inductors.map(between),
      },
    }
  }
}

const node = (point: OperatingPoint, name: string) => (name === "0" ? 0 : point.voltage(name))

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
