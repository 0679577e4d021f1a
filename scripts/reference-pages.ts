// The reference pages as text. Nothing in them is written by hand, so they cannot go out of date unnoticed.

import { spawnSync } from "node:child_process"
import { readdirSync } from "node:fs"
import { join } from "node:path"
import type { Catalogue } from "../src/0-ground/catalogue.ts"
import type { Source } from "../src/0-ground/source.ts"
import { ruleCaution } from "../src/1-stock/lighting-rules.ts"
import { ruleBooks, topics, without } from "../src/1-stock/rule-coverage.ts"
import { lampSchema } from "../src/2-lamp/read-lamp.ts"

const root = join(import.meta.dirname, "..")
const note = "<!-- Written by scripts/write-reference.ts; do not edit. -->"

export async function referencePages(): Promise<Map<string, string>> {
  return new Map([
    ["findings.md", await findingsPage()],
    ["description.md", descriptionPage()],
    ["commands.md", commandsPage()],
    ["rules.md", rulesPage()],
  ])
}

/** Which rules stand for what, book by book, with clause, edition and how each is known. */
function rulesPage(): string {
  const cell = (text: string) => text.replaceAll("|", "\\|").replaceAll("\n", " ")
  const short = (source: Source) =>
    source.known === "memory"
      ? `memory, ${{ H: "high", M: "medium", L: "low" }[source.confidence ?? "L"]}`
      : source.known
  const parts: string[] = [
    `**${ruleCaution}** A rule known from memory can be amber at most, and its finding says where to look it up.`,
    "",
    "## What each rule set holds",
    "",
    `| Asked | ${ruleBooks.map((b) => b.name).join(" | ")} | Told by |`,
    `|---|${ruleBooks.map(() => "---|").join("")}---|`,
    ...topics.map(({ topic, told, rules }) => {
      const cells = ruleBooks.map(({ book }) => {
        const held = rules(book)
        return held.length === 0
          ? (without[book]?.[topic] ?? "–")
          : [...new Set(held.map((r) => `${r.id} (${short(r.source)})`))].join(", ")
      })
      return `| ${topic} | ${cells.map(cell).join(" | ")} | ${told} |`
    }),
    "",
  ]
  for (const { book, name } of ruleBooks) {
    parts.push(`## ${name} (\`rules: ${book}\`)`, "")
    for (const { topic, rules } of topics) {
      const held = rules(book)
      if (held.length === 0) continue
      parts.push(`### ${topic}`, "", "| Rule | Text | Clause, edition, how known |", "|---|---|---|")
      for (const r of held)
        parts.push(
          `| ${r.id} | ${cell(r.text)} | ${cell(sourceWords(r.source))}${r.source.confidence ? `, ${{ H: "high", M: "medium", L: "low" }[r.source.confidence]} confidence` : ""} |`,
        )
      parts.push("")
    }
  }
  return page(
    "Lighting rules",
    "The rule sets a lamp is compared with (`vehicle.rules`), restated in our own words from memory, quotations and summaries. The official text decides.",
    parts,
  )
}

async function findingsPage(): Promise<string> {
  const files = (readdirSync(join(root, "src"), { recursive: true }) as string[])
    .map((f) => f.replaceAll("\\", "/"))
    .filter((f) => /^[2-8]-.*-findings\.ts$/.test(f))
    .sort()
  const parts: string[] = []
  for (const file of files) {
    const module = (await import(join(root, "src", file))) as Record<string, unknown>
    // A room exports its reporter whole or taken apart: `{ state, entries }` either way.
    for (const value of [module, ...Object.values(module)]) {
      const told = codesOf(value)
      if (told === undefined) continue
      parts.push(`## ${heading(told.room)}`, "")
      for (const [code, { about, advice, stuck, source }] of Object.entries(told.entries)) {
        parts.push(`### ${told.room}.${code}`, "", about, "", `**What to do:** ${advice}`, "")
        if (stuck) parts.push(`Where no single change of the description clears it: ${stuck}.`, "")
        if (source) parts.push(`Source: ${sourceWords(source)}.`, "")
      }
    }
  }
  return page(
    "Findings",
    "Every judgement the tool makes, by room. Red: do not cut. Amber: a caution, or a limit kept by little. Green: kept. Each finding in a report also names what was measured, the limit, the margin and the place.",
    parts,
  )
}

/** A room's reporter with the room's name, got by asking it for a finding of its first code. */
function codesOf(value: unknown): { room: string; entries: Catalogue<string> } | undefined {
  if (typeof value !== "object" || value === null || !("entries" in value) || !("state" in value))
    return undefined
  const reporter = value as {
    entries: Catalogue<string>
    state: (code: string, claim: object) => { code: string }
  }
  const first = Object.keys(reporter.entries)[0]
  if (first === undefined) return undefined
  const { code } = reporter.state(first, { severity: "green", title: "", where: { text: "" } })
  return { room: code.slice(0, code.indexOf(".")), entries: reporter.entries }
}

const headings: Readonly<Record<string, string>> = {
  lamp: "Reading the description (lamp)",
  drive: "Drive electronics (drive)",
  behaviour: "Light programme and firmware (behaviour)",
  board: "Boards (board)",
  cut: "Cutting (cut)",
  bench: "The firmware on the bench (bench)",
  proof: "Proof of the boards as cut (proof)",
  light: "Light and rules (light)",
  fit: "Fit (fit)",
  endurance: "Endurance (endurance)",
}
const heading = (room: string) => headings[room] ?? room

const known: Readonly<Record<Source["known"], string>> = {
  read: "read",
  memory: "from memory",
  practice: "common practice, no source",
  computed: "computed",
  description: "from the description",
  chosen: "chosen by the tool",
} as Readonly<Record<Source["known"], string>>

function sourceWords({ document, place, edition, known: how }: Source): string {
  const place_ = [place, edition].filter((s) => s !== undefined && s !== "").join(", ")
  const word = known[how] ?? how
  return `${document}${place_ === "" ? "" : `; ${place_}`}${document.includes(word) ? "" : ` (${word})`}`
}

interface Schema {
  readonly type?: string | readonly string[]
  readonly description?: string
  readonly enum?: readonly unknown[]
  readonly const?: unknown
  readonly default?: unknown
  readonly examples?: readonly unknown[]
  readonly properties?: Readonly<Record<string, Schema>>
  readonly required?: readonly string[]
  readonly additionalProperties?: Schema | boolean
  readonly items?: Schema
  readonly prefixItems?: readonly Schema[]
  readonly anyOf?: readonly Schema[]
}

function descriptionPage(): string {
  const schema = lampSchema() as Schema
  return page(
    "The description, field by field",
    "One YAML file describes the lamp. Values carry their units. NAME stands for a name of your choice, and a number in a path for a place in a list. Fields marked required have no safe default.",
    fields(schema, ""),
  )
}

/** One heading for each mapping, one line for each of its keys, depth first. */
function fields(schema: Schema, path: string): string[] {
  const { properties, required = [], additionalProperties } = schema
  const out: string[] = []
  const deeper: [string, Schema][] = []
  if (properties) {
    out.push(`## ${path === "" ? "At the top" : `\`${path}\``}`, "")
    if (schema.description && path !== "") out.push(schema.description, "")
    for (const [key, value] of Object.entries(properties)) {
      out.push(
        `- \`${key}\`${required.includes(key) && value.default === undefined ? " (required)" : ""}: ${says(value)}`,
      )
      deeper.push([path === "" ? key : `${path}.${key}`, value])
    }
    out.push("")
  }
  if (typeof additionalProperties === "object") deeper.push([`${path}.NAME`, additionalProperties])
  for (const [at, value] of deeper) out.push(...inside(value, at))
  return out
}

function inside(schema: Schema, path: string): string[] {
  if (schema.properties || typeof schema.additionalProperties === "object") return fields(schema, path)
  if (schema.items) return inside(schema.items, `${path}.0`)
  return (schema.anyOf ?? []).flatMap((s) => inside(s, path))
}

function says(schema: Schema): string {
  const words = [schema.description ?? kindOf(schema)]
  if (schema.const !== undefined) words.push(`Always \`${String(schema.const)}\`.`)
  if (schema.enum) words.push(`One of ${schema.enum.map((w) => `\`${String(w)}\``).join(", ")}.`)
  if (schema.examples?.length) words.push(`For example \`${schema.examples.map(shown).join("`, `")}\`.`)
  if (schema.default !== undefined && shown(schema.default) !== "" && JSON.stringify(schema.default) !== "{}")
    words.push(`When absent: \`${shown(schema.default)}\`.`)
  return words.filter((w) => w !== "").join(" ")
}

const shown = (v: unknown) => (typeof v === "string" ? v : JSON.stringify(v))
const kindOf = ({ type, anyOf }: Schema) => (anyOf ? "" : type === "object" ? "See below." : "")

/** What the command line says of itself. */
function commandsPage(): string {
  const help = (...args: string[]) => {
    const { stdout, status } = spawnSync(
      process.execPath,
      [join(root, "scripts/lampwright.mjs"), ...args],
      // A fixed width, whatever terminal this runs in.
      { encoding: "utf8", env: { ...process.env, COLUMNS: "100", NO_COLOR: "1" } },
    )
    if (status !== 0) throw new Error(`lampwright ${args.join(" ")} ended with ${status}`)
    return stdout.trimEnd()
  }
  const top = help("--help")
  const list = top.slice(top.indexOf("Commands:"))
  const names = [...list.matchAll(/^ {2}([a-z][a-z-]*)/gm)].map((m) => m[1]!).filter((n) => n !== "help")
  const block = (text: string) => ["```text", text, "```", ""]
  return page(
    "Commands",
    "What `lampwright --help` and the help of each command print. In this folder: `npm run lampwright -- COMMAND …`. Exit codes: 0 nothing red, 1 the description or the call could not be read, 2 something is red.",
    [...block(top), ...names.flatMap((name) => [`## ${name}`, "", ...block(help(name, "--help"))])],
  )
}

function page(title: string, about: string, lines: readonly string[]): string {
  return `${[`# ${title}`, "", note, "", about, "", ...lines].join("\n").trimEnd()}\n`
}
