import { expect, test } from "vitest"
import type { Finding } from "../../0-ground/finding.ts"
import { capital, duration, leftWords, shortRef, sourceWords, verdictWords } from "./words.ts"

const finding = (more: Partial<Finding>): Finding => ({
  code: "drive.led-current",
  severity: "green",
  title: "LED current",
  where: { text: "tail stop" },
  advice: "",
  ...more,
})
const limit = { kind: "at most", value: 25, unit: "mA" } as const

test("the verdict counts what must be fixed", () => {
  const red = finding({ severity: "red" })
  expect(verdictWords("do not cut", [red, red])).toBe("2 to fix before you cut")
  expect(verdictWords("ready with cautions", [finding({ severity: "amber" })])).toBe("Ready with 1 caution")
  expect(verdictWords("ready", [finding({})])).toBe("Ready")
})

test("what is left is a share of the limit, missed when negative", () => {
  expect(leftWords(finding({ limit, margin: 0.128 }))).toBe("12.8 % to spare")
  expect(leftWords(finding({ limit, margin: -0.3 }))).toBe("missed by 30 %")
  expect(leftWords(finding({ limit, margin: 0 }))).toBe("nothing to spare")
})

test("a limit of zero counts in its own unit, a yes or no has no share", () => {
  const zero = { kind: "at least", value: 0, unit: "mm" } as const
  expect(leftWords(finding({ limit: zero, margin: 0.25 }))).toBe("0.25 mm to spare")
  expect(leftWords(finding({ limit: { kind: "exactly", value: 0, unit: "" }, margin: 0 }))).toBe(
    "met exactly",
  )
  expect(leftWords(finding({}))).toBe("")
})

test("times read as a person says them", () => {
  expect(duration(42.4)).toBe("42 s")
  expect(duration(200)).toBe("3 min 20 s")
  expect(duration(240)).toBe("4 min")
  expect(duration(3900)).toBe("1 h 5 min")
})

test("titles start as sentences, names of parts and files stay", () => {
  expect(capital("groove of 0.254 mm")).toBe("Groove of 0.254 mm")
  expect(capital("left-wing: no wire link")).toBe("Left-wing: no wire link")
  expect(capital("control-4-drill-1.3.ngc: deepest point")).toBe("control-4-drill-1.3.ngc: deepest point")
})

test("references shorten to what tells them apart in their place", () => {
  expect(shortRef("tail-stop-12")).toBe("12")
  expect(shortRef("X-plus")).toBe("plus")
  expect(shortRef("R39")).toBe("R39")
})

test("a source says how it is known, once", () => {
  expect(sourceWords({ document: "maker's data sheet", place: "table 2", known: "read" })).toBe(
    "maker's data sheet, table 2 — read in the document",
  )
  expect(sourceWords({ document: "common practice, no source", known: "practice" })).toBe(
    "common practice, no source",
  )
})
