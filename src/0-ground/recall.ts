// What was made before from the same inputs is given again. A room names what it makes and lists what it makes it
// from; who remembers, and for how long, a door decides. With or without, the result is the same.

import { contentHash } from "./numbers/hash.ts"
import type { Work } from "./progress.ts"

/** `inputs`: plain data, all that the thing made depends on. */
export interface Recall {
  known<T>(what: string, inputs: readonly unknown[]): T | undefined
  keep(what: string, inputs: readonly unknown[], made: unknown): void
}

/** What was made last under each name, with the content it was made from. */
export type Memory = Map<string, { readonly key: string; readonly made: unknown }>

/** Remembers nothing: everything is made anew. */
export const forgetful: Recall = { known: () => undefined, keep: () => {} }

/** A name for what is made from these inputs. */
export const nameOf = (what: string, inputs: readonly unknown[]): string =>
  `${what} ${inputs.map(contentKey).join()}`

export function recallFrom(memory: Memory): Recall {
  return {
    known: <T>(what: string, inputs: readonly unknown[]) => {
      const entry = memory.get(what)
      return entry && entry.key === inputs.map(contentKey).join() ? (entry.made as T) : undefined
    },
    keep: (what, inputs, made) => {
      memory.set(what, { key: inputs.map(contentKey).join(), made })
    },
  }
}

/** What was made from these inputs before, or else what `make` makes now. */
export function* recalled<T>(
  recall: Recall,
  what: string,
  inputs: readonly unknown[],
  make: () => Work<T> | T,
): Work<T> {
  const known = recall.known<{ readonly made: T }>(what, inputs)
  if (known) return known.made
  const started = make()
  const made = isWork(started) ? yield* started : started
  recall.keep(what, inputs, { made })
  return made
}

/** Artefacts are never written to after they were made: one that is seen again is not read again. */
const seen = new WeakMap<object, string>()

/** Made from these inputs alone: it is known by them from now on, and its content need not be read. */
export function knowBy(made: object, what: string, inputs: readonly unknown[]): void {
  seen.set(made, nameOf(what, inputs))
}

/**
 * Of a thing made of things, from their keys: what two things share is read once. A hash alone could be met by chance;
 * with the length beside it that is no concern.
 */
function contentKey(input: unknown): string {
  if (typeof input !== "object" || input === null) return JSON.stringify(input) ?? ""
  const known = seen.get(input)
  if (known !== undefined) return known
  const text = isFlat(input) ? JSON.stringify(input) : Array.isArray(input) ? ofList(input) : ofRecord(input)
  if (text.length <= shortText) return text
  const key = `#${text.length} ${contentHash(text)}`
  seen.set(input, key)
  return key
}

/** Texts up to this length are their own key. */
const shortText = 60

/** Nothing is designed from where a value stands, nor from the lamp as built. */
const isLeftOut = (name: string) => name === "places" || name === "built"

function isFlat(input: object): boolean {
  if (ArrayBuffer.isView(input)) return true
  if (Array.isArray(input)) {
    for (const v of input) if (typeof v === "object" && v !== null) return false
    return true
  }
  for (const name in input) {
    const v = (input as Record<string, unknown>)[name]
    if ((typeof v === "object" && v !== null) || isLeftOut(name)) return false
  }
  return true
}

function ofList(input: readonly unknown[]): string {
  let text = "["
  for (const v of input) text += `${contentKey(v)},`
  return `${text}]`
}

function ofRecord(input: object): string {
  let text = "{"
  for (const [name, v] of Object.entries(input))
    if (v !== undefined && !isLeftOut(name)) text += `${JSON.stringify(name)}:${contentKey(v)},`
  return `${text}}`
}

function isWork<T>(value: Work<T> | T): value is Work<T> {
  return typeof value === "object" && value !== null && "next" in value && Symbol.iterator in value
}
