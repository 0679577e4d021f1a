// A group taken out with all that is there only for it, as one change.

import { removeEntry } from "../../../0-ground/text/edit-entries.ts"
import { type Doc, listAt, namesAt, setList, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { makeChange } from "./make-change.ts"

/** The group, what lights it and its place on a board. */
export function takeOutGroup(doc: Doc, group: string): string {
  const lines = namesAt(doc, "programme").filter((i) => writtenAt(doc, `programme.${i}.light`) === group)
  const boards = namesAt(doc, "boards").filter((b) =>
    (listAt(doc, `boards.${b}.carries`) ?? []).includes(group),
  )
  return makeChange(
    `group ${group}`,
    ...lines.reverse().map((i) => (text: string) => removeEntry(text, `programme.${i}`)),
    ...boards.map((b) => (text: string) => {
      const left = (listAt(doc, `boards.${b}.carries`) ?? []).filter((c) => c !== group)
      return left.length === 0 ? removeEntry(text, `boards.${b}`) : setList(text, `boards.${b}.carries`, left)
    }),
    (text) => removeEntry(text, `groups.${group}`),
  )
}
