// Which fields a part of the description has: names, kinds, choices and help come from the published schema, so
// that the form can never know less than the reader does.

import schemaText from "../../../../schema/lampwright.schema.json?raw"
import { type Doc, listAt, namesAt, nodeAt, writtenAt } from "../../../0-ground/text/edit-text.ts"
import { leds } from "../../../1-stock/leds.ts"
import { parts } from "../../../1-stock/parts.ts"
import type { Candidate } from "../../../3-drive/artefact.ts"
import { type Form, formsFor } from "./forms.ts"

interface Schema {
  readonly type?: string | readonly string[]
  readonly properties?: Readonly<Record<string, Schema>>
  readonly additionalProperties?: Schema | boolean
  readonly items?: Schema | boolean
  readonly prefixItems?: readonly Schema[]
  readonly const?: unknown
  readonly anyOf?: readonly Schema[]
  readonly enum?: readonly string[]
  readonly required?: readonly string[]
  readonly description?: string
  readonly default?: unknown
}

export interface Field {
  readonly path: string
  readonly label: string
  readonly about: string
  readonly kind:
    | "quantity"
    | "choice"
    | "text"
    | "list"
    | "ticks"
    | "points"
    | "form"
    | "entries"
    | "elsewhere"
  readonly options: readonly string[]
  /** As it stands; undefined where it does not. */
  readonly written: string | undefined
  /** What holds when nothing is written. */
  readonly usual: string
  readonly required: boolean
  /** Lists of several things, and mappings with names of the builder's own: what one more begins as. */
  readonly entries: Entries | undefined
  /** Of a key that can be written in several forms: those. */
  readonly forms: readonly Form[] | undefined
}

export interface Entries {
  readonly one: string
  readonly written: string
  /** What the builder names it by, as an example; undefined for a list. */
  readonly named: string | undefined
}

const item = (one: string, written: string): Entries => ({ one, written, named: undefined })

const entriesOf: readonly (readonly [RegExp, Entries])[] = [
  [/^boards\.[^.]+\.notches$/, item("a notch", "{ at: [0 mm, 0 mm], width: 6 mm, depth: 3 mm }")],
  [/^boards\.[^.]+\.slots$/, item("a slot", "{ from: [10 mm, 10 mm], to: [20 mm, 10 mm], width: 2 mm }")],
  [/^boards\.[^.]+\.clear$/, item("a cleared area", "{ at: [10 mm, 10 mm], size: 10 × 10 mm }")],
  [/^boards\.[^.]+\.text$/, item("an engraved text", "{ says: L, at: [10 mm, 10 mm] }")],
  [
    /^faces\.[^.]+\.holes$/,
    item("a row", "{ along: line, from: [10 mm, 10 mm], to: [50 mm, 10 mm], count: 4 }"),
  ],
  [/^cutter\.mills$/, item("an end mill", "{ diameter: 0.8 mm, feed: 200 mm/min }")],
  [/^built$/, item("a lamp as built", "{ revision: A, date: 2026-01-01 }")],
  [/^groups\.[^.]+\.aims$/, { one: "a turned LED", written: "{ right: 10° }", named: "hole id" }],
  [/^pins$/, { one: "a choice held", written: "chosen", named: "drive.group.way" }],
]

/** Keys of a dotted path; one that holds dots stands in double quotes. */
const keysOf = (path: string): string[] =>
  (path.match(/"[^"]*"|[^.]+/g) ?? []).map((k) => k.replace(/^"|"$/g, ""))

const whole: Schema = JSON.parse(schemaText)

/** The fields of the mapping at `path`, mappings inside it opened; a plain value is a single field. */
export function fieldsAt(doc: Doc, path: string): Field[] {
  const schema = schemaAt(path)
  // A choice that is not held is the tool's own.
  return schema ? fieldsOf(doc, path, schema, "", !path.startsWith("pins.")) : []
}

/** A key of several forms: which one it is, then the fields of that one. */
function fieldsOf(doc: Doc, path: string, schema: Schema, label: string, required: boolean): Field[] {
  const forms = formsFor(path)
  if (!forms) return fieldsIn(doc, path, schema, label, required)
  const value = valueAt(doc, path)
  const now = forms.find((f) => f.is(value))
  const which: Field = {
    path,
    label: label === "" ? "form" : label,
    about: schema.description ?? "",
    kind: "form",
    options: forms.map((f) => f.name),
    written: now?.name ?? (value === undefined ? undefined : "written out in the text"),
    usual: "",
    required,
    entries: undefined,
    forms,
  }
  if (!now) return [which]
  const named = now.label ?? label
  return [which, ...fieldsIn(doc, path, schema, named, required)]
}

function fieldsIn(doc: Doc, path: string, schema: Schema, label: string, required: boolean): Field[] {
  const form = formOf(doc, path, schema)
  // What can only be one word is not asked for.
  if (form.const !== undefined) return []
  if (form.properties) {
    const needed = new Set(form.required ?? [])
    return Object.entries(form.properties).flatMap(([key, inner]) => {
      const words = key === "led" ? "LED" : key.replaceAll("-", " ")
      return fieldsOf(
        doc,
        `${path}.${key}`,
        inner,
        label === "" ? words : `${label}, ${words}`,
        needed.has(key),
      )
    })
  }
  const key = keysOf(path).at(-1) ?? path
  const name = /^pins\."?drive\./.test(path) ? (key.split(".").at(-1) ?? key) : key
  const list = listAt(doc, path)
  const items = typeof form.items === "object" ? form.items : undefined
  const options = form.enum ?? items?.enum ?? namesFor(doc, path)
  // One word where a list of known words may stand is a list of one.
  const several = options.length > 0 && opened(schema).some((s) => s.type === "array") && !form.enum
  const isList = form.type === "array" && (list !== undefined || nodeAt(doc, path) === undefined)
  const written = writtenAt(doc, path) ?? (isList || several ? list?.join(", ") : undefined)
  const entries = entriesOf.find(([at]) => at.test(path))?.[1]
  const kind = items?.prefixItems
    ? "points"
    : entries
      ? "entries"
      : several && (list !== undefined || nodeAt(doc, path) === undefined)
        ? "ticks"
        : isList
          ? "list"
          : nodeAt(doc, path) !== undefined && written === undefined
            ? "elsewhere"
            : options.length > 0
              ? "choice"
              : form.type === "integer" || Array.isArray(form.type)
                ? "quantity"
                : form.type === "string"
                  ? "text"
                  : "elsewhere"
  const about = schema.description ?? form.description ?? ""
  const usual =
    typeof form.default === "string" || typeof form.default === "number" ? String(form.default) : ""
  return [
    {
      path,
      label: label === "" ? name.replaceAll("-", " ") : label,
      about,
      kind,
      options,
      written,
      usual,
      required,
      entries,
      forms: undefined,
    },
  ]
}

/** The value as plain data; undefined where there is none. */
const valueAt = (doc: Doc, path: string): unknown => nodeAt(doc, path)?.toJS(doc)

/** Of several forms the one that is written there; of none the first that takes a plain value. */
function formOf(doc: Doc, path: string, schema: Schema): Schema {
  if (!schema.anyOf) return schema
  const named = namesAt(doc, path)
  const node = nodeAt(doc, path)
  const plain = node === undefined || writtenAt(doc, path) !== undefined
  return (
    schema.anyOf
      .flatMap(opened)
      .find((s) =>
        plain
          ? s.properties === undefined && s.type !== "array"
          : s.properties
            ? named.length > 0 && named.every((n) => Object.hasOwn(s.properties ?? {}, n))
            : s.type === "array" && Array.isArray(valueAt(doc, path)),
      ) ?? { ...(schema.description ? { description: schema.description } : {}) }
  )
}

/** What the schema says of `path`, whichever of several forms leads there. */
function schemaAt(path: string): Schema | undefined {
  const found = formsAt(path, false)
  return found.length > 1 ? { anyOf: found } : found[0]
}

const opened = (s: Schema): readonly Schema[] => (s.anyOf ? s.anyOf.flatMap(opened) : [s])

/** Every form the schema allows at `path`, whichever is written there. */
function formsAt(path: string, open = true): readonly Schema[] {
  let at: readonly Schema[] = [whole]
  for (const key of keysOf(path))
    at = at.flatMap(opened).flatMap((s) => {
      const next = /^\d+$/.test(key) && s.items ? s.items : (s.properties?.[key] ?? s.additionalProperties)
      return typeof next === "object" ? [next] : []
    })
  return open ? at.flatMap(opened) : at
}

/** Keys that can stand in the mapping at `path`; none where the names are the builder's own. */
export function keysAt(path: string): readonly { readonly key: string; readonly about: string }[] {
  const found = new Map<string, string>()
  for (const form of formsAt(path))
    for (const [key, inner] of Object.entries(form.properties ?? {}))
      if (!found.has(key)) found.set(key, inner.description ?? "")
  return [...found].map(([key, about]) => ({ key, about }))
}

/** Words that can stand as the value at `path`: those of the schema, and names of the description. */
export function optionsAt(path: string, namesOf: (path: string) => readonly string[]): readonly string[] {
  const plain = path.replace(/\.0$/, "")
  return [
    ...new Set([
      ...formsAt(path).flatMap((f) => f.enum ?? []),
      ...namesWith(path, namesOf),
      ...namesWith(plain, namesOf),
    ]),
  ]
}

/** Words that name something: an LED of the stock, or another part of the description. */
const namesFor = (doc: Doc, path: string) => {
  const names = namesWith(path, (of) => namesAt(doc, of))
  // A line of the programme waits for a wire that comes and goes.
  const signals = /^programme\.\d+\.when$/.test(path)
  const goes = (w: string) => /^(steady|flashing)$/.test(writtenAt(doc, `vehicle.wires.${w}.role`) ?? "")
  return signals ? names.filter(goes) : names
}

/** Ways to drive a group; which of them one can be driven by, its wires tell. */
const ways: readonly Candidate["kind"][] = [
  "resistor-strings",
  "two-feed",
  "pwm",
  "current-sinks",
  "regulated-rail",
  "rail-switched",
  "rail-relay",
]
const ofKind = (kind: string) => parts.all.filter((p) => p.model.kind === kind)
const resistors = ofKind("resistor").map((p) => p.key)
/** By what is printed on them. */
const controllers = ofKind("controller").map((p) => p.label.replace(/^controller /, ""))

function namesWith(path: string, namesOf: (path: string) => readonly string[]): readonly string[] {
  if (/^groups\.[^.]+\.led$/.test(path)) return leds.all.map((l) => l.key)
  if (/^groups\.[^.]+\.face$|^boards\.[^.]+\.behind$/.test(path)) return namesOf("faces")
  if (/^programme\.\d+\.light$/.test(path)) return namesOf("groups")
  if (/^programme\.\d+\.when$/.test(path)) return namesOf("vehicle.wires")
  if (/^boards\.[^.]+\.carries$/.test(path)) return [...namesOf("groups"), "controller", "drivers", "supply"]
  if (/^pins\."?drive\.controller"?$/.test(path)) return controllers
  if (/^pins\."?drive\.[^.]+\.way"?$/.test(path)) return ways
  if (/^pins\."?drive\.[^.]+\.resistor-part"?$/.test(path)) return resistors
  if (/^vehicle\.wires\.[^.]+\.tell-tale\.to$/.test(path)) return namesOf("vehicle.wires")
  return []
}
