// The cutter programs of one board, one file a tool: grooves, a file for each drill, and last the outline.

import type { Point } from "../0-ground/geometry/point.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { CopperClad, Cutter, Cutting } from "../2-lamp/artefact.ts"
import type { Slot } from "../5-board/artefact.ts"
import type { CutterProgram, Groove } from "./artefact.ts"
import { feedOf, spindleOf } from "./cutting-ways.ts"
import { type BoardHole, drillDepth } from "./drill-plan.ts"
import { type OutlinePath, stepsDown, throughCut, writeOutline } from "./outline-path.ts"
import { type ProgramCount, type ProgramWriter, programWriter } from "./program-writer.ts"
import { writeSlot } from "./slot-path.ts"

export interface ProgramSetting {
  readonly lamp: string
  /** What the programs are named after: the board, or the sheet that several share. */
  readonly board: string
  /** For the header, where it is not one board: `sheet sheet-1 with front, left`. */
  readonly what?: string
  readonly cutter: Cutter
  readonly ways: Cutting
  readonly copperClad: CopperClad
  /** True when the sheet's long side lies along X although the description names its short side first, or the other way. */
  readonly sheetTurned: boolean
}

export const cautions = [
  "CAUTION: eye protection on; dust of glass or paper board is harmful, use extraction or a mask",
  "CAUTION: clamp the sheet, keep hands and sleeves clear, stay within reach of the stop",
]

export function engraveProgram(
  setting: ProgramSetting,
  grooves: readonly Groove[],
  width: Mm,
): CutterProgram {
  const { tip, angle, depth, feed, plunge } = setting.cutter.engraver
  const tool = `engraver ${showNumber(tip)} mm ${showNumber(angle)}°`
  const writer = programWriter(
    ask(setting, 1, "grooves between the nets", tool, [
      `depth ${showNumber(depth)} mm, groove ${showNumber(width, 4)} mm wide at the surface`,
    ]),
  )
  const feeds = { feed: feedOf(setting.cutter, feed), plunge: feedOf(setting.cutter, plunge) }
  for (const { points } of grooves) cutStroke(writer, points, depth, setting.ways.leadIn, feeds)
  return program(setting, `${stem(setting)}-1-engrave.ngc`, "engrave", tool, tip, writer.finish())
}

/** An end mill takes the copper off chosen areas. */
export function clearProgram(
  setting: ProgramSetting,
  mill: NonNullable<Cutter["mills"]>[number],
  strokes: readonly (readonly Point[])[],
): CutterProgram {
  const { depth } = setting.cutter.engraver
  const tool = `end mill ${showNumber(mill.diameter)} mm`
  const writer = programWriter(
    ask(setting, 2, "areas cleared of copper", tool, [`depth ${showNumber(depth)} mm`]),
  )
  const feeds = { feed: feedOf(setting.cutter, mill.feed), plunge: feedOf(setting.cutter, mill.plunge) }
  for (const points of strokes) cutStroke(writer, points, depth, setting.ways.leadIn, feeds)
  return program(
    setting,
    `${stem(setting)}-2-clear-${drillName(mill.diameter)}.ngc`,
    "clear",
    tool,
    mill.diameter,
    writer.finish(),
  )
}

/**
 * One stroke at its depth. Where it closes on itself the tool ramps in over `leadIn` and, once round, runs over the
 * ramp and its start at full depth: no mark where it dwelt, no bridge where it met itself.
 */
function cutStroke(
  writer: ProgramWriter,
  points: readonly Point[],
  depth: Mm,
  leadIn: Mm,
  { feed, plunge }: { readonly feed: number; readonly plunge: number },
): void {
  const first = points[0]!
  const last = points[points.length - 1]!
  writer.travelTo(first.x, first.y)
  if (points.length < 4 || leadIn <= 0 || first.x !== last.x || first.y !== last.y) {
    writer.plunge(-depth, plunge)
    for (let k = 1; k < points.length; k++) writer.line(points[k]!.x, points[k]!.y, -depth, feed)
    return
  }
  const { upTo, from } = splitAt(points, leadIn)
  const ramp = upTo.reduce((sum, p, k) => (k === 0 ? 0 : sum + gap(upTo[k - 1]!, p)), 0)
  // The descent itself never faster than a plunge.
  const rampFeed = Math.min(feed, (plunge * Math.hypot(ramp, depth)) / depth)
  writer.plunge(0, plunge)
  let along = 0
  for (let k = 1; k < upTo.length; k++) {
    along += gap(upTo[k - 1]!, upTo[k]!)
    writer.line(upTo[k]!.x, upTo[k]!.y, k + 1 === upTo.length ? -depth : -(depth * along) / ramp, rampFeed)
  }
  for (const p of from.slice(1)) writer.line(p.x, p.y, -depth, feed)
  for (const p of upTo.slice(1)) writer.line(p.x, p.y, -depth, feed)
}

/** The stroke's first `length` mm (at most half of it) and what comes after them. */
function splitAt(points: readonly Point[], length: Mm): { upTo: Point[]; from: Point[] } {
  const total = points.reduce((sum, p, k) => (k === 0 ? 0 : sum + gap(points[k - 1]!, p)), 0)
  let left = Math.min(length, total / 2)
  const upTo = [points[0]!]
  for (let k = 1; k < points.length; k++) {
    const a = points[k - 1]!
    const b = points[k]!
    const step = gap(a, b)
    if (left <= step) {
      const t = step === 0 ? 1 : left / step
      const at = {
        x: Math.round((a.x + t * (b.x - a.x)) * 1000) / 1000,
        y: Math.round((a.y + t * (b.y - a.y)) * 1000) / 1000,
      }
      return { upTo: [...upTo, at], from: [at, ...points.slice(k)] }
    }
    left -= step
    upTo.push(b)
  }
  return { upTo, from: [points[points.length - 1]!] }
}

const gap = (a: Point, b: Point): number => Math.hypot(b.x - a.x, b.y - a.y)

export function drillProgram(
  setting: ProgramSetting,
  place: number,
  drill: Mm,
  holes: readonly BoardHole[],
): CutterProgram {
  const size = drillName(drill)
  const depth = drillDepth(drill, setting.copperClad.thickness)
  const tool = `drill ${size} mm`
  const writer = programWriter(
    ask(setting, place, `${holes.length} holes`, tool, [
      `tip ${showNumber(depth)} mm deep; a waste sheet of at least ${showNumber(
        Math.ceil((depth - setting.copperClad.thickness + 0.5) * 10) / 10,
      )} mm lies under the board`,
    ]),
  )
  for (const { x, y } of holes) {
    writer.travelTo(x, y)
    writer.plunge(-depth, feedOf(setting.cutter, setting.cutter.drillFeed))
  }
  return program(
    setting,
    `${stem(setting)}-${place}-drill-${size}.ngc`,
    "drill",
    tool,
    drill,
    writer.finish(),
  )
}

export function outlineProgram(
  setting: ProgramSetting,
  milled: readonly BoardHole[],
  slots: readonly Slot[],
  paths: readonly OutlinePath[],
): CutterProgram {
  const { router, drillFeed } = setting.cutter
  const climb = setting.ways.direction === "climb"
  const feed = feedOf(setting.cutter, router.feed)
  const { thickness } = setting.copperClad
  const tool = `router ${showNumber(router.diameter)} mm`
  const plunge = feedOf(setting.cutter, Math.min(drillFeed, router.feed / 2))
  const bottom = thickness + throughCut
  const writer = programWriter(
    ask(setting, 9, "outline with holding tabs", tool, [
      `cuts ${showNumber(bottom)} mm deep in steps of at most ${showNumber(router.stepDown)} mm; ` +
        `${paths.reduce((sum, { tabs }) => sum + tabs.length, 0)} tabs; ${setting.ways.direction} cut`,
      "run this file last; cut the tabs by hand and smooth the edge",
    ]),
  )
  const steps = stepsDown(bottom, router.stepDown)
  for (const { x, y, diameter } of milled) {
    writer.travelTo(x + (diameter - router.diameter) / 2, y)
    writer.plunge(0, plunge)
    for (let step = 1; step <= steps; step++) {
      writer.line(x + (diameter - router.diameter) / 2, y, -(bottom * step) / steps, plunge)
      writer.circle(x, y, feed, !climb)
    }
  }
  for (const slot of slots) {
    const { diameter, stepDown } = router
    writeSlot(writer, slot, { bottom, stepDown, feed, plunge, diameter, climb })
  }
  for (const path of paths) writeOutline(writer, path, { thickness, stepDown: router.stepDown, feed, plunge })
  return program(setting, `${stem(setting)}-9-outline.ngc`, "outline", tool, router.diameter, writer.finish())
}

/** `0.8`, `1.0`, `1.35`: as drills are sold. */
export function drillName(drill: Mm): string {
  const rounded = Math.round(drill * 1000) / 1000
  return Number.isInteger(rounded * 10) ? rounded.toFixed(1) : String(rounded)
}

/** The board's name as the start of a file name. */
const stem = ({ board }: ProgramSetting): string => board.replace(/[\s\\/:*?"<>|]+/g, "-")

function ask(
  setting: ProgramSetting,
  place: number,
  purpose: string,
  tool: string,
  notes: readonly string[],
): Parameters<typeof programWriter>[0] {
  const { cutter, copperClad, lamp, board, what, sheetTurned } = setting
  const { w, h } = copperClad.sheet
  const [alongX, alongY] = sheetTurned ? [h, w] : [w, h]
  return {
    header: [
      `Lampwright cutter program: ${lamp}`,
      `${what ?? `board ${board}`}, step ${place}: ${purpose}`,
      `tool: ${tool}`,
      ...notes,
      "copper side up; mirrored already, do not mirror again",
      `sheet ${showNumber(alongX)} mm along X, ${showNumber(alongY)} mm along Y, ${showNumber(copperClad.thickness)} mm thick`,
      "zero: X and Y at the lower left corner of the sheet, Z on the copper",
      ...cautions,
    ],
    spindle: spindleOf(cutter),
    clearHeight: cutter.machine.clearHeight,
    rapid: cutter.machine.rapid,
    acceleration: cutter.machine.acceleration,
    ...(cutter.machine.greatestFeed === undefined ? {} : { greatestFeed: cutter.machine.greatestFeed }),
  }
}

const program = (
  { board }: ProgramSetting,
  file: string,
  purpose: CutterProgram["purpose"],
  tool: string,
  toolDiameter: Mm,
  count: ProgramCount,
): CutterProgram => ({ board, file, purpose, tool, toolDiameter, ...count })
