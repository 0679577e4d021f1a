// A lamp's history: a Markdown file, newest revision first. It is replaced as a whole, so that a full disk or a
// kill leaves the old one.

import { existsSync } from "node:fs"
import { readLampSource, writeText } from "./files.ts"

/** Puts `entry` (which begins with a heading) above the entries that are there; makes the file when there is none. */
export function addToHistory(path: string, lamp: string, entry: string): void {
  const head = `# ${lamp}: revisions, newest first\n\n`
  const old = existsSync(path) ? readLampSource(path).text : head
  const first = old.search(/^## /m)
  const at = first < 0 ? old.length : first
  const text = `${old.slice(0, at).trimEnd()}\n\n${entry.trimEnd()}\n${first < 0 ? "" : `\n${old.slice(at)}`}`
  writeText(path, text)
}
