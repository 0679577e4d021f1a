// A ring in convex parts, and the Minkowski sum of two convex rings: their edges, sorted by direction.

import type { Point } from "../0-ground/geometry/point.ts"

/** Twice the area of a, b, c; positive when they turn left. */
const cross = (a: Point, b: Point, c: Point): number => (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)

/**
 * Parts of a counter-clockwise ring that does not cross itself: ears are cut off one by one, then neighbours joined
 * wherever that stays convex (Hertel & Mehlhorn 1983, from memory). No corners are added.
 */
export function convexParts(ring: readonly Point[]): Point[][] {
  const parts = ears(ring)
  for (let joined = true; joined; ) {
    joined = false
    search: for (let p = 0; p < parts.length; p++) {
      for (let q = p + 1; q < parts.length; q++) {
        const both = joinedConvex(ring, parts[p]!, parts[q]!)
        if (!both) continue
        parts[p] = both
        parts.splice(q, 1)
        joined = true
        break search
      }
    }
  }
  return parts.map((part) => part.map((i) => ring[i]!))
}

function ears(ring: readonly Point[]): number[][] {
  const left = ring.map((_, i) => i)
  const found: number[][] = []
  while (left.length > 3) {
    const n = left.length
    let at = left.findIndex((_, k) => isEar(ring, left, k))
    // Rounding may leave no clean ear; the widest corner then goes, and a little overlap does no harm.
    if (at < 0) {
      let most = Number.NEGATIVE_INFINITY
      for (let k = 0; k < n; k++) {
        const turn = cross(ring[left[(k + n - 1) % n]!]!, ring[left[k]!]!, ring[left[(k + 1) % n]!]!)
        if (turn > most) {
          most = turn
          at = k
        }
      }
    }
    found.push([left[(at + n - 1) % n]!, left[at]!, left[(at + 1) % n]!])
    left.splice(at, 1)
  }
  if (left.length === 3) found.push(left)
  return found
}

function isEar(ring: readonly Point[], left: readonly number[], k: number): boolean {
  const n = left.length
  const [i, j, l] = [left[(k + n - 1) % n]!, left[k]!, left[(k + 1) % n]!]
  const [a, b, c] = [ring[i]!, ring[j]!, ring[l]!]
  if (cross(a, b, c) <= 0) return false
  return left.every((o) => {
    if (o === i || o === j || o === l) return true
    const p = ring[o]!
    return !(cross(a, b, p) >= 0 && cross(b, c, p) >= 0 && cross(c, a, p) >= 0)
  })
}

/** Two parts that share an edge as one, when that is convex. */
function joinedConvex(
  ring: readonly Point[],
  p: readonly number[],
  q: readonly number[],
): number[] | undefined {
  for (let k = 0; k < p.length; k++) {
    const [a, b] = [p[k]!, p[(k + 1) % p.length]!]
    const at = q.indexOf(b)
    if (at < 0 || q[(at + 1) % q.length] !== a) continue
    const rest = Array.from({ length: q.length - 2 }, (_, s) => q[(at + 2 + s) % q.length]!)
    const both = [...p.slice(0, k + 1), ...rest, ...p.slice(k + 1)]
    const n = both.length
    const bulges = both.every(
      (o, s) => cross(ring[both[(s + n - 1) % n]!]!, ring[o]!, ring[both[(s + 1) % n]!]!) >= 0,
    )
    return bulges ? both : undefined
  }
  return undefined
}

/** Both counter-clockwise and convex; so is the sum. */
export function convexSum(a: readonly Point[], b: readonly Point[]): Point[] {
  const [p, q] = [fromLowest(a), fromLowest(b)]
  const sum: Point[] = []
  let [i, j] = [0, 0]
  while (i < p.length || j < q.length) {
    const [u, v] = [p[i % p.length]!, q[j % q.length]!]
    sum.push({ x: u.x + v.x, y: u.y + v.y })
    const [u1, v1] = [p[(i + 1) % p.length]!, q[(j + 1) % q.length]!]
    const turn = (u1.x - u.x) * (v1.y - v.y) - (u1.y - u.y) * (v1.x - v.x)
    const first = j >= q.length || (i < p.length && turn >= 0)
    const second = i >= p.length || (j < q.length && turn <= 0)
    if (first) i++
    if (second) j++
  }
  return sum
}

function fromLowest(ring: readonly Point[]): Point[] {
  let low = 0
  ring.forEach((p, k) => {
    if (p.y < ring[low]!.y || (p.y === ring[low]!.y && p.x < ring[low]!.x)) low = k
  })
  return [...ring.slice(low), ...ring.slice(0, low)]
}
