// Adds and takes out whole entries of the description: a wire, a face, a line of the programme. As with single
// values the rest of the text stays as it was written, and every change is read back before it counts.

import { isMap, isSeq, type Node } from "yaml"
import { type Doc, type Edited, namesAt, nodeAt, readDoc, removeKey } from "./edit-text.ts"

const broken = { refused: "The text has a fault; mend it in the text first." }
const elsewhere = { refused: "This place is written in a form that is changed in the text." }

/** Puts `written` (YAML in one line, such as `{ role: steady }`) under a new name into the mapping at `path`. */
export const addEntry = (text: string, path: string, name: string, written: string): Edited =>
  added(text, path, `${name}: ${written}`, name)

/** Puts `written` at the end of the list at `path`. */
export const addItem = (text: string, path: string, written: string): Edited => added(text, path, written)

function added(text: string, path: string, written: string, name?: string): Edited {
  const doc = readDoc(text)
  if (!doc) return broken
  if (name !== undefined && namesAt(doc, path).includes(name)) return { refused: `${name} is there already.` }
  const next = placed(text, doc, path, written, name === undefined)
  const after = next === undefined ? undefined : readDoc(next)
  if (next === undefined || after === undefined) return elsewhere
  const gained = namesAt(after, path).length === namesAt(doc, path).length + 1
  const wanted = name === undefined || namesAt(after, path).includes(name)
  return gained && wanted && same(doc, after, path, namesAt(after, path).at(-1) ?? "")
    ? { text: next }
    : elsewhere
}

function placed(text: string, doc: Doc, path: string, written: string, item: boolean): string | undefined {
  const node = nodeAt(doc, path)
  const line = item ? `- ${written}` : written
  if (node === undefined || isNothing(node)) return begun(text, doc, path, line)
  const filled = isMap(node) || isSeq(node)
  if (!filled || isSeq(node) !== item || !node.range) return undefined
  const [from, to] = [node.range[0], node.range[1]]
  if (node.items.length === 0) {
    // An empty pair of brackets opens into lines of its own.
    const indent = `${indentOf(text, from)}  `
    return `${text.slice(0, from).trimEnd()}\n${indent}${line}${text.slice(to)}`
  }
  if (node.flow) {
    const end = text.lastIndexOf(item ? "]" : "}", to - 1)
    const before = text.slice(0, end)
    const gap = /\s*$/.exec(before)?.[0] ?? ""
    const body = before.slice(0, before.length - gap.length)
    return `${body}${body.endsWith(",") ? "" : ","} ${written}${gap}${text.slice(end)}`
  }
  const first = isMap(node) ? (node.items[0]?.key as Node | undefined) : (node.items[0] as Node | undefined)
  const start = first?.range?.[0]
  if (start === undefined) return undefined
  const lead = text.slice(text.lastIndexOf("\n", start - 1) + 1, start)
  const indent = /^\s*/.exec(lead)?.[0] ?? ""
  if (lead.trim() !== (item ? "-" : "")) return undefined
  let end = to
  while (end > 0 && /\s/.test(text[end - 1] ?? "")) end--
  const stop = text.indexOf("\n", end)
  const at = stop < 0 ? text.length : stop
  return `${text.slice(0, at)}\n${indent}${line}${text.slice(at)}`
}

/** A key that is not there yet, or stands without a value. */
function begun(text: string, doc: Doc, path: string, line: string): string | undefined {
  const cut = path.lastIndexOf(".")
  const key = path.slice(cut + 1)
  if (cut >= 0) {
    const parent = path.slice(0, cut)
    const written = line.startsWith("- ") ? `[${line.slice(2)}]` : `{ ${line} }`
    return placed(text, doc, parent, `${key}: ${written}`, false)
  }
  const pair = isMap(doc.contents)
    ? doc.contents.items.find((p) => String((p.key as Node & { value?: unknown }).value) === key)
    : undefined
  const range = (pair?.key as Node | undefined)?.range
  if (range) {
    const stop = text.indexOf("\n", range[1])
    const at = stop < 0 ? text.length : stop
    return `${text.slice(0, at)}\n  ${line}${text.slice(at)}`
  }
  return `${text.trimEnd()}\n\n${key}:\n  ${line}\n`
}

/** Takes the entry at `path` out: a key of a mapping, or an item of a list by its number. */
export function removeEntry(text: string, path: string): Edited {
  const doc = readDoc(text)
  if (!doc) return broken
  const cut = path.lastIndexOf(".")
  const list = nodeAt(doc, path.slice(0, Math.max(0, cut)))
  if (!isSeq(list)) {
    const parent = nodeAt(doc, path.slice(0, Math.max(0, cut)))
    // The last entry leaves an empty mapping behind, not a key without a value.
    if (isMap(parent) && parent.items.length === 1 && parent.range && !parent.flow && cut > 0) {
      const emptied = emptiedAt(text, parent.range, "{}")
      if (emptied !== undefined && namesAt(readDoc(emptied) ?? doc, path.slice(0, cut)).length === 0)
        return { text: emptied }
    }
    return removeKey(text, path)
  }
  const at = Number(path.slice(cut + 1))
  const item = list.items[at] as Node | undefined
  if (!item?.range || !list.range) return { text }
  let next: string
  if (list.flow) {
    const before = list.items[at - 1] as Node | undefined
    const after = list.items[at + 1] as Node | undefined
    const from = before?.range ? before.range[1] : item.range[0]
    const to = before?.range ? item.range[1] : (after?.range?.[0] ?? item.range[1])
    next = text.slice(0, from) + text.slice(to)
  } else if (list.items.length === 1) {
    const emptied = emptiedAt(text, list.range, "[]")
    if (emptied === undefined) return elsewhere
    next = emptied
  } else {
    const from = text.lastIndexOf("\n", item.range[0] - 1) + 1
    let end = item.range[1]
    while (end > 0 && /\s/.test(text[end - 1] ?? "")) end--
    const stop = text.indexOf("\n", end)
    if (text.slice(from, stop < 0 ? text.length : stop).includes("#")) return elsewhere
    next = text.slice(0, from) + (stop < 0 ? "" : text.slice(stop + 1))
  }
  const after = readDoc(next)
  if (!after) return elsewhere
  const was = plainAt(doc, path.slice(0, Math.max(0, cut)))
  const is = plainAt(after, path.slice(0, Math.max(0, cut)))
  if (!Array.isArray(was) || !Array.isArray(is)) return elsewhere
  return JSON.stringify(was.filter((_, i) => i !== at)) === JSON.stringify(is) ? { text: next } : elsewhere
}

/** Lines of a block replaced by empty brackets behind its key; undefined where a comment would go with them. */
function emptiedAt(text: string, range: readonly [number, number, ...number[]], brackets: string) {
  const [from] = range
  let to = range[1]
  while (to > 0 && /\s/.test(text[to - 1] ?? "")) to--
  const key = text.slice(0, from).trimEnd()
  const lost = text.slice(key.length, to)
  if (lost.includes("#") || !key.endsWith(":")) return undefined
  return `${key} ${brackets}${text.slice(to)}`
}

const isNothing = (node: Node) => "value" in node && (node as { value: unknown }).value === null

const indentOf = (text: string, at: number): string =>
  /^\s*/.exec(text.slice(text.lastIndexOf("\n", at - 1) + 1, at))?.[0] ?? ""

const plainAt = (doc: Doc, path: string): unknown =>
  (path === "" ? [] : path.split(".")).reduce<unknown>(
    (v, k) => (typeof v === "object" && v !== null ? (v as Record<string, unknown>)[k] : undefined),
    JSON.parse(JSON.stringify(doc.toJS())),
  )

/** Whether nothing changed but the entry named. */
function same(before: Doc, after: Doc, path: string, name: string): boolean {
  const [was, is] = [before, after].map((d) => JSON.parse(JSON.stringify(d.toJS())) as unknown)
  const keys = path.split(".")
  for (const [tree, drop] of [
    [was, false],
    [is, true],
  ] as const) {
    let at = tree as Record<string, unknown> | unknown[] | undefined
    const up: [Record<string, unknown>, string][] = []
    for (const k of keys) {
      if (typeof at !== "object" || at === null) break
      up.push([at as Record<string, unknown>, k])
      at = (at as Record<string, unknown>)[k] as typeof at
    }
    if (drop && Array.isArray(at)) at.pop()
    else if (drop && at) delete (at as Record<string, unknown>)[name]
    // What holds nothing reads the same as what is not there.
    for (const [holder, k] of up.reverse()) {
      const held = holder[k]
      const empty = held === null || (typeof held === "object" && Object.keys(held).length === 0)
      if (empty) delete holder[k]
    }
  }
  return JSON.stringify(was) === JSON.stringify(is)
}
