// Times of a line that follow from the filter, the input network and the sweep.

import type { Circuit } from "../3-drive/artefact.ts"
import type { BehaviourInput } from "./artefact.ts"
import { flasherTiming } from "./flasher-timing.ts"
import type { Line } from "./programme-line.ts"

/** What a look decides shows this much later. */
export const showMs = 1

/** A ceramic resonator may run this much slow (0.5 % over temperature and age). */
export const slowestClock = 1.005

/** Sweep time while on-times are not trusted. */
export const shortSweep = (within: number): number =>
  Math.min(within, Math.floor((flasherTiming.shortestOnMs * flasherTiming.sweepShare) / 256))

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
