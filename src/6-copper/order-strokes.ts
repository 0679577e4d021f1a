// Strokes and holes in cutting order: from the origin through all of them and back to it with little travel.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Work } from "../0-ground/progress.ts"
import type { Groove } from "./artefact.ts"
import { travelBound } from "./order-bound.ts"
import { orderPasses } from "./order-passes.ts"

/** Strokes in cutting order and direction, from the origin and back to it; one that closes keeps its direction. */
export function* orderStrokes(
  strokes: readonly (readonly Point[])[],
  seed: number,
): Work<{ grooves: Groove[]; travel: number; bound: number }> {
  const xy = new Float64Array(4 * (strokes.length + 1))
  strokes.forEach((points, s) => {
    const a = points[0]!
    const b = points[points.length - 1]!
    xy.set([a.x, a.y, b.x, b.y], 4 * (s + 1))
  })
  const { order, reversed, travel } = yield* orderPasses({ xy }, seed)
  yield { stage: "cut order", done: 1 }
  const bound = yield* travelBound({ xy }, travel)
  const grooves = order
    .map((s, k) => ({ s, k }))
    .filter(({ s }) => s > 0)
    .map(({ s, k }) => {
      const points = [...strokes[s - 1]!]
      const [a, b] = [points[0]!, points[points.length - 1]!]
      return { points: reversed[k] && (a.x !== b.x || a.y !== b.y) ? points.reverse() : points }
    })
  return { grooves, travel, bound }
}

/** Whatever lies at one place, in the same way. */
export function* orderPlaces<T extends Point>(places: readonly T[], seed: number): Work<T[]> {
  const xy = new Float64Array(4 * (places.length + 1))
  places.forEach(({ x, y }, i) => {
    xy.set([x, y, x, y], 4 * (i + 1))
  })
  const { order } = yield* orderPasses({ xy }, seed)
  return order.filter((s) => s > 0).map((s) => places[s - 1]!)
}
