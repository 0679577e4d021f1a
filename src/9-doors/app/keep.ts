// The description is copied into the browser as it is typed, so that a closed page loses nothing.
// A browser that refuses storage (private windows) simply keeps nothing.

import type { LampSource } from "./demo.ts"

const key = "lampwright.description"

export function keep(source: LampSource | undefined): void {
  try {
    if (source === undefined) localStorage.removeItem(key)
    else localStorage.setItem(key, JSON.stringify(source))
  } catch {
    // Refused or full: the text still stands in the page.
  }
}

/** What was kept, or undefined when there is nothing or it is not ours. */
export function kept(): LampSource | undefined {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(key) ?? "null")
    return isSource(found) ? found : undefined
  } catch {
    return undefined
  }
}

function isSource(value: unknown): value is LampSource {
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
