// Resistance between any two nodes of a network of resistors, all pairs at once.

/** Beyond what a workshop meter shows, Ω. */
export const openOhm = 2e7

/**
 * Resistance between nodes; `openOhm` or more reads as open. Capacitances work the same way with 1/C as `ohm`.
 * The matrix of node conductances, with a faint leak to earth at each node, is inverted: R = Zaa + Zbb − 2·Zab.
 */
export function resistanceBetween(
  branches: readonly { readonly a: string; readonly b: string; readonly ohm: number }[],
  leak = 1e-9,
): (a: string, b: string) => number {
  const index = new Map<string, number>()
  const node = (name: string) => {
    const known = index.get(name)
    if (known !== undefined) return known
    index.set(name, index.size)
    return index.size - 1
  }
  const at = branches.map(({ a, b, ohm }) => [node(a), node(b), 1 / ohm] as const)
  const n = index.size
  const m = new Float64Array(n * n)
  for (let k = 0; k < n; k++) m[k * n + k] = leak
  for (const [a, b, g] of at) {
    m[a * n + a]! += g
    m[b * n + b]! += g
    m[a * n + b]! -= g
    m[b * n + a]! -= g
  }
  const z = inverse(m, n)
  return (a, b) => {
    const [i, j] = [index.get(a), index.get(b)]
    if (a === b) return 0
    if (i === undefined || j === undefined) return 2 / leak
    return Math.max(0, z[i * n + i]! + z[j * n + j]! - 2 * z[i * n + j]!)
  }
}

/** Gauss–Jordan without pivoting: the matrix is symmetric and positive definite. */
function inverse(m: Float64Array, n: number): Float64Array {
  for (let k = 0; k < n; k++) {
    const d = 1 / m[k * n + k]!
    m[k * n + k] = 1
    for (let c = 0; c < n; c++) m[k * n + c]! *= d
    for (let r = 0; r < n; r++) {
      if (r === k) continue
      const f = m[r * n + k]!
      if (f === 0) continue
      m[r * n + k] = 0
      for (let c = 0; c < n; c++) m[r * n + c]! -= f * m[k * n + c]!
    }
  }
  return m
}
