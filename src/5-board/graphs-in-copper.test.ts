// Graphs whose fewest links are known, in finished copper: sketched, routed on the grid with real links, and never with
// fewer than theory allows. npm run bench -- graphs does all 29.

import { expect, test } from "vitest"
import { finish } from "../0-ground/progress.ts"
import { graphBoard, knownGraphs } from "./graphs.testing.ts"
import { routeBoard, usualRouting } from "./route-board.ts"
import { Sketch } from "./sketch-route.ts"

test.each(["K5", "K6", "K7", "K3,3", "Petersen"])(
  "%s is routed with exactly its skewness of links",
  (name) => {
    const graph = knownGraphs.find((g) => g.name === name)!
    let best = Number.POSITIVE_INFINITY
    for (let placement = 1; placement <= 6 && best > graph.skewness; placement++) {
      const task = graphBoard(graph, placement)
      const sketch = new Sketch(task)
      if (sketch.run(400, placement).open > graph.skewness) continue
      const plans = graph.edges.map((_, n) => sketch.plan(n))
      const routed = finish(
        routeBoard(task, { ...usualRouting, effort: 4_000_000, plans, needed: graph.skewness }),
      )
      if (routed.unrouted.length > 0) continue
      expect(routed.links).toBeGreaterThanOrEqual(graph.skewness)
      best = Math.min(best, routed.links)
    }
    expect(best).toBe(graph.skewness)
  },
  120_000,
)
