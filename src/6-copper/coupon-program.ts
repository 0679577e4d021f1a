// Test grooves cut on scrap of the same sheet before the first board: a ladder of depths about the set one, with the
// widths a loupe should show. Too wide or too narrow tells of tip, angle, run-out or zero before a board is spoilt.

import { grooveWidth, sweptTip } from "../0-ground/geometry/groove.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { ExtraProgram } from "./artefact.ts"
import { cautions } from "./cut-program.ts"
import { feedOf, spindleOf } from "./cutting-ways.ts"
import { programWriter } from "./program-writer.ts"

/** Depth from one groove to the next, mm; C-7's ±0.05 mm lies within the ladder. */
const rung = 0.02
const each = 3
/** Between grooves and round the coupon, mm. */
const pitch = 1.5
const rim = 2
const long = 10
const shallowest = 0.01

export const couponSize = { w: long + 2 * rim + 2, h: 2 * each * pitch + 2 * rim } as const

export function couponProgram(lamp: Lamp): ExtraProgram {
  const { cutter } = lamp
  const { engraver, machine } = cutter
  const width = (depth: Mm) => grooveWidth(sweptTip(engraver), engraver.angle, Math.max(0, depth))
  const grooves = Array.from({ length: 2 * each + 1 }, (_, k) => k - each)
    .map((k) => Math.round((engraver.depth + k * rung) * 1e4) / 1e4)
    .filter((depth) => depth >= shallowest)
    .map((depth) => ({
      depth,
      width: width(depth),
      narrow: width(depth - machine.flatness),
      wide: width(depth + machine.flatness),
    }))
  const writer = programWriter({
    header: [
      `Lampwright cutter program: ${lamp.name}`,
      "coupon: test grooves on scrap of the same sheet, before the first board",
      `tool: engraver ${showNumber(engraver.tip)} mm ${showNumber(engraver.angle)}°`,
      `needs ${couponSize.w} x ${couponSize.h} mm of free copper`,
      "zero: X and Y at the lower left corner of that place, Z on the copper there",
      ...grooves.map(
        ({ depth, width: w }, k) =>
          `groove ${k + 1} from below: ${showNumber(depth)} mm deep, ${showNumber(w, 3)} mm wide under the loupe${depth === engraver.depth ? ", the set depth, with a tick at its end" : ""}`,
      ),
      ...cautions,
    ],
    spindle: spindleOf(cutter),
    clearHeight: machine.clearHeight,
    rapid: machine.rapid,
    acceleration: machine.acceleration,
    ...(machine.greatestFeed === undefined ? {} : { greatestFeed: machine.greatestFeed }),
  })
  const feed = feedOf(cutter, engraver.feed)
  const plunge = feedOf(cutter, engraver.plunge)
  grooves.forEach(({ depth }, k) => {
    const y = rim + k * pitch
    writer.travelTo(rim, y)
    writer.plunge(-depth, plunge)
    writer.line(rim + long, y, -depth, feed)
    if (depth !== engraver.depth) return
    writer.line(rim + long + 1, y + 0.5, -depth, feed)
  })
  const { text, time } = writer.finish()
  return { kind: "coupon", file: "coupon-engrave.ngc", text, time, grooves }
}
