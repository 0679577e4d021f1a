// The description is copied into the browser as it is typed, so that a closed page loses nothing. Two tabs write
// the same copy: the one that was there from another tab, or of another file, is set aside, never written over.

import type { LampSource } from "./demo.ts"

export interface Copy extends LampSource {
  /** Where the file lies when the page was given one by `lampwright app LAMP`. */
  readonly origin?: string | undefined
  /** Its text when it was read from there. */
  readonly disk?: string | undefined
}

interface Stored extends Copy {
  readonly tab?: string
}

const key = "lampwright.description"
const asideKey = "lampwright.description.aside"

/** Survives a reload, not a closed tab; a doubled tab begins with its own. */
const tab = Math.random().toString(36).slice(2)

/** False when the browser refuses (a private window, a full disk): then the text stands in the page only. */
export function keep(source: Copy | undefined): boolean {
  try {
    const there = read(key)
    const mine = there?.tab === tab && there.origin === source?.origin
    if (there && !mine && there.text !== source?.text) localStorage.setItem(asideKey, JSON.stringify(there))
    if (source !== undefined) localStorage.setItem(key, JSON.stringify({ ...source, tab }))
    else if (mine) localStorage.removeItem(key)
    return true
  } catch {
    return false
  }
}

/** What was kept, or undefined when there is nothing or it is not ours. */
export const kept = (): Copy | undefined => read(key)

/** The copy of another tab or an earlier file. */
export const keptAside = (): Copy | undefined => read(asideKey)

export function forgetAside(): void {
  try {
    localStorage.removeItem(asideKey)
  } catch {
    // Refused: then nothing was kept there either.
  }
}

/** Hears another tab of this page write its copy. */
export function onOtherTab(heard: (copy: Copy) => void): void {
  globalThis.addEventListener?.("storage", (event: StorageEvent) => {
    if (event.key !== key || event.newValue === null) return
    const copy = read(key)
    if (copy && copy.tab !== tab) heard(copy)
  })
}

function read(from: string): Stored | undefined {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(from) ?? "null")
    return isSource(found) ? found : undefined
  } catch {
    return undefined
  }
}

export function isSource(value: unknown): value is Stored {
  if (typeof value !== "object" || value === null) return false
  const { file, text, drawings } = value as Partial<Record<keyof LampSource, unknown>>
  return (
    typeof file === "string" &&
    typeof text === "string" &&
    typeof drawings === "object" &&
    drawings !== null &&
    Object.values(drawings).every((d) => typeof d === "string")
  )
}
