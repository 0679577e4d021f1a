// A probed height map: lines of x, y, z in millimetres on a regular grid, any order. Between probes the surface is
// bilinear; beyond the outermost probes it goes on level.

import { heightRows } from "../../0-ground/text/height-rows.ts"
import type { ToolMove } from "./read-cut-program.ts"

export interface Heights {
  /** Surface height at a place, mm above the program's zero. */
  readonly at: (x: number, y: number) => number
  readonly probes: number
  /** Widest distance between neighbouring probes, mm. */
  readonly spacing: number
  /**
   * What straight interpolation may err by between probes, mm: a quarter of the greatest difference between an inner
   * probe and the mean of its two neighbours along x or y (the error goes with the square of the spacing).
   */
  readonly residual: number
}

export type HeightsRead =
  | { readonly heights: Heights; readonly fault: undefined }
  | { readonly heights: undefined; readonly fault: { readonly line: number; readonly reason: string } }

/** Reads a table or a controller's log (`heightRows`); `first`: where its first place lies, when that is not as written. */
export function readHeights(
  text: string,
  first?: { readonly x: number; readonly y: number; readonly z: number },
): HeightsRead {
  const { rows, fault } = heightRows(text, first)
  if (fault) return refuse(fault.line, fault.reason)
  const steep = rows.find((r) => Math.abs(r.z) > 5)
  if (steep) return refuse(steep.line, `a height of ${steep.z} mm is no flat board`)
  const xs = distinct(rows.map((r) => r.x))
  const ys = distinct(rows.map((r) => r.y))
  if (xs.length < 2 || ys.length < 2) return refuse(1, "a grid of at least 2 × 2 probes is needed")
  if (xs.length * ys.length > 250_000) return refuse(1, "more probes than a board can have")
  const grid = new Float64Array(xs.length * ys.length).fill(Number.NaN)
  for (const r of rows) {
    const at = index(ys, r.y) * xs.length + index(xs, r.x)
    if (!Number.isNaN(grid[at])) return refuse(r.line, `the place x ${r.x}, y ${r.y} is probed twice`)
    grid[at] = r.z
  }
  const gap = grid.findIndex((v) => Number.isNaN(v))
  if (gap >= 0) {
    const x = xs[gap % xs.length]
    const y = ys[Math.floor(gap / xs.length)]
    return refuse(rows[rows.length - 1]!.line, `no probe at x ${x}, y ${y}: the grid has a hole`)
  }
  const at = (x: number, y: number) => {
    const [i, u] = cell(xs, x)
    const [j, v] = cell(ys, y)
    const k = j * xs.length + i
    const below = grid[k]! * (1 - u) + grid[k + 1]! * u
    const above = grid[k + xs.length]! * (1 - u) + grid[k + xs.length + 1]! * u
    return below * (1 - v) + above * v
  }
  const steps = [xs, ys].flatMap((a) => a.slice(1).map((v, k) => v - a[k]!))
  const residual = residualOf(grid, xs.length, ys.length, xs, ys) / 4
  return { heights: { at, probes: rows.length, spacing: Math.max(...steps), residual }, fault: undefined }
}

/** Greatest difference between a probe and the straight line between its neighbours, along either axis. */
function residualOf(
  grid: Float64Array,
  nx: number,
  ny: number,
  xs: readonly number[],
  ys: readonly number[],
): number {
  let most = 0
  const off = (a: number, b: number, c: number, t: number) => Math.abs(b - (a + (c - a) * t))
  for (let j = 0; j < ny; j++) {
    for (let i = 0; i < nx; i++) {
      const k = j * nx + i
      if (i > 0 && i + 1 < nx) {
        const t = (xs[i]! - xs[i - 1]!) / (xs[i + 1]! - xs[i - 1]!)
        most = Math.max(most, off(grid[k - 1]!, grid[k]!, grid[k + 1]!, t))
      }
      if (j > 0 && j + 1 < ny) {
        const t = (ys[j]! - ys[j - 1]!) / (ys[j + 1]! - ys[j - 1]!)
        most = Math.max(most, off(grid[k - nx]!, grid[k]!, grid[k + nx]!, t))
      }
    }
  }
  return most
}

const refuse = (line: number, reason: string): HeightsRead => ({
  heights: undefined,
  fault: { line, reason },
})

/** Sorted values; places closer than a hundredth of a millimetre are one. */
function distinct(values: readonly number[]): number[] {
  const out: number[] = []
  for (const v of [...values].sort((a, b) => a - b)) {
    if (out.length === 0 || v - out[out.length - 1]! > 0.01) out.push(v)
  }
  return out
}

const index = (sorted: readonly number[], v: number): number =>
  sorted.findIndex((s) => Math.abs(s - v) <= 0.01 + 1e-9)

/** Cell of the grid and the place in it, 0…1; clamped at the rim. */
function cell(sorted: readonly number[], v: number): [number, number] {
  let i = 0
  while (i < sorted.length - 2 && v > sorted[i + 1]!) i++
  const t = (v - sorted[i]!) / (sorted[i + 1]! - sorted[i]!)
  return [i, Math.max(0, Math.min(1, t))]
}

/** Feed moves as the copper sees them: split to 2 mm and with the surface's own height taken off every z. */
export function onSurface(moves: readonly ToolMove[], heights: Heights): ToolMove[] {
  return moves.flatMap((m) => {
    if (m.kind !== "feed") return [m]
    const parts = Math.max(1, Math.ceil(Math.hypot(m.x1 - m.x0, m.y1 - m.y0) / 2))
    return Array.from({ length: parts }, (_, k): ToolMove => {
      const place = (t: number) => {
        const x = m.x0 + (m.x1 - m.x0) * t
        const y = m.y0 + (m.y1 - m.y0) * t
        return { x, y, z: m.z0 + (m.z1 - m.z0) * t - heights.at(x, y) }
      }
      const a = place(k / parts)
      const b = place((k + 1) / parts)
      return { ...m, x0: a.x, y0: a.y, z0: a.z, x1: b.x, y1: b.y, z1: b.z }
    })
  })
}
