// All LEDs of a board at once: errors they share beside those of each one, the smallest hole that does, and which
// error is worth less of.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { practice } from "../../0-ground/source.ts"
import type { Lamp, LedPlace } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { readOff, type Told } from "../told.ts"
import { boardHole, faceHole, leadBend, templateScale } from "./fit-facts.ts"
import { fit } from "./fit-findings.ts"
import { fixedFastener } from "./position-tolerance.ts"
import { entersTogether, type Shared } from "./shared-errors.ts"
import { widerHole } from "./wider-hole.ts"
import type { Entering } from "./yield.ts"

/** Screw of a clearance hole: the thickest whose fine hole is no wider (ISO 273). */
const screws = [
  { thread: 2, fine: 2.2 },
  { thread: 2.5, fine: 2.7 },
  { thread: 3, fine: 3.2 },
  { thread: 4, fine: 4.3 },
  { thread: 5, fine: 5.3 },
] as const
const clearanceHoles = {
  document: "ISO 273, fine series",
  place: "seen in a secondary table",
  known: "read",
} as const

/** Errors of one axis of hole against LED, the screws' included. */
interface Errors {
  readonly face: number
  readonly board: number
  /** LEDs only. */
  readonly bend: number
  /** Share, not percent. */
  readonly scale: number
}

/**
 * `alone`: the same chance without anything shared; `enough`: the hole that then does in 99 of 100 builds; `widest`:
 * beyond it the LEDs' flange is not held.
 */
export function together(
  lamp: Lamp,
  board: Board,
  group: string,
  e: Entering,
  here: readonly LedPlace[],
  enough: number,
  widest: number,
  alone: Figure,
): Told {
  const places = here.map((l) => ({ x: l.hole.x, y: l.hole.y }) as LedPlace["hole"])
  const span = spanOf(board)
  const hole = Math.min(...board.screws.map((s) => s.diameter))
  const thread = screws.reduce((t, s) => (s.fine <= hole + 1e-9 ? s.thread : t), 0)
  const play = board.screws.length === 0 || thread === 0 ? 0 : fixedFastener(hole, thread)
  const sharedOf = (x: Errors): Shared => {
    const sigma = board.screws.length === 0 ? 0 : Math.hypot(x.face, x.board)
    return {
      shift: sigma / Math.sqrt(Math.max(1, board.screws.length)),
      rotation: span > 0 ? (sigma * Math.SQRT2) / span : 0,
      scale: x.scale,
      // Half of the play for pushing straight, half for turning.
      adjust: { shift: play / 2, rotation: span > 0 ? play / span : 0 },
    }
  }
  const errors: Errors = {
    face: faceHole.value,
    board: boardHole.value,
    bend: leadBend.value,
    scale: templateScale.value / 100,
  }
  const chance = (x: Errors, diameter: number) =>
    entersTogether(
      { ...e, hole: diameter, sigma: Math.hypot(x.face, x.board, x.bend) },
      places,
      sharedOf(x),
      lamp.seed,
    ).chance
  const p = chance(errors, e.hole)
  const id = `fit.${board.name}.${group}.enter-together`
  const shared = sharedOf(errors)
  const figure = result(
    id,
    `chance that all ${here.length} LEDs of ${group} enter, shared errors counted`,
    100 * p,
    "%",
    "mean over seeded draws of shift, turn and scale of the product over all LEDs of the exact chance aside (Rice's law over the body's spread); ±0.1 %",
    [
      alone,
      result(
        `${id}.shift`,
        "shift of the board by its screws, standard deviation per axis",
        shared.shift,
        "mm",
        "√(face hole² + board hole²) ÷ √screws",
        [
          faceHole,
          boardHole,
          fact(`${id}.screws`, "screws", board.screws.length, "", readOff(`board ${board.name}`)),
        ],
      ),
      result(
        `${id}.turn`,
        "turn of the board by its screws, standard deviation",
        (shared.rotation * 180) / Math.PI,
        "°",
        "√2 × √(face hole² + board hole²) ÷ distance of the farthest screws (none: no turn)",
        [
          faceHole,
          boardHole,
          fact(`${id}.span`, "distance of the farthest screws", span, "mm", readOff(`board ${board.name}`)),
        ],
      ),
      templateScale,
      result(
        `${id}.screw-play`,
        "play of a screw in the board, half of it for pushing straight, half for turning",
        play,
        "mm",
        "(screw hole − thread) ÷ 2",
        [
          fact(
            `${id}.screw-hole`,
            "narrowest screw hole",
            play === 0 ? 0 : hole,
            "mm",
            readOff(`board ${board.name}`),
          ),
          fact(`${id}.thread`, "thread of the screw that fits it", thread, "mm", clearanceHoles),
        ],
      ),
    ],
  )
  const best = remedy(board, errors, chance, p, e, enough)
  const better = p < 0.95 ? best : undefined
  const size = result(
    `${id}.best-hole`,
    `smallest hole with which all ${here.length} LEDs of ${group} enter in 99 of 100 builds`,
    best.hole,
    "mm",
    "the chance above worked out again for holes a tenth of a millimetre apart",
    [figure],
  )
  return {
    figures: [figure, size],
    findings: [
      fit.state("best-hole", {
        severity: "green",
        title: `Smallest hole for all LEDs of ${group} in 99 of 100 builds (drilled: ${e.hole} mm). Of the errors, ${best.costs} cost most`,
        where: { text: board.name, board: board.name, group, path: `faces.${board.face}.hole` },
        ...measuredBy(size),
      }),
      fit.judge("leds-enter-together", {
        title: `All ${here.length} LEDs of ${group} enter with the board shifted, turned and its pattern scaled by hand work`,
        where: { text: board.name, board: board.name, group, path: `faces.${board.face}.hole` },
        ...measuredBy(figure),
        limit: { value: 95, unit: "%", kind: "at least" },
        atWorst: "amber",
        amberBelow: 0,
        source: practice("errors of hand work as stated: common practice, no source"),
        ...(better
          ? {
              advice: better.advice,
              remedies:
                better.hole <= widest + 1e-9 && better.chance >= 0.95
                  ? widerHole(lamp, board.face ?? "", better.hole, {
                      value: 100 * better.chance,
                      unit: "%",
                    })
                  : [],
            }
          : {}),
      }),
    ],
  }
}

/** The smallest hole in tenths that does, and the one error that is best halved; each by computing it. */
function remedy(
  board: Board,
  errors: Errors,
  chance: (x: Errors, hole: number) => number,
  now: number,
  { hole, body }: Entering,
  enough: number,
): { readonly advice: string; readonly hole: number; readonly chance: number; readonly costs: string } {
  // Holes that do for each LED by itself are where the search begins; it ends two millimetres on.
  const start = Number.isFinite(enough) ? enough : body
  let wide = Math.round(start * 10) / 10
  let here = chance(errors, wide)
  while (wide < hole + 2 && here < 0.99) {
    wide = Math.round(wide * 10 + 1) / 10
    here = chance(errors, wide)
  }
  // Where all enter anyway, the errors are weighed at a hole that is just too tight.
  const at = now < 0.999 ? hole : Math.round(10 * wide - 2) / 10
  const halves = [
    { name: "the holes in the face", less: { ...errors, face: errors.face / 2 } },
    { name: "the holes in the board", less: { ...errors, board: errors.board / 2 } },
    { name: "the bending of the leads", less: { ...errors, bend: errors.bend / 2 } },
    { name: "the scale of the template", less: { ...errors, scale: errors.scale / 2 } },
  ].map((h) => ({ ...h, chance: chance(h.less, at) }))
  const best = halves.reduce((a, b) => (b.chance > a.chance ? b : a))
  const percent = (x: number) => `${(100 * x).toFixed(0)} %`
  return {
    hole: wide,
    chance: here,
    costs: best.name,
    advice: `Drill the LED holes of ${board.face} to ${wide} mm: then all enter in 99 of 100 builds. Of the errors, ${best.name} cost most: half as much there alone gives ${percent(best.chance)} instead of ${percent(now)}.`,
  }
}

const spanOf = (board: Board) =>
  Math.max(0, ...board.screws.flatMap((a) => board.screws.map((b) => Math.hypot(a.x - b.x, a.y - b.y))))
