// lampwright compare: two revisions of a lamp, each a description or a pack's folder; what changed, in words.

import { statSync } from "node:fs"
import { join } from "node:path"
import {
  compareRevisions,
  isSame,
  packLamp,
  type Revision,
  readRevision,
  tellComparison,
} from "../../8-pack/pack-lamp.ts"
import { listing, summary } from "./check-command.ts"
import { readLampSource } from "./files.ts"
import { addToHistory } from "./history-file.ts"
import { because, Refusal } from "./refusal.ts"
import { runDesign } from "./run-design.ts"

export interface CompareOptions {
  readonly json?: boolean
  readonly all?: boolean
  /** A Markdown file the comparison is put at the head of. */
  readonly history?: string
  /** How the second revision is called there. */
  readonly title?: string
}

/** Exit 0: the same or not, both were read; 1: one of them cannot be read. */
export async function compareLamps(a: string, b: string, o: CompareOptions): Promise<number> {
  const [before, after] = [revisionAt(a), revisionAt(b)]
  if (!before || !after) return 1
  const comparison = compareRevisions(before, after)
  if (o.json) {
    process.stdout.write(`${JSON.stringify(comparison, null, 2)}\n`)
    return 0
  }
  const [p, q] = comparison.lamps
  const title = o.title ?? (p === q ? `${q}: ${a} → ${b}` : `${p} (${a}) → ${q} (${b})`)
  process.stdout.write(tellComparison(comparison, title, o.all === true))
  if (o.history !== undefined) {
    if (isSame(comparison)) process.stdout.write(`\nNothing was added to ${o.history}.\n`)
    else {
      addToHistory(o.history, q, tellComparison(comparison, title, true))
      process.stdout.write(`\nAdded to ${o.history}.\n`)
    }
  }
  return 0
}

function revisionAt(path: string): Revision | undefined {
  let folder: boolean
  try {
    folder = statSync(path).isDirectory()
  } catch (error) {
    throw new Refusal(`cannot read ${path}: ${because(error)}`)
  }
  const file = folder ? (name: string) => textAt(join(path, name)) : designed(path)
  if (!file) return undefined
  const read = readRevision(file)
  if (typeof read === "string") throw new Refusal(`${path} cannot be compared: ${read}`)
  return read
}

function designed(path: string): ((name: string) => string | undefined) | undefined {
  const source = readLampSource(path)
  const { design, bringUp } = runDesign(source, { bringUp: true })
  if (!design.lamp) {
    process.stderr.write(`${listing(design.findings, path, source.text)}${summary(design.findings)}\n`)
    return undefined
  }
  const files = new Map(packLamp(design, { bringUp }).files.map((f) => [f.path, f.text]))
  return (name) => files.get(name)
}

function textAt(path: string): string | undefined {
  try {
    return readLampSource(path).text
  } catch {
    return undefined
  }
}
