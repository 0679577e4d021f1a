// Where parts may stand on a board: a raster of shut cells (outside, at the edge, under a screw, on a fixed part)
// with running sums, so that one box is judged in four look-ups.

import { contains } from "../0-ground/geometry/polygon.ts"
import { pointToSegment } from "../0-ground/geometry/segment.ts"
import type { Random } from "../0-ground/numbers/random.ts"
import type { BoardProblem } from "./board-problem.ts"

const cell = 0.254

export interface Room {
  readonly width: number
  readonly height: number
  readonly maxX: number
  readonly maxY: number
  /** mm² of a box that are shut; a cell counts when its middle is shut. */
  shut(x: number, y: number, hw: number, hh: number): number
  inside(x: number, y: number): boolean
  anyPlace(rnd: Random): { x: number; y: number }
  /** Cost of a wire pad standing here. */
  wirePull(x: number, y: number): number
  /** mm² where a part may stand. */
  readonly freeArea: number
}

export function makeRoom(
  problem: BoardProblem,
  fixed: readonly { x: number; y: number; hw: number; hh: number; disc: boolean }[],
  margin: number,
): Room {
  let maxX = 0
  let maxY = 0
  for (const p of problem.outline) {
    maxX = Math.max(maxX, p.x)
    maxY = Math.max(maxY, p.y)
  }
  const columns = Math.ceil(maxX / cell) + 1
  const rows = Math.ceil(maxY / cell) + 1
  const shutAt = new Uint8Array(columns * rows)
  const depth = new Float32Array(columns * rows)
  const ring = problem.outline
  const need = problem.edge + cell / 2
  let free = 0
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++) {
      const p = { x: (c + 0.5) * cell, y: (r + 0.5) * cell }
      const k = r * columns + c
      if (!contains(ring, p)) {
        shutAt[k] = 1
        continue
      }
      let d = Number.POSITIVE_INFINITY
      for (let i = 0, j = ring.length - 1; i < ring.length; j = i++)
        d = Math.min(d, pointToSegment(p, ring[j]!, ring[i]!))
      depth[k] = d
      if (d < need) shutAt[k] = 1
      for (const s of problem.screws) if (Math.hypot(p.x - s.x, p.y - s.y) < s.keepOut + cell / 2) shutAt[k] = 1
      if (shutAt[k]) continue
      free++
      // A fixed part keeps its margin on both sides: its own and the newcomer's.
      for (const f of fixed) {
        const dx = Math.abs(p.x - f.x)
        const dy = Math.abs(p.y - f.y)
        const on = f.disc
          ? Math.hypot(dx, dy) < f.hw + 2 * margin
          : dx < f.hw + 2 * margin && dy < f.hh + 2 * margin
        if (on) shutAt[k] = 1
      }
    }
  const sums = new Int32Array((columns + 1) * (rows + 1))
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++)
      sums[(r + 1) * (columns + 1) + c + 1] =
        shutAt[r * columns + c]! +
        sums[r * (columns + 1) + c + 1]! +
        sums[(r + 1) * (columns + 1) + c]! -
        sums[r * (columns + 1) + c]!
  const clampC = (v: number) => Math.max(0, Math.min(columns, v))
  const clampR = (v: number) => Math.max(0, Math.min(rows, v))
  const at = (x: number, y: number): number => {
    const c = Math.floor(x / cell)
    const r = Math.floor(y / cell)
    return c < 0 || r < 0 || c >= columns || r >= rows ? -1 : r * columns + c
  }
  const inside = (x: number, y: number) => {
    const k = at(x, y)
    return k >= 0 && depth[k]! > 0
  }
  return {
    width: maxX,
    height: maxY,
    maxX,
    maxY,
    freeArea: free * cell * cell,
    inside,
    shut(x, y, hw, hh) {
      const c0 = Math.round((x - hw) / cell)
      const c1 = Math.round((x + hw) / cell)
      const r0 = Math.round((y - hh) / cell)
      const r1 = Math.round((y + hh) / cell)
      const w = columns + 1
      const a = clampC(c0)
      const b = clampC(c1)
      const d = clampR(r0)
      const e = clampR(r1)
      const inGrid = Math.max(0, b - a) * Math.max(0, e - d)
      const off = (c1 - c0) * (r1 - r0) - inGrid
      const on = b > a && e > d ? sums[e * w + b]! - sums[d * w + b]! - sums[e * w + a]! + sums[d * w + a]! : 0
      return (on + off) * cell * cell
    },
    anyPlace(rnd) {
      for (let i = 0; i < 2000; i++) {
        const p = { x: rnd.next() * maxX, y: rnd.next() * maxY }
        if (inside(p.x, p.y)) return { x: Math.round(p.x / 0.508) * 0.508, y: Math.round(p.y / 0.508) * 0.508 }
      }
      return { x: maxX / 2, y: maxY / 2 }
    },
    wirePull(x, y) {
      if (problem.wiresAt) return 0.5 * Math.max(0, Math.hypot(x - problem.wiresAt.x, y - problem.wiresAt.y) - 6)
      const k = at(x, y)
      // A pad's land and its wire want the edge, two to three millimetres in.
      return k < 0 ? 0 : 1.5 * Math.max(0, depth[k]! - 3)
    },
  }
}
