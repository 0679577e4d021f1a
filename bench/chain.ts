// Times every stage of the Tern chain, cold and warm; the checksum shows that each run made the same lamp.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { contentHash } from "../src/0-ground/numbers/hash.ts"
import { nodeCrew } from "../src/9-doors/cli/crew.ts"
import { designLamp, stages } from "../src/design-lamp.ts"

const folder = join(import.meta.dirname, "../examples/tern")
const text = readFileSync(join(folder, "tern.yaml"), "utf8")
const drawing = (file: string) => readFileSync(join(folder, file), "utf8")
const crew = nodeCrew(new URL("../dist/cli/crew-hand.js", import.meta.url))
const runs = Number(process.argv[2] ?? 2)

console.log(
  `${"run".padEnd(8)}${stages.map((s) => s.padStart(11)).join("")}${"total".padStart(11)}  checksum`,
)
for (let n = 0; n < runs; n++) {
  const times = new Map<string, number>()
  const work = designLamp(text, drawing, { crew })
  let stage = "read"
  let since = performance.now()
  for (;;) {
    const step = work.next()
    const next = step.done ? "" : step.value.stage
    if (next === stage) continue
    times.set(stage, (times.get(stage) ?? 0) + performance.now() - since)
    since = performance.now()
    stage = next
    if (!step.done) continue
    const total = [...times.values()].reduce((a, b) => a + b, 0)
    const row = [...stages.map((s) => times.get(s) ?? 0), total].map((ms) =>
      `${ms.toFixed(0)} ms`.padStart(11),
    )
    const name = n === 0 ? "cold" : `warm ${n}`
    console.log(`${name.padEnd(8)}${row.join("")}  ${contentHash(JSON.stringify(step.value))}`)
    break
  }
}
crew?.dismiss()
