// Times of a line that follow from the filter, the input network and the sweep.

import type { ProgrammeLine } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { BehaviourInput, FlasherTiming } from "./artefact.ts"
import type { Line } from "./programme-line.ts"
import { longestSweepMs } from "./table-layout.ts"

/** What a look decides shows this much later. */
export const showMs = 1

/** A ceramic resonator may run this much slow (0.5 % over temperature and age). */
export const slowestClock = 1.005

export interface SweepPlan {
  /** Never longer than this, ms. */
  readonly atMostMs: number
  /** The time that rise and starts are meant for, ms. */
  readonly nominalMs: number
  /** Share of the shortest known on-time it may take, in 1/256. */
  readonly share: number
}

/** What a line's sweep may take; undefined for a line that shows no light. */
export function sweepPlan({ sweep, level }: ProgrammeLine, timing: FlasherTiming): SweepPlan | undefined {
  if (!sweep || level <= 0) return undefined
  const clamp = (seconds: number) => Math.min(longestSweepMs, Math.max(2, Math.round(1000 * seconds)))
  const nominalMs = clamp(sweep.within)
  if (sweep.share === undefined) return { atMostMs: nominalMs, nominalMs, share: timing.sweepShare }
  return {
    atMostMs: sweep.atMost === undefined ? longestSweepMs : clamp(sweep.atMost),
    nominalMs,
    share: Math.min(timing.sweepShare, Math.floor(256 * sweep.share + 1e-9)),
  }
}

/** Sweep time while on-times are not known. */
export const shortSweep = ({ atMostMs, share }: SweepPlan, timing: FlasherTiming): number =>
  Math.min(atMostMs, Math.floor((timing.shortestOnMs * share) / 256))

/** Latest first light after the wire went live, and latest light after it fell, ms; and the slowest wire of each. */
export function latency(circuit: Circuit, inputs: readonly BehaviourInput[], l: Line) {
  const through = l.live.map((i) => {
    const input = inputs[i]!
    const network = circuit.inputs.find((n) => n.wire === input.wire)
    const rise = 1000 * (network?.riseDelay ?? 0)
    const fall = 1000 * (network?.fallDelay ?? 0)
    return { input, rise, fall, on: rise + input.assertMs, off: fall + input.releaseMs }
  })
  const slowestOn = through.reduce((a, b) => (b.on > a.on ? b : a))
  const slowestOff = through.reduce((a, b) => (b.off > a.off ? b : a))
  return {
    first: slowestOn.on + showMs,
    after: slowestOff.off + showMs + 1000 * l.line.fall,
    slowestOn,
    slowestOff,
  }
}
