// How long a machine takes for a list of moves when it cannot change speed at once. The model: every axis mix gets the
// same acceleration along the path; rapid moves, and feed moves before or after a rapid one, start and end at rest;
// within a run of feed moves the tool passes a corner at the speed of the arc that rounds the corner off by at most
// `cornerError`; speed rises and falls as straight ramps (trapezoid, or triangle where the move is short).

import type { Mm, Second } from "../0-ground/units/brand.ts"

export interface Move {
  readonly rapid: boolean
  /** Length along the path; for an arc the length of the arc. */
  readonly length: Mm
  /** mm/s */
  readonly speed: number
  /** Unit directions at start and end: x, y, z. */
  readonly start: readonly [number, number, number]
  readonly end: readonly [number, number, number]
  /** Radius of an arc; its speed stays within what the acceleration can bend. */
  readonly radius?: Mm
}

/** How far the path of a machine that does not stop may leave a corner, mm. */
export const cornerError = 0.01

/** Time of a move of `length` from speed `before` to speed `after`, never above `top`; all in mm and s. */
export function rampTime(length: number, before: number, after: number, top: number, acceleration: number) {
  const reached = Math.sqrt((before * before + after * after) / 2 + acceleration * length)
  if (reached <= top) return (2 * reached - before - after) / acceleration
  const ramps = (2 * top * top - before * before - after * after) / (2 * acceleration)
  return (2 * top - before - after) / acceleration + (length - ramps) / top
}

/** Greatest speed through a corner: v² = a·r, with r the arc that leaves the corner by `cornerError` at most. */
export function cornerSpeed(end: Move["end"], start: Move["start"], acceleration: number): number {
  const cosTurn = Math.max(-1, Math.min(1, end[0] * start[0] + end[1] * start[1] + end[2] * start[2]))
  const cosHalf = Math.sqrt((1 + cosTurn) / 2)
  if (cosHalf >= 1 - 1e-9) return Number.POSITIVE_INFINITY
  return Math.sqrt((acceleration * cornerError * cosHalf) / (1 - cosHalf))
}

export function movesTime(moves: readonly Move[], acceleration: number): Second {
  let total = 0
  for (let first = 0; first < moves.length; ) {
    let last = first
    if (!moves[first]!.rapid) while (last + 1 < moves.length && !moves[last + 1]!.rapid) last++
    total += runTime(moves, first, last, acceleration)
    first = last + 1
  }
  return total
}

/** Moves first…last without a stop asked for between them. */
function runTime(moves: readonly Move[], first: number, last: number, acceleration: number): Second {
  const n = last - first + 1
  const top = new Float64Array(n)
  const corner = new Float64Array(n + 1)
  for (let k = 0; k < n; k++) {
    const move = moves[first + k]!
    top[k] = Math.min(
      move.speed,
      move.radius === undefined ? Number.POSITIVE_INFINITY : Math.sqrt(acceleration * move.radius),
    )
    if (k > 0) {
      const through = cornerSpeed(moves[first + k - 1]!.end, move.start, acceleration)
      corner[k] = Math.min(through, top[k]!, top[k - 1]!)
    }
  }
  for (let k = 0; k < n; k++) {
    const reach = Math.sqrt(corner[k]! ** 2 + 2 * acceleration * moves[first + k]!.length)
    if (corner[k + 1]! > reach) corner[k + 1] = reach
  }
  for (let k = n - 1; k >= 0; k--) {
    const reach = Math.sqrt(corner[k + 1]! ** 2 + 2 * acceleration * moves[first + k]!.length)
    if (corner[k]! > reach) corner[k] = reach
  }
  let total = 0
  for (let k = 0; k < n; k++) {
    total += rampTime(moves[first + k]!.length, corner[k]!, corner[k + 1]!, top[k]!, acceleration)
  }
  return total
}
