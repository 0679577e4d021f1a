import { expect, test } from "vitest"
import type { Finding } from "../../../0-ground/finding.ts"
import { settle } from "./settle.ts"

const finding = (title: string, value: number, more: Partial<Finding> = {}): Finding => ({
  code: "drive.led-current",
  severity: "green",
  title,
  where: { text: "string 1", line: 3 },
  measured: { value, unit: "A" },
  advice: "",
  ...more,
})

test("what did not change is the very same finding, in the order of the new look", () => {
  const before = [finding("a", 1), finding("b", 2), finding("c", 3)]
  const now = structuredClone([before[2]!, finding("b", 2.5), before[0]!])
  const settled = settle(before, now)
  expect(settled).toEqual(now)
  expect(settled[0]).toBe(before[2])
  expect(settled[1]).toBe(now[1])
  expect(settled[2]).toBe(before[0])
})

test("a line that moved, a remedy that came or went, is a change", () => {
  const before = [finding("a", 1), finding("b", 2, { corner: "cold" })]
  const now = [finding("a", 1, { where: { text: "string 1", line: 4 } }), finding("b", 2)]
  for (const [i, f] of settle(before, now).entries()) expect(f).toBe(now[i])
})

test("two that say the same stay two", () => {
  const before = [finding("a", 1)]
  const [first, second] = settle(before, structuredClone([before[0]!, before[0]!]))
  expect(first).toBe(before[0])
  expect(second).not.toBe(before[0])
  expect(second).toEqual(first)
})
