// Which lands are joined, read from the copper that is left: samples on a ring around each hole,
// pieces of copper, and the wire links soldered in afterwards.

import { unionFind } from "../../0-ground/numbers/union-find.ts"
import type { Board, Land } from "../../5-board/artefact.ts"
import { bitAt } from "./bit-raster.ts"
import { type CopperLabels, pieceAt } from "./label-copper.ts"

const samples = 16

export interface Extracted {
  /** For each land of the board: the group it is in, numbered by first land; lands of one group are joined. */
  readonly group: readonly number[]
  /** For each land: pieces of copper its ring stands on, most samples first. */
  readonly pieces: readonly (readonly number[])[]
}

/**
 * `touching` "any": a pin joins every piece of copper its ring meets, as solder would (for shorts);
 * "most": only the piece with most of the ring counts (for opens).
 */
export function extractNetlist(board: Board, labels: CopperLabels, touching: "any" | "most"): Extracted {
  const pieces = board.lands.map((land) => ringPieces(land, labels))
  return { group: joinLands(board, pieces, labels.pieces, touching), pieces }
}

/** Wire links whose two ends hang together without them. */
export function idleLinks(board: Board, joined: Extracted): string[] {
  const count = 1 + Math.max(-1, ...joined.pieces.flat())
  return board.links.flatMap((link) => {
    const others = { ...board, links: board.links.filter((l) => l !== link) }
    const group = joinLands(others, joined.pieces, count, "most")
    const ends = board.lands.flatMap((l, i) => (l.ref === link.ref ? [group[i]!] : []))
    return ends.length === 2 && ends[0] === ends[1] ? [link.ref] : []
  })
}

function joinLands(
  board: Board,
  pieces: readonly (readonly number[])[],
  pieceCount: number,
  touching: "any" | "most",
): number[] {
  const { lands } = board
  const sets = unionFind(lands.length + pieceCount)
  for (const [i, found] of pieces.entries()) {
    const counted = touching === "any" ? found : found.slice(0, 1)
    for (const piece of counted) sets.join(i, lands.length + piece)
  }
  const byRef = new Map<string, number[]>()
  for (const [i, land] of lands.entries()) byRef.set(land.ref, [...(byRef.get(land.ref) ?? []), i])
  for (const link of board.links) {
    const ends = byRef.get(link.ref) ?? []
    for (const end of ends.slice(1)) sets.join(ends[0]!, end)
  }
  const number = new Map<number, number>()
  return lands.map((_, i) => {
    const root = sets.find(i)
    const known = number.get(root) ?? number.size
    number.set(root, known)
    return known
  })
}

/** Points round the hole, `share` of the way from its edge to the land's edge, in board coordinates. */
export function ringPoints(land: Land, count = samples, share = 0.5): { x: number; y: number }[] {
  const hole = land.hole / 2
  const long = Math.max(land.w, land.h)
  const short = Math.min(land.w, land.h)
  const turn = ((land.rotation + (land.h > land.w ? 90 : 0)) * Math.PI) / 180
  const c = Math.cos(turn)
  const s = Math.sin(turn)
  return Array.from({ length: count }, (_, k) => {
    const angle = (2 * Math.PI * k) / count
    const edge = stadiumReach(long, short, angle)
    const r = hole + share * (edge - hole)
    const u = r * Math.cos(angle)
    const v = r * Math.sin(angle)
    return { x: land.x + u * c - v * s, y: land.y + u * s + v * c }
  })
}

/** From the middle of a stadium to its edge in a direction measured from its long axis. */
export function stadiumReach(long: number, short: number, angle: number): number {
  const r = short / 2
  const half = (long - short) / 2
  const c = Math.abs(Math.cos(angle))
  const s = Math.abs(Math.sin(angle))
  if (s > 0 && (r / s) * c <= half) return r / s
  return half * c + Math.sqrt(Math.max(0, r * r - half * half * s * s))
}

function ringPieces(land: Land, labels: CopperLabels): number[] {
  const votes = new Map<number, number>()
  // Halfway out, and near the land's edge, where a neighbour's copper would be bridged by solder.
  for (const p of [...ringPoints(land), ...ringPoints(land, 2 * samples, 0.9)]) {
    if (!bitAt(labels.raster, p.x, p.y)) continue
    const piece = pieceAt(labels, p.x, p.y)
    votes.set(piece, (votes.get(piece) ?? 0) + 1)
  }
  return [...votes].sort((a, b) => b[1] - a[1] || a[0] - b[0]).map(([piece]) => piece)
}
