// Comparing revisions of the marker lamp; no outside source: what must be told follows from what was changed.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import { designLamp } from "../../design-lamp.ts"
import { packLamp } from "../pack-lamp.ts"
import { compareRevisions, isSame } from "./compare-revisions.ts"
import { type Revision, readRevision } from "./revision.ts"
import { tellComparison } from "./tell-comparison.ts"

function filesOf(text: string): Map<string, string> {
  const design = finish(designLamp(text, () => undefined))
  if (!design.lamp) throw new Error("unreadable")
  return new Map(packLamp(design).files.map((f) => [f.path, f.text]))
}

function revision(files: ReadonlyMap<string, string>): Revision {
  const read = readRevision((path) => files.get(path))
  if (typeof read === "string") throw new Error(read)
  return read
}

const text = readFileSync(join(import.meta.dirname, "../../../examples/marker/marker.yaml"), "utf8")
const first = filesOf(text)

test("a comment changes nothing", () => {
  const c = compareRevisions(revision(first), revision(filesOf(`# mine\n${text}`)))
  expect(isSame(c)).toBe(true)
  expect(tellComparison(c, "same")).toContain("Nothing changed")
})

test("a hotter place: the value, the figures down to the junction, and no board to be cut again", () => {
  const c = compareRevisions(
    revision(first),
    revision(filesOf(text.replace("highest: 50 °C", "highest: 60 °C"))),
  )
  expect(c.described).toEqual([{ what: "vehicle.ambient.highest", before: "50 °C", after: "60 °C" }])
  const junction = c.figures.find((f) => f.id === "drive.marker.junction")!
  expect(junction.after).toBeGreaterThan(junction.before + 8)
  expect(junction.share).toBeCloseTo((junction.after - junction.before) / junction.after, 12)
  expect(c.makeAgain).toEqual([])
  expect(c.keep).toEqual(["board plate"])
})

test("a deeper groove: the board's engraving is to be cut again, and says so", () => {
  const c = compareRevisions(
    revision(first),
    revision(filesOf(text.replace("depth: 0.1 mm", "depth: 0.12 mm"))),
  )
  expect(c.makeAgain.map((m) => m.what)).toEqual(["board plate"])
  expect(c.makeAgain[0]!.files.some((f) => f.includes("engrave"))).toBe(true)
  const told = tellComparison(c, "B, deeper")
  expect(told).toMatch(/^## B, deeper\n/)
  expect(told).toContain("cutter.engraver.depth: 0.1 mm → 0.12 mm")
  expect(told).toMatch(/To be made again\n\n- board plate: .*engrave/)
})

test("another LED: the parts that change stand on one line, the other way round when turned round", () => {
  const other = filesOf(text.replace("led: white-5mm", "led: amber-5mm"))
  const c = compareRevisions(revision(first), revision(other))
  const leds = c.parts.filter((p) => /marker-\d/.test(p.what))
  expect(leds).toHaveLength(4)
  const line = tellComparison(c, "x")
    .split("\n")
    .find((l) => l.includes("marker-1 marker-2"))!
  expect(line).toMatch(/white.* → .*amber/i)
  const back = compareRevisions(revision(other), revision(first))
  expect(back.parts.map((p) => [p.after, p.before])).toEqual(c.parts.map((p) => [p.before, p.after]))
})

test("a finding that turned is told, the gravest first", () => {
  const c = compareRevisions(
    revision(first),
    revision(filesOf(text.replace("depth: 0.1 mm", "depth: 0.02 mm"))),
  )
  expect(c.verdicts[1]).toBe("do not cut")
  expect(c.findings[0]!.severity[1]).toBe("red")
})

test("what is no pack is refused in words", () => {
  const without = (path: string, instead?: string) =>
    readRevision((p) => (p === path ? instead : first.get(p)))
  expect(without("report.json")).toBe("report.json is missing")
  expect(without("report.json", "{")).toContain("no JSON")
  expect(without("report.json", "{}")).toContain("not of this version")
  expect(without("manifest.json", "[]")).toContain("manifest.json")
  expect(without("description.yaml", "a: [")).toContain("no YAML")
})
