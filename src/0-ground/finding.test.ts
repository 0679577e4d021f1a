import { expect, test } from "vitest"
import { catalogue } from "./catalogue.ts"
import { byMargin, marginOf, thinness, verdictOf } from "./finding.ts"

const { judge, state } = catalogue("sample", { width: { about: "a width", advice: "make it wider" } })
const where = { text: "here" }
const width = (value: number, amberBelow?: number) =>
  judge("width", {
    title: "Track width",
    where,
    measured: { value, unit: "mm" },
    limit: { value: 0.4, unit: "mm", kind: "at least" },
    ...(amberBelow === undefined ? {} : { amberBelow }),
  })

test("margin is what is left as a share of the limit", () => {
  expect(marginOf(0.5, { value: 0.4, unit: "mm", kind: "at least" })).toBeCloseTo(0.25, 12)
  expect(marginOf(0.5, { value: 0.4, unit: "mm", kind: "at most" })).toBeCloseTo(-0.25, 12)
  expect(marginOf(-3, { value: 0, unit: "V", kind: "at least" })).toBe(-3)
  expect(marginOf(4, { value: 4, unit: "", kind: "exactly" })).toBe(0)
  expect(marginOf(5, { value: 4, unit: "", kind: "exactly" })).toBe(-1)
})

test("a missed limit is red, a thin margin amber, the rest green", () => {
  expect(width(0.39).severity).toBe("red")
  expect(width(0.41).severity).toBe("amber")
  expect(width(0.41, 0.01).severity).toBe("green")
  expect(width(0.5).severity).toBe("green")
  expect(width(Number.NaN).severity).toBe("red")
  expect(width(0.5).advice).toBe("make it wider")
  expect(width(0.5).code).toBe("sample.width")
})

test("red first, then the thinnest margin; things that are only true or false come last among the green", () => {
  const whole = state("width", { severity: "green", title: "whole", where })
  const misspelt = state("width", { severity: "red", title: "misspelt", where })
  const sorted = [width(0.8), whole, width(0.5), width(0.3), misspelt, width(0.405)].sort(byMargin)
  expect(sorted.map((f) => f.measured?.value ?? f.title)).toEqual(["misspelt", 0.3, 0.405, 0.5, 0.8, "whole"])
})

test("a count at its limit is not thin, a measure is", () => {
  const tabs = judge("width", {
    title: "tabs",
    where,
    measured: { value: 3, unit: "" },
    limit: { value: 3, unit: "", kind: "at least" },
    amberBelow: 0,
  })
  expect(tabs.severity).toBe("green")
  expect(thinness(tabs)).toBeUndefined()
  expect(thinness(width(0.5))).toBeCloseTo(0.25, 12)
})

test("one red finding means do not cut", () => {
  expect(verdictOf([width(0.5)])).toBe("ready")
  expect(verdictOf([width(0.5), width(0.405)])).toBe("ready with cautions")
  expect(verdictOf([width(0.5), width(0.3)])).toBe("do not cut")
})
