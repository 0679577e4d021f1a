// What the depth window means for the person at the mill: the depths that are right, the best one, how flat the
// surface must be held, what fails first on either side, and which engraver would give more room.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { sweptTip } from "../../0-ground/geometry/groove.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { practice } from "../../0-ground/source.ts"
import { showNumber } from "../../0-ground/text/show.ts"
import { cutterFacts, cutting } from "../../1-stock/cutters.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { DepthWindow } from "../artefact.ts"
import { proof } from "../proof-findings.ts"
import { given, measuredOn, type Told } from "../told.ts"
import { spot } from "./board-place.ts"
import { type FirstToFail, nothingFound, type WindowEnd } from "./depth-window.ts"
import { type Depths, leastCopper, neckFigure } from "./judge-thin.ts"
import type { Narrowest } from "./measure-copper.ts"

/** How well the tool's zero is set on the copper by hand, mm. */
const zeroError = 0.02
/** Least width of a groove at the foil's bottom that an engraver is suggested for, mm. */
const leastGap = 0.15
/** Tips that engravers are sold with, mm (common practice, no source). */
const tips = [0.3, 0.2, 0.15, 0.1]

/** Greatest depth the narrowest copper allows on a flat surface, mm. */
export function depthByCopper(lamp: Lamp, { deepest, error }: Depths, neck: Narrowest): number {
  return deepest.value + error.value + (neck.width - leastCopper) / growthOf(lamp.cutter.engraver.angle)
}

const growthOf = (angle: number): number => 2 * Math.tan((angle * Math.PI) / 360)

export function judgeWindow(
  lamp: Lamp,
  board: Board,
  depths: Depths,
  neck: Narrowest,
  ends: { readonly least: WindowEnd; readonly most: WindowEnd },
  pixel: number,
): { readonly told: Told; readonly window: DepthWindow } {
  const { shallowest, deepest, error, foil } = depths
  const { engraver } = lamp.cutter
  const id = (name: string) => `proof.${board.name}.${name}`
  const where = { text: board.name, board: board.name, path: "cutter.engraver.depth" }
  const onGrid = (how: string) => measuredOn(`board ${board.name} cut on a grid of ${pixel} mm`, how)
  const openEnded = ends.most.fails.what === nothingFound
  const half = lamp.copperClad.thickness / 2

  const plain = Math.abs(ends.least.depth - (foil.value + deepest.value - shallowest.value)) < 1e-5
  const least = plain
    ? result(
        id("depth-least"),
        `least depth for ${board.name} on a flat surface`,
        foil.value + deepest.value - shallowest.value,
        "mm",
        "foil + deepest groove − shallowest groove; simulated: all nets are apart there",
        [foil, deepest, shallowest],
      )
    : fact(
        id("depth-least"),
        `least depth for ${board.name} on a flat surface`,
        ends.least.depth,
        "mm",
        onGrid("cut shallower and shallower until two nets touch at the foil's bottom"),
      )
  const growth = result(
    "proof.groove-growth",
    "growth of a groove's width for each mm of depth",
    growthOf(engraver.angle),
    "",
    "2 · tan(angle ÷ 2)",
    [given("cutter.engraver.angle", "full angle of the engraver", engraver.angle, "°")],
  )
  const atMost = ends.most.fails.part
    ? fact(
        id("depth-most"),
        `greatest depth for ${board.name} on a flat surface`,
        ends.most.depth,
        "mm",
        onGrid("cut deeper and deeper until a land's ring is too thin to solder"),
      )
    : ends.most.depth === half
      ? result(
          id("depth-most"),
          `greatest depth for ${board.name} on a flat surface`,
          half,
          "mm",
          "half of the sheet's thickness; simulated: copper and rings are enough there",
          [given("copper-clad.thickness", "thickness of the sheet", lamp.copperClad.thickness, "mm")],
        )
      : result(
          id("depth-most"),
          `greatest depth for ${board.name} on a flat surface${openEnded ? ", at least" : ""}`,
          ends.most.depth,
          "mm",
          "deepest groove + height error + (narrowest copper − least copper) ÷ growth of the groove's width",
          [
            deepest,
            error,
            neckFigure(board, neck, pixel),
            fact(
              "proof.least-copper",
              "least copper that stands hand soldering",
              leastCopper,
              "mm",
              practice(),
            ),
            growth,
          ],
        )
  const low = result(
    id("depth-low"),
    `least depth for ${board.name}`,
    least.value + error.value,
    "mm",
    "least depth on a flat surface + height error",
    [least, error],
  )
  const high = result(
    id("depth-high"),
    `greatest depth for ${board.name}${openEnded ? ", at least" : ""}`,
    atMost.value - error.value,
    "mm",
    "greatest depth on a flat surface − height error",
    [atMost, error],
  )
  const spare = result(
    id("depth-spare"),
    `what the tool's zero may be off on ${board.name}`,
    Math.min(deepest.value - low.value, high.value - deepest.value),
    "mm",
    "the smaller of: set depth − least depth; greatest depth − set depth",
    [deepest, low, high],
  )
  const inUse = cutterFacts.find((f) => f.id === "stock.cut.depth-high")!
  const best = bestDepth(board, least, atMost, low, inUse)
  const flatness = result(
    id("depth-flatness"),
    `how far the surface of ${board.name} may be off at the best depth`,
    Math.min(best.value - least.value, atMost.value - best.value),
    "mm",
    "the smaller of: best depth − least depth, greatest depth − best depth, both on a flat surface",
    [best, least, atMost],
  )
  const tight = spare.value < zeroError
  const advice = tight
    ? adviceFor(lamp, depths, atMost.value, least.value, best.value, spare.value)
    : undefined
  const side = (end: FirstToFail) =>
    end.x === 0 && end.y === 0
      ? where
      : {
          ...spot(board, end.x, end.y),
          path: "cutter.engraver.depth",
          ...(end.net === undefined ? {} : { net: end.net }),
          ...(end.part === undefined ? {} : { part: end.part }),
        }
  const findings = [
    proof.judge("depth-window", {
      title: `Depth of ${board.name} may be ${low.value.toFixed(3)} to ${high.value.toFixed(2)} mm; the tool's zero may be off by`,
      where,
      ...measuredBy(spare),
      limit: { value: zeroError, unit: "mm", kind: "at least" },
      atWorst: "amber",
      source: practice("zero set by hand within 0.02 mm: common practice, no source"),
      ...(advice === undefined ? {} : { advice: advice.says }),
      ...(advice?.remedy ? { remedies: [advice.remedy] } : {}),
    }),
    proof.judge("depth-flatness", {
      title: `Best depth of ${board.name} is ${showNumber(best.value, 3)} mm; the surface must then be flat within ±${showNumber(flatness.value, 2)} mm and is`,
      where,
      ...measuredBy(error),
      limit: { value: flatness.value, unit: "mm", kind: "at most" },
      atWorst: "amber",
    }),
    proof.judge("depth-shallow-end", {
      title: `Too shallow on ${board.name}, first: ${ends.least.fails.what}. Set depth`,
      where: side(ends.least.fails),
      ...measuredBy(deepest),
      limit: { value: low.value, unit: "mm", kind: "at least" },
      atWorst: "amber",
    }),
    ...(openEnded
      ? []
      : [
          proof.judge("depth-deep-end", {
            title: `Too deep on ${board.name}, first: ${ends.most.fails.what}. Set depth`,
            where: side(ends.most.fails),
            ...measuredBy(deepest),
            limit: { value: high.value, unit: "mm", kind: "at most" },
            atWorst: "amber",
          }),
        ]),
  ]
  return {
    told: { findings, figures: [least, atMost, low, high, spare, best, flatness] },
    window: {
      set: deepest.value,
      error: error.value,
      least: least.value,
      most: atMost.value,
      best: best.value,
      flatness: flatness.value,
      ...(openEnded ? { openEnded: true as const } : {}),
      shallowFails: ends.least.fails,
      deepFails: ends.most.fails,
      ...(advice?.suggestion ? { suggestion: advice.suggestion } : {}),
    },
  }
}

/** The middle of the window, but no deeper than engravers are used unless the surface asks for it. */
function bestDepth(board: Board, least: Figure, most: Figure, low: Figure, inUse: Figure): Figure {
  const middle = (least.value + most.value) / 2
  return result(
    `proof.${board.name}.depth-best`,
    `best depth for ${board.name}`,
    Math.min(middle, Math.max(inUse.value, low.value + zeroError)),
    "mm",
    "middle between least and greatest depth, at most the greater of: greatest depth in use; least depth with height error + error of a zero set by hand",
    [
      least,
      most,
      inUse,
      low,
      fact("proof.zero-error", "error of a zero set by hand", zeroError, "mm", practice()),
    ],
  )
}

interface Advice {
  readonly says: string
  readonly remedy?: Remedy
  readonly suggestion?: NonNullable<DepthWindow["suggestion"]>
}

/** Another depth when that is enough, else the sturdiest engraver that gives room, else what remains to be done. */
function adviceFor(
  lamp: Lamp,
  { error, foil }: Depths,
  most: number,
  least: number,
  best: number,
  spare: number,
): Advice {
  const atBest = Math.min(best - least, most - best) - error.value
  const change = (path: string, value: string) => ({ path: `cutter.engraver.${path}`, value })
  const mm = (v: number, digits = 3) => `${showNumber(v, digits)} mm`
  if (atBest >= zeroError && atBest > spare) {
    return {
      says: `Set \`cutter.engraver.depth\` to ${mm(best)}.`,
      remedy: {
        says: `Cut ${mm(best)} deep: the tool's zero may then be off by ${mm(atBest, 2)}.`,
        changes: [change("depth", mm(best))],
        gives: { value: atBest, unit: "mm" },
      },
      suggestion: { depth: best, from: least + error.value, to: most - error.value },
    }
  }
  const { angle } = lamp.cutter.engraver
  const now = { tip: sweptTip(lamp.cutter.engraver), angle }
  const other = engraverWithRoom(now, { most, least, error: error.value, foil: foil.value })
  if (!other)
    return {
      says: "No usual engraver gives enough room: probe the surface and bend the program to it, or ask for wider tracks.",
    }
  const depth = Number(showNumber((other.from + other.to) / 2, 2))
  const tool = `a tip of ${showNumber(other.tip)} mm and ${other.angle}°`
  return {
    says: `An engraver with ${tool} gives ${showNumber(other.from, 3)} to ${mm(other.to)}; set about ${mm(depth, 2)}, or probe the surface.`,
    remedy: {
      says: `Use an engraver with ${tool}, ${mm(depth, 2)} deep: right from ${showNumber(other.from, 3)} to ${mm(other.to)}.`,
      changes: [
        change("tip", mm(other.tip)),
        change("angle", `${other.angle}°`),
        change("depth", mm(depth, 2)),
      ],
      gives: { value: Math.min(depth - other.from, other.to - depth), unit: "mm" },
    },
    suggestion: { tip: other.tip, angle: other.angle, depth, from: other.from, to: other.to },
  }
}

/**
 * The sturdiest usual engraver (largest angle, then largest tip) whose window stands the zero's error on both sides:
 * the widest groove the copper allows stays the same, W = tip + 2 · most · tan(angle ÷ 2).
 */
export function engraverWithRoom(
  now: { readonly tip: number; readonly angle: number },
  {
    most,
    least,
    error,
    foil,
  }: { readonly most: number; readonly least: number; readonly error: number; readonly foil: number },
): { readonly tip: number; readonly angle: number; readonly from: number; readonly to: number } | undefined {
  const widest = now.tip + most * growthOf(now.angle)
  for (const angle of [...cutting.engraverAngles].sort((a, b) => b - a)) {
    for (const tip of tips) {
      if (tip === now.tip && angle === now.angle) continue
      const from = least + error
      const to = (widest - tip) / growthOf(angle) - error
      const middle = (from + to) / 2
      const gap = tip + (middle - error - foil) * growthOf(angle)
      if (to - from >= 2 * zeroError && gap >= leastGap) return { tip, angle, from, to }
    }
  }
  return undefined
}
