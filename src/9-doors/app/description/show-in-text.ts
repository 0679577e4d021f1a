// From a field to its place in the text.

import { nodeAt, readDoc } from "../../../0-ground/text/edit-text.ts"
import { page } from "../store.ts"

/** Leads to the value's own place in the text as it stands now. */
export function showInText(path: string) {
  const { draft, showLine } = page.getState()
  const doc = readDoc(draft)
  let node = doc && nodeAt(doc, path)
  for (let p = path; doc && !node && p !== ""; p = p.slice(0, Math.max(0, p.lastIndexOf("."))))
    node = nodeAt(doc, p)
  const before = draft.slice(0, node?.range?.[0] ?? 0)
  showLine(before.split("\n").length, before.length - before.lastIndexOf("\n"))
}
