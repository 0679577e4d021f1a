// Reads the lamp and its drawings, writes the pack. A pack is whole or not there: it is written beside its place
// and moved in with one rename.

import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs"
import { basename, dirname, isAbsolute, join, relative, resolve } from "node:path"
import type { PackFile } from "../../8-pack/artefact.ts"
import { because, Refusal } from "./refusal.ts"

/** More than any description or drawing needs; larger files are told to the reader by their length only. */
const readAtMost = 32 * 1024 * 1024

export interface LampSource {
  readonly path: string
  readonly text: string
  /** Text of a drawing beside the description; undefined when it is not there or lies outside the folder. */
  readonly drawing: (file: string) => string | undefined
}

export function readLampSource(path: string): LampSource {
  const full = resolve(path)
  let text: string
  try {
    text = readText(full)
  } catch (error) {
    throw error instanceof Refusal ? error : new Refusal(`cannot read ${path}: ${because(error)}`)
  }
  const folder = dirname(full)
  const drawing = (file: string) => {
    const target = resolve(folder, file)
    const inside = relative(folder, target)
    if (inside.startsWith("..") || isAbsolute(inside)) return undefined
    try {
      return readText(target)
    } catch {
      return undefined
    }
  }
  return { path, text, drawing }
}

function readText(path: string): string {
  const { size } = statSync(path)
  if (size > readAtMost)
    throw new Refusal(`${path} is ${Math.round(size / 1048576)} MB; at most 32 MB is read`)
  return readFileSync(path, "utf8")
}

/**
 * Puts the pack at `out`, replacing an earlier pack as a whole.
 * Refuses a folder that holds anything else than a pack.
 */
export function writePack(out: string, files: readonly PackFile[]): void {
  const target = resolve(out)
  refuseForeign(target, out)
  let fresh: string | undefined
  try {
    mkdirSync(dirname(target), { recursive: true })
    fresh = mkdtempSync(join(dirname(target), `.${basename(target)}-`))
    for (const { path, text } of files) {
      const full = resolve(fresh, path)
      if (relative(fresh, full).startsWith("..")) throw new Refusal(`${path} would lie outside the pack`)
      mkdirSync(dirname(full), { recursive: true })
      writeFileSync(full, text)
    }
    swap(fresh, target)
  } catch (error) {
    if (fresh) rmSync(fresh, { recursive: true, force: true })
    throw error instanceof Refusal ? error : new Refusal(`cannot write the pack to ${out}: ${because(error)}`)
  }
}

/** Moves `fresh` to `target`; an earlier pack steps aside first and comes back if the move fails. */
function swap(fresh: string, target: string): void {
  const old = `${fresh}-old`
  let aside = true
  try {
    renameSync(target, old)
  } catch {
    aside = false
  }
  try {
    renameSync(fresh, target)
  } catch (error) {
    if (aside) renameSync(old, target)
    throw error
  }
  if (aside) rmSync(old, { recursive: true, force: true })
}

function refuseForeign(target: string, shown: string): void {
  let entries: string[]
  try {
    entries = readdirSync(target)
  } catch (error) {
    if ((error as { code?: string }).code === "ENOENT") return
    throw new Refusal(`cannot write the pack to ${shown}: ${because(error)}`)
  }
  if (entries.length > 0 && !(entries.includes("manifest.json") && entries.includes("report.json"))) {
    throw new Refusal(`${shown} holds files that are not a pack; choose another folder or empty it first`)
  }
}
