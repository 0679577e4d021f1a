// Changes one value of the description where it stands: the text of that value is replaced, nothing is printed
// anew, so comments, order and spelling of everything else stay as the builder wrote them. Every change is read
// back; one that would say anything else than what was asked is not made.

import { type Document, isMap, isScalar, isSeq, type Node, parseDocument, type YAMLMap } from "yaml"

export type Edited = { readonly text: string } | { readonly refused: string }

export type Doc = Document.Parsed

/** The text as nodes with their ranges; undefined while it is no well-formed YAML mapping. */
export function readDoc(text: string): Doc | undefined {
  try {
    const doc = parseDocument(text, { logLevel: "error", prettyErrors: false })
    return doc.errors.length === 0 && isMap(doc.contents) ? doc : undefined
  } catch {
    return undefined
  }
}

/** Keys of a dotted path; a number counts in a list; a key that holds dots stands in double quotes. */
const keysOf = (path: string): (string | number)[] =>
  (path.match(/"[^"]*"|[^.]+/g) ?? []).map((k) =>
    k.startsWith('"') ? k.slice(1, -1) : /^\d+$/.test(k) ? Number(k) : k,
  )

export const nodeAt = (doc: Doc, path: string): Node | undefined => {
  const node = path === "" ? doc.contents : doc.getIn(keysOf(path), true)
  return node === null || node === undefined ? undefined : (node as Node)
}

/** Names in the mapping (or numbers in the list) at `path`, in the order they stand. */
export function namesAt(doc: Doc, path: string): string[] {
  const node = nodeAt(doc, path)
  if (isMap(node)) return node.items.map((p) => String(isScalar(p.key) ? p.key.value : p.key))
  return isSeq(node) ? node.items.map((_, i) => String(i)) : []
}

/** A plain value as the builder wrote it (without quotes); undefined where there is none. */
export function writtenAt(doc: Doc, path: string): string | undefined {
  const node = nodeAt(doc, path)
  if (!isScalar(node) || node.value === null) return undefined
  return typeof node.value === "string" ? node.value : (node.source ?? String(node.value))
}

/** The items of a list of plain values as written; one plain value counts as a list of one. */
export function listAt(doc: Doc, path: string): string[] | undefined {
  const node = nodeAt(doc, path)
  if (isScalar(node)) return [writtenAt(doc, path) ?? ""]
  if (!isSeq(node) || !node.items.every((i) => isScalar(i))) return undefined
  return node.items.map((_, i) => writtenAt(doc, `${path}.${i}`) ?? "")
}

const broken = { refused: "The text has a fault; mend it in the text first." }
const elsewhere = { refused: "This value is written in a form that is changed in the text." }

/** Gives the value at `path`; a key that is not there yet is added after its neighbours. */
export function setValue(text: string, path: string, value: string): Edited {
  const doc = readDoc(text)
  if (!doc) return broken
  if (writtenAt(doc, path) === value) return { text }
  const node = nodeAt(doc, path)
  if (node !== undefined && !(isScalar(node) && node.range)) return elsewhere
  for (const spelt of spellings(value, isScalar(node) ? text.slice(...span(node)) : "")) {
    const next = node === undefined ? inserted(text, doc, path, spelt) : replaced(text, node, spelt)
    if (next !== undefined && says(next, doc, path, (v) => String(v) === value)) return { text: next }
  }
  return elsewhere
}

/** Gives the whole list at `path`. */
export function setList(text: string, path: string, items: readonly string[]): Edited {
  const doc = readDoc(text)
  if (!doc) return broken
  const node = nodeAt(doc, path)
  const source = node?.range ? text.slice(...span(node)) : ""
  // A comment or a list written line by line is the builder's own arrangement.
  if (node !== undefined && (isMap(node) || /[#\n]/.test(source))) return elsewhere
  for (const spell of [(v: string) => v, (v: string) => JSON.stringify(v)]) {
    const spelt =
      items.length === 1 && isScalar(node) ? spell(items[0] ?? "") : `[${items.map(spell).join(", ")}]`
    const next = node === undefined ? inserted(text, doc, path, spelt) : replaced(text, node, spelt)
    const want = (v: unknown) =>
      JSON.stringify((Array.isArray(v) ? v : [v]).map(String)) === JSON.stringify(items)
    if (next !== undefined && says(next, doc, path, want)) return { text: next }
  }
  return elsewhere
}

/**
 * Writes the value at `path` anew in another form: `written` is YAML in one line, such as `{ circle: 60 mm }`. A
 * comment inside what stood there is the builder's and keeps it as it is.
 */
export function setForm(text: string, path: string, written: string): Edited {
  const doc = readDoc(text)
  const wanted = readDoc(`v: ${written}`)
  if (!doc || !wanted) return broken
  const node = nodeAt(doc, path)
  const next = node === undefined ? inserted(text, doc, path, written) : overwritten(text, node, written)
  const want = (v: unknown) => JSON.stringify(v) === JSON.stringify((plain(wanted) as PlainTree).v)
  return next !== undefined && says(next, doc, path, want) ? { text: next } : elsewhere
}

function overwritten(text: string, node: Node, written: string): string | undefined {
  const [from, to] = [span(node)[0], trimmed(text, span(node)[1])]
  if (/(^|\s)#/.test(text.slice(from, to))) return undefined
  if (isScalar(node) || (isMap(node) && node.flow) || (isSeq(node) && node.flow))
    return replaced(text, node, written)
  // Lines of their own close up behind their key.
  const key = text.slice(0, from).trimEnd()
  const lost = text.slice(key.length, from)
  if (lost.includes("#") || !/[:-]$/.test(key)) return undefined
  return `${key} ${written}${text.slice(to)}`
}

/** Gives the key at `path` another name, where it stands. */
export function renameKey(text: string, path: string, name: string): Edited {
  const doc = readDoc(text)
  if (!doc) return broken
  const [parent, key] = split(path)
  const map = nodeAt(doc, parent)
  const names = namesAt(doc, parent)
  const at = names.indexOf(key)
  if (!isMap(map) || at < 0) return elsewhere
  if (name === key) return { text }
  if (names.includes(name)) return { refused: `${name} is there already.` }
  const node = map.items[at]?.key as Node | undefined
  if (!node?.range) return elsewhere
  for (const spelt of spellings(name, text.slice(...span(node)))) {
    const next = replaced(text, node, spelt)
    const after = readDoc(next)
    if (!after) continue
    const [was, is] = [plain(doc), plain(after)]
    const holder = (tree: unknown) =>
      (parent === "" ? [] : keysOf(parent)).reduce<unknown>((v, k) => (isTree(v) ? v[k] : undefined), tree)
    const [then, now] = [holder(was), holder(is)]
    if (!isTree(then) || !isTree(now)) continue
    const same = JSON.stringify(then[key]) === JSON.stringify(now[name])
    delete then[key]
    delete now[name]
    if (same && JSON.stringify(was) === JSON.stringify(is)) return { text: next }
  }
  return elsewhere
}

/** Takes the key at `path` out, where no comment of the builder's would go with it. */
export function removeKey(text: string, path: string): Edited {
  const doc = readDoc(text)
  if (!doc) return broken
  const [parent, key] = split(path)
  const map = nodeAt(doc, parent)
  if (!isMap(map)) return elsewhere
  const at = namesAt(doc, parent).indexOf(key)
  const here = pairSpan(map, at)
  if (!here) return { text }
  const before = pairSpan(map, at - 1)
  const after = pairSpan(map, at + 1)
  let [from, to] = here
  if (map.flow) {
    if (before) from = before[1]
    else if (after) to = after[0]
  } else {
    from = text.lastIndexOf("\n", from - 1) + 1
    const end = text.indexOf("\n", trimmed(text, to))
    to = end < 0 ? text.length : end + 1
  }
  if (text.slice(from, to).includes("#")) return elsewhere
  const next = text.slice(0, from) + text.slice(to)
  return says(next, doc, path, (v) => v === undefined) ? { text: next } : elsewhere
}

/** As the value was written before where that works, plain where it can be, in quotes where it must. */
function spellings(value: string, before: string): string[] {
  const quoted = JSON.stringify(value)
  if (before.startsWith('"')) return [quoted]
  if (before.startsWith("'")) return [`'${value.replaceAll("'", "''")}'`, quoted]
  return before.startsWith("|") || before.startsWith(">") ? [] : [value, quoted]
}

const span = (node: Node): [number, number] => [node.range?.[0] ?? 0, node.range?.[1] ?? 0]

function replaced(text: string, node: Node, spelt: string): string {
  const [from, to] = span(node)
  // A key without a value has no room of its own.
  const gap = from === to && text[from - 1] === ":" ? " " : ""
  return text.slice(0, from) + gap + spelt + text.slice(to)
}

function inserted(text: string, doc: Doc, path: string, spelt: string): string | undefined {
  const [parent, key] = split(path)
  const map = nodeAt(doc, parent)
  if (map === undefined && parent !== "") return inserted(text, doc, parent, `{ ${key}: ${spelt} }`)
  if (!isMap(map) || !map.range) return undefined
  const last = pairSpan(map, map.items.length - 1)
  if (map.flow) {
    const at = last ? last[1] : map.range[0] + 1
    return `${text.slice(0, at)}${last ? "," : ""} ${key}: ${spelt}${last ? "" : " "}${text.slice(at)}`
  }
  const first = pairSpan(map, 0)
  if (!last || !first) return undefined
  const indent = text.slice(text.lastIndexOf("\n", first[0] - 1) + 1, first[0])
  if (indent.trim() !== "" && indent.trim() !== "-") return undefined
  const end = text.indexOf("\n", trimmed(text, last[1]))
  const at = end < 0 ? text.length : end
  return `${text.slice(0, at)}\n${indent.replace("-", " ")}${key}: ${spelt}${text.slice(at)}`
}

/** From the key's first character to the value's last. */
function pairSpan(map: YAMLMap, i: number): [number, number] | undefined {
  const pair = i < 0 ? undefined : map.items[i]
  const key = pair?.key as Node | undefined
  const value = pair?.value as Node | null | undefined
  if (!key?.range) return undefined
  return [key.range[0], value?.range?.[1] ?? key.range[1] + 1]
}

function trimmed(text: string, end: number): number {
  let at = end
  while (at > 0 && /\s/.test(text[at - 1] ?? "")) at--
  return at
}

const split = (path: string): [string, string] => {
  const key = /"[^"]*"$|[^.]*$/.exec(path)?.[0] ?? ""
  const parent = path.slice(0, Math.max(0, path.length - key.length - 1))
  return [parent, key.startsWith('"') ? key.slice(1, -1) : key]
}

/** Whether `text` reads as `before` did, but for the value at `path`, which `want` must take. */
function says(text: string, before: Doc, path: string, want: (value: unknown) => boolean): boolean {
  const doc = readDoc(text)
  if (!doc) return false
  const [was, is] = [plain(before), plain(doc)]
  if (!want(keysOf(path).reduce<unknown>((v, k) => (isTree(v) ? v[k] : undefined), is))) return false
  for (const tree of [was, is]) prune(tree, keysOf(path))
  return JSON.stringify(was) === JSON.stringify(is)
}

type PlainTree = Record<string | number, unknown>
const isTree = (v: unknown): v is PlainTree => typeof v === "object" && v !== null

/** Values without shared parts: what an alias stands for is written out. */
const plain = (doc: Doc): unknown => JSON.parse(JSON.stringify(doc.toJS()))

/** Takes the value out, and mappings that were made only to hold it. */
function prune(tree: unknown, [key, ...rest]: readonly (string | number)[]) {
  if (!isTree(tree) || key === undefined) return
  if (rest.length > 0) {
    prune(tree[key], rest)
    if (isTree(tree[key]) && !Array.isArray(tree[key]) && Object.keys(tree[key]).length === 0)
      delete tree[key]
  } else if (Array.isArray(tree)) tree[Number(key)] = null
  else delete tree[key]
}
