// How far two courts (turned boxes and discs) are apart. Between boxes it is the widest gap along any of their axes,
// which is never more than the true distance: what passes here passes in truth.

import type { Court } from "./footprint.ts"

/** Least gap between the courts of two parts. */
export function partGap(
  a: readonly Court[],
  ax: number,
  ay: number,
  b: readonly Court[],
  bx: number,
  by: number,
  enough: number,
): number {
  let least = enough
  for (let i = 0; i < a.length; i++)
    for (let j = 0; j < b.length; j++) {
      const gap = courtGap(a[i]!, ax, ay, b[j]!, bx, by, least)
      if (gap < least) least = gap
    }
  return least
}

/** Gap between a at (ax, ay) and b at (bx, by); negative when they overlap. Gaps over `enough` may come out as `enough`. */
export function courtGap(
  a: Court,
  ax: number,
  ay: number,
  b: Court,
  bx: number,
  by: number,
  enough: number,
): number {
  const dx = bx + b.x - ax - a.x
  const dy = by + b.y - ay - a.y
  const gx = Math.abs(dx) - a.boxW - b.boxW
  if (gx >= enough) return enough
  const gy = Math.abs(dy) - a.boxH - b.boxH
  if (gy >= enough) return enough
  if (a.disc && b.disc) return Math.sqrt(dx * dx + dy * dy) - a.hw - b.hw
  if (a.disc) return discToBox(b, -dx, -dy) - a.hw
  if (b.disc) return discToBox(a, dx, dy) - b.hw
  const gap = Math.max(gx, gy)
  if (a.s === 0 && b.s === 0) return gap
  return Math.max(gap, boxAxes(a, b, dx, dy), boxAxes(b, a, dx, dy))
}

/** Signed distance from a point, seen from the box's middle, to the box. */
function discToBox(box: Court, dx: number, dy: number): number {
  const u = Math.abs(dx * box.c + dy * box.s) - box.hw
  const v = Math.abs(dy * box.c - dx * box.s) - box.hh
  if (u <= 0 || v <= 0) return Math.max(u, v)
  return Math.sqrt(u * u + v * v)
}

function boxAxes(a: Court, b: Court, dx: number, dy: number): number {
  const c = Math.abs(a.c * b.c + a.s * b.s)
  const s = Math.abs(a.c * b.s - a.s * b.c)
  const u = Math.abs(dx * a.c + dy * a.s) - a.hw - b.hw * c - b.hh * s
  const v = Math.abs(dy * a.c - dx * a.s) - a.hh - b.hw * s - b.hh * c
  return Math.max(u, v)
}
