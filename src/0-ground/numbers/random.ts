// The only source of chance: a seeded generator. Same seed, same sequence, on every machine.

export interface Random {
  /** Uniform in [0, 1). */
  next(): number
  /** Uniform whole number in [0, n). */
  below(n: number): number
}

/** A 32-bit mixing generator (multiply–xor–shift on a counter); fine for search, not for secrets. */
export function random(seed: number): Random {
  let state = seed >>> 0
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
  return { next, below: (n) => Math.floor(next() * n) }
}
