// Which things are connected: sets over 0…n−1 that are joined two at a time.

export interface UnionFind {
  find(a: number): number
  /** Returns false when they were one already. */
  join(a: number, b: number): boolean
}

export function unionFind(n: number): UnionFind {
  const parent = new Int32Array(n)
  for (let i = 0; i < n; i++) parent[i] = i
  const find = (a: number): number => {
    let i = a
    while (parent[i] !== i) {
      parent[i] = parent[parent[i]!]!
      i = parent[i]!
    }
    return i
  }
  const join = (a: number, b: number): boolean => {
    const x = find(a)
    const y = find(b)
    if (x === y) return false
    parent[Math.max(x, y)] = Math.min(x, y)
    return true
  }
  return { find, join }
}
