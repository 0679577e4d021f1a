// The app's bundle for the browser tests: the built one when nothing it is made of is newer, else built now.

import { execFileSync } from "node:child_process"
import { existsSync, mkdirSync, readdirSync, rmSync, statSync } from "node:fs"
import { join, resolve } from "node:path"

const root = resolve(import.meta.dirname, "../..")
const sources = ["src", "examples", "vite.config.ts", "package-lock.json"]

const lock = join(root, "node_modules/.lampwright-building")

/** Test files run side by side; one of them builds, the others wait for it. */
export function builtApp(): string {
  const until = Date.now() + 100_000
  while (!taken() && Date.now() < until) Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 200)
  try {
    return build()
  } finally {
    rmSync(lock, { recursive: true, force: true })
  }
}

function taken(): boolean {
  try {
    mkdirSync(lock)
    return true
  } catch {
    // Left by a run that was ended in the middle.
    const since = statSync(lock, { throwIfNoEntry: false })?.mtimeMs ?? Date.now()
    return Date.now() - since > 90_000
  }
}

function build(): string {
  const folder = join(root, "dist/app")
  if (!fresh(join(folder, "index.html"))) {
    // In its own process: a test runner's environment would bundle the libraries' slower development side.
    const vite = join(root, "node_modules/vite/bin/vite.js")
    execFileSync(process.execPath, [vite, "build", "--logLevel", "error"], {
      cwd: root,
      env: { ...process.env, NODE_ENV: "production" },
      stdio: "inherit",
    })
  }
  return folder
}

function fresh(made: string): boolean {
  if (!existsSync(made)) return false
  const at = statSync(made).mtimeMs
  return sources.every((s) => newest(join(root, s)) < at)
}

function newest(path: string): number {
  const self = statSync(path)
  if (!self.isDirectory()) return self.mtimeMs
  return (readdirSync(path, { recursive: true }) as string[])
    .filter((f) => !/\.(test|testing)\.tsx?$/.test(f))
    .map((f) => statSync(join(path, f), { throwIfNoEntry: false }))
    .reduce((latest, s) => (s?.isFile() ? Math.max(latest, s.mtimeMs) : latest), 0)
}
