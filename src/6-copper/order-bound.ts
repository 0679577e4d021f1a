// A length no order of strokes can go below: the best 1-tree in which every stroke is a fixed edge, its price raised
// by ascent on the ends' prices (Held & Karp 1970–71, from memory). Every tour is a 1-tree, so the bound holds.

import type { Work } from "../0-ground/progress.ts"
import { type Ends, endDistance } from "./order-passes.ts"

/** At most this many ends are bounded; beyond, 0 is given. */
const mostEnds = 2400

/**
 * Lower bound of the travel of a closed tour; `reached` is the travel of a known one and sets the step length.
 * Holes (both ends equal) count as one node; strokes as two with a fixed edge of no length between.
 */
export function* travelBound(ends: Ends, reached: number, rounds = 300): Work<number> {
  const strokes = ends.xy.length / 4
  const node: number[] = []
  const mate: number[] = []
  for (let s = 0; s < strokes; s++) {
    const point = ends.xy[4 * s] === ends.xy[4 * s + 2] && ends.xy[4 * s + 1] === ends.xy[4 * s + 3]
    node.push(2 * s)
    if (point) mate.push(-1)
    else {
      mate.push(node.length, node.length - 1)
      node.push(2 * s + 1)
    }
  }
  const n = node.length
  if (strokes < 3) return 0
  if (n > mostEnds) return 0
  const tree: Tree = {
    ends,
    node: Int32Array.from(node),
    mate: Int32Array.from(mate),
    price: new Float64Array(n),
    degree: new Int32Array(n),
    key: new Float64Array(n),
    parent: new Int32Array(n),
    done: new Uint8Array(n),
    // A single point makes the better special node; there is one wherever the program starts from the origin.
    special: Math.max(0, mate.indexOf(-1)),
  }
  const { price, degree } = tree
  const before = new Int32Array(n)
  const limit = n > 600 ? Math.min(rounds, 40) : n > 300 ? Math.min(rounds, 120) : rounds
  let best = 0
  let share = 2
  let idle = 0
  let told = 0
  for (let round = 0; round < limit; round++) {
    degree.fill(0)
    const total = joinSpecial(tree, grow(tree))
    if ((round + 1) * n * n > 4e6 * (told + 1)) {
      told++
      yield { stage: "cut order", done: round / limit, note: "lower bound" }
    }
    let prices = 0
    for (let i = 0; i < n; i++) prices += price[i]!
    const bound = total - 2 * prices
    if (bound > best + 1e-9) {
      best = bound
      idle = 0
    } else if (++idle > 8) {
      share /= 2
      idle = 0
    }
    let off = 0
    for (let i = 0; i < n; i++) off += (degree[i]! - 2) ** 2
    if (off === 0) break
    const step = (share * Math.max(reached - bound, reached * 1e-3)) / off
    // Part of the last direction damps the swing between two trees.
    for (let i = 0; i < n; i++) {
      price[i]! += step * (0.7 * (degree[i]! - 2) + 0.3 * before[i]!)
      before[i] = degree[i]! - 2
    }
  }
  return Math.min(best, reached)
}

interface Tree {
  readonly ends: Ends
  /** End of a stroke that each node stands for. */
  readonly node: Int32Array
  /** Other end of a node's stroke, −1 for a single point. */
  readonly mate: Int32Array
  readonly price: Float64Array
  readonly degree: Int32Array
  readonly key: Float64Array
  readonly parent: Int32Array
  readonly done: Uint8Array
  readonly special: number
}

const cost = ({ ends, node, price }: Tree, i: number, j: number): number =>
  endDistance(ends, node[i]!, node[j]!) + price[i]! + price[j]!

/** Cheapest tree over all but the special node; returns its cost. */
function grow(tree: Tree): number {
  const { mate, price, degree, key, parent, done, special } = tree
  const n = key.length
  key.fill(Number.POSITIVE_INFINITY)
  parent.fill(-1)
  done.fill(0)
  done[special] = 1
  const rest = mate[special]! >= 0 ? mate[special]! : special === 0 ? 1 : 0
  key[rest] = 0
  let total = 0
  let next = rest
  for (let added = 1; added < n; added++) {
    const v = next
    done[v] = 1
    if (parent[v]! >= 0) {
      degree[v]!++
      degree[parent[v]!]!++
      total += mate[v] === parent[v] ? price[v]! + price[parent[v]!]! : cost(tree, v, parent[v]!)
    }
    next = reach(tree, v)
  }
  return total
}

/** What the tree may be joined to by way of node v; returns the node that is now the nearest. */
function reach(tree: Tree, v: number): number {
  const { mate, key, parent, done } = tree
  let next = -1
  let least = Number.POSITIVE_INFINITY
  for (let w = 0; w < key.length; w++) {
    if (done[w] === 1) continue
    // The fixed edge always belongs to the tree.
    const c = mate[v] === w ? Number.NEGATIVE_INFINITY : cost(tree, v, w)
    if (c < key[w]!) {
      key[w] = c
      parent[w] = v
    }
    if (key[w]! < least) {
      least = key[w]!
      next = w
    }
  }
  return next
}

/** Two cheapest edges at the special node (its fixed edge is one of them if it has one); returns the whole cost. */
function joinSpecial(tree: Tree, grown: number): number {
  const { mate, price, degree, special } = tree
  let first = Number.POSITIVE_INFINITY
  let second = Number.POSITIVE_INFINITY
  let firstAt = -1
  let secondAt = -1
  for (let w = 0; w < degree.length; w++) {
    if (w === special) continue
    const c = mate[special] === w ? Number.NEGATIVE_INFINITY : cost(tree, special, w)
    if (c < first) {
      second = first
      secondAt = firstAt
      first = c
      firstAt = w
    } else if (c < second) {
      second = c
      secondAt = w
    }
  }
  let total = grown
  for (const w of [firstAt, secondAt]) {
    degree[w]!++
    degree[special]!++
    total += mate[special] === w ? price[special]! + price[w]! : cost(tree, special, w)
  }
  return total
}
