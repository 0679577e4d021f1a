// Undo and redo: what stood before each change, with words for what was done.

export interface Step<T> {
  readonly was: T
  readonly words: string
}

export interface History<T> {
  readonly past: readonly Step<T>[]
  readonly future: readonly Step<T>[]
  /** The burst of typing or stepping under way, and when it was last added to. */
  readonly burst: string | undefined
  readonly at: number
}

/** More steps than a builder goes back; a step shares its text with nothing, so memory has a bound. */
const most = 300
/** Changes of one kind within this many milliseconds are one step. */
const pause = 900

export const begin = <T>(): History<T> => ({ past: [], future: [], burst: undefined, at: 0 })

/** A change was made; `was` is what stood before it. */
export function record<T>(
  h: History<T>,
  was: T,
  words: string,
  burst?: string,
  now: number = Date.now(),
): History<T> {
  const on = burst !== undefined && burst === h.burst && now - h.at < pause && h.past.length > 0
  return {
    past: on ? h.past : [...h.past.slice(1 - most), { was, words }],
    future: [],
    burst,
    at: now,
  }
}

interface Moved<T> {
  readonly now: T
  readonly history: History<T>
}

/** `is` is what stands now. Undefined when there is nothing to undo. */
export function undo<T>(h: History<T>, is: T): Moved<T> | undefined {
  const step = h.past.at(-1)
  if (!step) return undefined
  const future = [...h.future, { was: is, words: step.words }]
  return { now: step.was, history: { past: h.past.slice(0, -1), future, burst: undefined, at: 0 } }
}

export function redo<T>(h: History<T>, is: T): Moved<T> | undefined {
  const step = h.future.at(-1)
  if (!step) return undefined
  const past = [...h.past, { was: is, words: step.words }]
  return { now: step.was, history: { past, future: h.future.slice(0, -1), burst: undefined, at: 0 } }
}
