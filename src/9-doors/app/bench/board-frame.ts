// A board on the bench: its frame (copper side, y up) turned into a picture (y down), from either side.

import type { BoardPoint } from "../../../0-ground/geometry/point.ts"
import { type Box, boundingBox } from "../../../0-ground/geometry/polygon.ts"
import type { Board } from "../../../5-board/artefact.ts"

export type Side = "copper" | "component"

export interface BoardFrame {
  readonly side: Side
  /** Board millimetres to picture millimetres. */
  at(p: BoardPoint): { x: number; y: number }
  readonly box: Box
}

/** The component side is the copper side mirrored left to right; this is the only place the page mirrors. */
export function boardFrame(board: Board, side: Side): BoardFrame {
  const { minX, maxX, minY, maxY } = boundingBox(board.outline)
  const at = (p: BoardPoint) => ({ x: side === "copper" ? p.x : minX + maxX - p.x, y: minY + maxY - p.y })
  return { side, at, box: { minX, maxX, minY, maxY } }
}

const short = (n: number) => Math.round(n * 1000) / 1000

export function pathOf(points: readonly BoardPoint[], frame: BoardFrame, close: boolean): string {
  let d = ""
  points.forEach((p, i) => {
    const q = frame.at(p)
    d += `${i === 0 ? "M" : "L"}${short(q.x)} ${short(q.y)}`
  })
  return close ? `${d}Z` : d
}

/** A stadium w × h turned by `rotation`, as a line with round ends: its two end points and its width. */
export function stadium(land: { x: number; y: number; w: number; h: number; rotation: number }) {
  const width = Math.min(land.w, land.h)
  const half = (Math.max(land.w, land.h) - width) / 2
  const along = ((land.rotation + (land.w >= land.h ? 0 : 90)) * Math.PI) / 180
  const dx = half * Math.cos(along)
  const dy = half * Math.sin(along)
  return { width, from: { x: land.x - dx, y: land.y - dy }, to: { x: land.x + dx, y: land.y + dy } }
}
