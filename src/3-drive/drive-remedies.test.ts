// Descriptions spoiled on the electrical side: the finding has a remedy, and the description with it has none.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { applyRemedy } from "../0-ground/remedy.ts"
import { removeKey, setValue } from "../0-ground/text/edit-text.ts"
import { readLamp } from "../2-lamp/read-lamp.ts"
import { designDrive } from "./design-drive.ts"

const folder = join(import.meta.dirname, "../../examples/tern")
const tern = readFileSync(join(folder, "tern.yaml"), "utf8")

function bad(text: string, code: string) {
  const { lamp, findings } = readLamp(text, (file) => readFileSync(join(folder, file), "utf8"))
  if (!lamp) throw new Error(findings.map((f) => f.title).join("\n"))
  return designDrive(lamp).findings.filter((f) => f.code === `drive.${code}` && f.severity !== "green")
}

const changed = (changes: readonly (readonly [string, string | null])[]) =>
  changes.reduce((now, [path, value]) => {
    const next = value === null ? removeKey(now, path) : setValue(now, path, value)
    if ("refused" in next) throw new Error(`${path}: ${next.refused}`)
    return next.text
  }, tern)

test.each<readonly [string, readonly (readonly [string, string | null])[]]>([
  ["wire-fuse", [["vehicle.wires.brake.fuse", null]]],
  ["flasher-load", [["vehicle.wires.left.flasher", "load-sensing"]]],
  ["led-current", [['pins."drive.tail-stop.resistor"', "100 Ω"]]],
  ["led-wanted", [["groups.tail-stop.current", "60 mA"]]],
  ["led-light-low", [['pins."drive.tail-stop.in-series"', "4"]]],
  ["yield", []],
  ["safe-five-volt", []],
  ["pulse-part", []],
  ["pulse-part", [["vehicle.supply.surge", "unclamped"]]],
  [
    "wire-drop",
    [
      ["vehicle.wires.brake.size", "0.1 mm²"],
      ["vehicle.wires.brake.length", "20 m"],
    ],
  ],
])("%s: every remedy clears it", (code, changes) => {
  const text = changed(changes)
  const found = bad(text, code)
  expect(found.length).toBeGreaterThan(0)
  const [first] = found
  expect(first!.remedies?.length ?? 0).toBeGreaterThan(0)
  for (const remedy of first!.remedies ?? []) {
    const next = applyRemedy(text, remedy)
    if ("refused" in next) throw new Error(next.refused)
    const left = bad(next.text, code).filter((f) =>
      code === "pulse-part"
        ? f.figure === first!.figure
        : f.where.text === first!.where.text || f.where.group === first!.where.group,
    )
    expect(left.map((f) => f.title)).toEqual([])
  }
})
