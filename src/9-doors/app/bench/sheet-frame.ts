// A board where it lies on a shared sheet, in the sheet's picture: the programs' X to the right, their Y upward.

import { boundingBox } from "../../../0-ground/geometry/polygon.ts"
import { placed } from "../../../0-ground/geometry/quarter-turn.ts"
import type { Board } from "../../../5-board/artefact.ts"
import type { BoardPlace, SheetPlan } from "../../../6-copper/artefact.ts"
import type { BoardFrame } from "./board-frame.ts"

/** Copper up, as the sheet is clamped; never mirrored. */
export function sheetFrame(board: Board, place: BoardPlace, { size }: Pick<SheetPlan, "size">): BoardFrame {
  const at: BoardFrame["at"] = (p) => {
    const { x, y } = placed(p, place)
    return { x, y: size.h - y }
  }
  return { side: "copper", at, box: boundingBox(board.outline.map(at)) }
}
