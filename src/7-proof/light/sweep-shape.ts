// The shape of a sweep as it is seen from the road: order, turns, gaps, bounding box, evenness.
// Places come in sweep order, face frame, millimetres; each lit patch is a disc.

import type { FacePoint } from "../../0-ground/geometry/point.ts"

export interface SweepShape {
  /** Neighbours in sweep order that step back inward. */
  readonly backward: number
  /** Changes of vertical direction. */
  readonly turns: number
  /** Widest gap between neighbouring patches, edge to edge, mm; 0 when they overlap. */
  readonly gap: number
  /** Width ÷ height of the box round all patches. */
  readonly box: number
  /** Greatest deviation of a step from the mean step along x, share of the mean. */
  readonly uneven: number
}

/** `centre`: x of the vehicle's centre line; absent: outward is the way from first to last LED. */
export function sweepShape(
  places: readonly FacePoint[],
  patch: number,
  centre: number | undefined,
): SweepShape {
  const first = places[0]
  const last = places[places.length - 1]
  if (!first || !last) return { backward: 0, turns: 0, gap: 0, box: Number.POSITIVE_INFINITY, uneven: 0 }
  const middle = places.reduce((sum, p) => sum + p.x, 0) / places.length
  const outward = centre === undefined ? Math.sign(last.x - first.x) || 1 : Math.sign(middle - centre) || 1
  let backward = 0
  let turns = 0
  let gap = 0
  let heading = 0
  const steps: number[] = []
  for (let k = 1; k < places.length; k++) {
    const a = places[k - 1]!
    const b = places[k]!
    const step = outward * (b.x - a.x)
    steps.push(step)
    if (step < -1e-6) backward++
    // Steps below a hundredth of a millimetre are drawing noise, not a direction.
    const rise = Math.abs(b.y - a.y) < 0.01 ? 0 : Math.sign(b.y - a.y)
    if (rise !== 0 && heading !== 0 && rise !== heading) turns++
    if (rise !== 0) heading = rise
    gap = Math.max(gap, Math.hypot(b.x - a.x, b.y - a.y) - patch)
  }
  const xs = places.map((p) => p.x)
  const ys = places.map((p) => p.y)
  const width = Math.max(...xs) - Math.min(...xs) + patch
  const height = Math.max(...ys) - Math.min(...ys) + patch
  const mean = steps.reduce((s, v) => s + v, 0) / Math.max(1, steps.length)
  const uneven =
    steps.length === 0 ? 0 : Math.max(...steps.map((s) => Math.abs(s - mean))) / Math.abs(mean || 1e-9)
  return { backward, turns, gap: Math.max(0, gap), box: width / height, uneven }
}

/** Widest distance to the nearest other patch, edge to edge, when patches are joined nearest first into one group. */
export function patchSpacing(places: readonly FacePoint[], patch: number): number {
  const left = places.slice(1)
  const joined = places.slice(0, 1)
  let widest = 0
  while (left.length > 0) {
    let best = 0
    let least = Number.POSITIVE_INFINITY
    for (const [k, p] of left.entries()) {
      for (const q of joined) {
        const d = Math.hypot(p.x - q.x, p.y - q.y)
        if (d < least) {
          least = d
          best = k
        }
      }
    }
    widest = Math.max(widest, least - patch)
    joined.push(left.splice(best, 1)[0]!)
  }
  return Math.max(0, widest)
}
