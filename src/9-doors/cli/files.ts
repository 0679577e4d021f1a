// Reads the lamp and the drawings beside it; writes what a command was asked to write.

import { lstatSync, readFileSync, realpathSync, renameSync, rmSync, statSync, writeFileSync } from "node:fs"
import { dirname, isAbsolute, relative, resolve } from "node:path"
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
    if (!within(folder, target)) return undefined
    try {
      // A link in the folder may point out of it.
      return within(realpathSync(folder), realpathSync(target)) ? readText(target) : undefined
    } catch {
      return undefined
    }
  }
  return { path, text, drawing }
}

function within(folder: string, target: string): boolean {
  const inside = relative(folder, target)
  return !inside.startsWith("..") && !isAbsolute(inside)
}

function readText(path: string): string {
  const { size } = statSync(path)
  if (size > readAtMost)
    throw new Refusal(`${path} is ${Math.round(size / 1048576)} MB; at most 32 MB is read`)
  return readFileSync(path, "utf8")
}

/** Replaces the file as a whole, so that a kill or a full disk leaves the old one. */
export function writeText(path: string, text: string): void {
  const fresh = `${path}.${process.pid}.new`
  try {
    // Only what is a file, or will be one, can be replaced: not a terminal, a pipe, or what a link stands for.
    const there = lstatSync(path, { throwIfNoEntry: false })
    if (there && !there.isFile()) writeFileSync(path, text)
    else {
      writeFileSync(fresh, text)
      renameSync(fresh, path)
    }
  } catch (error) {
    rmSync(fresh, { force: true })
    throw new Refusal(`cannot write ${path}: ${because(error)}`)
  }
}
