// The marker lamp as built, with readings a builder could have written; what must be told follows from the plan.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import { designLamp, type LampDesign } from "../../design-lamp.ts"
import { bringUpCsv } from "../bring-up/bring-up-table.ts"
import { planBringUp } from "../bring-up/plan-bring-up.ts"
import { packLamp } from "../pack-lamp.ts"
import { compareBuilt } from "./compare-built.ts"

const text = readFileSync(join(import.meta.dirname, "../../../examples/marker/marker.yaml"), "utf8")
const plain = design(text, "")
const plan = planBringUp(plain)
const empty = bringUpCsv(plan)

function design(yaml: string, readings: string | undefined): LampDesign {
  const made = finish(designLamp(yaml, () => readings))
  if (!made.lamp) throw new Error(JSON.stringify(made.findings))
  return made
}

/** Readings with every expected value as the plan writes it, changed by `write`. */
function filled(write: (id: string, expected: string) => string): string {
  const rows = empty
    .trimEnd()
    .split("\r\n")
    .slice(1)
    .map((line) => [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)].map((m) => m[1]!))
  return ["reading,measured", ...rows.map((c) => `${c[0]},${write(c[0]!, c[8]!)}`)].join("\n")
}

const record = `
built:
  - revision: A
    date: 2026-11-20
    by: the shop
    readings: bring-up.csv
    photos: [front.jpg]
    changes: ["R1 390 Ω <instead> of 360 Ω"]
`

test("nothing recorded, nothing said", () => {
  expect(compareBuilt(plain, plan)).toEqual([])
  expect(packLamp(plain).files.find((f) => f.path === "build-sheet.html")!.text).not.toContain("As built")
})

test("a record does not change the lamp: same files but sheet, report, description and manifest", () => {
  const same = (path: string) =>
    !/^(build-sheet\.html|report\.json|description\.yaml|manifest\.json)$/.test(path)
  const files = (d: LampDesign) => packLamp(d).files.filter((f) => same(f.path))
  expect(files(design(text + record, empty))).toEqual(files(plain))
})

test("expected values keep their limits; one that is off is told with its limits and likeliest faults", () => {
  expect(empty.split("\r\n")[0]!.split(",")[8]).toBe("expected")
  const good = design(
    text + record,
    filled((_, expected) => expected),
  )
  const [sound] = compareBuilt(good, plan)
  expect(sound!.readings).toMatchObject({ taken: plan.readings.length, outside: [], suspects: [] })

  const resistance = plan.readings.find((r) => r.how === "resistance" && Number.isFinite(r.high))!
  const off = design(
    text + record,
    filled((id, v) => (id === resistance.id ? "0.1" : v)),
  )
  const [built] = compareBuilt(off, plan)
  expect(built!.readings!.outside.map((r) => r.id)).toEqual([resistance.id])
  expect(built!.readings!.outside[0]).toMatchObject({ measured: 0.1, low: resistance.low })
  expect(built!.readings!.suspects.length).toBeGreaterThan(0)

  const sheet = packLamp(off).files.find((f) => f.path === "build-sheet.html")!.text
  expect(sheet).toContain("Revision A, 2026-11-20, the shop")
  expect(sheet).toContain("R1 390 Ω &lt;instead&gt; of 360 Ω")
  expect(sheet).toContain("1 outside the limits")
  const report = JSON.parse(packLamp(off).files.find((f) => f.path === "report.json")!.text)
  expect(report.asBuilt[0].readings.outside[0].id).toBe(resistance.id)
})

test("readings of another plan are refused with their line, not compared in part", () => {
  const foreign = design(text + record, "reading,measured\nB1,1\nB999,2\n")
  expect(compareBuilt(foreign, plan)[0]!.readings!.fault).toMatchObject({ line: 3 })
})
