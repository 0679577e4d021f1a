// Another name for a wire, a face, a group or a board: the key itself and everything in the description that calls it
// by name, as one change.

import {
  type Doc,
  listAt,
  namesAt,
  nodeAt,
  renameKey,
  setValue,
  writtenAt,
} from "../../../0-ground/text/edit-text.ts"
import type { EditStep } from "../start/make-change.ts"

/** The steps that rename what stands at `path`, such as `groups.tail-stop`. */
export function renaming(doc: Doc, path: string, to: string): readonly EditStep[] {
  const cut = path.lastIndexOf(".")
  const [where, from] = [path.slice(0, cut), path.slice(cut + 1)]
  const calls = callersOf(doc, where, from)
  return [
    ...calls.map((at) => (text: string) => setValue(text, at, to)),
    ...pinsOf(doc, where, from).map((key) => (text: string) => {
      const next = key
        .split(".")
        .map((part, i) => (i === 1 && part === from ? to : part))
        .join(".")
      return renameKey(text, `pins."${key}"`, next)
    }),
    (text) => renameKey(text, path, to),
  ]
}

/** Places whose value is the name. */
function callersOf(doc: Doc, where: string, name: string): readonly string[] {
  const each = (list: string, key: string) => namesAt(doc, list).map((i) => `${list}.${i}.${key}`)
  const places: Readonly<Record<string, readonly string[]>> = {
    "vehicle.wires": [...each("programme", "when"), ...each("vehicle.wires", "tell-tale.to")],
    faces: [...each("groups", "face"), ...each("boards", "behind")],
    groups: [...each("programme", "light"), ...each("boards", "carries")],
  }
  return (places[where] ?? []).flatMap((at) => {
    if (writtenAt(doc, at) !== undefined) return writtenAt(doc, at) === name ? [at] : []
    if (nodeAt(doc, at) === undefined) return []
    return (listAt(doc, at) ?? []).flatMap((item, i) => (item === name ? [`${at}.${i}`] : []))
  })
}

/** Choices held by hand that are told by the name: `drive.GROUP.way`, `boards.BOARD.U1`. */
function pinsOf(doc: Doc, where: string, name: string): readonly string[] {
  const room = { groups: "drive", boards: "boards" }[where]
  return namesAt(doc, "pins").filter((key) => room !== undefined && key.startsWith(`${room}.${name}.`))
}
