// The part of the trace's time that is in view, seconds.

export interface Span {
  readonly from: number
  readonly to: number
}

/** The least time that can fill the score. */
export const shortest = 0.05

/** A span of `wide` seconds from `from` on, moved so that it stays inside the trace. */
export function within(from: number, wide: number, length: number): Span {
  const start = Math.max(0, Math.min(length - wide, from))
  return { from: start, to: start + wide }
}
