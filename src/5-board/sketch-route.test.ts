// The sketch against graphs whose fewest links are known, and against its own promises on random boards:
// lines of different nets never cross (judged from the coordinates alone) and no gap holds more than it has room for.

import { describe, expect, test } from "vitest"
import { type Box, boundingBox } from "../0-ground/geometry/polygon.ts"
import { segmentsMeet } from "../0-ground/geometry/segment.ts"
import { random } from "../0-ground/numbers/random.ts"
import { graphBoard, knownGraphs } from "./graphs.testing.ts"
import type { RouteTask } from "./route-task.ts"
import { Sketch } from "./sketch-route.ts"

describe("connections left open on point pins are the skewness", () => {
  for (const graph of knownGraphs)
    test(`${graph.name}: ${graph.skewness}`, () => {
      let best = Number.POSITIVE_INFINITY
      for (let placement = 1; placement <= 12 && best > graph.skewness; placement++) {
        const { open } = new Sketch(graphBoard(graph, placement)).run(400, placement)
        // Fewer would be a planar drawing of a graph that has none.
        expect(open).toBeGreaterThanOrEqual(graph.skewness)
        best = Math.min(best, open)
      }
      expect(best).toBe(graph.skewness)
    })
})

function scattered(seed: number): RouteTask {
  const rnd = random(seed)
  const lands: RouteTask["lands"][number][] = []
  for (let net = 0; net < 30; net++)
    for (let k = 0; k < 2 + rnd.below(3); ) {
      const [x, y] = [7 + 64 * rnd.next(), 7 + 64 * rnd.next()]
      if (!lands.every((l) => Math.hypot(l.x - x, l.y - y) > 3.2)) continue
      lands.push({ net, x, y, ax: x, ay: y, bx: x, by: y, r: 0.8, hole: 0.8 })
      k++
    }
  return {
    ...graphBoard({ name: "", n: 0, edges: [], skewness: 0 }, 2, 70),
    lands,
    halfWidth: Array(30).fill(0.2),
  }
}

test("lines of different nets never meet, and every connection not open is there", () => {
  for (const seed of [1, 2, 3, 4]) {
    const task = scattered(seed)
    const sketch = new Sketch(task)
    const { open } = sketch.run(200, seed)
    const lines = task.halfWidth.map((_, n) => sketch.plan(n))
    const wanted = task.lands.length - task.halfWidth.length
    expect(lines.flat().length).toBe(wanted - open)
    const box = (l: readonly { x: number; y: number }[]) => boundingBox(l)
    const apart = (p: Box, q: Box) => p.maxX < q.minX || q.maxX < p.minX || p.maxY < q.minY || q.maxY < p.minY
    let meetings = 0
    for (let a = 0; a < lines.length; a++)
      for (let b = 0; b < a; b++)
        for (const p of lines[a]!)
          for (const q of lines[b]!) {
            if (apart(box(p.line), box(q.line))) continue
            for (let i = 1; i < p.line.length; i++)
              for (let j = 1; j < q.line.length; j++)
                if (segmentsMeet(p.line[i - 1]!, p.line[i]!, q.line[j - 1]!, q.line[j]!)) meetings++
          }
    expect(meetings).toBe(0)
  }
})

test("connections that still fit are taken over when only a land's net changes", () => {
  const task = scattered(9)
  const first = new Sketch(task)
  first.run(100, 1)
  const again = new Sketch(task, first.mesh, first)
  again.adopt(first)
  expect(again.result().open).toBe(first.result().open)
  for (const n of task.halfWidth.keys()) expect(again.plan(n)).toEqual(first.plan(n))
})
