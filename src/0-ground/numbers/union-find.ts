// Which things are connected: sets over 0…n−1 that are joined two at a time.

export interface UnionFind {
  find(a: number): number
  /** Returns false when they were one already. */
  join(a: number, b: number): boolean
}

export const unionFind = (n: number): UnionFind => new Sets(n)

class Sets implements UnionFind {
  private readonly parent: Int32Array

  constructor(n: number) {
    this.parent = new Int32Array(n)
    for (let i = 0; i < n; i++) this.parent[i] = i
  }

  find(a: number): number {
    const { parent } = this
    let i = a
    while (parent[i] !== i) {
      parent[i] = parent[parent[i]!]!
      i = parent[i]!
    }
    return i
  }

  join(a: number, b: number): boolean {
    const x = this.find(a)
    const y = this.find(b)
    if (x === y) return false
    this.parent[Math.max(x, y)] = Math.min(x, y)
    return true
  }
}
