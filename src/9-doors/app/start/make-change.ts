// A change of the description made of several steps: all of them or none, and one to undo.

import { addEntry } from "../../../0-ground/text/edit-entries.ts"
import {
  type Edited,
  listAt,
  namesAt,
  readDoc,
  setList,
  writtenAt,
} from "../../../0-ground/text/edit-text.ts"
import { page } from "../store.ts"
import { controlBoard, faceBoard } from "./usual.ts"

export type EditStep = (text: string) => Edited

/** Empty when made; else why not. */
export function makeChange(words: string, ...steps: readonly EditStep[]): string {
  const { draft, edit } = page.getState()
  let text = draft
  for (const step of steps) {
    const next = step(text)
    if ("refused" in next) return next.refused
    text = next.text
  }
  edit(text, words, words)
  return ""
}

/** Lets the board behind `face` carry the group; makes that board where there is none. */
export const carry =
  (group: string, face: string): EditStep =>
  (text) => {
    const doc = readDoc(text)
    if (!doc) return { text }
    const boards = namesAt(doc, "boards")
    const carries = (b: string) => listAt(doc, `boards.${b}.carries`) ?? []
    if (boards.some((b) => carries(b).includes(group))) return { text }
    const behind = boards.find((b) => writtenAt(doc, `boards.${b}.behind`) === face)
    if (behind) return setList(text, `boards.${behind}.carries`, [...carries(behind), group])
    let name = face
    while (boards.includes(name)) name += "-board"
    return addEntry(text, "boards", name, faceBoard(face, group))
  }

/** Makes the control board where nothing carries the controller yet. */
export const control: EditStep = (text) => {
  const doc = readDoc(text)
  if (!doc) return { text }
  const boards = namesAt(doc, "boards")
  const carried = boards.flatMap((b) => listAt(doc, `boards.${b}.carries`) ?? [])
  if (carried.includes("controller")) return { text }
  let name = "control"
  while (boards.includes(name)) name += "-board"
  return addEntry(text, "boards", name, controlBoard)
}
