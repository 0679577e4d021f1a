// npm run bench: how long each stage of the Tern chain takes, cold and after a change, how the search for a board
// grows from 26 to 400 LEDs, and the bench's speed against real time in Node and in a browser worker.
// npm run bench -- NAME runs bench/NAME.ts instead.

import { existsSync } from "node:fs"
import { join } from "node:path"
import { installPackages, root, run } from "./setup.mjs"

installPackages()
const name = process.argv[2] ?? "chain"
const file = join(root, "bench", `${name}.ts`)
if (!existsSync(file)) {
  console.error(`There is no bench/${name}.ts`)
  process.exit(1)
}
// These share the search for boards with a worker thread, which runs the bundle.
if (
  ["chain", "first-boards"].includes(name) &&
  run(process.execPath, [join(root, "scripts", "build.mjs"), "--cli"]) !== 0
)
  process.exit(1)
const tsx = join(root, "node_modules", ".bin", "tsx")
const failed = run(tsx, [file, ...process.argv.slice(3)])
const also = process.argv[2] ? [] : ["growth", "emulator"]
process.exit(also.reduce((bad, more) => bad || run(tsx, [join(root, "bench", `${more}.ts`)]), failed))
