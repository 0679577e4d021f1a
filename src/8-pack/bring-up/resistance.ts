// Resistance between any two nodes of a network of resistors, all pairs at once.

/** Beyond what a workshop meter shows, Ω. */
export const openOhm = 2e7

/**
 * Resistance between nodes; `openOhm` or more reads as open. Capacitances work the same way with 1/C as `ohm`.
 * The matrix of node conductances, with a faint leak to earth at each node, is inverted: R = Zaa + Zbb − 2·Zab.
 */
export class ResistanceNetwork {
  private readonly index = new Map<string, number>()
  private readonly z: Float64Array
  private readonly leak: number

  constructor(
    branches: readonly { readonly a: string; readonly b: string; readonly ohm: number }[],
    leak = 1e-9,
  ) {
    const { index } = this
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
    this.z = inverse(m, n)
    this.leak = leak
  }

  has(node: string): boolean {
    return this.index.has(node)
  }

  between(a: string, b: string): number {
    const { index, z } = this
    const n = index.size
    const i = index.get(a)
    const j = index.get(b)
    if (a === b) return 0
    if (i === undefined || j === undefined) return 2 / this.leak
    return Math.max(0, z[i * n + i]! + z[j * n + j]! - 2 * z[i * n + j]!)
  }

  /**
   * The same while two of its nodes are joined by `ohm`, without inverting anew (Sherman and Morrison, 1950): with
   * u = Zp − Zq, the columns of the joined nodes, R' = R − (ui − uj)² ÷ (ohm + up − uq).
   */
  joined(p: string, q: string, ohm: number): (a: string, b: string) => number {
    const { index, z } = this
    const n = index.size
    const [k, l] = [index.get(p)!, index.get(q)!]
    const u = (i: number) => z[i * n + k]! - z[i * n + l]!
    const whole = ohm + u(k) - u(l)
    return (a, b) => {
      const i = index.get(a)
      const j = index.get(b)
      if (i === undefined || j === undefined || i === j) return this.between(a, b)
      return Math.max(0, this.between(a, b) - (u(i) - u(j)) ** 2 / whole)
    }
  }
}

export function resistanceBetween(
  branches: readonly { readonly a: string; readonly b: string; readonly ohm: number }[],
  leak = 1e-9,
): (a: string, b: string) => number {
  const network = new ResistanceNetwork(branches, leak)
  return (a, b) => network.between(a, b)
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
