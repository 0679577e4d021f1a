// Holes of a face given to groups: which hole belongs to whom, and the change of the text that gives it to another.

import { createStore, useStore } from "zustand"
import { addEntry } from "../../../0-ground/text/edit-entries.ts"
import {
  type Doc,
  type Edited,
  listAt,
  namesAt,
  nodeAt,
  readDoc,
  setList,
  writtenAt,
} from "../../../0-ground/text/edit-text.ts"
import type { Face } from "../../../2-lamp/artefact.ts"
import { seeFaces } from "../quick.ts"
import { carry } from "../start/make-change.ts"
import { page } from "../store.ts"

export interface NewGroup {
  readonly led: string
  readonly functions: readonly string[]
}

export interface Picking {
  /** Faces that can be read from the text, whatever else it lacks. */
  readonly faces: readonly Face[]
  /** The group that holes are given to; undefined while nothing is picked. */
  readonly group: { readonly name: string; readonly face: string; readonly begins?: NewGroup } | undefined
}

export const picking = createStore<Picking>()(() => ({ faces: [], group: undefined }))

export const usePicking = <T>(pick: (state: Picking) => T): T => useStore(picking, pick)

export const startPicking = (name: string, face: string, begins?: NewGroup) =>
  picking.setState({ group: { name, face, ...(begins ? { begins } : {}) } })

export const stopPicking = () => picking.setState({ group: undefined })

/** Faces are read again when text or drawings change. */
export function followFaces(): void {
  let turn = 0
  const look = async () => {
    const mine = ++turn
    const { draft, drawings } = page.getState()
    const faces = await seeFaces(draft, drawings)
    if (mine === turn && faces) picking.setState({ faces })
  }
  page.subscribe((now, before) => {
    // Another lamp: its faces are not these.
    if (now.lamp === undefined && before.lamp !== undefined) picking.setState({ faces: [], group: undefined })
    if (now.draft !== before.draft || now.drawings !== before.drawings) void look()
  })
  void look()
}

/** Group of each hole of the face, as the text has it; a group without a list has what no other lists. */
export function ownersOf(doc: Doc, face: Face): ReadonlyMap<string, string> {
  const groups = namesAt(doc, "groups").filter((g) => writtenAt(doc, `groups.${g}.face`) === face.name)
  const owners = new Map<string, string>()
  for (const g of groups) {
    const listed =
      nodeAt(doc, `groups.${g}.holes`) === undefined ? undefined : listAt(doc, `groups.${g}.holes`)
    for (const id of listed ?? []) owners.set(id, g)
  }
  for (const g of groups)
    if (nodeAt(doc, `groups.${g}.holes`) === undefined)
      for (const { id } of face.ledHoles) if (!owners.has(id)) owners.set(id, g)
  return owners
}

/**
 * Gives `ids` to the group, or takes them from it. Other groups of the face keep the rest of theirs; a group that
 * is not there yet begins with its first holes.
 */
export function giveHoles(
  text: string,
  face: Face,
  group: NonNullable<Picking["group"]>,
  ids: readonly string[],
  give: boolean,
): Edited {
  const doc = readDoc(text)
  if (!doc) return { refused: "The text has a fault; mend it in the text first." }
  const owners = new Map(ownersOf(doc, face))
  for (const id of ids) {
    if (give) owners.set(id, group.name)
    else if (owners.get(id) === group.name) owners.delete(id)
  }
  const of = (g: string) => face.ledHoles.map((h) => h.id).filter((id) => owners.get(id) === g)
  const there = namesAt(doc, "groups")
  const mine = of(group.name)
  if (!there.includes(group.name)) {
    if (mine.length === 0) return { text }
    const { led, functions } = group.begins ?? { led: "red-5mm", functions: ["marker"] }
    const holes = mine.length === face.ledHoles.length ? "" : `, holes: [${mine.map(spelt).join(", ")}]`
    const written = `{ face: ${face.name}, led: ${led}, functions: [${functions.join(", ")}], order: left-to-right${holes} }`
    const begun = addEntry(text, "groups", group.name, written)
    const carried = "refused" in begun ? begun : carry(group.name, face.name)(begun.text)
    return "refused" in carried ? carried : others(carried.text)
  }
  if (mine.length === 0)
    return {
      refused: `${group.name} needs at least one hole; to be rid of it, take it out in the description.`,
    }
  const listed = setList(text, `groups.${group.name}.holes`, mine)
  return "refused" in listed ? listed : others(listed.text)

  /** Groups that gave holes away. */
  function others(from: string): Edited {
    let now = from
    for (const g of there) {
      if (g === group.name || writtenAt(doc!, `groups.${g}.face`) !== face.name) continue
      const had = ownersOf(doc!, face)
      const left = of(g)
      const before = face.ledHoles.filter((h) => had.get(h.id) === g).length
      if (left.length === before) continue
      if (left.length === 0) return { refused: `That would leave ${g} without a hole.` }
      const next = setList(now, `groups.${g}.holes`, left)
      if ("refused" in next) return next
      now = next.text
    }
    return { text: now }
  }
}

/** Ids that YAML would take for something else stand in quotes. */
const spelt = (id: string) =>
  /^[A-Za-z_][\w-]*$/.test(id) && !/^(true|false|null|yes|no|on|off)$/i.test(id) ? id : JSON.stringify(id)
