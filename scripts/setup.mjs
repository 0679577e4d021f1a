// Installs what a step needs and says in one line what could not be had.
// Plain JavaScript without dependencies: it runs before anything is installed.

import { spawnSync } from "node:child_process"
import { existsSync, readdirSync, statSync } from "node:fs"
import { dirname, join, resolve } from "node:path"
import { fileURLToPath } from "node:url"

export const root = resolve(dirname(fileURLToPath(import.meta.url)), "..")
const windows = process.platform === "win32"

/** Runs a command in the repository; returns its exit code (1 when it could not start). */
export function run(command, args, options = {}) {
  const done = spawnSync(command, args, { cwd: root, stdio: "inherit", shell: windows, ...options })
  return done.status ?? 1
}

/** Packages from the lockfile, when they are missing or older than it. */
export function installPackages() {
  const [major, minor] = process.versions.node.split(".").map(Number)
  if (major < 20 || (major === 20 && minor < 19)) {
    console.error(`Lampwright needs Node 20.19 or newer; this is ${process.versions.node}.`)
    process.exit(1)
  }
  const marker = join(root, "node_modules", ".package-lock.json")
  const lock = join(root, "package-lock.json")
  if (existsSync(marker) && statSync(marker).mtimeMs >= statSync(lock).mtimeMs) return
  // Not to the standard output: that is the command's own.
  console.error("Installing packages …")
  const stdio = ["inherit", 2, "inherit"]
  const code = run("npm", ["ci", "--no-audit", "--no-fund", "--loglevel=error"], { stdio })
  if (code !== 0) {
    console.error("The packages could not be installed; is the npm registry reachable?")
    process.exit(code)
  }
}

/** True when the program is on the path. */
export function has(program) {
  return spawnSync(windows ? "where" : "which", [program], { stdio: "ignore" }).status === 0
}

/** Debian packages, where this user may install them; returns what is missing afterwards. */
export function installSystem(needed) {
  const missing = needed.filter(({ program }) => !has(program))
  if (missing.length === 0) return []
  const root = process.getuid?.() === 0
  if (has("apt-get") && (root || has("sudo"))) {
    const prefix = root ? [] : ["sudo", "-n"]
    const names = [...new Set(missing.flatMap(({ packages }) => packages))]
    console.log(`Installing ${names.join(", ")} …`)
    const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" }
    const apt = (...args) => {
      const [command, ...rest] = [...prefix, "apt-get", "-q", "-y", ...args]
      return spawnSync(command, rest, { stdio: ["ignore", "ignore", "pipe"], env }).status === 0
    }
    const install = ["install", "--no-install-recommends", ...names]
    if (!apt(...install)) apt("update") && apt(...install)
  }
  return missing.filter(({ program }) => !has(program))
}

export const systemNeeds = [
  { program: "chromium", packages: ["chromium"], what: "browser tests" },
  { program: "avr-gcc", packages: ["gcc-avr", "avr-libc", "binutils-avr"], what: "firmware rebuild test" },
  {
    program: "simavr",
    packages: ["simavr", "libsimavr-dev", "libelf-dev", "gcc", "libc6-dev"],
    what: "check of the emulator against a second one",
  },
]

/** True when `built` is missing or older than the newest source file below `sources`. */
export function olderThan(built, sources) {
  if (!existsSync(built)) return true
  const since = statSync(built).mtimeMs
  return readdirSync(sources, { withFileTypes: true, recursive: true }).some(
    (entry) =>
      entry.isFile() &&
      !/\.(test|testing)\.tsx?$/.test(entry.name) &&
      statSync(join(entry.parentPath ?? entry.path, entry.name)).mtimeMs > since,
  )
}
