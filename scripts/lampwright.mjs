#!/usr/bin/env node
// The lampwright command. Runs the bundled command line, bundling it first when the sources are newer.

import { existsSync, readdirSync, statSync } from "node:fs"
import { join } from "node:path"
import { pathToFileURL } from "node:url"
import { installPackages, root, run } from "./setup.mjs"

const bundle = join(root, "dist", "cli", "main.js")
const sources = join(root, "src")

if (existsSync(sources) && newest(sources) > (existsSync(bundle) ? statSync(bundle).mtimeMs : 0)) {
  installPackages()
  if (run(process.execPath, [join(root, "scripts", "build.mjs"), "--cli"]) !== 0) process.exit(1)
}
await import(pathToFileURL(bundle).href)

/** Time of the newest source file. */
function newest(folder) {
  let latest = 0
  for (const entry of readdirSync(folder, { withFileTypes: true, recursive: true })) {
    if (!entry.isFile() || /\.test\.tsx?$/.test(entry.name)) continue
    latest = Math.max(latest, statSync(join(entry.parentPath ?? entry.path, entry.name)).mtimeMs)
  }
  return latest
}
