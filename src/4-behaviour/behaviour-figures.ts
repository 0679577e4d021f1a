// The figures of a line, with what they were worked out from.

import { type Figure, fact, result } from "../0-ground/figure.ts"
import { computed, described, type Source } from "../0-ground/source.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { BehaviourInput } from "./artefact.ts"
import { flasherTiming } from "./flasher-timing.ts"
import { latency, shortSweep, showMs, slowestClock } from "./line-times.ts"
import type { Line } from "./programme-line.ts"
import { round } from "./where-line.ts"

export const figureId = (l: Line) => `behaviour.${l.group.name}.line-${l.index + 1}`

export function figuresOf(circuit: Circuit, inputs: readonly BehaviourInput[], l: Line): Figure[] {
  const id = figureId(l)
  const { first, after } = latency(circuit, inputs, l)
  const slowest = inputs[l.live[0]!]!
  const network = circuit.inputs.find((n) => n.wire === slowest.wire)
  const filter = fact(
    `${id}.assert`,
    "filter, to live",
    slowest.assertMs,
    "ms",
    chosen("shorter than any flash, longer than contact bounce"),
  )
  const release = fact(
    `${id}.release`,
    "filter, to dead",
    slowest.releaseMs,
    "ms",
    chosen("bridges a bouncing contact"),
  )
  const show = fact(`${id}.show`, "a look to its light", showMs, "ms", chosen("one look a millisecond"))
  const rising = fact(
    `${id}.network-rise`,
    "input network, rising edge",
    1000 * (network?.riseDelay ?? 0),
    "ms",
    computed("input network of the circuit"),
  )
  const falling = fact(
    `${id}.network-fall`,
    "input network, falling edge",
    1000 * (network?.fallDelay ?? 0),
    "ms",
    computed("input network of the circuit"),
  )
  const fall = fact(`${id}.fall`, "fall", 1000 * l.line.fall, "ms", described(`programme.${l.index}.fall`))
  const figures = [
    result(
      `${id}.first-light`,
      "wire live to first light, at most",
      round(first),
      "ms",
      "input network + filter + showing",
      [rising, filter, show],
    ),
    result(
      `${id}.light-after-fall`,
      "wire dead to dark, at most",
      round(after),
      "ms",
      "input network + filter + showing + fall",
      [falling, release, show, fall],
    ),
  ]
  if (!l.line.sweep) return figures
  const within = fact(
    `${id}.sweep`,
    "sweep, at most",
    1000 * l.line.sweep.within,
    "ms",
    described(`programme.${l.index}.sweep.within`),
  )
  const share = fact(
    `${id}.share`,
    "share of the on-time",
    flasherTiming.sweepShare / 256,
    "",
    chosen("leaves 15 % for filter, bounce and input network"),
  )
  const shortest = fact(
    `${id}.shortest-on`,
    "shortest accepted on-time",
    flasherTiming.shortestOnMs,
    "ms",
    chosen("fast flash at the usual rates still gives 120 ms"),
  )
  const clock = fact(`${id}.slowest-clock`, "slowest clock", slowestClock, "", {
    document: "ceramic resonator, 0.5 % over temperature and age",
    known: "memory",
    confidence: "M",
  })
  return [
    ...figures,
    within,
    result(
      `${id}.sweep-end`,
      "first light to the last LED's full light, at most",
      round(within.value * slowestClock),
      "ms",
      "sweep × slowest clock",
      [within, clock],
    ),
    result(
      `${id}.short-sweep`,
      "sweep while on-times are not known",
      shortSweep(within.value),
      "ms",
      "lesser of the sweep and share × shortest accepted on-time",
      [within, share, shortest],
    ),
  ]
}

const chosen = (why: string): Source => ({ document: "chosen", place: why, known: "chosen" })
