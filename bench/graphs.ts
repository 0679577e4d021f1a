// Links on graphs whose fewest are known, in copper: sketched, then routed on the grid with real links.

import { finish } from "../src/0-ground/progress.ts"
import { graphBoard, knownGraphs } from "../src/5-board/graphs.testing.ts"
import { routeBoard, usualRouting } from "../src/5-board/route-board.ts"
import { Sketch } from "../src/5-board/sketch-route.ts"

const only = process.argv[2]
let exact = 0
let tried = 0
for (const graph of knownGraphs) {
  if (only !== undefined && graph.name !== only) continue
  tried++
  let best = Number.POSITIVE_INFINITY
  let used = 0
  for (const placement of [1, 2, 3, -1, -2, -3, -4, 4, 5, 6]) {
    if (best <= graph.skewness) break
    const task = graphBoard(graph, placement)
    const sketch = new Sketch(task)
    if (sketch.run(400, placement).open > graph.skewness) continue
    const plans = graph.edges.map((_, n) => sketch.plan(n))
    const options = { ...usualRouting, effort: 4_000_000, plans, needed: graph.skewness }
    const routed = finish(routeBoard(task, options))
    if (routed.unrouted.length > 0 || routed.links >= best) continue
    best = routed.links
    used = placement
  }
  if (best === graph.skewness) exact++
  console.log(
    `${graph.name.padEnd(28)} fewest ${String(graph.skewness).padStart(2)}  routed with ${best}  (placement ${used})`,
  )
}
console.log(`${exact} of ${tried} graphs with exactly the fewest links`)
