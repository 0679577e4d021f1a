// Finding a stock entry by its key. Keys that come from a user go through `known` and `near`;
// the throwing look-ups are for keys our own code wrote.

import { nearMatch } from "../0-ground/text/near-match.ts"

export interface Shelf<T> {
  readonly all: readonly T[]
  readonly keys: readonly string[]
  has(key: string): boolean
  /** Undefined when there is no such entry. */
  find(key: string): T | undefined
  /** Throws on an unknown key: a mistake in the program, not in a description. */
  get(key: string): T
  /** The nearest key to a misspelt one. */
  near(key: string): string | undefined
}

export function shelf<T>(what: string, entries: readonly T[], keyOf: (entry: T) => string): Shelf<T> {
  const byKey = new Map(entries.map((e) => [keyOf(e), e]))
  if (byKey.size !== entries.length) throw new Error(`two entries of the shelf "${what}" share a key`)
  return {
    all: entries,
    keys: [...byKey.keys()],
    has: (key) => byKey.has(key),
    find: (key) => byKey.get(key),
    get: (key) => {
      const found = byKey.get(key)
      if (found === undefined) throw new Error(`no ${what} "${key}" in the stock`)
      return found
    },
    near: (key) => nearMatch(key, byKey.keys()),
  }
}
