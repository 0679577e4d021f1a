// A part held by hand where it was put: one line under `pins` in the description, in the board's own frame.

import { addEntry } from "../../../0-ground/text/edit-entries.ts"
import { type Edited, removeKey, setValue } from "../../../0-ground/text/edit-text.ts"
import type { Lamp } from "../../../2-lamp/artefact.ts"

export interface Place {
  /** Millimetres and degrees, as seen from the copper side. */
  readonly x: number
  readonly y: number
  readonly rotation: number
}

const key = (board: string, ref: string) => `boards.${board}.${ref}`

/** On the grid that the boards are laid out on, mm. */
export const grid = 0.254

export const onGrid = ({ x, y, rotation }: Place): Place => ({
  x: step(x),
  y: step(y),
  rotation: ((Math.round(rotation) % 360) + 360) % 360,
})

const step = (mm: number) => Math.round(Math.round(mm / grid) * grid * 1000) / 1000

export function holdPlace(text: string, board: string, ref: string, place: Place): Edited {
  const words = `${place.x} ${place.y} ${place.rotation}`
  const set = setValue(text, `pins."${key(board, ref)}"`, words)
  return "text" in set ? set : addEntry(text, "pins", key(board, ref), `"${words}"`)
}

export const freePlace = (text: string, board: string, ref: string): Edited =>
  removeKey(text, `pins."${key(board, ref)}"`)

export const isHeld = (lamp: Lamp, board: string, ref: string): boolean =>
  Object.hasOwn(lamp.pins, key(board, ref))
