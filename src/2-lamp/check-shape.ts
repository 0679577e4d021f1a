// The tree against the schema: every misspelt key, missing value, wrong unit and impossible value in one go.
// What is sound is handed on, part by part, so that the rest of the description is still judged.

import type { z } from "zod"
import type { Finding } from "../0-ground/finding.ts"
import { nearMatch } from "../0-ground/text/near-match.ts"
import type { Place } from "./artefact.ts"
import { counted, type Figures, said, tied } from "./lamp-figures.ts"
import { lampFindings as report } from "./lamp-findings.ts"
import { type LampShape, lampShape, nameFault, partShapes, type Refusal } from "./lamp-schema.ts"
import { isPlainMap, join, type Plain, type PlainMap, placeOf, type Tree } from "./parse-text.ts"
import { quote } from "./read-quantity.ts"

/** Everything that could be read; `whole` only when all of it could. */
export interface Sound {
  readonly whole: LampShape | undefined
  readonly wires: ReadonlyMap<string, LampShape["vehicle"]["wires"][string]>
  readonly faces: ReadonlyMap<string, LampShape["faces"][string]>
  readonly groups: ReadonlyMap<string, LampShape["groups"][string]>
  readonly boards: ReadonlyMap<string, LampShape["boards"][string]>
  readonly programme: ReadonlyMap<number, LampShape["programme"][number]>
  readonly supply: LampShape["vehicle"]["supply"] | undefined
  readonly ambient: LampShape["vehicle"]["ambient"] | undefined
}

export interface Located {
  readonly tree: Tree
  readonly findings: Finding[]
  readonly figures: Figures
}

export function where(tree: Tree, path: string, prefer: "value" | "key" = "value") {
  const place: Place = placeOf(tree, path, prefer)
  return { text: path === "" ? "the description" : path, path, line: place.line, column: place.column }
}

export function checkShape(at: Located): Sound {
  const { tree, findings } = at
  const parsed = lampShape.safeParse(tree.root, { reportInput: true })
  const strangers: string[] = []
  if (!parsed.success) for (const issue of sensible(parsed.error.issues)) tell(issue, "", at, strangers)
  checkNames(tree, findings)

  // An unknown key was reported; without it the rest can still be read.
  const known = strangers.length > 0 ? without(tree.root, new Set(strangers), "") : tree.root
  const again = parsed.success ? parsed : lampShape.safeParse(known)
  const root = known as PlainMap
  const vehicle = isPlainMap(root.vehicle) ? root.vehicle : undefined
  const fault = (name: string) => nameFault(name) !== undefined
  const each = <T extends z.ZodType>(map: Plain | undefined, shape: T): Map<string, z.output<T>> => {
    const out = new Map<string, z.output<T>>()
    if (!isPlainMap(map)) return out
    for (const [name, value] of Object.entries(map)) {
      const one = shape.safeParse(value)
      if (one.success && !fault(name)) out.set(name, one.data)
    }
    return out
  }
  const one = <T extends z.ZodType>(value: Plain | undefined, shape: T): z.output<T> | undefined => {
    const read = shape.safeParse(value)
    return read.success ? read.data : undefined
  }
  const programme = new Map<number, LampShape["programme"][number]>()
  if (Array.isArray(root.programme))
    for (const [i, line] of root.programme.entries()) {
      const read = partShapes.programmeLine.safeParse(line)
      if (read.success) programme.set(i, read.data)
    }
  return {
    whole: again.success ? again.data : undefined,
    wires: each(vehicle?.wires, partShapes.wire),
    faces: each(root.faces, partShapes.face),
    groups: each(root.groups, partShapes.group),
    boards: each(root.boards, partShapes.board),
    programme,
    supply: one(vehicle?.supply, partShapes.supply),
    ambient: one(vehicle?.ambient, partShapes.ambient),
  }
}

type Issue = z.core.$ZodIssue

/** The length of something that is not even a list says nothing. */
function sensible(issues: readonly Issue[]): Issue[] {
  const wrong = new Set(issues.filter((i) => i.code === "invalid_type").map((i) => i.path.join(".")))
  return issues.filter(
    (i) => (i.code !== "too_big" && i.code !== "too_small") || !wrong.has(i.path.join(".")),
  )
}

/** One schema issue as a finding. Paths inside alternatives are relative, hence `base`. */
function tell(issue: Issue, base: string, at: Located, strangers: string[]): void {
  const { tree, findings, figures } = at
  const path = issue.path.reduce<string>((p, key) => join(p, String(key)), base)
  const place = where(tree, path)
  const name = path.slice(path.lastIndexOf(".") + 1)
  const missing = issue.input === undefined && issue.code !== "unrecognized_keys" && !tree.keys.has(path)
  if (missing && path !== "" && !/^\d+$/.test(name)) {
    const parent = path.slice(0, Math.max(0, path.lastIndexOf(".")))
    findings.push(
      report.state("missing-key", {
        severity: "red",
        title: `${parent === "" ? "The description" : quote(parent)} has no ${quote(name)}.`,
        where: { ...where(tree, parent, "key"), path },
        advice: adviceForMissing(issue, name),
      }),
    )
    return
  }
  switch (issue.code) {
    case "unrecognized_keys": {
      for (const key of issue.keys) {
        const inner = join(path, key)
        strangers.push(inner)
        const near = nearMatch(key, knownKeys(path))
        findings.push(
          report.state("unknown-key", {
            severity: "red",
            title: `The key ${quote(key)} means nothing ${path === "" ? "here" : `in ${quote(path)}`}.`,
            where: where(tree, inner, "key"),
            advice: near
              ? `Did you mean ${near}?`
              : `Known here: ${knownKeys(path).join(", ")}. Remove the line if none of these was meant.`,
          }),
        )
      }
      return
    }
    case "invalid_union": {
      const branch = likeliest(issue.errors, issue.input)
      // A value that fits none of the alternatives is told once, not once each.
      if (branch.every((inner) => inner.path.length === 0 && inner.code === "invalid_type")) break
      for (const inner of branch) tell(withAllWords(inner as Issue, issue.errors), path, at, strangers)
      return
    }
    case "custom": {
      const refusal = issue.params as Refusal | undefined
      if (refusal === undefined) break
      const { finding, says, suggestion, measured, limit, unit, kind } = refusal
      findings.push(
        report.state(finding, {
          severity: "red",
          title: `${quote(path)}: ${says}.`,
          where: place,
          ...(measured === undefined || unit === undefined
            ? {}
            : tied(figures, said(tree, path, path, measured, unit))),
          ...(limit === undefined || unit === undefined || kind === undefined
            ? {}
            : { limit: { value: limit, unit, kind }, margin: miss(measured, limit) }),
          ...(suggestion === undefined
            ? {}
            : { advice: `Write ${suggestion}${finding === "unknown-unit" ? "" : " or the like"}.` }),
        }),
      )
      return
    }
    case "invalid_value": {
      const values = issue.values.map(String)
      if (path === "lampwright") {
        findings.push(
          report.state("version", {
            severity: "red",
            title: `This tool reads descriptions of form 1; this one says ${quote(shown(issue.input))}.`,
            where: place,
          }),
        )
        return
      }
      const near = typeof issue.input === "string" ? nearMatch(issue.input, values) : undefined
      findings.push(
        report.state("unknown-word", {
          severity: "red",
          title: `${quote(path)}: ${quote(shown(issue.input))} is not one of ${values.join(", ")}.`,
          where: place,
          ...(near ? { advice: `Did you mean ${near}?` } : {}),
        }),
      )
      return
    }
    case "too_small":
    case "too_big": {
      const least = issue.code === "too_small"
      const limit = Number(least ? issue.minimum : issue.maximum)
      const measured =
        typeof issue.input === "number"
          ? issue.input
          : ((issue.input as { length?: number } | undefined)?.length ?? 0)
      const unit = issue.origin === "string" ? "characters" : issue.origin === "array" ? "entries" : ""
      findings.push(
        report.state("out-of-range", {
          severity: "red",
          title: `${quote(path)}: ${tooMany(measured, unit, limit, least)}.`,
          where: place,
          ...tied(
            figures,
            unit === ""
              ? said(tree, path, path, measured, unit)
              : counted(path, `${unit} of ${path}`, measured, unit),
          ),
          limit: { value: limit, unit, kind: least ? "at least" : "at most" },
          margin: miss(measured, limit),
        }),
      )
      return
    }
    case "invalid_format": {
      // The words of the form stand with it in the schema.
      const [says, advice] = issue.message.split("|") as [string, string]
      findings.push(
        report.state("wrong-kind", {
          severity: "red",
          title: `${quote(path)}: ${quote(shown(issue.input))} ${says}.`,
          where: place,
          advice,
        }),
      )
      return
    }
    default:
  }
  const expected = expectedBy(issue)
  const isScalar = typeof issue.input === "string" || typeof issue.input === "number"
  findings.push(
    report.state("wrong-kind", {
      severity: "red",
      title: `${quote(path === "" ? "the description" : path)}: ${found(issue.input)} where ${expected} is asked.`,
      where: place,
      ...(expected === "a list" && isScalar
        ? { advice: `Write it in brackets: [${String(issue.input).slice(0, 40)}].` }
        : {}),
    }),
  )
}

function tooMany(measured: number, unit: string, limit: number, least: boolean): string {
  if (unit === "") return `${measured} is ${least ? "below" : "above"} ${limit}`
  const one = unit === "entries" ? "entry" : "character"
  return `${measured} ${measured === 1 ? one : unit} where at ${least ? "least" : "most"} ${limit} ${limit === 1 ? "is" : "are"} asked`
}

/** What was asked for, over all alternatives. */
function expectedBy(issue: Issue): string {
  const kinds = (i: z.core.$ZodIssue): string[] =>
    i.code === "invalid_type"
      ? [asked(String(i.expected))]
      : i.code === "invalid_union"
        ? i.errors.flatMap((branch) => branch.filter((b) => b.path.length === 0).flatMap(kinds))
        : []
  const all = [...new Set(kinds(issue))]
  return all.length === 0 ? "another kind of value" : all.join(" or ")
}

/** Where the alternatives differ in a word (along: line, arc, list), all of their words are known. */
function withAllWords(issue: Issue, branches: readonly (readonly z.core.$ZodIssue[])[]): Issue {
  if (issue.code !== "invalid_value") return issue
  const same = (other: z.core.$ZodIssue) =>
    other.code === "invalid_value" && other.path.join(".") === issue.path.join(".") ? other.values : []
  return { ...issue, values: [...new Set(branches.flatMap((b) => b.flatMap(same)))] }
}

const miss = (measured: number | undefined, limit: number) =>
  measured === undefined ? -1 : -Math.abs(measured - limit) / (limit === 0 ? 1 : Math.abs(limit))

/** The alternative that was most likely meant: right kind of value, fewest faults. */
function likeliest(
  branches: readonly (readonly z.core.$ZodIssue[])[],
  input: unknown,
): readonly z.core.$ZodIssue[] {
  const weight = (issues: readonly z.core.$ZodIssue[]) => {
    let sum = 0
    for (const issue of issues) {
      const atRoot = issue.path.length === 0
      if (issue.code === "unrecognized_keys") sum += 10 * issue.keys.length
      else if (atRoot && issue.code === "invalid_type") sum += 1000
      else if (issue.code === "invalid_value") sum += 20
      else sum += 11
    }
    // A mapping with its distinguishing word in place (along: arc) was meant to be that form.
    const keyed = isPlainMap(input) && issues.some((i) => i.path[0] === "along" && i.code === "invalid_value")
    return sum + (keyed ? 500 : 0)
  }
  let best = branches[0] ?? []
  for (const branch of branches) if (weight(branch) < weight(best)) best = branch
  return best
}

function adviceForMissing(issue: Issue, name: string): string {
  if (issue.code === "invalid_value") return `Add ${name} with one of: ${issue.values.join(", ")}.`
  return `Add ${name}.`
}

function shown(input: unknown): string {
  return typeof input === "object" ? found(input) : String(input)
}
function found(input: unknown): string {
  if (input === undefined || input === null) return "nothing"
  if (Array.isArray(input)) return "a list"
  if (typeof input === "object") return "a mapping"
  return quote(String(input))
}
const asked = (expected: string) =>
  ({
    object: "a mapping",
    record: "a mapping of names",
    array: "a list",
    tuple: "a list",
    string: "a text",
    number: "a number",
    int: "a whole number",
    boolean: "true or false",
  })[expected] ?? expected

/** Keys the schema knows at a path, over all alternatives. */
export function knownKeys(path: string): string[] {
  let at: unknown[] = [lampShape]
  for (const key of path === "" ? [] : path.split(".")) at = at.flatMap((s) => inside(s, key))
  return [...new Set(at.flatMap(unwrap).flatMap((s) => Object.keys(shapeOf(s) ?? {})))]
}

interface Def {
  readonly type: string
  readonly innerType?: unknown
  readonly in?: unknown
  readonly options?: readonly unknown[]
  readonly shape?: Record<string, unknown>
  readonly valueType?: unknown
  readonly element?: unknown
  readonly items?: readonly unknown[]
}
const defOf = (s: unknown): Def => (s as { _zod: { def: Def } })._zod.def
const shapeOf = (s: unknown) => defOf(s).shape
function unwrap(s: unknown): unknown[] {
  const def = defOf(s)
  if (def.type === "union") return (def.options ?? []).flatMap(unwrap)
  if (def.type === "pipe") return unwrap(def.in)
  if (def.innerType !== undefined) return unwrap(def.innerType)
  return [s]
}
function inside(s: unknown, key: string): unknown[] {
  return unwrap(s).flatMap((u) => {
    const def = defOf(u)
    if (def.shape) return Object.hasOwn(def.shape, key) ? [def.shape[key]] : []
    if (def.type === "record") return [def.valueType]
    if (def.type === "array") return [def.element]
    return []
  })
}

function without(value: Plain, strangers: ReadonlySet<string>, path: string): Plain {
  if (Array.isArray(value)) return value.map((v, i) => without(v, strangers, join(path, String(i))))
  if (!isPlainMap(value)) return value
  const out: Record<string, Plain> = Object.create(null)
  for (const [key, inner] of Object.entries(value)) {
    const p = join(path, key)
    if (!strangers.has(p) && inner !== undefined) out[key] = without(inner, strangers, p)
  }
  return out
}

/** Names become file names, references and net names, so they are held to plain letters. */
function checkNames(tree: Tree, findings: Finding[]): void {
  const vehicle = isPlainMap(tree.root.vehicle) ? tree.root.vehicle : undefined
  const sections: [string, Plain | undefined][] = [
    ["vehicle.wires", vehicle?.wires],
    ["faces", tree.root.faces],
    ["groups", tree.root.groups],
    ["boards", tree.root.boards],
  ]
  for (const [base, map] of sections) {
    if (!isPlainMap(map)) continue
    const seen = new Map<string, string>()
    for (const name of Object.keys(map)) {
      const fault = nameFault(name)
      if (fault !== undefined)
        findings.push(
          report.state("bad-name", {
            severity: "red",
            title: `The name ${quote(name)} cannot be used: ${fault}.`,
            where: where(tree, join(base, name), "key"),
          }),
        )
      const twin = seen.get(name.toLowerCase())
      if (twin !== undefined)
        findings.push(
          report.state("duplicate-name", {
            severity: "red",
            title: `The names ${quote(twin)} and ${quote(name)} differ only in capitals; their files would collide.`,
            where: where(tree, join(base, name), "key"),
          }),
        )
      seen.set(name.toLowerCase(), name)
    }
  }
}
