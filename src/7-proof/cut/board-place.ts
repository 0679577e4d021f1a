// Where on a board a finding lies.

import type { Where } from "../../0-ground/finding.ts"
import type { Board } from "../../5-board/artefact.ts"

/** More faults of one kind than this are counted, not listed. */
export const mostListed = 12

export function landPlace(
  board: Board,
  land: { readonly ref: string; readonly pin: string; readonly x: number; readonly y: number },
): Where {
  return {
    text: `${board.name}, ${land.ref}.${land.pin}`,
    board: board.name,
    part: land.ref,
    x: land.x,
    y: land.y,
    frame: "board",
  }
}

export function spot(board: Board, x: number, y: number): Where {
  return {
    text: `${board.name} at x ${x.toFixed(1)}, y ${y.toFixed(1)} mm`,
    board: board.name,
    x,
    y,
    frame: "board",
  }
}
