// Dense linear systems, LU with row pivoting, in place on one Float64Array. Small systems (up to a few hundred).

/**
 * Solves A·x = b; `a` is n × n, row by row, and is destroyed; `b` becomes x.
 * False when a pivot is zero or not finite: the system has no unique answer and `b` means nothing.
 */
export function solveDense(a: Float64Array, b: Float64Array, n: number): boolean {
  for (let k = 0; k < n; k++) {
    let best = Math.abs(a[k * n + k]!)
    let row = k
    for (let i = k + 1; i < n; i++) {
      const size = Math.abs(a[i * n + k]!)
      if (size > best) {
        best = size
        row = i
      }
    }
    if (!(best > 0) || !Number.isFinite(best)) return false
    if (row !== k) {
      for (let j = k; j < n; j++) {
        const held = a[k * n + j]!
        a[k * n + j] = a[row * n + j]!
        a[row * n + j] = held
      }
      const held = b[k]!
      b[k] = b[row]!
      b[row] = held
    }
    const pivot = a[k * n + k]!
    for (let i = k + 1; i < n; i++) {
      const below = a[i * n + k]!
      if (below === 0) continue
      const factor = below / pivot
      for (let j = k + 1; j < n; j++) a[i * n + j] = a[i * n + j]! - factor * a[k * n + j]!
      b[i] = b[i]! - factor * b[k]!
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    let sum = b[k]!
    for (let j = k + 1; j < n; j++) sum -= a[k * n + j]! * b[j]!
    b[k] = sum / a[k * n + k]!
  }
  return true
}
