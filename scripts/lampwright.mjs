#!/usr/bin/env node
// The lampwright command. Runs the bundled command line, bundling it first when the sources are newer.

import { existsSync } from "node:fs"
import { join } from "node:path"
import { pathToFileURL } from "node:url"
import { installPackages, olderThan, root, run } from "./setup.mjs"
import { tuneForShortRuns } from "./short-runs.mjs"

const bundle = join(root, "dist", "cli", "main.js")
const sources = join(root, "src")

if (existsSync(sources) && olderThan(bundle, sources)) {
  installPackages()
  if (run(process.execPath, [join(root, "scripts", "build.mjs"), "--cli"]) !== 0) process.exit(1)
}
tuneForShortRuns()
await import(pathToFileURL(bundle).href)
