// Which directions are looked into: the grid of test points and what lies between, the field of visibility, and all.

import { unGrid } from "../../1-stock/lighting-rules.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Direction } from "./angle-light.ts"
import type { Share } from "./beam-shape.ts"
import type { FunctionLight } from "./function-light.ts"

export interface Asked extends Direction {
  /** Share of the axis minimum. */
  readonly share: number
  readonly between: boolean
}

/**
 * The test points, and between them every whole degree inside the pattern, which needs the lowest share that the
 * test points round it show on the grid lines above, below and beside it (rule P-40, from memory).
 */
export const gridDirections: readonly Asked[] = (() => {
  const points = unGrid.map((p) => ({ ...p, between: false }))
  const lines = { h: [...new Set(unGrid.map((p) => p.h))], v: [...new Set(unGrid.map((p) => p.v))] }
  const around = (ns: readonly number[], n: number) => {
    const below = ns.filter((x) => x <= n)
    const above = ns.filter((x) => x >= n)
    return below.length === 0 || above.length === 0
      ? undefined
      : ([Math.max(...below), Math.min(...above)] as const)
  }
  const out: Asked[] = [...points]
  for (let h = -20; h <= 20; h++)
    for (let v = -10; v <= 10; v++) {
      if (points.some((p) => p.h === h && p.v === v)) continue
      // On each grid line that borders the cell: the nearest test point on either side.
      const shares: number[] = []
      const rows = around(lines.v, v)
      const columns = around(lines.h, h)
      if (!rows || !columns) continue
      const gather = (on: typeof points, of: (p: Direction) => number, at: number) => {
        const pair = around(on.map(of), at)
        if (!pair) return false
        for (const p of on) if (pair.includes(of(p))) shares.push(p.share)
        return true
      }
      const upright = columns.map((c) =>
        gather(
          points.filter((p) => p.h === c),
          (p) => p.v,
          v,
        ),
      )
      const level = rows.map((r) =>
        gather(
          points.filter((p) => p.v === r),
          (p) => p.h,
          h,
        ),
      )
      // Outside the pattern at least one border has no test point on one side.
      if ([...upright, ...level].every((inside) => inside))
        out.push({ h, v, share: Math.min(...shares), between: true })
    }
  return out
})()

/** Directions of a field of visibility, every five degrees; outward is away from the vehicle's centre line. */
export function fieldOf(
  lamp: Lamp,
  { group }: FunctionLight,
  field: { readonly inward: number; readonly outward: number; readonly vertical: number },
): Direction[] {
  const centre = lamp.faces.find((f) => f.name === group.face)?.centreLine
  const middle = group.leds.reduce((s, l) => s + l.hole.x, 0) / Math.max(1, group.leds.length)
  const side = centre === undefined ? 0 : Math.sign(middle - centre)
  const right = side > 0 ? field.outward : side < 0 ? field.inward : field.outward
  const left = side > 0 ? field.inward : field.outward
  const out: Direction[] = []
  for (let h = -left; h <= right; h += 5)
    for (let v = -field.vertical; v <= field.vertical; v += 5) out.push({ h, v })
  return out
}

/** Where a light is greatest, to a degree; the axis where it is as great as anywhere. */
export function brightest(share: Share): Direction {
  let best = { h: 0, v: 0 }
  let most = share(0, 0) * (1 + 1e-9)
  for (let h = -90; h <= 90; h += 2)
    for (let v = -44; v <= 44; v += 2)
      if (share(h, v) > most) {
        most = share(h, v)
        best = { h, v }
      }
  for (const { h, v } of [...Array(9).keys()].map((k) => ({
    h: best.h - 1 + (k % 3),
    v: best.v - 1 + Math.floor(k / 3),
  })))
    if (share(h, v) > most) {
      most = share(h, v)
      best = { h, v }
    }
  return best
}
