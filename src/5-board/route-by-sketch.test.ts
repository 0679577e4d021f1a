// Boards routed by sketch and ropes, judged by arithmetic of the test's own: clearance, one piece a net, links of sold
// lengths that neither cross nor stand on one another, on something's hole, over a body or at the edge.

import { describe, expect, test } from "vitest"
import { random } from "../0-ground/numbers/random.ts"
import { finish } from "../0-ground/progress.ts"
import { type Disc2, judgeCopper } from "./copper.testing.ts"
import { routeBySketch, usualSketching } from "./route-by-sketch.ts"
import type { Routed, RouteTask } from "./route-task.ts"
import { Sketch } from "./sketch-route.ts"

const clearance = 0.2636
type Spot = readonly [number, number]

/** A square board with lands at random places, two to four to a net, and some bodies that links keep off. */
function scattered(seed: number, nets: number, size: number): RouteTask {
  const rnd = random(seed)
  const lands: RouteTask["lands"][number][] = []
  const put = () => [7 + (size - 6) * rnd.next(), 7 + (size - 6) * rnd.next()] as const
  for (let net = 0; net < nets; net++)
    for (let k = 0; k < 2 + rnd.below(3); ) {
      const [x, y] = put()
      if (!lands.every((l) => Math.hypot(l.x - x, l.y - y) > 3)) continue
      if (Math.hypot(x - 4 - size / 2, y - 4 - size / 2) < 4) continue
      lands.push({ net, x, y, ax: x, ay: y, bx: x, by: y, r: 0.8, hole: 0.8 })
      k++
    }
  const bodies = Array.from({ length: 3 }, () => {
    const [x, y] = put()
    return [
      { x: x - 3, y: y - 1.5 },
      { x: x + 3, y: y - 1.5 },
      { x: x + 3, y: y + 1.5 },
      { x: x - 3, y: y + 1.5 },
    ]
  })
  const end = 4 + size
  return {
    outline: [
      { x: 4, y: 4 },
      { x: end, y: 4 },
      { x: end, y: end },
      { x: 4, y: end },
    ],
    lands,
    keepOuts: [{ x: 4 + size / 2, y: 4 + size / 2, r: 2 }],
    linkBarriers: bodies.flatMap((ring) =>
      ring.map((p, i) => {
        const q = ring[(i + 1) % 4]!
        return { ax: p.x, ay: p.y, bx: q.x, by: q.y, r: 0.5 }
      }),
    ),
    linkBarrierAreas: bodies,
    halfWidth: Array<number>(nets).fill(0.2),
    clearance,
    edge: 0.6,
    linkLand: { radius: 1, hole: 0.8 },
  }
}

const far = ([px, py]: Spot, [ax, ay]: Spot, [bx, by]: Spot): number => {
  const l = (bx - ax) ** 2 + (by - ay) ** 2
  const t = l === 0 ? 0 : Math.max(0, Math.min(1, ((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / l))
  return Math.hypot(px - ax - t * (bx - ax), py - ay - t * (by - ay))
}
const cross = (a: Spot, b: Spot, c: Spot, d: Spot) => {
  const side = (p: Spot, q: Spot, r: Spot) =>
    Math.sign((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]))
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0
}
const between = (a: Spot, b: Spot, c: Spot, d: Spot) =>
  cross(a, b, c, d) ? 0 : Math.min(far(a, c, d), far(b, c, d), far(c, a, b), far(d, a, b))
const spot = (p: { x: number; y: number }): Spot => [p.x, p.y]

function faults(task: RouteTask, routed: Routed): string[] {
  const out: string[] = []
  const shapes: Disc2[] = task.lands.map((l) => ({
    net: String(l.net),
    p: [l.ax, l.ay],
    q: [l.bx, l.by],
    r: l.r,
  }))
  const joins: [number, number][] = []
  const wires: (readonly [Spot, Spot])[] = []
  for (const [net, route] of routed.nets.entries()) {
    for (const path of route.paths)
      for (let i = 1; i < path.length; i++)
        shapes.push({ net: String(net), p: spot(path[i - 1]!), q: spot(path[i]!), r: task.halfWidth[net]! })
    for (const l of route.links) {
      joins.push([shapes.length, shapes.length + 1])
      for (const p of [spot(l.from), spot(l.to)])
        shapes.push({ net: String(net), p, q: p, r: task.linkLand.radius })
      wires.push([spot(l.from), spot(l.to)])
    }
  }
  const { gap, pair, broken } = judgeCopper(shapes, joins)
  if (gap < clearance - 1e-6) out.push(`${pair} ${gap} mm apart`)
  const open = broken.filter((net) => !routed.unrouted.includes(Number(net)))
  if (open.length > 0) out.push(`in pieces: ${open.join(" ")}`)
  const [low, high] = [4, task.outline[1]!.x]
  for (const s of shapes)
    for (const [x, y] of [s.p, s.q]) {
      if (Math.min(x - low, y - low, high - x, high - y) - s.r < task.edge - 1e-6)
        out.push(`${s.net} at the edge`)
      for (const k of task.keepOuts)
        if (far([k.x, k.y], s.p, s.q) - s.r < k.r - 1e-6) out.push(`${s.net} at a screw`)
    }
  const holes = task.lands.map((l): Spot => [l.x, l.y])
  for (const [i, [a, b]] of wires.entries()) {
    const pitches = Math.hypot(a[0] - b[0], a[1] - b[1]) / 2.54
    if (Math.abs(pitches - Math.round(pitches)) > 1e-6 || pitches > 40 / 2.54)
      out.push(`a link of ${pitches} pitches`)
    for (const [c, d] of wires.slice(0, i)) {
      if (between(a, b, c, d) < 1.5 - 1e-6) out.push("links touch")
      for (const p of [a, b])
        for (const q of [c, d])
          if (Math.hypot(p[0] - q[0], p[1] - q[1]) < 2 + clearance - 1e-6)
            out.push("link ends on one another")
    }
    for (const h of holes) if (far(h, a, b) < 0.4 + 0.8 - 1e-6) out.push("a link over a lead")
    for (const ring of task.linkBarrierAreas)
      if (ring.some((p, k) => between(a, b, spot(p), spot(ring[(k + 1) % ring.length]!)) < 0.5 - 1e-6))
        out.push("a link at a body")
  }
  return out
}

describe("scattered boards", () => {
  for (const [nets, size] of [
    [8, 34],
    [12, 44],
  ] as const)
    for (const seed of [1, 2])
      test(`${nets} nets on ${size} mm, seed ${seed}: clear, whole, links as they are sold`, () => {
        const task = scattered(seed, nets, size)
        const routed = finish(routeBySketch(task))
        expect(faults(task, routed)).toEqual([])
        expect(routed.unrouted.length).toBeLessThanOrEqual(1)
        expect(finish(routeBySketch(task))).toEqual(routed)
      })
})

test("the judge sees a track moved, a link moved and two links on one another", () => {
  const task = scattered(2, 8, 34)
  const routed = finish(routeBySketch(task))
  const net = routed.nets.findIndex((n) => n.paths.length > 0)
  const moved = routed.nets[net]!.paths.map((p) => p.map((q) => ({ x: q.x + 1.3, y: q.y })))
  const nets = routed.nets.with(net, { ...routed.nets[net]!, paths: moved })
  expect(faults(task, { ...routed, nets })).not.toEqual([])
  const link = { from: { x: 10, y: 10 }, to: { x: 20.16, y: 10 } }
  const twice = routed.nets.with(net, { ...routed.nets[net]!, links: [link, link] })
  expect(faults(task, { ...routed, nets: twice })).toContain("link ends on one another")
})

test("a gap just wide enough for two tracks lets two through, and a third goes by a link or round", () => {
  // A wall of dead lands from edge to edge with one gap of 2 tracks; three nets have a land on either side.
  const lands: RouteTask["lands"][number][] = []
  const add = (net: number, x: number, y: number) =>
    lands.push({ net, x, y, ax: x, ay: y, bx: x, by: y, r: 0.8, hole: 0.8 })
  const two = 1.6 + 2 * 0.4 + 3 * clearance + 0.05
  for (let y = 5.2; y < 16; y += 1.9) add(-1, 20, y)
  for (let y = lands[lands.length - 1]!.y + two; y < 36; y += 1.9) add(-1, 20, y)
  for (let n = 0; n < 3; n++) {
    add(n, 10, 12 + 4 * n)
    add(n, 30, 12 + 4 * n)
  }
  const task: RouteTask = { ...scattered(1, 0, 31), lands, keepOuts: [], halfWidth: [0.2, 0.2, 0.2] }
  expect(new Sketch(task).run(200, 1).open).toBe(1)
  const routed = finish(routeBySketch({ ...task, linkBarriers: [], linkBarrierAreas: [] }, usualSketching))
  const told = faults({ ...task, linkBarriers: [], linkBarrierAreas: [] }, routed)
  // The wall stands at the edge, and is many pieces.
  expect(told.filter((f) => !/^-1 at the edge|^in pieces: -1$/.test(f))).toEqual([])
  expect([routed.links, routed.unrouted]).toEqual([1, []])
})
