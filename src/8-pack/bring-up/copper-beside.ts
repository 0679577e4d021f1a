// Which copper lies beside a land across one groove: where solder that runs off the land ends up.

import { cross, spanToSpan } from "../../0-ground/geometry/segment.ts"
import type { Mm } from "../../0-ground/units/brand.ts"
import type { Land } from "../../5-board/artefact.ts"
import type { BoardCopper } from "../../6-copper/artefact.ts"

/** Edges of all pieces of copper of a board in flat arrays, cut short, each with the piece it belongs to. */
export interface CopperEdges {
  readonly ax: Float64Array
  readonly ay: Float64Array
  readonly bx: Float64Array
  readonly by: Float64Array
  readonly island: Int32Array
  /** Edges by where they begin, in squares of `square` mm. */
  readonly at: ReadonlyMap<number, readonly number[]>
}

/** No edge is longer, mm: an edge is seen or hidden as a whole. */
const longest = 0.3
const square = 2
/** A square by its column and row; boards are far smaller than a thousand squares. */
const squareOf = (column: number, row: number) => column * 4096 + row + 1024

export function copperEdges({ islands }: BoardCopper): CopperEdges {
  const at: number[] = []
  const of: number[] = []
  for (const [k, { ring, holes }] of islands.entries())
    for (const r of [ring, ...(holes ?? [])])
      for (let i = 0; i < r.length; i++) {
        const to = r[i]!
        const from = r[i === 0 ? r.length - 1 : i - 1]!
        const length = Math.sqrt((to.x - from.x) ** 2 + (to.y - from.y) ** 2)
        const pieces = Math.max(1, Math.ceil(length / longest))
        for (let p = 0; p < pieces; p++) {
          const s = p / pieces
          const t = (p + 1) / pieces
          at.push(from.x + s * (to.x - from.x), from.y + s * (to.y - from.y))
          at.push(from.x + t * (to.x - from.x), from.y + t * (to.y - from.y))
          of.push(k)
        }
      }
  const count = of.length
  const columns = [0, 1, 2, 3].map(() => new Float64Array(count))
  const squares = new Map<number, number[]>()
  for (let i = 0; i < count; i++) {
    for (let c = 0; c < 4; c++) columns[c]![i] = at[4 * i + c]!
    const key = squareOf(Math.floor(at[4 * i]! / square), Math.floor(at[4 * i + 1]! / square))
    const there = squares.get(key)
    if (there) there.push(i)
    else squares.set(key, [i])
  }
  const [ax, ay, bx, by] = columns as [Float64Array, Float64Array, Float64Array, Float64Array]
  return { ax, ay, bx, by, island: Int32Array.from(of), at: squares }
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
  const [firstColumn, lastColumn] = [left - longest, right + longest].map((x) => Math.floor(x / square))
  const [firstRow, lastRow] = [down - longest, up + longest].map((y) => Math.floor(y / square))
  for (let column = firstColumn!; column <= lastColumn!; column++)
    for (let row = firstRow!; row <= lastRow!; row++)
      for (const k of edges.at.get(squareOf(column, row)) ?? []) {
        if (ax[k]! - longest > right || ax[k]! + longest < left) continue
        if (ay[k]! - longest > up || ay[k]! + longest < down) continue
        if (isOwn(island[k]!)) continue
        const gap = spanToSpan(from.x, from.y, to.x, to.y, ax[k]!, ay[k]!, bx[k]!, by[k]!) - radius
        if (gap > reach) continue
        const [p, q] = nearest(from, to, { x: ax[k]!, y: ay[k]! }, { x: bx[k]!, y: by[k]! })
        near.push({ k, gap, p, q })
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
function nearest(a: XY, b: XY, c: XY, d: XY): readonly [XY, XY] {
  const onCd = [foot(a, c, d), foot(b, c, d)] as const
  const onAb = [foot(c, a, b), foot(d, a, b)] as const
  let best: readonly [XY, XY] = [a, onCd[0]]
  let least = apart(a, onCd[0])
  const take = (p: XY, q: XY) => {
    const length = apart(p, q)
    if (length >= least) return
    least = length
    best = [p, q]
  }
  take(b, onCd[1])
  take(onAb[0], c)
  take(onAb[1], d)
  return best
}

const apart = (p: XY, q: XY) => Math.sqrt((p.x - q.x) ** 2 + (p.y - q.y) ** 2)

function foot(p: XY, a: XY, b: XY): XY {
  const dx = b.x - a.x
  const dy = b.y - a.y
  const length2 = dx * dx + dy * dy
  const t = length2 === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / length2))
  return { x: a.x + t * dx, y: a.y + t * dy }
}

const crosses = (a: XY, b: XY, c: XY, d: XY) =>
  cross(a, b, c) > 0 !== cross(a, b, d) > 0 && cross(c, d, a) > 0 !== cross(c, d, b) > 0
