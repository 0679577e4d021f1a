// Lands on spokes from the description to the proof, which reads the cutter program alone: every net still one piece,
// nothing short, and the land rings whole.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { finish } from "../src/0-ground/progress.ts"
import { designLamp } from "../src/design-lamp.ts"

const folder = join(import.meta.dirname, "../examples/marker")
const drawing = (f: string) => readFileSync(join(folder, f), "utf8")
const text = `${drawing("marker.yaml")}\ncutting:\n  thermal-relief: spokes\n`

test("the marker with thermal relief is proven: arcs are cut, no net is opened", () => {
  const design = finish(designLamp(text, drawing))
  if (!design.lamp) throw new Error("the marker could not be read")
  expect(design.findings.filter((f) => f.severity === "red")).toEqual([])
  const told = design.findings.find((f) => f.code === "cut.thermal-relief")!
  expect(told.severity).toBe("green")
  const plain = finish(designLamp(drawing("marker.yaml"), drawing))
  if (!plain.lamp) throw new Error("the marker could not be read")
  expect(plain.findings.some((f) => f.code === "cut.thermal-relief")).toBe(false)
  const arcs = design.copper.boards[0]!.grooves.length - plain.copper.boards[0]!.grooves.length
  expect(arcs).toBeGreaterThan(4)
}, 300_000)
