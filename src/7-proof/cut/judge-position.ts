// What play and step of the axes take from the narrowest copper: each of the two cuts beside it may be off by as much.

import { fact, measuredBy, result } from "../../0-ground/figure.ts"
import { practice } from "../../0-ground/source.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { proof } from "../proof-findings.ts"
import { given, nothingTold, type Told } from "../told.ts"
import { spot } from "./board-place.ts"
import { leastCopper, neckFigure } from "./judge-thin.ts"
import type { Narrowest } from "./measure-copper.ts"

/** Nothing where the description says neither play nor step of the axes. */
export function judgePosition(lamp: Lamp, board: Board, neck: Narrowest, pixel: number): Told {
  const told = nothingTold()
  const { backlash, resolution } = lamp.cutter.machine
  if (backlash === undefined && resolution === undefined) return told
  const off = result(
    "proof.position-error",
    "error of a cut's place",
    Math.SQRT2 * ((backlash ?? 0) + (resolution ?? 0) / 2),
    "mm",
    "√2 · (play + step ÷ 2): both axes at their worst",
    [
      given("cutter.machine.backlash", "play of an axis", backlash ?? 0, "mm"),
      given("cutter.machine.resolution", "step of an axis", resolution ?? 0, "mm"),
    ],
  )
  const left = result(
    `proof.${board.name}.copper-off-place`,
    `narrowest copper of ${board.name} with both cuts beside it off their place`,
    neck.width - 2 * off.value,
    "mm",
    "narrowest copper − 2 · error of a cut's place",
    [neckFigure(board, neck, pixel), off],
  )
  told.figures.push(
    left,
    fact("proof.least-copper", "least copper that stands hand soldering", leastCopper, "mm", practice()),
  )
  told.findings.push(
    proof.judge("position", {
      title: `Narrowest copper of ${board.name} with the play and step of the axes taken off both sides`,
      where: {
        ...spot(board, neck.x, neck.y),
        ...(neck.net === "" ? {} : { net: neck.net }),
        path: "cutter.machine.backlash",
      },
      ...measuredBy(left),
      limit: { kind: "at least", value: leastCopper, unit: "mm" },
      atWorst: left.value < 0 ? "red" : "amber",
    }),
  )
  return told
}
