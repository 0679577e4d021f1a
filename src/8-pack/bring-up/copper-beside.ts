// Which copper lies beside a land across one groove: where solder that runs off the land ends up.

import { cross } from "../../0-ground/geometry/segment.ts"
import type { Mm } from "../../0-ground/units/brand.ts"
import type { Land } from "../../5-board/artefact.ts"
import type { BoardCopper } from "../../6-copper/artefact.ts"

/** Edges of all pieces of copper of a board in flat arrays, cut short, each with the piece it belongs to. */
export interface CopperEdges {
  readonly count: number
  readonly ax: Float64Array
  readonly ay: Float64Array
  readonly bx: Float64Array
  readonly by: Float64Array
  readonly island: Int32Array
}

/** No edge is longer, mm: an edge is seen or hidden as a whole. */
const longest = 0.3

export function copperEdges({ islands }: BoardCopper): CopperEdges {
  const at: number[] = []
  const of: number[] = []
  for (const [k, { ring, holes }] of islands.entries())
    for (const r of [ring, ...(holes ?? [])])
      for (const [i, to] of r.entries()) {
        const from = r[i === 0 ? r.length - 1 : i - 1]!
        const pieces = Math.max(1, Math.ceil(Math.hypot(to.x - from.x, to.y - from.y) / longest))
        for (let p = 0; p < pieces; p++) {
          const [s, t] = [p / pieces, (p + 1) / pieces]
          at.push(from.x + s * (to.x - from.x), from.y + s * (to.y - from.y))
          at.push(from.x + t * (to.x - from.x), from.y + t * (to.y - from.y))
          of.push(k)
        }
      }
  const count = of.length
  const column = (c: number) => Float64Array.from({ length: count }, (_, i) => at[4 * i + c]!)
  return { count, ax: column(0), ay: column(1), bx: column(2), by: column(3), island: Int32Array.from(of) }
}

/** A land as the middle line of its stadium, with its radius. */
export interface Stadium {
  readonly radius: Mm
  readonly from: { readonly x: Mm; readonly y: Mm }
  readonly to: { readonly x: Mm; readonly y: Mm }
}

export function stadiumOf(land: Land): Stadium {
  const half = Math.abs(land.w - land.h) / 2
  const turn = ((land.rotation + (land.w >= land.h ? 0 : 90)) * Math.PI) / 180
  const [dx, dy] = [half * Math.cos(turn), half * Math.sin(turn)]
  return {
    radius: Math.min(land.w, land.h) / 2,
    from: { x: land.x - dx, y: land.y - dy },
    to: { x: land.x + dx, y: land.y + dy },
  }
}

/**
 * Pieces of copper that solder on `land` can run to without crossing copper of a third: piece → distance from the
 * land's edge, mm, at most `reach`. `isOwn`: pieces the land itself belongs to; `isThin`: pieces joined to nothing,
 * which solder runs over as over bare board.
 */
export function copperBeside(
  edges: CopperEdges,
  land: Stadium,
  reach: Mm,
  isOwn: (island: number) => boolean,
  isThin: (island: number) => boolean,
): Map<number, Mm> {
  const { ax, ay, bx, by, island } = edges
  const { from, to, radius } = land
  const far = radius + reach
  const [left, right] = [Math.min(from.x, to.x) - far, Math.max(from.x, to.x) + far]
  const [down, up] = [Math.min(from.y, to.y) - far, Math.max(from.y, to.y) + far]
  const near: { readonly k: number; readonly gap: number; readonly p: XY; readonly q: XY }[] = []
  for (let k = 0; k < edges.count; k++) {
    if (Math.min(ax[k]!, bx[k]!) > right || Math.max(ax[k]!, bx[k]!) < left) continue
    if (Math.min(ay[k]!, by[k]!) > up || Math.max(ay[k]!, by[k]!) < down) continue
    if (isOwn(island[k]!)) continue
    const [p, q] = nearest(from, to, { x: ax[k]!, y: ay[k]! }, { x: bx[k]!, y: by[k]! })
    const gap = Math.hypot(p.x - q.x, p.y - q.y) - radius
    if (gap <= reach) near.push({ k, gap, p, q })
  }
  near.sort((a, b) => a.gap - b.gap || a.k - b.k)
  const found = new Map<number, number>()
  for (const { k, gap, p, q } of near) {
    const target = island[k]!
    if (found.has(target)) continue
    const hidden = near.some((o) => {
      if (o.gap >= gap) return false
      const other = island[o.k]!
      if (other === target || isThin(other)) return false
      return crosses(p, q, { x: ax[o.k]!, y: ay[o.k]! }, { x: bx[o.k]!, y: by[o.k]! })
    })
    if (!hidden) found.set(target, Math.max(0, gap))
  }
  return found
}

interface XY {
  readonly x: number
  readonly y: number
}

/** The nearest points of two segments that do not cross. */
function nearest(a: XY, b: XY, c: XY, d: XY): [XY, XY] {
  let best: [XY, XY] = [a, c]
  let least = Number.POSITIVE_INFINITY
  for (const [p, q] of [
    [a, foot(a, c, d)],
    [b, foot(b, c, d)],
    [foot(c, a, b), c],
    [foot(d, a, b), d],
  ] as const) {
    const length = Math.hypot(p.x - q.x, p.y - q.y)
    if (length < least) [least, best] = [length, [p, q]]
  }
  return best
}

function foot(p: XY, a: XY, b: XY): XY {
  const [dx, dy] = [b.x - a.x, b.y - a.y]
  const length2 = dx * dx + dy * dy
  const t = length2 === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / length2))
  return { x: a.x + t * dx, y: a.y + t * dy }
}

const crosses = (a: XY, b: XY, c: XY, d: XY) =>
  cross(a, b, c) > 0 !== cross(a, b, d) > 0 && cross(c, d, a) > 0 !== cross(c, d, b) > 0
