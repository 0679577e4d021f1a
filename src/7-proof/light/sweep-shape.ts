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
  /** Widest step between neighbours, middle to middle, mm. */
  readonly widest: number
  /** Width ÷ height of the box round all patches. */
  readonly box: number
  /** Box round the middles, mm. */
  readonly width: number
  readonly height: number
  /** Greatest deviation of a step from the mean step along x, share of the mean. */
  readonly uneven: number
  /** Mean step and the one that deviates most, along x outward, mm. */
  readonly meanStep: number
  readonly oddStep: number
  /** Each place along x outward, counted from the first, mm. */
  readonly outward: readonly number[]
}

const noShape: SweepShape = {
  backward: 0,
  turns: 0,
  gap: 0,
  widest: 0,
  box: Number.POSITIVE_INFINITY,
  width: 0,
  height: 0,
  uneven: 0,
  meanStep: 0,
  oddStep: 0,
  outward: [],
}

/** `centre`: x of the vehicle's centre line; absent: outward is the way from first to last LED. */
export function sweepShape(
  places: readonly FacePoint[],
  patch: number,
  centre: number | undefined,
): SweepShape {
  const first = places[0]
  const last = places[places.length - 1]
  if (!first || !last) return noShape
  const middle = places.reduce((sum, p) => sum + p.x, 0) / places.length
  const outward = centre === undefined ? Math.sign(last.x - first.x) || 1 : Math.sign(middle - centre) || 1
  let backward = 0
  let turns = 0
  let widest = 0
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
    widest = Math.max(widest, Math.hypot(b.x - a.x, b.y - a.y))
  }
  const xs = places.map((p) => p.x)
  const ys = places.map((p) => p.y)
  const width = Math.max(...xs) - Math.min(...xs)
  const height = Math.max(...ys) - Math.min(...ys)
  const meanStep = steps.reduce((s, v) => s + v, 0) / Math.max(1, steps.length)
  const oddStep = steps.reduce((a, s) => (Math.abs(s - meanStep) > Math.abs(a - meanStep) ? s : a), meanStep)
  return {
    backward,
    turns,
    gap: Math.max(0, widest - patch),
    widest,
    box: (width + patch) / (height + patch),
    width,
    height,
    uneven: Math.abs(oddStep - meanStep) / Math.abs(meanStep || 1e-9),
    meanStep,
    oddStep,
    outward: places.map((p) => outward * (p.x - first.x)),
  }
}

/** Widest gap, edge to edge, when patches are joined nearest first into one group; 0 when they overlap. */
export const patchSpacing = (places: readonly FacePoint[], patch: number): number =>
  Math.max(0, widestStep(places) - patch)

/** Widest distance to the nearest other place, middle to middle, when places are joined nearest first. */
export function widestStep(places: readonly FacePoint[]): number {
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
    widest = Math.max(widest, least)
    joined.push(left.splice(best, 1)[0]!)
  }
  return widest
}
