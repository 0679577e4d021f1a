// Elimination order for nodal matrices: circuits are nearly trees, so taking the node with the fewest neighbours
// first leaves almost nothing to fill in. The pattern is symmetric; it is worked out once for a network.

export interface Order {
  /** Nodes in the order of elimination. */
  readonly order: Int32Array
  /** For each step, the nodes still to come that the pivot meets (fill included). */
  readonly later: readonly Int32Array[]
}

/** `meets[i]` are the nodes that share an element with node i. */
export function eliminationOrder(meets: readonly ReadonlySet<number>[]): Order {
  const n = meets.length
  const left = meets.map((s) => new Set(s))
  const done = new Uint8Array(n)
  const order = new Int32Array(n)
  const later: Int32Array[] = []
  for (let step = 0; step < n; step++) {
    let best = -1
    for (let i = 0; i < n; i++) {
      if (done[i] === 0 && (best < 0 || left[i]!.size < left[best]!.size)) best = i
    }
    order[step] = best
    done[best] = 1
    const around = Int32Array.from(left[best]!).sort()
    later.push(around)
    for (const i of around) {
      left[i]!.delete(best)
      for (const j of around) if (i !== j) left[i]!.add(j)
    }
  }
  return { order, later }
}

/**
 * Solves A·x = b along that order without changing rows; `a` (n × n) is destroyed, `b` becomes x.
 * False when a pivot is too small beside its row to be trusted; `a` and `b` then mean nothing.
 */
export function solveInOrder(a: Float64Array, b: Float64Array, n: number, { order, later }: Order): boolean {
  for (let step = 0; step < n; step++) {
    const k = order[step]!
    const pivot = a[k * n + k]!
    const around = later[step]!
    let row = 0
    for (let s = 0; s < around.length; s++) row = Math.max(row, Math.abs(a[k * n + around[s]!]!))
    if (!(Math.abs(pivot) > 1e-9 * row) || !Number.isFinite(pivot)) return false
    for (let s = 0; s < around.length; s++) {
      const i = around[s]!
      const below = a[i * n + k]!
      if (below === 0) continue
      const factor = below / pivot
      for (let t = 0; t < around.length; t++) {
        const j = around[t]!
        a[i * n + j] = a[i * n + j]! - factor * a[k * n + j]!
      }
      b[i] = b[i]! - factor * b[k]!
    }
  }
  for (let step = n - 1; step >= 0; step--) {
    const k = order[step]!
    const around = later[step]!
    let sum = b[k]!
    for (let s = 0; s < around.length; s++) sum -= a[k * n + around[s]!]! * b[around[s]!]!
    b[k] = sum / a[k * n + k]!
  }
  return true
}
