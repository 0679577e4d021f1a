// npm test: installs what is missing, then format and lint, types, imports and every test, the browser's included.
// In CI (CI=true) a skipped test counts as a failure.

import { spawn } from "node:child_process"
import { join } from "node:path"
import { installPackages, installSystem, root, run, systemNeeds } from "./setup.mjs"

installPackages()
const ci = process.env.CI === "true"
let failed = false
for (const { program, what } of installSystem(systemNeeds)) {
  console.log(`Skipped: ${what}, because ${program} is not installed and could not be installed here.`)
  if (ci) failed = true
}

const bin = (name) => join(root, "node_modules", ".bin", name)
const steps = [
  ["Format and lint", bin("biome"), ["check", "."]],
  ["Types of the core", bin("tsc"), ["-p", "tsconfig.json"]],
  ["Types of doors and tests", bin("tsc"), ["-p", "tsconfig.doors.json"]],
]
for (const [what, command, args] of steps) {
  console.log(`${what} …`)
  if (run(command, args) !== 0) failed = true
}

console.log("Tests …")
const { code, skipped } = await vitest(process.argv.slice(2))
if (code !== 0) failed = true
if (ci && skipped > 0) {
  console.log(`CI allows no skipped test; ${skipped} were skipped.`)
  failed = true
}
process.exit(failed ? 1 : 0)

/** Runs the tests, shows their output and reads the count of skipped ones from the closing line. */
function vitest(args) {
  return new Promise((done) => {
    const child = spawn(bin("vitest"), ["run", ...args], {
      cwd: root,
      stdio: ["ignore", "pipe", "inherit"],
      shell: process.platform === "win32",
    })
    let tail = ""
    child.stdout.on("data", (data) => {
      process.stdout.write(data)
      tail = (tail + data).slice(-4000)
    })
    child.on("close", (code) =>
      done({ code: code ?? 1, skipped: Number(/(\d+) skipped\s*$/.exec(tail.trim())?.[1] ?? 0) }),
    )
  })
}
