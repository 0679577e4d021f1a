import { readFileSync } from "node:fs"
import { expect, test } from "vitest"
import { readDoc } from "../../../0-ground/text/edit-text.ts"
import { type Field, fieldsAt } from "./fields.ts"

interface Schema {
  readonly properties?: Readonly<Record<string, Schema>>
  readonly additionalProperties?: Schema | boolean
  readonly anyOf?: readonly Schema[]
}

const tern = readDoc(readFileSync("examples/tern/tern.yaml", "utf8"))!
const schema: Schema = JSON.parse(readFileSync("schema/lampwright.schema.json", "utf8"))
const at = (path: string) => Object.fromEntries(fieldsAt(tern, path).map((f) => [f.path, f.kind]))

/** Lines of the short form; one of each kind where names are the builder's. */
const lines = [
  "name",
  "seed",
  "vehicle.kind",
  "vehicle.rules",
  "vehicle.supply",
  "vehicle.ambient",
  "vehicle.wires.left",
  "faces.left-wing",
  "groups.sweep-left",
  "programme.2",
  "flashing",
  "boards.control",
  "pins",
  "copper-clad",
  "cutter.engraver",
  "cutter.drills",
  "cutter.drill-feed",
  "cutter.router",
  "cutter.mills",
  "cutter.machine",
  "cutting",
  "built",
]

test("the short form has a field for every key of the schema", () => {
  const reached = lines.flatMap((l) => fieldsAt(tern, l).map((f) => f.path))
  const names: Record<string, string> = {
    "vehicle.wires": "left",
    faces: "left-wing",
    groups: "sweep-left",
    boards: "control",
  }
  const missing: string[] = []
  const walk = (s: Schema, path: string) => {
    if (reached.includes(path) || path === "lampwright") return
    const own = names[path]
    const inner = typeof s.additionalProperties === "object" ? s.additionalProperties : undefined
    if (own !== undefined && inner) return walk(inner, `${path}.${own}`)
    if (path === "programme") return walk((s as { items?: Schema }).items ?? {}, "programme.2")
    // A key of several forms shows the fields of one of them.
    if (!s.properties) return void (reached.some((r) => r.startsWith(`${path}.`)) || missing.push(path))
    for (const [key, next] of Object.entries(s.properties)) walk(next, path === "" ? key : `${path}.${key}`)
  }
  walk(schema, "")
  expect(missing).toEqual([])
})

test("lists of things and mappings by name are worked with entry by entry", () => {
  const kinds: Record<string, Field["kind"]> = {
    ...at("boards.control"),
    ...at("groups.sweep-left"),
    ...at("pins"),
  }
  for (const path of [
    "boards.control.notches",
    "boards.control.slots",
    "boards.control.text",
    "groups.sweep-left.aims",
    "pins",
  ])
    expect(kinds[path], path).toBe("entries")
})

test("what one more begins as is read without a fault at its own fields", () => {
  const text = `boards:\n  a: { carries: [x], notches: [{ at: [0 mm, 0 mm], width: 6 mm, depth: 3 mm }] }\npins: { "drive.x.way": pwm }\n`
  const doc = readDoc(text)!
  expect(fieldsAt(doc, "boards.a.notches.0").map((f) => [f.label, f.kind, f.written])).toEqual([
    ["at", "list", "0 mm, 0 mm"],
    ["width", "quantity", "6 mm"],
    ["depth", "quantity", "3 mm"],
  ])
  expect(fieldsAt(doc, 'pins."drive.x.way"')).toMatchObject([
    { label: "way", written: "pwm", kind: "choice", required: false },
  ])
})
