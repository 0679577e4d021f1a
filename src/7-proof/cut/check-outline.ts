// Whether the outline program cuts round the board where the board says its edge is: sampled just outside
// (must be cut), just inside (must stand), with the tabs that hold the board counted.

import { boundingBox, contains } from "../../0-ground/geometry/polygon.ts"
import type { Board } from "../../5-board/artefact.ts"
import { bitAt, bitRaster, paintSweep } from "./bit-raster.ts"
import type { ToolMove } from "./read-cut-program.ts"

export interface OutlineCut {
  /** Length of the edge that nothing cuts, mm, and where it begins. */
  readonly uncut: number
  readonly uncutAt: { readonly x: number; readonly y: number }
  /** Length of the edge left standing by tabs, mm, and how many tabs. */
  readonly tabs: number
  readonly tabCount: number
  /** Places inside the board that the router eats. */
  readonly eaten: readonly { readonly x: number; readonly y: number }[]
  readonly edge: number
}

const pixel = 0.05
/** How far inside and outside the edge is looked at, mm. */
const aside = 0.15
const along = 0.2

export function checkOutline(
  board: Board,
  moves: readonly ToolMove[],
  diameter: number,
  thickness: number,
): OutlineCut {
  const box = boundingBox(board.outline)
  const room = diameter + 1
  const area = {
    minX: box.minX - room,
    minY: box.minY - room,
    maxX: box.maxX + room,
    maxY: box.maxY + room,
  }
  const through = bitRaster(area, pixel)
  const touched = bitRaster(area, pixel)
  const r = diameter / 2
  for (const m of moves) {
    if (m.kind !== "feed" || Math.min(m.z0, m.z1) >= 0) continue
    paintSweep(touched, m.x0, m.y0, r, m.x1, m.y1, r, true)
    if (Math.max(m.z0, m.z1) <= -thickness + 1e-6) paintSweep(through, m.x0, m.y0, r, m.x1, m.y1, r, true)
  }
  let uncut = 0
  let uncutAt = { x: 0, y: 0 }
  let tabs = 0
  let tabCount = 0
  let inTab = false
  let edge = 0
  const eaten: { x: number; y: number }[] = []
  const ring = board.outline
  for (let k = 0, l = ring.length - 1; k < ring.length; l = k++) {
    const a = ring[l]!
    const b = ring[k]!
    const length = Math.hypot(b.x - a.x, b.y - a.y)
    if (length === 0) continue
    edge += length
    const steps = Math.max(1, Math.round(length / along))
    // Outward for a counter-clockwise ring is to the right of the way.
    let nx = (b.y - a.y) / length
    let ny = -(b.x - a.x) / length
    const mid = { x: (a.x + b.x) / 2 + nx * 0.01, y: (a.y + b.y) / 2 + ny * 0.01 }
    if (contains(ring, mid)) {
      nx = -nx
      ny = -ny
    }
    for (let s = 0; s < steps; s++) {
      const t = (s + 0.5) / steps
      const x = a.x + (b.x - a.x) * t
      const y = a.y + (b.y - a.y) * t
      const part = length / steps
      const ox = x + nx * aside
      const oy = y + ny * aside
      const inside = { x: x - nx * aside, y: y - ny * aside }
      if (bitAt(touched, inside.x, inside.y) && contains(ring, inside)) eaten.push(inside)
      // In a narrow inner corner the sample may already lie across the next edge.
      if (contains(ring, { x: ox, y: oy })) continue
      if (bitAt(through, ox, oy)) inTab = false
      else if (bitAt(touched, ox, oy) || tabAbove(ox, oy)) {
        tabs += part
        if (!inTab) tabCount++
        inTab = true
      } else {
        if (uncut === 0) uncutAt = { x, y }
        uncut += part
        inTab = false
      }
    }
  }
  return { uncut, uncutAt, tabs, tabCount, eaten, edge }

  /** A tab may also be left by lifting the router clear of the board over a short way. */
  function tabAbove(x: number, y: number): boolean {
    return moves.some(
      (m) =>
        Math.min(m.z0, m.z1) >= 0 &&
        (m.x0 !== m.x1 || m.y0 !== m.y1) &&
        Math.hypot(m.x1 - m.x0, m.y1 - m.y0) < 12 &&
        near(m, x, y) < r,
    )
  }
}

function near(m: ToolMove, x: number, y: number): number {
  const dx = m.x1 - m.x0
  const dy = m.y1 - m.y0
  const l2 = dx * dx + dy * dy
  const t = l2 === 0 ? 0 : Math.max(0, Math.min(1, ((x - m.x0) * dx + (y - m.y0) * dy) / l2))
  return Math.hypot(x - m.x0 - t * dx, y - m.y0 - t * dy)
}
