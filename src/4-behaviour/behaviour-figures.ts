// The figures of a line, with what they were worked out from.

import { type Figure, fact, result } from "../0-ground/figure.ts"
import { computed, described, type Source } from "../0-ground/source.ts"
import type { Wire } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { BehaviourInput, FlasherTiming } from "./artefact.ts"
import { flasherTiming, legalTiming, longestLegalOnMs } from "./flasher-timing.ts"
import { latency, shortSweep, showMs, slowestClock, sweepPlan } from "./line-times.ts"
import type { Line } from "./programme-line.ts"
import { round } from "./where-line.ts"

/** What may be asked about one line; times in ms. */
export interface LineFigures {
  readonly rise: Figure
  readonly fall: Figure
  readonly firstLight: Figure
  /** First light and rise together. */
  readonly fullLight: Figure
  readonly lightAfterFall: Figure
  /** Lines with a sweep only. */
  readonly sweep?: SweepFigures
}

export interface SweepFigures {
  readonly within: Figure
  readonly end: Figure
  /** Of the first flash: from the wire going live to the last LED full. */
  readonly inFlash: Figure
  /** On-time of the flasher as described and the sweep time it leaves; absent where no flashing wire tells its rate. */
  readonly described?: { readonly onTime: Figure; readonly room: Figure }
}

/** Only what stands by itself: the rest is found as inputs. */
export const allOf = ({
  rise,
  fall,
  firstLight,
  fullLight,
  lightAfterFall,
  sweep,
}: LineFigures): Figure[] => [
  ...[rise, fall, firstLight, fullLight, lightAfterFall],
  ...(sweep
    ? [sweep.within, sweep.end, sweep.inFlash, ...(sweep.described ? [sweep.described.room] : [])]
    : []),
]

export function figuresOf(
  circuit: Circuit,
  inputs: readonly BehaviourInput[],
  wires: readonly Wire[],
  timing: FlasherTiming,
  l: Line,
): LineFigures {
  const id = `behaviour.${l.group.name}.line-${l.index + 1}`
  const { first, after, slowestOn, slowestOff } = latency(circuit, inputs, l)
  const rise = timeOf(l, "rise", 1000 * l.line.rise)
  const fall = timeOf(l, "fall", 1000 * l.line.fall)
  const on = slowestOn.input
  const off = slowestOff.input
  const firstLight = result(
    `${id}.first-light`,
    "wire live to first light, at most",
    round(first),
    "ms",
    "input network + filter + showing, by the slowest wire of the line",
    [
      delayOf(circuit, on.wire, "rise", slowestOn.rise),
      fact(
        `behaviour.input.${on.wire}.assert`,
        `filter of ${on.wire}, to live`,
        on.assertMs,
        "ms",
        chosen("shorter than any flash, longer than contact bounce"),
      ),
      show,
    ],
  )
  const lightAfterFall = result(
    `${id}.light-after-fall`,
    "wire dead to dark, at most",
    round(after),
    "ms",
    "input network + filter + showing + fall, by the slowest wire of the line",
    [
      delayOf(circuit, off.wire, "fall", slowestOff.fall),
      fact(
        `behaviour.input.${off.wire}.release`,
        `filter of ${off.wire}, to dead`,
        off.releaseMs,
        "ms",
        chosen("bridges a bouncing contact"),
      ),
      show,
      fall,
    ],
  )
  const fullLight = result(
    `${id}.full-light`,
    "wire live to full light, at most",
    round(first + 1000 * l.line.rise),
    "ms",
    "first light + rise",
    [firstLight, rise],
  )
  const line = { rise, fall, firstLight, fullLight, lightAfterFall }
  return l.line.sweep ? { ...line, sweep: sweepOf(id, wires, timing, l, first, firstLight) } : line
}

function sweepOf(
  id: string,
  wires: readonly Wire[],
  timing: FlasherTiming,
  l: Line,
  first: number,
  firstLight: Figure,
): SweepFigures {
  const plan = sweepPlan({ ...l.line, level: 1 }, timing)!
  const { share: part } = l.line.sweep!
  const share =
    part === undefined
      ? usualShare
      : fact(
          `description.programme.${l.index}.sweep.within`,
          `share of the on-time that the sweep takes, line ${l.index + 1} of the programme`,
          round(100 * part),
          "%",
          described(`programme.${l.index}.sweep.within`),
        )
  const shortest =
    timing.shortestOnMs === flasherTiming.shortestOnMs
      ? usualShortest
      : fact(
          "description.flashing.shortest-on",
          "shortest accepted on-time",
          timing.shortestOnMs,
          "ms",
          described("flashing.shortest-on"),
        )
  const within =
    part === undefined ? timeOf(l, "sweep.within", 1000 * l.line.sweep!.within) : longest(id, l, share)
  const short = result(
    `${id}.short-sweep`,
    "sweep while on-times are not known",
    shortSweep(plan, timing),
    "ms",
    "lesser of the sweep and share × shortest accepted on-time, in whole milliseconds",
    [within, share, shortest],
  )
  const onTime = describedOnTime(wires, l)
  return {
    within,
    end: result(
      `${id}.sweep-end`,
      "first light to the last LED's full light, at most",
      round(within.value * slowestClock),
      "ms",
      "sweep × slowest clock",
      [within, clock],
    ),
    inFlash: result(
      `${id}.sweep-in-flash`,
      "wire live to all lit in the first flash, at most",
      round(first + short.value),
      "ms",
      "first light + sweep while on-times are not known",
      [firstLight, short],
    ),
    ...(onTime
      ? {
          described: {
            onTime,
            room: result(
              `${id}.sweep-room`,
              "sweep the flasher as described leaves",
              Math.floor((onTime.value * plan.share) / 256),
              "ms",
              "share × on-time, in whole milliseconds",
              [share, onTime],
            ),
          },
        }
      : {}),
  }
}

/** The longest that a sweep taking a share can last: with the slowest legal flasher, or as held by hand. */
function longest(id: string, l: Line, share: Figure): Figure {
  const { atMost } = l.line.sweep!
  const legal = fact(
    "behaviour.longest-legal-on",
    "longest legal on-time",
    longestLegalOnMs,
    "ms",
    legalTiming,
  )
  const free = (longestLegalOnMs * share.value) / 100
  const path = `programme.${l.index}.sweep.at-most`
  const held =
    atMost === undefined
      ? []
      : [fact(`description.${path}`, "sweep, at most", round(1000 * atMost), "ms", described(path))]
  return result(
    `${id}.longest-sweep`,
    "longest sweep",
    round(Math.min(free, atMost === undefined ? free : 1000 * atMost)),
    "ms",
    held.length > 0
      ? "lesser of share × longest legal on-time and the sweep at most"
      : "share × longest legal on-time",
    [share, legal, ...held],
  )
}

/** Shortest on-time of the line's flashing wires as described, ms. */
function describedOnTime(wires: readonly Wire[], l: Line): Figure | undefined {
  const times = wires.flatMap((w) => {
    if (w.role !== "flashing" || !l.line.when.includes(w.name) || !w.rate || !w.onShare) return []
    const path = `vehicle.wires.${w.name}`
    return [
      result(
        `behaviour.input.${w.name}.on-time`,
        `time ${w.name} is live in a flash`,
        (1000 * w.onShare) / w.rate,
        "ms",
        "share of the time it is live ÷ flash rate",
        [
          fact(
            `description.${path}.on-share`,
            `share of the time ${w.name} is live`,
            w.onShare * 100,
            "%",
            described(`${path}.on-share`),
          ),
          fact(
            `description.${path}.rate`,
            `flash rate of ${w.name}`,
            w.rate * 60,
            "/min",
            described(`${path}.rate`),
          ),
        ],
      ),
    ]
  })
  return times.length > 0 ? times.reduce((a, b) => (b.value < a.value ? b : a)) : undefined
}

/** A time of the line, as the programme says it. */
function timeOf(l: Line, key: "rise" | "fall" | "sweep.within", ms: number): Figure {
  const path = `programme.${l.index}.${key}`
  const name = key === "sweep.within" ? "sweep, at most" : key
  return fact(
    `description.${path}`,
    `${name}, line ${l.index + 1} of the programme`,
    Number(ms.toPrecision(12)),
    "ms",
    described(path),
  )
}

/** The circuit's own figure of the delay, where there is one that says so. */
function delayOf(circuit: Circuit, wire: string, edge: "rise" | "fall", ms: number): Figure {
  const id = `drive.input.${wire}.${edge}-delay`
  return (
    circuit.figures.find((f) => f.id === id) ??
    fact(
      id,
      `input network of ${wire}, ${edge === "rise" ? "rising" : "falling"} edge`,
      ms,
      "ms",
      computed("input network of the circuit"),
    )
  )
}

const chosen = (why: string): Source => ({ document: "chosen by this program", place: why, known: "chosen" })

const show = fact("behaviour.showing", "a look to its light", showMs, "ms", chosen("one look a millisecond"))
const usualShare = fact(
  "behaviour.sweep-share",
  "share of an on-time that a sweep may take",
  (100 * flasherTiming.sweepShare) / 256,
  "%",
  chosen("leaves 15 % for filter, bounce and input network"),
)
const usualShortest = fact(
  "behaviour.shortest-on",
  "shortest accepted on-time",
  flasherTiming.shortestOnMs,
  "ms",
  chosen("fast flash at the usual rates still gives 120 ms"),
)
const clock = fact("behaviour.slowest-clock", "slowest clock", slowestClock, "", {
  document: "ceramic resonator, 0.5 % over temperature and age",
  known: "memory",
  confidence: "M",
})
