// A change of the description that clears a finding, and its doing: only the values named are rewritten.

import type { Quantity } from "./finding.ts"
import { type Edited, removeKey, setList, setValue } from "./text/edit-text.ts"

export interface Change {
  /**
   * Keys joined by dots, list places by number, a key with dots of its own in quotes: `faces.crescent.hole`,
   * `programme.2.sweep.within`, `pins."drive.sweep.way"`.
   */
  readonly path: string
  /** As a builder would write it, with its unit; a list; null takes the key out. */
  readonly value: string | readonly string[] | null
}

export interface Remedy {
  /** One sentence: what to change and what that gives. */
  readonly says: string
  readonly changes: readonly Change[]
  /** What the finding measures then, as computed; in its own unit. */
  readonly gives?: Quantity
}

/** The description with a remedy in it: every change or none. Comments, order and spelling stay. */
export function applyRemedy(text: string, { changes }: Remedy): Edited {
  let now = text
  for (const { path, value } of changes) {
    const next =
      value === null
        ? removeKey(now, path)
        : typeof value === "string"
          ? setValue(now, path, value)
          : setList(now, path, value)
    if ("refused" in next) return next
    now = next.text
  }
  return { text: now }
}
