// Times the Tern chain as its user meets it: the first whole lamp cold, the whole search cold, the same text again, and
// a change of one resistor's tolerance. The command is run as built, so that nothing is warm; the rest runs here.
// The checksum shows that each run made the same lamp.

import { execFileSync } from "node:child_process"
import { readFileSync } from "node:fs"
import { join } from "node:path"
import { pathToFileURL } from "node:url"
import { contentHash } from "../src/0-ground/numbers/hash.ts"
import { nodeCrew } from "../src/9-doors/cli/crew.ts"
import { designLamp, type Memory, stages } from "../src/design-lamp.ts"

// Built, this lies elsewhere; `npm run bench` stands in the repository.
const root = process.cwd()
const folder = join(root, "examples/tern")
const text = readFileSync(join(folder, "tern.yaml"), "utf8")
const drawing = (file: string) => readFileSync(join(folder, file), "utf8")

const row = (name: string, times: Readonly<Record<string, number>>, checksum: string) => {
  const cells = [...stages.map((s) => times[s] ?? 0), Object.values(times).reduce((a, b) => a + b, 0)]
  console.log(
    `${name.padEnd(24)}${cells.map((ms) => `${ms.toFixed(0)} ms`.padStart(11)).join("")}  ${checksum}`,
  )
}
console.log(
  `${"run".padEnd(24)}${[...stages, "total"].map((s) => s.padStart(11)).join("")}  checksum of the report`,
)

const runs = Number(process.argv[2] ?? 2)
for (const options of [["--first"], []])
  for (let n = 0; n < runs; n++) {
    const args = ["scripts/lampwright.mjs", "check", "examples/tern/tern.yaml", "--json", ...options]
    const report = JSON.parse(
      execFileSync(process.execPath, args, { cwd: root, encoding: "utf8", maxBuffer: 1 << 28 }),
    )
    const { stages: times, ...rest } = report
    row(
      options.length > 0 ? "first boards, cold" : "best boards, cold",
      times,
      contentHash(JSON.stringify(rest)),
    )
  }

const crew = nodeCrew(pathToFileURL(join(root, "dist/cli/crew-hand.js")))
const memory: Memory = new Map()
const timed = (name: string, description: string) => {
  const times: Record<string, number> = {}
  const work = designLamp(description, drawing, { crew, memory })
  let stage = "read"
  let since = performance.now()
  for (;;) {
    const step = work.next()
    const next = step.done ? "" : step.value.stage
    if (next === stage) continue
    times[stage] = (times[stage] ?? 0) + performance.now() - since
    since = performance.now()
    stage = next
    if (!step.done) continue
    return row(name, times, contentHash(JSON.stringify(step.value)))
  }
}
const fitted = (part: string) => `${text}\npins: { drive.sweep-left.resistor-part: ${part} }\n`
timed("best boards, here", text)
timed("the same again", `${text}\n# a remark\n`)
timed("another resistor", fitted("resistor-half-watt"))
for (let n = 0; n < 4; n++) {
  timed("its tolerance 5 %", fitted("resistor-half-watt-5"))
  timed("its tolerance 1 %", fitted("resistor-half-watt"))
}
crew?.dismiss()
