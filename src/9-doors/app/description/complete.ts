// Which words can stand at the caret: keys, values and names, from the published schema and the text itself. Works on
// text that is half typed, so it reads indentation and brackets and asks for no well-formed whole.

import { listAt, namesAt, readDoc } from "../../../0-ground/text/edit-text.ts"
import { keysAt, optionsAt } from "./fields.ts"

export interface Completion {
  /** Where the word at the caret begins. */
  readonly from: number
  readonly word: string
  /** In the order of the schema, those that begin with the word first. */
  readonly options: readonly Option[]
}

export interface Option {
  readonly word: string
  /** What is put in: a key brings its colon. */
  readonly put: string
  readonly about: string
}

const most = 60

export function complete(text: string, caret: number): Completion | undefined {
  const start = text.lastIndexOf("\n", caret - 1) + 1
  const before = text.slice(start, caret)
  if (/(^|\s)#/.test(before)) return undefined
  const word = /[\w-]*$/.exec(before)?.[0] ?? ""
  const place = placeOf(text.slice(0, start), before.slice(0, before.length - word.length))
  if (!place) return undefined
  const { path, value } = place
  const all = value ? values(text, path) : keys(text, path)
  const low = word.toLowerCase()
  const options = [
    ...all.filter((o) => o.word.toLowerCase().startsWith(low)),
    ...all.filter((o) => !o.word.toLowerCase().startsWith(low) && low !== "" && o.word.includes(low)),
  ].slice(0, most)
  return options.length === 0 ? undefined : { from: caret - word.length, word, options }
}

function keys(text: string, path: string): Option[] {
  const doc = readDoc(text)
  const there = doc ? namesAt(doc, path) : []
  return keysAt(path)
    .filter((k) => !there.includes(k.key))
    .map((k) => ({ word: k.key, put: `${k.key}: `, about: k.about }))
}

function values(text: string, path: string): Option[] {
  const doc = readDoc(text)
  const taken = doc && /\.\d+$/.test(path) ? (listAt(doc, path.slice(0, path.lastIndexOf("."))) ?? []) : []
  const names = optionsAt(path, (of) => (doc ? namesAt(doc, of) : namesIn(text, of)))
  return names.filter((n) => !taken.includes(n)).map((n) => ({ word: n, put: n, about: "" }))
}

interface Place {
  /** Of the mapping whose key, or of the place whose value, is being written. */
  readonly path: string
  readonly value: boolean
}

/** Where the caret stands: by the indentation of the lines above, then by the brackets of its own line. */
function placeOf(above: string, line: string): Place | undefined {
  const indent = /^\s*/.exec(line)?.[0].length ?? 0
  const open: { readonly indent: number; readonly key: string }[] = []
  for (const row of above.split("\n")) {
    const found = /^(\s*)((?:- +)*)(?:"([^"]*)"|([\w-]+)):(?:\s|$)/.exec(row)
    const dash = /^(\s*)- /.exec(row)
    const at = (dash?.[1] ?? found?.[1] ?? "").length
    if (!found && !dash) continue
    while (open.length > 0 && (open.at(-1)?.indent ?? 0) >= at) open.pop()
    if (dash) open.push({ indent: at, key: "0" })
    if (found) open.push({ indent: at + (found[2]?.length ?? 0), key: found[3] ?? found[4] ?? "" })
  }
  while (open.length > 0 && (open.at(-1)?.indent ?? 0) >= indent) open.pop()
  const path = open.map((o) => o.key)
  return within(line.slice(indent), path)
}

/** Reads the caret's own line up to the caret. */
function within(line: string, outer: readonly string[]): Place | undefined {
  let path = [...outer]
  const brackets: { readonly list: boolean; readonly path: readonly string[] }[] = []
  let key: string | undefined
  let filled = false
  for (const [token] of line.matchAll(/- |[{}[\],:]|"[^"]*"?|[^\s{}[\],:]+/g)) {
    const list = brackets.at(-1)?.list ?? false
    if (token === "- " && brackets.length === 0 && key === undefined) path.push("0")
    else if (token === "{" || token === "[") {
      brackets.push({ list: token === "[", path })
      if (key !== undefined) path = [...path, key]
      else if (list) path = [...path, "0"]
      key = undefined
      filled = false
    } else if (token === "}" || token === "]") {
      path = [...(brackets.pop()?.path ?? path)]
      filled = true
    } else if (token === ",") {
      key = undefined
      filled = false
    } else if (token === ":") filled = false
    else if (key === undefined && !list) key = token.replace(/^"|"$/g, "")
    else filled = true
  }
  if (filled) return undefined
  const said = /:\s*$/.test(line)
  if (brackets.at(-1)?.list) return { path: [...path, "0"].join("."), value: true }
  if (key !== undefined) return said ? { path: [...path, key].join("."), value: true } : undefined
  return { path: path.join("."), value: false }
}

/** Names in a block mapping of a text that is not well-formed just now. */
function namesIn(text: string, path: string): string[] {
  const last = path.split(".").at(-1) ?? ""
  const block = new RegExp(`^( *)${last}:[^\\S\\n]*(?:#.*)?\\n((?:\\1 +.*\\n|\\s*\\n)*)`, "m").exec(
    `${text}\n`,
  )
  const rows = (block?.[2] ?? "").split("\n")
  const least = Math.min(...rows.filter((r) => r.trim() !== "").map((r) => r.search(/\S/)))
  return rows.flatMap((r) => (r.search(/\S/) === least ? (/^\s*([\w-]+):/.exec(r)?.[1] ?? []) : []))
}
