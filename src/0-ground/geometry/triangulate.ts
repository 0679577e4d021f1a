// Delaunay triangulation: points put in one by one, the triangle walked to, edges flipped until every circle is empty
// (Lawson 1977). Coordinates are shaken by a fixed ten-thousandth or less so that points of a grid never tie.

import type { Point } from "./point.ts"

/** Corner indices three by three, counter-clockwise. Points that coincide with an earlier one are left out. */
export function triangulate(points: readonly Point[]): Int32Array {
  const n = points.length
  const x = new Float64Array(n + 3)
  const y = new Float64Array(n + 3)
  let far = 1
  for (let i = 0; i < n; i++) {
    x[i] = points[i]!.x + shake(2 * i)
    y[i] = points[i]!.y + shake(2 * i + 1)
    far = Math.max(far, Math.abs(x[i]!), Math.abs(y[i]!))
  }
  far *= 40
  for (let k = 0; k < 3; k++) {
    x[n + k] = far * Math.cos((2 * Math.PI * k) / 3 + 0.3)
    y[n + k] = far * Math.sin((2 * Math.PI * k) / 3 + 0.3)
  }
  const corners = new Int32Array(3 * (2 * n + 4))
  /** Triangle edge i runs from corner i to corner i + 1; its twin half-edge, −1 on the rim. */
  const twins = new Int32Array(corners.length).fill(-1)
  corners.set([n, n + 1, n + 2])
  let count = 1
  let last = 0

  const side = (a: number, b: number, p: number) =>
    (x[b]! - x[a]!) * (y[p]! - y[a]!) - (y[b]! - y[a]!) * (x[p]! - x[a]!)
  const inCircle = (a: number, b: number, c: number, p: number): boolean => {
    const ax = x[a]! - x[p]!
    const ay = y[a]! - y[p]!
    const bx = x[b]! - x[p]!
    const by = y[b]! - y[p]!
    const cx = x[c]! - x[p]!
    const cy = y[c]! - y[p]!
    const a2 = ax * ax + ay * ay
    const b2 = bx * bx + by * by
    const c2 = cx * cx + cy * cy
    return ax * (by * c2 - b2 * cy) - ay * (bx * c2 - b2 * cx) + a2 * (bx * cy - by * cx) > 1e-12
  }
  const join = (h: number, g: number) => {
    twins[h] = g
    if (g >= 0) twins[g] = h
  }
  const next = (h: number) => (h % 3 === 2 ? h - 2 : h + 1)
  const prev = (h: number) => (h % 3 === 0 ? h + 2 : h - 1)
  const stack: number[] = []
  /** Edges opposite the new point p are flipped while their far corner lies in the circle. */
  const settle = (p: number) => {
    while (stack.length > 0) {
      const h = stack.pop()!
      const g = twins[h]!
      if (g < 0) continue
      const a = corners[h]!
      const b = corners[next(h)]!
      const d = corners[prev(g)]!
      if (!inCircle(a, b, p, d)) continue
      // Triangles (a b p) and (b a d) become (p a d) and (p d b); h's triangle keeps p.
      const bp = twins[next(h)]!
      const pa = twins[prev(h)]!
      const ad = twins[next(g)]!
      const db = twins[prev(g)]!
      const t = 3 * Math.floor(h / 3)
      const u = 3 * Math.floor(g / 3)
      corners[t] = p
      corners[t + 1] = a
      corners[t + 2] = d
      corners[u] = p
      corners[u + 1] = d
      corners[u + 2] = b
      join(t, pa)
      join(t + 1, ad)
      join(t + 2, u)
      join(u + 1, db)
      join(u + 2, bp)
      stack.push(t + 1, u + 1)
    }
  }
  for (const p of insertionOrder(x, y, n)) {
    let t = last
    for (let guard = 0; guard < 4 * count + 16; guard++) {
      const h = 3 * t
      let out = -1
      for (let i = 0; i < 3; i++) {
        // The start of the look-round turns with the walk, so that it cannot go round in a ring.
        const e = h + ((i + guard) % 3)
        if (side(corners[e]!, corners[next(e)]!, p) < 0) {
          out = twins[e]!
          break
        }
      }
      if (out < 0) break
      t = Math.floor(out / 3)
    }
    const h = 3 * t
    const [a, b, c] = [corners[h]!, corners[h + 1]!, corners[h + 2]!]
    const on = (q: number) => Math.abs(x[q]! - x[p]!) + Math.abs(y[q]! - y[p]!) < 1e-3
    if (on(a) || on(b) || on(c)) continue
    const [ab, bc, ca] = [twins[h]!, twins[h + 1]!, twins[h + 2]!]
    const u = 3 * count
    const v = 3 * (count + 1)
    count += 2
    corners[h + 2] = p
    corners.set([b, c, p], u)
    corners.set([c, a, p], v)
    join(h, ab)
    join(u, bc)
    join(v, ca)
    join(h + 1, u + 2)
    join(u + 1, v + 2)
    join(v + 1, h + 2)
    stack.push(h, u, v)
    settle(p)
    last = t
  }
  const out: number[] = []
  for (let t = 0; t < count; t++) {
    const [a, b, c] = [corners[3 * t]!, corners[3 * t + 1]!, corners[3 * t + 2]!]
    if (a < n && b < n && c < n) out.push(a, b, c)
  }
  return Int32Array.from(out)
}

/** Up one strip and down the next, so that each walk is short. */
function insertionOrder(x: Float64Array, y: Float64Array, n: number): number[] {
  let minX = Number.POSITIVE_INFINITY
  let maxX = Number.NEGATIVE_INFINITY
  for (let i = 0; i < n; i++) {
    minX = Math.min(minX, x[i]!)
    maxX = Math.max(maxX, x[i]!)
  }
  const strips = Math.max(1, Math.round(Math.sqrt(n / 4)))
  const strip = (i: number) =>
    Math.min(strips - 1, Math.floor(((x[i]! - minX) / (maxX - minX + 1e-9)) * strips))
  return Array.from({ length: n }, (_, i) => i).sort((a, b) => {
    const s = strip(a) - strip(b)
    if (s !== 0) return s
    return (strip(a) % 2 ? y[b]! - y[a]! : y[a]! - y[b]!) || a - b
  })
}

/** Between −0.0001 and 0.0001, fixed for each index. */
function shake(i: number): number {
  const h = Math.imul(i + 1, 0x9e3779b1) >>> 0
  return ((h ^ (h >>> 15)) % 20011) / 1.00055e8 - 1e-4
}
