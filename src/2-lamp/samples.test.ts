// Faulty descriptions, one folder each: lamp.txt with its drawings, and every finding that is not green.
// The name keeps the formatter away from them: spaces, tabs and missing marks are the point.

import { existsSync, readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { readLamp } from "./read-lamp.ts"

interface Expected {
  readonly severity: string
  readonly code: string
  readonly line: number
  readonly column: number
  readonly file?: string
  /** Part of the title, and of the advice where it matters. */
  readonly says: string
  readonly advice?: string
}

/** Findings whose measured number has no figure that says the same. */
const unasked = (findings: readonly Finding[], figures: readonly Figure[]) =>
  findings.filter((f) => {
    const figure = figures.find((g) => g.id === f.figure)
    return f.measured && !(figure?.value === f.measured.value && figure.unit === f.measured.unit)
  })

const folder = join(import.meta.dirname, "samples")
const brief = (f: Finding) => ({
  severity: f.severity,
  code: f.code,
  line: f.where.line,
  column: f.where.column,
  ...(f.where.file === undefined ? {} : { file: f.where.file }),
})

describe("faulty descriptions are told exactly", () => {
  for (const name of readdirSync(folder).sort())
    test(name, () => {
      const dir = join(folder, name)
      const expected = JSON.parse(readFileSync(join(dir, "expected.json"), "utf8")) as Expected[]
      const drawing = (file: string) =>
        existsSync(join(dir, file)) ? readFileSync(join(dir, file), "utf8") : undefined
      const { findings, figures } = readLamp(readFileSync(join(dir, "lamp.txt"), "utf8"), drawing)
      const bad = findings.filter((f) => f.severity !== "green")
      expect(bad.map(brief)).toEqual(expected.map(({ says, advice, ...rest }) => rest))
      expect(expected.length).toBeGreaterThan(0)
      expected.forEach((e, i) => {
        expect(bad[i]!.title).toContain(e.says)
        if (e.advice !== undefined) expect(bad[i]!.advice).toContain(e.advice)
      })
      expect(unasked(findings, figures)).toEqual([])
    })
})
