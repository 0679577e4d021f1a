// The command as a person runs it: readings in a file, the likeliest faults on the terminal.

import { spawnSync } from "node:child_process"
import { mkdtempSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, beforeAll, expect, test } from "vitest"

const root = join(import.meta.dirname, "../../..")
let folder = ""
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "lampwright-find-"))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function find(readings: string) {
  const file = join(folder, "readings.csv")
  writeFileSync(file, readings)
  const args = [join(root, "scripts/lampwright.mjs"), "find", join(root, "examples/marker/marker.yaml"), file]
  const { status, stdout, stderr } = spawnSync(process.execPath, args, { encoding: "utf8" })
  return { status, stdout, stderr }
}

test("a resistor of ten times its value is named first", () => {
  const { status, stdout } = find("reading,measured\nB1,5600\nB2,560\n")
  expect(status).toBe(2)
  expect(stdout).toContain("1. R1 of ten times its value · fits every reading")
})

test("readings that cannot be read are refused with their line", () => {
  const { status, stderr } = find("reading,measured\nB1,lots\n")
  expect(status).toBe(1)
  expect(stderr).toMatch(/readings\.csv:2: lots is no number/)
})
