// A measured surface: heights on a rectangular grid of places, straight in between (bilinear).

import type { Finding } from "../0-ground/finding.ts"
import { heightRows } from "../0-ground/text/height-rows.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import { cutFindings as report } from "./copper-findings.ts"

export interface HeightMap {
  /** Ascending. */
  readonly xs: readonly Mm[]
  readonly ys: readonly Mm[]
  /** Height above the program's Z zero, row by row: `z[iy * xs.length + ix]`. */
  readonly z: readonly Mm[]
}

/** Places closer than this are one column or row of the grid, mm. */
const samePlace = 0.01

/**
 * Reads a table or a controller's log of places and heights in millimetres (`heightRows`). Every place of the grid
 * must be there once. `first`: where the first place lies, when that is not as written.
 */
export function readHeights(
  text: string,
  file = "heights",
  first?: { readonly x: number; readonly y: number; readonly z: number },
): { map: HeightMap | undefined; findings: Finding[] } {
  const fail = (title: string, line?: number) => ({
    map: undefined,
    findings: [
      report.state("heights-unreadable", {
        severity: "red",
        title,
        where: { text: line === undefined ? file : `${file}, line ${line}`, file, ...(line ? { line } : {}) },
      }),
    ],
  })
  const { rows, fault } = heightRows(text, first)
  if (fault) return fail(fault.reason, fault.line)
  const xs = distinct(rows.map((r) => r.x))
  const ys = distinct(rows.map((r) => r.y))
  if (xs.length < 2 || ys.length < 2)
    return fail(`${rows.length} places: at least two columns and two rows are needed`)
  const z = new Array<number>(xs.length * ys.length).fill(Number.NaN)
  for (const r of rows) {
    const at = nearestIndex(ys, r.y) * xs.length + nearestIndex(xs, r.x)
    if (!Number.isNaN(z[at]!)) return fail(`the place x ${r.x}, y ${r.y} is there twice`, r.line)
    z[at] = r.z
  }
  const missing = z.findIndex(Number.isNaN)
  if (missing >= 0) {
    const ix = missing % xs.length
    return fail(
      `the grid of ${xs.length} × ${ys.length} places lacks x ${xs[ix]}, y ${ys[(missing - ix) / xs.length]}`,
    )
  }
  return { map: { xs, ys, z }, findings: [] }
}

/** Height at (x, y); beyond the grid that of its nearest edge. */
export function heightAt(map: HeightMap, x: number, y: number): Mm {
  const i = cellOf(map.xs, x)
  const j = cellOf(map.ys, y)
  const u = share(map.xs[i]!, map.xs[i + 1]!, x)
  const v = share(map.ys[j]!, map.ys[j + 1]!, y)
  const n = map.xs.length
  const low = map.z[j * n + i]! * (1 - u) + map.z[j * n + i + 1]! * u
  const high = map.z[(j + 1) * n + i]! * (1 - u) + map.z[(j + 1) * n + i + 1]! * u
  return low * (1 - v) + high * v
}

/**
 * For every place how far it lies above the straight line between its two neighbours, along x or y, whichever is more;
 * 0 where it has no two neighbours. Row by row as `z`.
 */
export function residuals({ xs, ys, z }: HeightMap): number[] {
  const n = xs.length
  const bend = (before: number, here: number, after: number, t: number) =>
    here - (before + (after - before) * t)
  return z.map((h, k) => {
    const i = k % n
    const j = (k - i) / n
    const alongX =
      i > 0 && i + 1 < n
        ? bend(z[k - 1]!, h, z[k + 1]!, (xs[i]! - xs[i - 1]!) / (xs[i + 1]! - xs[i - 1]!))
        : 0
    const alongY =
      j > 0 && j + 1 < ys.length
        ? bend(z[k - n]!, h, z[k + n]!, (ys[j]! - ys[j - 1]!) / (ys[j + 1]! - ys[j - 1]!))
        : 0
    return Math.abs(alongX) >= Math.abs(alongY) ? alongX : alongY
  })
}

export const worstResidual = (map: HeightMap): Mm =>
  residuals(map).reduce((a, r) => Math.max(a, Math.abs(r)), 0)

/** How far (x, y) lies outside the grid, mm; 0 inside. */
export const beyondGrid = ({ xs, ys }: HeightMap, x: number, y: number): Mm =>
  Math.max(0, xs[0]! - x, x - xs[xs.length - 1]!, ys[0]! - y, y - ys[ys.length - 1]!)

const share = (a: number, b: number, at: number): number => Math.max(0, Math.min(1, (at - a) / (b - a)))

function cellOf(places: readonly number[], at: number): number {
  let low = 0
  let high = places.length - 2
  while (low < high) {
    const mid = (low + high + 1) >> 1
    if (places[mid]! <= at) low = mid
    else high = mid - 1
  }
  return low
}

function distinct(values: readonly number[]): number[] {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted.filter((v, i) => i === 0 || v - sorted[i - 1]! > samePlace)
}

function nearestIndex(places: readonly number[], at: number): number {
  const i = cellOf(places, at)
  return Math.abs(places[i + 1]! - at) < Math.abs(places[i]! - at) ? i + 1 : i
}
