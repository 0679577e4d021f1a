// Measures the sheet under a board: one straight probing move (G38.2, NISTIR 6556 clause 3.5.9) at each place of a
// grid. Whether a controller knows that word, and where it keeps or logs what it found, is the controller's own.

import type { Point } from "../0-ground/geometry/point.ts"
import { boundingBox } from "../0-ground/geometry/polygon.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { ExtraProgram } from "./artefact.ts"
import { cautions } from "./cut-program.ts"
import { programWriter } from "./program-writer.ts"

/** As low as a probing move goes when nothing is touched, mm. */
const lowest = -1
/** Where a probing move starts and the tool rises to between two, mm above the copper's zero. */
const above = 1
const probeFeed = 40

export interface ProbeGrid {
  readonly xs: readonly Mm[]
  readonly ys: readonly Mm[]
}

/** Places over the board's box, edge to edge, at most `spacing` apart, at least three each way. */
export function probeGrid(board: { readonly outline: readonly Point[] }, spacing: Mm): ProbeGrid {
  const { minX, minY, maxX, maxY } = boundingBox(board.outline)
  const places = (low: number, high: number) => {
    const n = Math.max(2, Math.min(100, Math.ceil((high - low) / spacing)))
    return Array.from({ length: n + 1 }, (_, k) => Math.round((low + ((high - low) * k) / n) * 1000) / 1000)
  }
  return { xs: places(minX, maxX), ys: places(minY, maxY) }
}

/** Row by row, every other one backward. `what`: for the header, where it is not one board. */
export function probeProgram(
  lamp: Pick<Lamp, "name" | "cutter">,
  board: { readonly name: string; readonly outline: readonly Point[] },
  spacing: Mm,
  what = `board ${board.name}`,
): ExtraProgram {
  const { machine } = lamp.cutter
  const { xs, ys } = probeGrid(board, spacing)
  const count = xs.length * ys.length
  const file = `${board.name.replace(/[\s\\/:*?"<>|]+/g, "-")}-0-probe.ngc`
  const writer = programWriter({
    header: [
      `Lampwright cutter program: ${lamp.name}`,
      `${what}, step 0: measure the sheet at ${xs.length} x ${ys.length} places`,
      "tool: touch probe, or the engraver and the copper as a switch",
      `each place: down from ${above} mm, at most to ${lowest} mm, at ${probeFeed} mm/min; rows run to and fro`,
      "zero: as for the board's other programs; Z on the copper at the first place",
      "G38.2 is a probing word of RS-274; not every controller knows it, and each keeps or logs its results its own way",
      "save the places and heights as lines x,y,z or keep the log: lampwright warp PROGRAM --heights FILE",
      "CAUTION: the spindle stands still; try the probe's switch by hand before the first move down",
      ...cautions.slice(1),
    ],
    spindle: 0,
    clearHeight: Math.max(above, machine.clearHeight),
    rapid: machine.rapid,
    acceleration: machine.acceleration,
    ...(machine.greatestFeed === undefined ? {} : { greatestFeed: machine.greatestFeed }),
  })
  ys.forEach((y, row) => {
    for (const x of row % 2 === 0 ? xs : [...xs].reverse()) writer.probe(x, y, above, lowest, probeFeed)
  })
  const { text, time } = writer.finish()
  return { kind: "probe", board: board.name, file, text, time, places: count }
}
