// Which hole is made with which tool: the drill of its size, the router where it is wide enough, or nothing.

import { drillPointLength } from "../0-ground/geometry/groove.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Board } from "../5-board/artefact.ts"

export interface BoardHole {
  readonly x: Mm
  readonly y: Mm
  readonly diameter: Mm
  /** `R3 pin 1`, `screw 2`. */
  readonly name: string
}

export interface DrillPlan {
  /** One entry a drill that is used, thinnest first. */
  readonly drilled: readonly { readonly drill: Mm; readonly holes: readonly BoardHole[] }[]
  readonly milled: readonly BoardHole[]
  readonly missing: readonly { readonly hole: BoardHole; readonly nearest: Mm | undefined }[]
}

/** Sizes closer than this are the same, mm. */
const sameSize = 0.005
/** A milled hole is at least this much wider than the router, so that chips get out (common practice, no source). */
const millingRoom = 0.2
/** Drill points are taken as 118°, the usual angle of small twist drills (from memory). */
const pointAngle = 118

/** Depth of a hole's tip below the copper: through the board by 0.4 mm, and by the whole point and 0.1 mm if that is more. */
export const drillDepth = (drill: Mm, thickness: Mm): Mm =>
  thickness + Math.max(0.4, drillPointLength(drill, pointAngle) + 0.1)

export function drillPlan(board: Board, drills: readonly Mm[], router: Mm): DrillPlan {
  const holes: BoardHole[] = [
    ...board.lands
      .filter((l) => l.hole > 0)
      .map((l) => ({ x: l.x, y: l.y, diameter: l.hole, name: `${l.ref} pin ${l.pin}` })),
    ...board.screws.map((s, i) => ({ x: s.x, y: s.y, diameter: s.diameter, name: `screw ${i + 1}` })),
  ]
  const sorted = [...drills].sort((a, b) => a - b)
  const drilled = sorted.map((drill) => ({ drill, holes: [] as BoardHole[] }))
  const milled: BoardHole[] = []
  const missing: { hole: BoardHole; nearest: Mm | undefined }[] = []
  for (const hole of holes) {
    const exact = drilled.find(({ drill }) => Math.abs(drill - hole.diameter) <= sameSize)
    if (exact) exact.holes.push(hole)
    else if (hole.diameter >= router + millingRoom) milled.push(hole)
    else {
      const nearest = sorted.reduce<Mm | undefined>(
        (best, d) =>
          best === undefined || Math.abs(d - hole.diameter) < Math.abs(best - hole.diameter) ? d : best,
        undefined,
      )
      missing.push({ hole, nearest })
    }
  }
  return { drilled: drilled.filter((d) => d.holes.length > 0), milled, missing }
}
