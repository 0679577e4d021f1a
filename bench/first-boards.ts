// Tern's boards from their problems to a first whole board each, cold, as the command shares them with its hand; when
// each was there, and the best ones that the whole search ends with.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { pathToFileURL } from "node:url"
import { recallFrom } from "../src/0-ground/recall.ts"
import { readLamp } from "../src/2-lamp/read-lamp.ts"
import { designDrive } from "../src/3-drive/design-drive.ts"
import { designBoards } from "../src/5-board/design-boards.ts"
import { nodeCrew } from "../src/9-doors/cli/crew.ts"

// Built, this lies elsewhere; `npm run bench` stands in the repository.
const root = process.cwd()
// As the command does; a script beside the sources, which has no types.
const tuning = pathToFileURL(join(root, "scripts/short-runs.mjs")).href
;((await import(/* @vite-ignore */ tuning)) as { tuneForShortRuns(): void }).tuneForShortRuns()
const folder = join(root, "examples/tern")
const { lamp } = readLamp(readFileSync(join(folder, "tern.yaml"), "utf8"), (f) =>
  readFileSync(join(folder, f), "utf8"),
)
if (!lamp) throw new Error("the Tern description could not be read")
// Only the boards are timed, and nothing of theirs is warm.
const circuit = designDrive(lamp, { lamps: 0, pulses: false })
const crew = nodeCrew(pathToFileURL(join(root, "dist/cli/crew-hand.js")))
await new Promise((done) => setTimeout(done, 1000))

const recall = recallFrom(new Map())
const since = performance.now()
const seconds = () => ((performance.now() - since) / 1000).toFixed(2)
for (const first of [true, false]) {
  const work = designBoards(lamp, circuit, crew, recall, {
    enough: () => first,
    ...(first ? { onBoard: (b) => console.log(`${seconds()} s  ${b.name}`) } : {}),
  })
  let step = work.next()
  while (!step.done) step = work.next()
  const links = step.value.boards.map((b) => `${b.name} ${b.links.length}`).join(", ")
  const open = step.value.boards.reduce((n, b) => n + b.unrouted.length, 0)
  console.log(`${seconds()} s  ${first ? "all whole" : "search ended"}: links ${links}; open nets ${open}`)
}
crew?.dismiss()
