// Placement and routing of the Tern boards, timed board by board, with a checksum of what came out.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { contentHash } from "../src/0-ground/numbers/hash.ts"
import { readLamp } from "../src/2-lamp/read-lamp.ts"
import { designDrive } from "../src/3-drive/design-drive.ts"
import { designBoards } from "../src/5-board/design-boards.ts"

const folder = join(import.meta.dirname, "../examples/tern")
const { lamp } = readLamp(readFileSync(join(folder, "tern.yaml"), "utf8"), (f) =>
  readFileSync(join(folder, f), "utf8"),
)
if (!lamp) throw new Error("the Tern description could not be read")
const work = designBoards(lamp, designDrive(lamp))
const spent = new Map<string, number>()
let last = performance.now()
let silence = 0
for (;;) {
  const step = work.next()
  const now = performance.now()
  silence = Math.max(silence, now - last)
  if (step.done) {
    for (const [what, ms] of spent) console.log(what.padEnd(24), `${ms.toFixed(0)} ms`)
    for (const b of step.value.boards)
      console.log(
        `${b.name}: ${b.links.length} links, ${b.unrouted.length} open, clearance ${b.clearance} mm`,
      )
    console.log(`longest wait between two reports ${silence.toFixed(0)} ms`)
    console.log("checksum", contentHash(JSON.stringify(step.value)))
    break
  }
  const what = step.value.note ?? step.value.stage
  spent.set(what, (spent.get(what) ?? 0) + now - last)
  last = now
}
