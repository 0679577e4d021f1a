// The cutter programs of one board, one file a tool: grooves, a file for each drill, and last the outline.

import { showNumber } from "../0-ground/text/show.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { CopperClad, Cutter } from "../2-lamp/artefact.ts"
import type { CutterProgram, Groove } from "./artefact.ts"
import { type BoardHole, drillDepth } from "./drill-plan.ts"
import { type OutlinePath, stepsDown, throughCut, writeOutline } from "./outline-path.ts"
import { type ProgramCount, programWriter } from "./program-writer.ts"

export interface ProgramSetting {
  readonly lamp: string
  readonly board: string
  readonly cutter: Cutter
  readonly copperClad: CopperClad
  /** True when the sheet's long side lies along X although the description names its short side first, or the other way. */
  readonly sheetTurned: boolean
}

const cautions = [
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
  for (const { points } of grooves) {
    writer.travelTo(points[0]!.x, points[0]!.y)
    writer.plunge(-depth, plunge)
    for (let k = 1; k < points.length; k++) writer.line(points[k]!.x, points[k]!.y, -depth, feed)
  }
  return program(setting, `${stem(setting)}-1-engrave.ngc`, "engrave", tool, tip, writer.finish())
}

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
    writer.plunge(-depth, setting.cutter.drillFeed)
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
  path: OutlinePath | undefined,
  milled: readonly BoardHole[],
): CutterProgram {
  const { router, drillFeed } = setting.cutter
  const { thickness } = setting.copperClad
  const tool = `router ${showNumber(router.diameter)} mm`
  const plunge = Math.min(drillFeed, router.feed / 2)
  const bottom = thickness + throughCut
  const writer = programWriter(
    ask(setting, 9, "outline with holding tabs", tool, [
      `cuts ${showNumber(bottom)} mm deep in steps of at most ${showNumber(router.stepDown)} mm; ` +
        `${path?.tabs.length ?? 0} tabs`,
      "run this file last; cut the tabs by hand and smooth the edge",
    ]),
  )
  const steps = stepsDown(bottom, router.stepDown)
  for (const { x, y, diameter } of milled) {
    writer.travelTo(x + (diameter - router.diameter) / 2, y)
    writer.plunge(0, plunge)
    for (let step = 1; step <= steps; step++) {
      writer.line(x + (diameter - router.diameter) / 2, y, -(bottom * step) / steps, plunge)
      writer.circle(x, y, router.feed)
    }
  }
  if (path) writeOutline(writer, path, { thickness, stepDown: router.stepDown, feed: router.feed, plunge })
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
  const { cutter, copperClad, lamp, board, sheetTurned } = setting
  const { w, h } = copperClad.sheet
  const [alongX, alongY] = sheetTurned ? [h, w] : [w, h]
  return {
    header: [
      `Lampwright cutter program: ${lamp}`,
      `board ${board}, step ${place}: ${purpose}`,
      `tool: ${tool}`,
      ...notes,
      "copper side up; mirrored already, do not mirror again",
      `sheet ${showNumber(alongX)} mm along X, ${showNumber(alongY)} mm along Y, ${showNumber(copperClad.thickness)} mm thick`,
      "zero: X and Y at the lower left corner of the sheet, Z on the copper",
      ...cautions,
    ],
    spindle: cutter.engraver.spindle,
    clearHeight: cutter.machine.clearHeight,
    rapid: cutter.machine.rapid,
    acceleration: cutter.machine.acceleration,
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
