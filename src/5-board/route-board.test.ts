// The router against published least link counts and against an independent brute-force judge of copper.

import { expect, test } from "vitest"
import { random } from "../0-ground/numbers/random.ts"
import { finish } from "../0-ground/progress.ts"
import { type Disc2, judgeCopper } from "./copper.testing.ts"
import { routeBoard, usualRouting } from "./route-board.ts"
import type { Routed, RouteTask } from "./route-task.ts"
import { tidyTracks } from "./tidy-tracks.ts"

const clearance = 0.2636
const rules = { clearance, edge: 0.6, linkLand: { radius: 1, hole: 0.8 } }
const nothing = { keepOuts: [], linkBarriers: [], linkBarrierAreas: [] }
const rectangle = (w: number, h: number) => [
  { x: 4, y: 4 },
  { x: 4 + w, y: 4 },
  { x: 4 + w, y: 4 + h },
  { x: 4, y: 4 + h },
]

// Fewest links = skewness: (n−3)(n−4)/2 for K_n and (m−2)(n−2) for K_m,n, from 3n−6 and 2(m+n)−4 (textbook; Euler).
// Each vertex is a star part whose pin order is free: a disc nobody crosses, with starting points all round it.
const graphs = [
  { name: "K5", vertices: 5, links: 1, edge: () => true },
  { name: "K6", vertices: 6, links: 3, edge: () => true },
  { name: "K7", vertices: 7, links: 6, edge: () => true },
  { name: "K3,3", vertices: 6, links: 1, edge: (a: number, b: number) => a < 3 && b >= 3 },
]
for (const graph of graphs)
  for (let placement = 0; placement < 4; placement++)
    test(`${graph.name} needs exactly ${graph.links} links, placement ${placement}`, () => {
      const rnd = random(100 + placement)
      const at: { x: number; y: number }[] = []
      while (at.length < graph.vertices) {
        const a = (at.length * 2 * Math.PI) / graph.vertices
        const p =
          placement === 0
            ? { x: 44 + 28 * Math.cos(a), y: 44 + 28 * Math.sin(a) }
            : { x: 14 + 60 * rnd.next(), y: 14 + 60 * rnd.next() }
        if (at.every((q) => Math.hypot(q.x - p.x, q.y - p.y) > 15)) at.push(p)
      }
      const ring = (p: { x: number; y: number }) =>
        Array.from({ length: 90 }, (_, i) => ({
          x: p.x + 3.5 * Math.cos((i * Math.PI) / 45),
          y: p.y + 3.5 * Math.sin((i * Math.PI) / 45),
        }))
      const edges: [number, number][] = []
      for (let i = 0; i < graph.vertices; i++)
        for (let j = i + 1; j < graph.vertices; j++) if (graph.edge(i, j)) edges.push([i, j])
      const routed = finish(
        routeBoard(
          {
            ...rules,
            ...nothing,
            outline: rectangle(80, 80),
            lands: [],
            terminals: edges.flatMap(([a, b], net) => [
              { net, points: ring(at[a]!) },
              { net, points: ring(at[b]!) },
            ]),
            keepOuts: at.map((p) => ({ ...p, r: 3 })),
            halfWidth: edges.map(() => 0.2),
          },
          { ...usualRouting, needed: graph.links },
        ),
      )
      expect(routed.unrouted).toEqual([])
      expect(routed.links).toBe(graph.links)
    })

/** Lands at random places off the grid, two to four to a net. */
function scattered(seed: number, nets: number, size: number): RouteTask {
  const rnd = random(seed)
  const lands: RouteTask["lands"][number][] = []
  const free = (x: number, y: number) => lands.every((l) => Math.hypot(l.x - x, l.y - y) > 3.6)
  for (let net = 0; net < nets; net++)
    for (let k = 0; k < 2 + rnd.below(3); ) {
      const x = 7 + (size - 6) * rnd.next()
      const y = 7 + (size - 6) * rnd.next()
      if (!free(x, y)) continue
      const a = rnd.below(8) * (Math.PI / 4)
      const half = rnd.below(2) * 0.4
      lands.push({
        net,
        x,
        y,
        ax: x - half * Math.cos(a),
        ay: y - half * Math.sin(a),
        bx: x + half * Math.cos(a),
        by: y + half * Math.sin(a),
        r: 0.8,
        hole: 0.8,
      })
      k++
    }
  return { ...rules, ...nothing, outline: rectangle(size, size), lands, halfWidth: Array(nets).fill(0.2) }
}

function shapesOf(task: RouteTask, routed: Routed) {
  const shapes: Disc2[] = task.lands.map((l) => ({
    net: String(l.net),
    p: [l.ax, l.ay],
    q: [l.bx, l.by],
    r: l.r,
  }))
  const joins: [number, number][] = []
  for (const t of tidyTracks(
    task,
    routed,
    task.halfWidth.map(() => 0.7),
  ))
    for (let i = 1; i < t.points.length; i++) {
      const a = t.points[i - 1]!
      const b = t.points[i]!
      shapes.push({ net: String(t.net), p: [a.x, a.y], q: [b.x, b.y], r: t.width / 2 })
    }
  for (const [net, route] of routed.nets.entries())
    for (const l of route.links) {
      joins.push([shapes.length, shapes.length + 1])
      for (const p of [l.from, l.to]) shapes.push({ net: String(net), p: [p.x, p.y], q: [p.x, p.y], r: 1 })
    }
  return { shapes, joins }
}

for (const seed of [1, 2, 3])
  test(`keeps clearance and joins every net on a scattered board, seed ${seed}`, () => {
    const task = scattered(seed, 14, 46)
    const routed = finish(routeBoard(task))
    expect(routed.unrouted).toEqual([])
    const { shapes, joins } = shapesOf(task, routed)
    const judged = judgeCopper(shapes, joins)
    expect(judged.broken).toEqual([])
    expect(judged.gap).toBeGreaterThanOrEqual(clearance - 1e-6)
    for (const r of routed.nets)
      for (const l of r.links) {
        const length = Math.hypot(l.to.x - l.from.x, l.to.y - l.from.y)
        expect(length).toBeGreaterThanOrEqual(2.54 - 1e-6)
        expect(length).toBeLessThanOrEqual(40 + 1e-6)
      }
  })

for (const quarter of [0, 1, 2, 3])
  test(`a board turned ${90 * quarter}° still routes whole`, () => {
    const task = scattered(7, 12, 44)
    const spin = (x: number, y: number): [number, number] => {
      let p: [number, number] = [x, y]
      for (let i = 0; i < quarter; i++) p = [52 - p[1], p[0]]
      return p
    }
    const lands = task.lands.map((l) => {
      const [x, y] = spin(l.x, l.y)
      const [ax, ay] = spin(l.ax, l.ay)
      const [bx, by] = spin(l.bx, l.by)
      return { ...l, x, y, ax, ay, bx, by }
    })
    const turned = { ...task, lands }
    const routed = finish(routeBoard(turned))
    expect(routed.unrouted).toEqual([])
    const { shapes, joins } = shapesOf(turned, routed)
    expect(judgeCopper(shapes, joins).gap).toBeGreaterThanOrEqual(clearance - 1e-6)
  })

test("a track of 0.4 mm passes between two pins 2.54 mm apart with lands 1.6 mm wide", () => {
  // A wall of pins from edge to edge; the only way through is a pin gap.
  const lands: RouteTask["lands"][number][] = []
  const add = (net: number, x: number, y: number) =>
    lands.push({ net, x, y, ax: x - 0.4, ay: y, bx: x + 0.4, by: y, r: 0.8, hole: 0.8 })
  for (let y = 5.08; y < 25; y += 2.54) add(-1, 15.24, y)
  add(0, 8.128, 15.24)
  add(0, 22.352, 15.24)
  const routed = finish(
    routeBoard({ ...rules, ...nothing, outline: rectangle(22, 22), lands, halfWidth: [0.2] }),
  )
  expect(routed.unrouted).toEqual([])
  expect(routed.links).toBe(0)
})

test("says which net is open when there is no way, and leaves the others whole", () => {
  const lands: RouteTask["lands"][number][] = []
  const add = (net: number, x: number, y: number, r = 0.8) =>
    lands.push({ net, x, y, ax: x, ay: y, bx: x, by: y, r, hole: 0.8 })
  // Net 0 sits inside a closed ring of dead copper too tight for a link's land.
  add(0, 14, 14)
  for (let i = 0; i < 14; i++)
    add(-1, 14 + 2.9 * Math.cos((i * Math.PI) / 7), 14 + 2.9 * Math.sin((i * Math.PI) / 7))
  add(0, 26, 26)
  add(1, 6, 26)
  add(1, 26, 6)
  const routed = finish(
    routeBoard({ ...rules, ...nothing, outline: rectangle(26, 26), lands, halfWidth: [0.2, 0.2] }),
  )
  expect(routed.unrouted).toEqual([0])
  expect(routed.nets[1]!.complete).toBe(true)
})
