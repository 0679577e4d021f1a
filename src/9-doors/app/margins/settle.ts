// Findings of a new look as the very objects of the one before wherever nothing of them changed: what is drawn of them
// need not be drawn again.

import type { Finding } from "../../../0-ground/finding.ts"

export function settle(before: readonly Finding[], now: readonly Finding[]): readonly Finding[] {
  const known = new Map<string, Finding[]>()
  for (const f of before) {
    const alike = known.get(nameOf(f))
    if (alike) alike.push(f)
    else known.set(nameOf(f), [f])
  }
  return now.map((f) => {
    const alike = known.get(nameOf(f))
    const at = alike?.findIndex((k) => same(k, f)) ?? -1
    // Each stands for one: two findings that say the same stay two.
    return at < 0 ? f : alike!.splice(at, 1)[0]!
  })
}

/** What a finding claims of what; findings that share it differ in their numbers. */
export const nameOf = (f: Finding): string => `${f.code} ${f.where.text} ${f.title}`

/** Of plain data. */
function same(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return false
  const [mine, other] = [Object.entries(a), b as Record<string, unknown>]
  return mine.length === Object.keys(other).length && mine.every(([key, value]) => same(value, other[key]))
}
