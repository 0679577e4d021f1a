// The numbers of a board's cut that a user may ask the why of.

import { type Figure, fact, result } from "../0-ground/figure.ts"
import { described } from "../0-ground/source.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { CutterProgram } from "./artefact.ts"
import type { BoardCut } from "./judge-cut.ts"

const timeModel =
  "sum over all moves: straight speed ramps at the machine's acceleration; rapid moves start and end at rest; " +
  "corners between cutting moves at √(acceleration · radius of the arc that leaves the corner by 0.01 mm)"

/** Id of a board's figure: `cut.crescent.groove-width`. */
export const cutFigureId = (board: string, name: string): string => `cut.${board}.${name}`

/** Time of all programs of all boards. */
export const totalTime = (programs: readonly CutterProgram[], figures: readonly Figure[]): Figure =>
  result(
    "cut.time",
    "time for all cutter programs, without changing tools",
    programs.reduce((sum, p) => sum + p.time, 0),
    "s",
    "sum over the boards",
    figures.filter((f) => /^cut\..*\.time$/.test(f.id)),
  )

export function cutFigures(
  lamp: Lamp,
  { board, copper, programs, travel, bound, areas }: BoardCut,
): Figure[] {
  const { engraver, machine } = lamp.cutter
  const id = (name: string) => cutFigureId(board.name, name)
  const given = (name: string, label: string, value: number, unit: string, path: string) =>
    fact(id(name), label, value, unit, described(path))
  const tip = given("tip", "width of the engraver's tip", engraver.tip, "mm", "cutter.engraver.tip")
  const angle = given("angle", "full angle of the engraver", engraver.angle, "°", "cutter.engraver.angle")
  const depth = given("depth", "depth of the grooves", engraver.depth, "mm", "cutter.engraver.depth")
  const width = result(
    id("groove-width"),
    "width of a groove at the copper surface",
    copper.grooveWidth,
    "mm",
    "tip + 2 · depth · tan(angle ÷ 2)",
    [tip, angle, depth],
  )
  const acceleration = given(
    "acceleration",
    "acceleration of the machine",
    machine.acceleration,
    "mm/s²",
    "cutter.machine.acceleration",
  )
  const rapid = given("rapid", "rapid speed", machine.rapid, "mm/min", "cutter.machine.rapid")
  const feed = given("feed", "feed of the engraver", engraver.feed, "mm/min", "cutter.engraver.feed")
  const engrave = programs.find((p) => p.purpose === "engrave")
  const out: Figure[] = [width]
  const length = result(
    id("cut-length"),
    "length of all grooves",
    engrave?.cutLength ?? 0,
    "mm",
    "sum of the cutting moves in the engraving program",
    [width],
  )
  const lower = result(
    id("travel-bound"),
    "travel between grooves that no order can go below",
    bound,
    "mm",
    "best 1-tree with every stroke held as a fixed edge, prices by subgradient ascent",
    [length],
  )
  out.push(
    length,
    lower,
    result(
      id("travel"),
      "travel between grooves",
      travel,
      "mm",
      "way from each stroke's end to the next one's start",
      [lower],
    ),
    result(
      id("strokes"),
      "grooves in one stroke each",
      copper.grooves.length,
      "",
      "grooves joined through junctions",
      [length],
    ),
  )
  if (Number.isFinite(areas.nearestCopper.distance)) {
    out.push(
      result(
        id("groove-to-copper"),
        "least distance from a groove's middle to copper as designed",
        areas.nearestCopper.distance,
        "mm",
        "exact distance of every cutting move to every track and land",
        [width],
      ),
    )
  }
  const times = programs.map((p) =>
    result(id(`time.${p.file}`), `time for ${p.file}`, p.time, "s", timeModel, [acceleration, rapid, feed]),
  )
  out.push(
    ...times,
    result(
      id("time"),
      "time for all programs of the board, without changing tools",
      programs.reduce((sum, p) => sum + p.time, 0),
      "s",
      "sum over the programs",
      times,
    ),
    result(id("plunges"), "plunges of the engraver", engrave?.plunges ?? 0, "", "one for each stroke", [
      length,
    ]),
  )
  return out
}
