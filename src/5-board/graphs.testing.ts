// Graphs whose fewest links are known, as boards: each vertex a star part whose pin order is free (a disc nobody
// crosses, with starting points all round it), each edge a net of two pins. Without a link the nets form a planar
// subgraph, so the fewest links are the skewness: the fewest edges whose removal leaves a planar graph.
// Values: (n−3)(n−4)/2 for K_n and (m−2)(n−2) for K_m,n from Euler's formula (textbook); the others from the
// reference data (general graph library: Euler bound met by a planar subgraph, or exhaustive search).

import { pointToSegment, segmentsMeet } from "../0-ground/geometry/segment.ts"
import { random } from "../0-ground/numbers/random.ts"
import type { RouteTask } from "./route-task.ts"

export interface KnownGraph {
  readonly name: string
  readonly n: number
  readonly edges: readonly (readonly [number, number])[]
  readonly skewness: number
}

type Edge = [number, number]

/** Every pair of vertices in different classes. */
function partite(...sizes: number[]): { n: number; edges: Edge[] } {
  const of = sizes.flatMap((k, i) => Array<number>(k).fill(i))
  const edges: Edge[] = []
  for (let a = 0; a < of.length; a++)
    for (let b = a + 1; b < of.length; b++) if (of[a] !== of[b]) edges.push([a, b])
  return { n: of.length, edges }
}

const complete = (n: number) => partite(...Array<number>(n).fill(1))

/** Generalised Petersen graph: outer ring, spokes, inner ring by steps of k. */
function petersen(n: number, k: number): { n: number; edges: Edge[] } {
  const edges: Edge[] = []
  for (let i = 0; i < n; i++) edges.push([i, (i + 1) % n], [i, n + i], [n + i, n + ((i + k) % n)])
  return { n: 2 * n, edges }
}

/** A ring of n with chords by the repeated list of steps (LCF notation). */
function ringed(n: number, steps: readonly number[]): { n: number; edges: Edge[] } {
  const edges: Edge[] = []
  const seen = new Set<string>()
  const add = (a: number, b: number) => {
    const key = `${Math.min(a, b)} ${Math.max(a, b)}`
    if (!seen.has(key)) edges.push([a, b])
    seen.add(key)
  }
  for (let i = 0; i < n; i++) {
    add(i, (i + 1) % n)
    add(i, (i + steps[i % steps.length]! + n) % n)
  }
  return { n, edges }
}

function cube(d: number): { n: number; edges: Edge[] } {
  const edges: Edge[] = []
  for (let i = 0; i < 1 << d; i++)
    for (let b = 0; b < d; b++) if (!((i >> b) & 1)) edges.push([i, i | (1 << b)])
  return { n: 1 << d, edges }
}

function grid(w: number, h: number): { n: number; edges: Edge[] } {
  const edges: Edge[] = []
  for (let r = 0; r < h; r++)
    for (let c = 0; c < w; c++) {
      if (c + 1 < w) edges.push([w * r + c, w * r + c + 1])
      if (r + 1 < h) edges.push([w * r + c, w * (r + 1) + c])
    }
  return { n: w * h, edges }
}

export const knownGraphs: readonly KnownGraph[] = [
  { name: "K4", ...complete(4), skewness: 0 },
  { name: "K5", ...complete(5), skewness: 1 },
  { name: "K6", ...complete(6), skewness: 3 },
  { name: "K7", ...complete(7), skewness: 6 },
  { name: "K8", ...complete(8), skewness: 10 },
  { name: "K9", ...complete(9), skewness: 15 },
  { name: "K10", ...complete(10), skewness: 21 },
  { name: "K3,3", ...partite(3, 3), skewness: 1 },
  { name: "K3,4", ...partite(3, 4), skewness: 2 },
  { name: "K4,4", ...partite(4, 4), skewness: 4 },
  { name: "K3,5", ...partite(3, 5), skewness: 3 },
  { name: "K4,5", ...partite(4, 5), skewness: 6 },
  { name: "K5,5", ...partite(5, 5), skewness: 9 },
  { name: "K2,7", ...partite(2, 7), skewness: 0 },
  { name: "Petersen", ...petersen(5, 2), skewness: 2 },
  { name: "Heawood", ...ringed(14, [5, -5]), skewness: 3 },
  { name: "cube Q3", ...cube(3), skewness: 0 },
  { name: "cube Q4", ...cube(4), skewness: 4 },
  { name: "Möbius–Kantor", ...petersen(8, 3), skewness: 3 },
  { name: "Pappus", ...ringed(18, [5, 7, -7, 7, -7, -5]), skewness: 3 },
  { name: "Desargues", ...petersen(10, 3), skewness: 4 },
  { name: "octahedron K2,2,2", ...partite(2, 2, 2), skewness: 0 },
  { name: "dodecahedron", ...petersen(10, 2), skewness: 0 },
  { name: "Wagner", ...ringed(8, [4]), skewness: 1 },
  { name: "K1,2,3", ...partite(1, 2, 3), skewness: 1 },
  { name: "K1,1,1,1,2", ...partite(1, 1, 1, 1, 2), skewness: 2 },
  { name: "K3,3,1", ...partite(3, 3, 1), skewness: 2 },
  { name: "ring of 7 with chords by 2", ...ringed(7, [2]), skewness: 1 },
  { name: "grid 5 × 5", ...grid(5, 5), skewness: 0 },
]

interface Spot {
  readonly x: number
  readonly y: number
}

/**
 * The graph on a square board: placement 1 on a circle, others scattered by their number; negative ones spread out so
 * that few straight edges cross, which is what placing a board does for its router.
 */
export function graphBoard(graph: KnownGraph, placement: number, size = 140): RouteTask {
  const { n, edges } = graph
  const rnd = random(77 * placement)
  const at: Spot[] = placement < 0 ? spreadOut(graph, -placement, size) : []
  const middle = 4 + size / 2
  if (placement === 1)
    for (let i = 0; i < n; i++) {
      const a = (2 * Math.PI * i) / n
      at.push({ x: middle + 0.36 * size * Math.cos(a), y: middle + 0.36 * size * Math.sin(a) })
    }
  while (at.length < n) {
    const p = { x: 14 + (size - 20) * rnd.next(), y: 14 + (size - 20) * rnd.next() }
    if (at.every((q) => Math.hypot(q.x - p.x, q.y - p.y) > 13)) at.push(p)
  }
  const rim = (p: Spot) =>
    Array.from({ length: 60 }, (_, i) => ({
      x: p.x + 2.5 * Math.cos((i * Math.PI) / 30),
      y: p.y + 2.5 * Math.sin((i * Math.PI) / 30),
    }))
  const end = 4 + size
  return {
    outline: [
      { x: 4, y: 4 },
      { x: end, y: 4 },
      { x: end, y: end },
      { x: 4, y: end },
    ],
    lands: [],
    terminals: edges.flatMap(([a, b], net) => [
      { net, points: rim(at[a]!) },
      { net, points: rim(at[b]!) },
    ]),
    keepOuts: at.map((p) => ({ ...p, r: 2 })),
    linkBarriers: [],
    linkBarrierAreas: [],
    halfWidth: edges.map(() => 0.2),
    clearance: 0.2636,
    edge: 0.6,
    linkLand: { radius: 1, hole: 0.8 },
  }
}

/** Annealing over places: crossings of straight edges, and edges that pass too near a vertex. */
function spreadOut({ n, edges }: KnownGraph, seed: number, size: number): Spot[] {
  const rnd = random(991 * seed + n)
  const apart = Math.min(20, (0.62 * size) / Math.sqrt(n))
  const near = 7
  const anywhere = () => ({ x: 14 + (size - 20) * rnd.next(), y: 14 + (size - 20) * rnd.next() })
  const at: Spot[] = Array.from({ length: n }, (_, i) => {
    const a = (2 * Math.PI * i) / n
    return { x: 4 + size / 2 + 0.36 * size * Math.cos(a), y: 4 + size / 2 + 0.36 * size * Math.sin(a) }
  })
  const ofVertex = at.map((_, v) => edges.flatMap((e, k) => (e.includes(v) ? [k] : [])))
  const cost = (v: number): number => {
    let sum = 0
    for (const [w, p] of at.entries())
      if (w !== v && Math.hypot(p.x - at[v]!.x, p.y - at[v]!.y) < apart) sum += 4
    for (const [k, [a, b]] of edges.entries()) {
      if (a !== v && b !== v) {
        if (pointToSegment(at[v]!, at[a]!, at[b]!) < near) sum += 0.7
        continue
      }
      for (const [w, p] of at.entries())
        if (w !== a && w !== b && pointToSegment(p, at[a]!, at[b]!) < near) sum += 0.7
      for (const [m, [c, d]] of edges.entries()) {
        if (m === k || a === c || a === d || b === c || b === d) continue
        if (segmentsMeet(at[a]!, at[b]!, at[c]!, at[d]!)) sum += ofVertex[v]!.includes(m) ? 0.5 : 1
      }
    }
    return sum
  }
  const steps = 9000
  for (let s = 0; s < steps; s++) {
    const left = 1 - s / steps
    const v = rnd.below(n)
    const was = at[v]!
    const before = cost(v)
    const p = anywhere()
    const t = Math.max(0.06, left)
    at[v] = rnd.below(3) === 0 ? p : { x: was.x + t * (p.x - was.x), y: was.y + t * (p.y - was.y) }
    if (cost(v) - before > -1.5 * left ** 2 * Math.log(1 - rnd.next())) at[v] = was
  }
  return at
}
