// The copper a board asks for as stadiums (straight cores with a radius) in flat arrays, and which of them are one piece.
// A piece is copper that hangs together as drawn: a net in two parts is two pieces, an unconnected land is its own,
// and the metal under each screw head is one that belongs to nobody.

import { turn } from "../0-ground/geometry/point.ts"
import { segmentToSegment } from "../0-ground/geometry/segment.ts"
import { type UnionFind, unionFind } from "../0-ground/numbers/union-find.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { Board } from "../5-board/artefact.ts"

export interface Piece {
  readonly net?: string
  /** What a builder calls it: the net, the land, the screw. */
  readonly name: string
  readonly x: Mm
  readonly y: Mm
}

export interface CopperShapes {
  readonly count: number
  /** Core from (ax, ay) to (bx, by), a point where both are equal. */
  readonly ax: Float64Array
  readonly ay: Float64Array
  readonly bx: Float64Array
  readonly by: Float64Array
  readonly radius: Float64Array
  /** Index into `pieces`. */
  readonly piece: Int32Array
  readonly pieces: readonly Piece[]
}

interface Stadium {
  readonly ax: number
  readonly ay: number
  readonly bx: number
  readonly by: number
  readonly radius: number
  readonly net?: string
  readonly name: string
}

/** Gap below which copper of one net counts as joined, mm. */
const touching = 1e-6

/**
 * Tracks, lands and screw areas as stadiums. A screw's metal is taken to reach to its keep-out less `grooveRoom`,
 * what a groove between two neighbours needs, so that copper at the keep-out can still be parted from it.
 */
export function copperShapes(board: Board, grooveRoom: Mm): CopperShapes {
  const stadiums = [...trackStadiums(board), ...landStadiums(board), ...screwStadiums(board, grooveRoom)]
  const joined = unionFind(stadiums.length)
  const byNet = new Map<string, number[]>()
  stadiums.forEach(({ net }, i) => {
    if (net === undefined) return
    const members = byNet.get(net)
    if (members) members.push(i)
    else byNet.set(net, [i])
  })
  for (const members of byNet.values()) joinTouching(stadiums, members, joined)

  const pieces: Piece[] = []
  const pieceOf = new Map<number, number>()
  const flat = {
    ax: new Float64Array(stadiums.length),
    ay: new Float64Array(stadiums.length),
    bx: new Float64Array(stadiums.length),
    by: new Float64Array(stadiums.length),
    radius: new Float64Array(stadiums.length),
    piece: new Int32Array(stadiums.length),
  }
  stadiums.forEach((s, i) => {
    const root = joined.find(i)
    let piece = pieceOf.get(root)
    if (piece === undefined) {
      piece = pieces.length
      pieceOf.set(root, piece)
      pieces.push({ ...(s.net === undefined ? {} : { net: s.net }), name: s.name, x: s.ax, y: s.ay })
    }
    flat.ax[i] = s.ax
    flat.ay[i] = s.ay
    flat.bx[i] = s.bx
    flat.by[i] = s.by
    flat.radius[i] = s.radius
    flat.piece[i] = piece
  })
  return { count: stadiums.length, ...flat, pieces }
}

/** Distance from (x, y) to the edge of shape `s`; negative inside. */
export function shapeDistance(shapes: CopperShapes, s: number, x: number, y: number): number {
  const ax = shapes.ax[s]!
  const ay = shapes.ay[s]!
  const ux = shapes.bx[s]! - ax
  const uy = shapes.by[s]! - ay
  let dx = x - ax
  let dy = y - ay
  const along = dx * ux + dy * uy
  if (along > 0) {
    const length2 = ux * ux + uy * uy
    const t = along >= length2 ? 1 : along / length2
    dx -= t * ux
    dy -= t * uy
  }
  return Math.sqrt(dx * dx + dy * dy) - shapes.radius[s]!
}

function trackStadiums(board: Board): Stadium[] {
  const out: Stadium[] = []
  for (const { net, width, points } of board.tracks) {
    for (let i = 1; i < points.length; i++) {
      const a = points[i - 1]!
      const b = points[i]!
      out.push({ ax: a.x, ay: a.y, bx: b.x, by: b.y, radius: width / 2, net, name: net })
    }
  }
  return out
}

function landStadiums(board: Board): Stadium[] {
  return board.lands.map((land) => {
    const radius = Math.min(land.w, land.h) / 2
    const half =
      land.w >= land.h
        ? turn({ x: land.w / 2 - radius, y: 0 }, land.rotation)
        : turn({ x: 0, y: land.h / 2 - radius }, land.rotation)
    return {
      ax: land.x - half.x,
      ay: land.y - half.y,
      bx: land.x + half.x,
      by: land.y + half.y,
      radius,
      ...(land.net === undefined ? {} : { net: land.net }),
      name: land.net ?? `${land.ref} pin ${land.pin}`,
    }
  })
}

function screwStadiums(board: Board, grooveRoom: Mm): Stadium[] {
  return board.screws.map((screw, i) => ({
    ax: screw.x,
    ay: screw.y,
    bx: screw.x,
    by: screw.y,
    radius: Math.max(screw.diameter / 2, screw.keepOut - grooveRoom),
    name: `screw ${i + 1}`,
  }))
}

function joinTouching(stadiums: readonly Stadium[], members: readonly number[], joined: UnionFind): void {
  for (let i = 0; i < members.length; i++) {
    const s = stadiums[members[i]!]!
    for (let j = 0; j < i; j++) {
      const t = stadiums[members[j]!]!
      const reach = s.radius + t.radius + touching
      if (Math.min(s.ax, s.bx) - Math.max(t.ax, t.bx) > reach) continue
      if (Math.min(t.ax, t.bx) - Math.max(s.ax, s.bx) > reach) continue
      if (Math.min(s.ay, s.by) - Math.max(t.ay, t.by) > reach) continue
      if (Math.min(t.ay, t.by) - Math.max(s.ay, s.by) > reach) continue
      const gap = segmentToSegment(
        { x: s.ax, y: s.ay },
        { x: s.bx, y: s.by },
        { x: t.ax, y: t.ay },
        { x: t.bx, y: t.by },
      )
      if (gap <= reach) joined.join(members[i]!, members[j]!)
    }
  }
}
