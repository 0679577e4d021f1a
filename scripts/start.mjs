// npm start: installs what is missing, makes the Tern pack into out/, prints what came of it, serves the app.
// npm start -- --once ends after the pack.

import { join } from "node:path"
import { installPackages, olderThan, root, run } from "./setup.mjs"

installPackages()
const once = process.argv.includes("--once")
const cli = join(root, "scripts", "lampwright.mjs")
const made = run(process.execPath, [cli, "make", "examples/tern/tern.yaml", "--out", "out"])
if (once || made === 1) process.exit(made)

if (olderThan(join(root, "dist", "app", "index.html"), join(root, "src")))
  run(process.execPath, [join(root, "scripts", "build.mjs")])
process.exit(run(process.execPath, [cli, "app"]))
