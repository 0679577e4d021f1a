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

/** Latest first light after the wire went live, and latest light after it fell, ms. */
export function latency(circuit: Circuit, inputs: readonly BehaviourInput[], l: Line) {
  const through = l.live.map((i) => {
    const input = inputs[i]!
    const network = circuit.inputs.find((n) => n.wire === input.wire)
    return {
      on: 1000 * (network?.riseDelay ?? 0) + input.assertMs,
      off: 1000 * (network?.fallDelay ?? 0) + input.releaseMs,
    }
  })
  return {
    first: Math.max(...through.map((t) => t.on)) + showMs,
    after: Math.max(...through.map((t) => t.off)) + showMs + 1000 * l.line.fall,
  }
}
