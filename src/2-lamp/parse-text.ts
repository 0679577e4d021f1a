// Text → plain values with their places. Everything a hostile or damaged file can do stops here:
// size, depth, number of values, aliases, duplicate keys, keys that are not plain names.

import { isAlias, isMap, isScalar, isSeq, Lexer, LineCounter, type Node, parseDocument } from "yaml"
import type { Finding } from "../0-ground/finding.ts"
import type { Place } from "./artefact.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import { quote } from "./read-quantity.ts"

export type Plain = string | number | boolean | null | readonly Plain[] | PlainMap
/** Has no prototype, so that a key can never be mistaken for an inherited property. */
export interface PlainMap {
  readonly [key: string]: Plain | undefined
}

export interface Tree {
  readonly root: PlainMap
  /** Where the value of a path (keys joined by dots) begins. */
  readonly values: ReadonlyMap<string, Place>
  /** Where the key of a path begins. */
  readonly keys: ReadonlyMap<string, Place>
}

/** Longest text that is read, in characters. */
export const longestText = 1_000_000
const mostTokens = 120_000
const mostValues = 20_000
const deepest = 24
const mostErrors = 20

export const isPlainMap = (v: unknown): v is PlainMap =>
  typeof v === "object" && v !== null && !Array.isArray(v)

/** The tree, or undefined when the text cannot be trusted; then at least one red finding was added. */
export function parseText(text: string, findings: Finding[]): Tree | undefined {
  const before = findings.length
  const say = (
    code: Parameters<typeof report.state>[0],
    title: string,
    place: Place = { line: 1, column: 1 },
    advice?: string,
  ) => {
    if (findings.length - before >= mostErrors) return
    findings.push(
      report.state(code, {
        severity: "red",
        title,
        where: { text: `line ${place.line}, column ${place.column}`, ...place },
        ...(advice === undefined ? {} : { advice }),
      }),
    )
  }

  if (text.length > longestText) {
    say("too-large", `The description has ${text.length} characters; at most ${longestText} are read.`)
    return undefined
  }
  const crowd = crowdedAt(text)
  if (crowd) {
    const place = placeAt(text, crowd.offset)
    if (crowd.why === "depth") say("too-deep", `More than ${deepest} levels are nested here.`, place)
    else say("too-many", `The text has more than ${mostTokens} words and marks.`, place)
    return undefined
  }

  const counter = new LineCounter()
  const at = (offset: number): Place => {
    const { line, col } = counter.linePos(Math.max(0, Math.min(offset, text.length)))
    return { line: Math.max(1, line), column: Math.max(1, col) }
  }
  let doc: ReturnType<typeof parseDocument>
  try {
    // Unique keys are checked below: the parser's own check grows with the square of the number of keys.
    doc = parseDocument(text, {
      lineCounter: counter,
      prettyErrors: false,
      uniqueKeys: false,
      logLevel: "error",
    })
  } catch (error) {
    say(
      "syntax",
      `The text cannot be read as YAML: ${error instanceof Error ? error.message : "no reason given"}.`,
    )
    return undefined
  }
  // One tab puts everything after it out of place; what follows from it would only distract.
  const tabs = doc.errors.filter((e) => e.code === "TAB_AS_INDENT")
  for (const problem of tabs.length > 0 ? tabs : [...doc.errors, ...doc.warnings]) {
    const { says, advice } = inWords(problem.code, problem.message)
    const deep = problem.message.includes("call stack")
    say(deep ? "too-deep" : "syntax", says, at(problem.pos[0]), advice)
  }
  if (findings.length > before) return undefined
  const contents = doc.contents as Node | null
  if (contents === null || (isScalar(contents) && contents.value === null)) {
    say("empty", "The description is empty.")
    return undefined
  }
  if (!isMap(contents)) {
    say(
      "not-a-mapping",
      `The description begins with ${kindOf(contents)} where a mapping is asked.`,
      at(contents.range?.[0] ?? 0),
    )
    return undefined
  }

  const values = new Map<string, Place>()
  const keys = new Map<string, Place>()
  const anchors = new Map<string, Node>()
  let count = 0
  let stopped = false
  // What an alias grows into is told where the alias stands, not where its anchor does.
  let alias: Place | undefined
  const startOf = (node: Node, fallback: Place) => (node.range ? at(node.range[0]) : fallback)

  const walk = (node: Node | null, path: string, depth: number, fallback: Place): Plain => {
    if (stopped) return null
    if (node === null) {
      values.set(path, fallback)
      return null
    }
    const place = startOf(node, fallback)
    if (++count > mostValues) {
      stopped = true
      say("too-many", `The description grows beyond ${mostValues} values here.`, alias ?? place)
      return null
    }
    if (depth > deepest) {
      stopped = true
      say("too-deep", `More than ${deepest} levels are nested here.`, alias ?? place)
      return null
    }
    if (!values.has(path)) values.set(path, place)
    if (isAlias(node)) {
      const target = anchors.get(node.source)
      if (target) {
        const outer = alias
        alias ??= place
        const value = walk(target, path, depth + 1, place)
        alias = outer
        return value
      }
      say("syntax", `The alias ${quote(node.source)} has no anchor before it.`, place)
      return null
    }
    if (node.anchor !== undefined) anchors.set(node.anchor, node)
    if (isScalar(node)) return scalar(node.value, node.source)
    if (isSeq(node))
      return node.items.map((item, i) => walk(item as Node | null, join(path, String(i)), depth + 1, place))
    if (!isMap(node)) return null
    const out: Record<string, Plain> = Object.create(null)
    for (const pair of node.items) {
      const key = pair.key as Node | null
      const keyPlace = key ? startOf(key, place) : place
      const target = isAlias(key) ? anchors.get(key.source) : key
      if (!isScalar(target) || target.value === null || typeof target.value === "object") {
        say("bad-name", "A key must be a plain word.", keyPlace)
        continue
      }
      if (target.anchor !== undefined) anchors.set(target.anchor, target)
      const name = String(target.source ?? target.value)
      if (name in Object.prototype || name === "prototype") {
        say("bad-name", `The word ${quote(name)} cannot be used as a name.`, keyPlace, "Use another word.")
        continue
      }
      const inner = join(path, name)
      if (name in out) {
        const first = keys.get(inner) ?? place
        say(
          "duplicate-name",
          `The name ${quote(name)} stands twice: here and in line ${first.line}.`,
          keyPlace,
        )
        continue
      }
      keys.set(inner, keyPlace)
      out[name] = walk(pair.value as Node | null, inner, depth + 1, keyPlace)
    }
    return out
  }

  const root = walk(contents, "", 0, { line: 1, column: 1 })
  if (stopped || !isPlainMap(root)) return undefined
  return { root, values, keys }
}

export const join = (path: string, key: string): string => (path === "" ? key : `${path}.${key}`)

/** Place of a path; where it has none (a missing key), that of the nearest mapping around it. */
export function placeOf(tree: Tree, path: string, prefer: "value" | "key" = "value"): Place {
  for (let p = path; ; p = p.slice(0, Math.max(0, p.lastIndexOf(".")))) {
    const first = prefer === "key" ? tree.keys.get(p) : tree.values.get(p)
    const place = first ?? tree.keys.get(p) ?? tree.values.get(p)
    if (place) return place
    if (p === "") return { line: 1, column: 1 }
  }
}

/** Reads marks only, without building anything, and says where depth or number go beyond what is read. */
function crowdedAt(text: string): { why: "depth" | "number"; offset: number } | undefined {
  let offset = 0
  let tokens = 0
  let flow = 0
  let dashes = 0
  for (const token of new Lexer().lex(text)) {
    // The lexer's own control marks are not part of the text.
    const control =
      token.length === 1 &&
      (token === "\u0002" || token === "\u0018" || token === "\u001f" || token === "\ufeff")
    if (token === "[" || token === "{") flow++
    else if (token === "]" || token === "}") flow = Math.max(0, flow - 1)
    else if (token === "-" || token === "?") dashes++
    else if (token.startsWith("\n") || token.startsWith("\r\n")) dashes = 0
    if (flow > deepest || dashes > deepest) return { why: "depth", offset }
    if (++tokens > mostTokens) return { why: "number", offset }
    if (!control) offset += token.length
  }
  return undefined
}

function placeAt(text: string, offset: number): Place {
  let line = 1
  let start = 0
  for (let i = text.indexOf("\n"); i >= 0 && i < offset; i = text.indexOf("\n", i + 1)) {
    line++
    start = i + 1
  }
  return { line, column: Math.max(1, offset - start + 1) }
}

/** Numbers keep their digits as written where a plain number would lose them (`012`, `1e3` stay as they read). */
function scalar(value: unknown, source: string | undefined): Plain {
  if (typeof value === "number") return Number.isFinite(value) ? value : (source ?? String(value))
  if (typeof value === "string" || typeof value === "boolean" || value === null) return value
  return source ?? String(value)
}

function kindOf(node: Node): string {
  if (isSeq(node)) return "a list"
  if (isScalar(node)) return typeof node.value === "number" ? "a number" : "a text"
  return "something else"
}

function inWords(code: string, message: string): { says: string; advice?: string } {
  switch (code) {
    case "TAB_AS_INDENT":
      return { says: "A tab stands where spaces are asked.", advice: "Indent with spaces only." }
    case "BAD_INDENT":
      return {
        says: "The indentation does not fit the lines around it.",
        advice: "Line the key up with its neighbours.",
      }
    case "MULTIPLE_DOCS":
      return {
        says: "A second description begins here.",
        advice: "Keep one description in a file; remove the --- line.",
      }
    case "MISSING_CHAR":
      return { says: `A bracket, quote or comma is missing: ${message.replace(/\s+/g, " ")}.` }
    case "TAG_RESOLVE_FAILED":
      return { says: "A tag beginning with ! has no meaning here.", advice: "Remove the tag." }
    case "BAD_ALIAS":
      return { says: message.replace(/\s+/g, " "), advice: "Put text that begins with * or & in quotes." }
    default:
      if (message.includes("call stack")) return { says: "Too many levels are nested here." }
      return { says: `Not well-formed YAML: ${message.replace(/\s+/g, " ").replace(/\.$/, "")}.` }
  }
}
