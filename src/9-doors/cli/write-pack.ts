// A pack is whole or not there: it is written beside its place and moved in by renaming. No folder can be renamed over
// a full one, so the old pack steps aside for a moment; a process of its own does that and ends what it began even when
// the run that started it is killed between the two. A run that was killed leaves at most a folder beside the pack,
// whose name tells what it is; the next run puts things right.

import { spawnSync } from "node:child_process"
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs"
import { constants } from "node:os"
import { basename, dirname, join, relative, resolve } from "node:path"
import { contentHash } from "../../0-ground/numbers/hash.ts"
import type { BinaryFile, PackFile } from "../../8-pack/artefact.ts"
import { because, Refusal } from "./refusal.ts"

/**
 * Puts the pack at `out`, replacing an earlier pack as a whole.
 * Refuses a folder that holds anything else than a pack.
 */
export function writePack(out: string, files: readonly (PackFile | BinaryFile)[]): void {
  const target = resolve(out)
  const fresh = beside(target, process.pid, "new")
  try {
    mkdirSync(dirname(target), { recursive: true })
    putRight(target)
    refuseForeign(target, out)
    mkdirSync(fresh)
    for (const file of files) {
      const { path } = file
      const full = resolve(fresh, path)
      if (relative(fresh, full).startsWith("..")) throw new Refusal(`${path} would lie outside the pack`)
      mkdirSync(dirname(full), { recursive: true })
      writeFileSync(full, "bytes" in file ? file.bytes : file.text)
    }
    holdSignals()
    swap(fresh, target)
  } catch (error) {
    rmSync(fresh, { recursive: true, force: true })
    throw error instanceof Refusal ? error : new Refusal(`cannot write the pack to ${out}: ${because(error)}`)
  }
}

/** Clears what a killed run left beside `target`; an old pack that was on its way out comes back if none took its place. */
export function putRight(target: string): void {
  for (const { path, pid, state } of leftovers(target)) {
    if (pid !== process.pid && runs(pid)) continue
    if (state === "old" && !there(target) && isWhole(path)) renameSync(path, target)
    else rmSync(path, { recursive: true, force: true })
  }
}

/** Whether every file the manifest names is there with the content it tells. */
export function isWhole(folder: string): boolean {
  try {
    const { files } = JSON.parse(readFileSync(join(folder, "manifest.json"), "utf8")) as {
      files: { path: string; hash: string }[]
    }
    return files.every((f) => contentHash(readFileSync(join(folder, f.path), "utf8")) === f.hash)
  } catch {
    return false
  }
}

/** Moves `fresh` to `target`; an earlier pack steps aside first and comes back if the move fails. */
function swap(fresh: string, target: string): void {
  if (!there(target)) {
    renameSync(fresh, target)
    return
  }
  const entries = String(readdirSync(fresh, { recursive: true }).length)
  // `detached`, a group of its own: Node takes it here too, though its types do not tell.
  const apart = { detached: true, stdio: "ignore", windowsHide: true } as const
  const env = { ...process.env, NODE_OPTIONS: "" }
  spawnSync(process.execPath, ["-e", mover, fresh, target, entries], { ...apart, env })
  if (!there(fresh)) return
  // No process could be started here.
  const old = beside(target, process.pid, "old")
  renameSync(target, old)
  try {
    renameSync(fresh, target)
  } catch (error) {
    renameSync(old, target)
    throw error
  }
  rmSync(old, { recursive: true, force: true })
}

/**
 * Arguments: the fresh pack, its place, how many entries it has. It takes both folders under its own number, so that
 * no other run clears them away meanwhile, and moves nothing in that is not complete.
 */
const mover = `
const { readdirSync, renameSync, rmSync } = require("node:fs")
const { basename, dirname, join } = require("node:path")
const [fresh, target, entries] = process.argv.slice(1)
const own = (state) => join(dirname(target), "." + basename(target) + "." + process.pid + "." + state)
renameSync(fresh, own("new"))
if (readdirSync(own("new"), { recursive: true }).length !== Number(entries)) process.exit(1)
renameSync(target, own("old"))
try {
  renameSync(own("new"), target)
} catch (error) {
  renameSync(own("old"), target)
  throw error
}
rmSync(own("old"), { recursive: true, force: true })
`

let held = false

/**
 * From now on a signal that asks the process to end is heard between two turns only, so never while the pack is moved
 * in. Not undone, because a signal on its way would be lost.
 */
function holdSignals(): void {
  if (held) return
  held = true
  for (const s of ["SIGINT", "SIGTERM", "SIGHUP"] as const)
    process.on(s, () => process.exit(128 + constants.signals[s]))
}

const beside = (target: string, pid: number, state: "new" | "old") =>
  join(dirname(target), `.${basename(target)}.${pid}.${state}`)

function leftovers(target: string): { path: string; pid: number; state: string }[] {
  const prefix = `.${basename(target)}.`
  if (!there(dirname(target))) return []
  return readdirSync(dirname(target))
    .filter((name) => name.startsWith(prefix))
    .flatMap((name) => {
      const [, pid, state] = /^(\d+)\.(new|old)$/.exec(name.slice(prefix.length)) ?? []
      return pid && state ? [{ path: join(dirname(target), name), pid: Number(pid), state }] : []
    })
    .sort((a, b) => (a.path < b.path ? -1 : 1))
}

function runs(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return (error as { code?: string }).code === "EPERM"
  }
}

function there(path: string): boolean {
  try {
    readdirSync(path)
    return true
  } catch (error) {
    if ((error as { code?: string }).code === "ENOENT") return false
    throw error
  }
}

function refuseForeign(target: string, shown: string): void {
  if (!there(target)) return
  const entries = readdirSync(target)
  if (entries.length > 0 && !(entries.includes("manifest.json") && entries.includes("report.json"))) {
    throw new Refusal(`${shown} holds files that are not a pack; choose another folder or empty it first`)
  }
}
