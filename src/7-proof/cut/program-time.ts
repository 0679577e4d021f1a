// How long a machine takes for a program and how far it goes, counted again from the moves the proof's own reader
// found. Speeds are squared speeds at the joints of the chords: none higher than the feed, than a corner stands, than
// an arc can be bent, or than the acceleration reaches from its neighbours. Rapid moves start and end at rest.

import type { ToolMove } from "./read-cut-program.ts"

export interface Counted {
  /** Seconds, changing of tools left out. */
  readonly time: number
  /** Sideways: rapid moves, and feed moves below the surface, mm. */
  readonly travel: number
  readonly cut: number
  /** Feed moves straight down to below the surface. */
  readonly plunges: number
}

export interface Axes {
  /** mm/min */
  readonly rapid: number
  /** mm/s² */
  readonly acceleration: number
}

/** How far a machine that does not stop may leave a corner, mm: as most controllers are set (common practice, no source). */
const cornerError = 0.01

export function countProgram(moves: readonly ToolMove[], axes: Axes, dwellSeconds = 0): Counted {
  let travel = 0
  let cut = 0
  let plunges = 0
  for (const m of moves) {
    const across = Math.hypot(m.x1 - m.x0, m.y1 - m.y0)
    if (m.kind === "rapid") travel += across
    else if (m.z1 < 0) {
      cut += across
      if (across === 0 && m.z1 < m.z0) plunges++
    }
  }
  let time = dwellSeconds
  // Where the tool stood before the program is not known: its first rise is not counted.
  const first = moves[0]
  const rises = first?.kind === "rapid" && first.x0 === first.x1 && first.y0 === first.y1
  for (let from = rises ? 1 : 0; from < moves.length; ) {
    let to = from + 1
    if (moves[from]!.kind === "feed") while (to < moves.length && moves[to]!.kind === "feed") to++
    time += runTime(moves, from, to, axes)
    from = to
  }
  return { time, travel, cut, plunges }
}

/** Moves from…to−1 in one go, at rest before and after. */
function runTime(moves: readonly ToolMove[], from: number, to: number, { rapid, acceleration: a }: Axes) {
  const n = to - from
  const length = new Float64Array(n)
  const top = new Float64Array(n)
  /** Squared speed at the start of each move and at the end of the last. */
  const joint = new Float64Array(n + 1)
  for (let k = 0; k < n; k++) {
    const m = moves[from + k]!
    length[k] = Math.hypot(m.x1 - m.x0, m.y1 - m.y0, m.z1 - m.z0)
    top[k] = (m.kind === "rapid" ? rapid : m.feed) / 60
    if (k > 0) joint[k] = Math.min(top[k]! ** 2, top[k - 1]! ** 2, bendLimit(moves[from + k - 1]!, m, a))
  }
  for (let k = 0; k < n; k++) joint[k + 1] = Math.min(joint[k + 1]!, joint[k]! + 2 * a * length[k]!)
  for (let k = n - 1; k >= 0; k--) joint[k] = Math.min(joint[k]!, joint[k + 1]! + 2 * a * length[k]!)
  let time = 0
  for (let k = 0; k < n; k++) {
    const [v0, v1] = [Math.sqrt(joint[k]!), Math.sqrt(joint[k + 1]!)]
    const peak = Math.min(top[k]!, Math.sqrt((joint[k]! + joint[k + 1]!) / 2 + a * length[k]!))
    const ramps = (2 * peak * peak - joint[k]! - joint[k + 1]!) / (2 * a)
    time += (2 * peak - v0 - v1) / a + Math.max(0, length[k]! - ramps) / peak
  }
  return time
}

/** Greatest squared speed from one chord to the next. */
function bendLimit(p: ToolMove, q: ToolMove, a: number): number {
  const lp = Math.hypot(p.x1 - p.x0, p.y1 - p.y0, p.z1 - p.z0)
  const lq = Math.hypot(q.x1 - q.x0, q.y1 - q.y0, q.z1 - q.z0)
  const cos =
    ((p.x1 - p.x0) * (q.x1 - q.x0) + (p.y1 - p.y0) * (q.y1 - q.y0) + (p.z1 - p.z0) * (q.z1 - q.z0)) /
    (lp * lq)
  const turn = Math.acos(Math.max(-1, Math.min(1, cos)))
  if (turn < 1e-5) return Number.POSITIVE_INFINITY
  // Chords of one arc: v² = a · r with r = chord ÷ turn.
  if (p.line === q.line) return (a * lq) / turn
  const half = Math.cos(turn / 2)
  return (a * cornerError * half) / (1 - half)
}
