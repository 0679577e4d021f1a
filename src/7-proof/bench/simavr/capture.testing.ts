// Writes core-states.json: what simavr 1.6 says after every 64th instruction of seeded programs.
// Run with `npx tsx src/7-proof/bench/simavr/capture.testing.ts` where simavr is installed.

import { writeFileSync } from "node:fs"
import { join } from "node:path"
import { contentHash } from "../../../0-ground/numbers/hash.ts"
import { harnessInput, programOf } from "./compare-core.testing.ts"
import { liveSimavr } from "./live.testing.ts"

const instructions = 2560
const every = 64
const live = liveSimavr()
if ("missing" in live) throw Error(`cannot capture without ${live.missing}`)

const programs = Array.from({ length: 24 }, (_, i) => {
  const seed = i + 1
  const words = programOf(seed)
  const lines = live
    .run([String(instructions), String(every), "1"], harnessInput(words))
    .trim()
    .split("\n")
  const states = lines.filter((l) => /^\d/.test(l))
  const ram = lines.find((l) => l.startsWith("ram "))!.slice(4)
  return { seed, image: contentHash(words.join()), states, ram }
})
writeFileSync(
  join(import.meta.dirname, "core-states.json"),
  `${JSON.stringify({ simavr: "1.6+dfsg-3 (Debian)", instructions, every, programs }, null, 1)}\n`,
)
