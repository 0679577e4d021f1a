#!/usr/bin/env node
// The lampwright command. Runs the bundled command line, bundling it first when the sources are newer.

import { existsSync } from "node:fs"
import { join } from "node:path"
import { pathToFileURL } from "node:url"
import { setFlagsFromString } from "node:v8"
import { installPackages, olderThan, root, run } from "./setup.mjs"

const bundle = join(root, "dist", "cli", "main.js")
const sources = join(root, "src")

if (existsSync(sources) && olderThan(bundle, sources)) {
  installPackages()
  if (run(process.execPath, [join(root, "scripts", "build.mjs"), "--cli"]) !== 0) process.exit(1)
}
// A run takes seconds: half of it would go into optimising code that is soon done with. Plain compiling at once, less
// inlining and later optimising take a quarter off the processor time of the run and its worker threads.
setFlagsFromString("--max-inlined-bytecode-size-cumulative=200")
setFlagsFromString("--interrupt-budget=600000")
setFlagsFromString("--always-sparkplug")
setFlagsFromString("--no-lazy-feedback-allocation")
await import(pathToFileURL(bundle).href)
