// The chance that all LEDs of a board enter together when the whole pattern may be shifted, turned and scaled.
// Only what the LEDs share is drawn by chance; given that, each LED for itself follows Rice's law, which is exact,
// so few draws tell the mean well.

import type { FacePoint } from "../../0-ground/geometry/point.ts"
import { random } from "../../0-ground/numbers/random.ts"
import { besselScaled, type Entering } from "./yield.ts"

/** Errors all LEDs of a board share, standard deviations. */
export interface Shared {
  /** Per axis, mm. */
  readonly shift: number
  /** Radians. */
  readonly rotation: number
  /** Share of the distance from the middle: 0.001 = 0.1 %. */
  readonly scale: number
  /** How far the board can be pushed straight, mm, and turned, radians, before its screws are tightened. */
  readonly adjust: { readonly shift: number; readonly rotation: number }
}

export interface Together {
  /** 0…1. */
  readonly chance: number
  /** Standard error of `chance` left by the draws. */
  readonly error: number
  readonly draws: number
}

/**
 * Draws come as sixteen lattices, each moved by chance: their spread tells the standard error of the mean. They grow
 * until it is half a thousandth (±0.1 % with 95 % confidence).
 */
const wantedError = 0.0005
const lattices = 16
const round = 128
const mostRounds = 64

export function entersTogether(
  e: Entering,
  places: readonly FacePoint[],
  shared: Shared,
  seed: number,
): Together {
  const middle = middleOf(places)
  const spots = places.map((p) => ({ x: p.x - middle.x, y: p.y - middle.y }))
  const reach = Math.max(0, ...spots.map((p) => Math.hypot(p.x, p.y)))
  const one = chanceAside(e)
  const all = (u: readonly number[]) => {
    const [a, b] = normals(u[0]!, u[1]!)
    const [c, d] = normals(u[2]!, u[3]!)
    const length = Math.hypot(a, b) * shared.shift
    const left = length === 0 ? 0 : Math.max(0, length - shared.adjust.shift) / length
    const dx = a * shared.shift * left
    const dy = b * shared.shift * left
    const turn = Math.sign(c) * Math.max(0, Math.abs(c * shared.rotation) - shared.adjust.rotation)
    const grow = d * shared.scale
    let product = 1
    for (const { x, y } of spots) {
      const h = dx + grow * x - turn * y
      const v = dy + grow * y + turn * x
      product *= one(Math.sqrt(h * h + v * v))
    }
    return product
  }
  if (shared.shift === 0 && (reach === 0 || (shared.rotation === 0 && shared.scale === 0)))
    return { chance: all([0, 0, 0, 0]), error: 0, draws: 1 }

  const chance = random(seed)
  const starts = Array.from({ length: lattices }, () => lattice.map(() => chance.next()))
  const sums = starts.map(() => 0)
  for (let n = 1; ; n++) {
    for (const [k, start] of starts.entries()) {
      for (let i = (n - 1) * round; i < n * round; i++)
        sums[k]! += all(start.map((s, j) => (s + i * lattice[j]!) % 1))
    }
    const means = sums.map((s) => s / (n * round))
    const mean = means.reduce((s, m) => s + m, 0) / lattices
    const error = Math.sqrt(means.reduce((s, m) => s + (m - mean) ** 2, 0) / (lattices * (lattices - 1)))
    if ((n >= 2 && error < wantedError) || n === mostRounds)
      return { chance: mean, error, draws: n * round * lattices }
  }
}

/** Steps of a lattice in four dimensions: powers of 1 ÷ g, g the root of g⁵ = g + 1 (the golden ratio's kin). */
const golden = 1.1673039782614187
const lattice = [1, 2, 3, 4].map((k) => golden ** -k)

/**
 * Chance that one LED enters whose hole is `b` mm aside, read from a table. The table integrates Rice's density of
 * the distance against the chance that the body leaves that much room; Simpson's rule.
 */
export function chanceAside(e: Entering): (b: number) => number {
  const spread = e.bodyTolerance / 3
  const whole = normalBelow(4) - normalBelow(-4)
  /** Body at most `d`, cut off at four deviations. */
  const bodyBelow = (d: number) => {
    if (spread === 0) return e.body <= d ? 1 : 0
    const z = Math.max(-4, Math.min(4, (d - e.body) / spread))
    return (normalBelow(z) - normalBelow(-4)) / whole
  }
  const farthest = (e.hole - e.body + 4 * spread) / 2 + e.play
  if (farthest <= 0) return () => 0
  if (e.sigma === 0) return (b) => bodyBelow(Math.min(e.hole, e.hole + 2 * (e.play - b)))
  // Every body that can enter at all leaves at least the play: up to there the chance does not depend on r.
  const flat = Math.min(Math.max(0, e.play), farthest)
  const nodes = [...simpson(0, flat, 60), ...simpson(flat, farthest, 60)].map(({ r, weight }) => ({
    r,
    weight: weight * bodyBelow(Math.min(e.hole, e.hole + 2 * (e.play - r))),
  }))
  const s2 = e.sigma * e.sigma
  const at = (b: number) =>
    nodes.reduce(
      (sum, { r, weight }) =>
        sum + weight * (r / s2) * Math.exp(-((r - b) ** 2) / (2 * s2)) * besselScaled((r * b) / s2),
      0,
    )
  const beyond = farthest + 5 * e.sigma
  const step = beyond / steps
  // One value before the start (the law is even in b) and one behind the end, for the cubic.
  const table = [at(step)]
  for (let k = 0; k <= steps + 1; k++) table.push(Math.min(1, at(k * step)))
  return (b) => {
    const k = Math.floor(b / step)
    if (k >= steps) return 0
    const t = b / step - k
    const [p, q, r, s] = [table[k]!, table[k + 1]!, table[k + 2]!, table[k + 3]!]
    // Catmull and Rom's cubic through four values.
    const cubic = q + 0.5 * t * (r - p + t * (2 * p - 5 * q + 4 * r - s + t * (3 * (q - r) + s - p)))
    return Math.min(1, Math.max(0, cubic))
  }
}

/** Of the table; the cubic between its values is good to 1e-6. */
const steps = 160

function simpson(from: number, to: number, n: number): { r: number; weight: number }[] {
  const h = (to - from) / n
  if (h <= 0) return []
  return Array.from({ length: n + 1 }, (_, i) => ({
    r: from + i * h,
    weight: ((i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2) * h) / 3,
  }))
}

/** Φ(z) by its odd power series φ(z)·(z + z³/3 + z⁵/15 + …); 1e-12 for |z| ≤ 5. */
export function normalBelow(z: number): number {
  let term = z
  let sum = z
  for (let k = 3; Math.abs(term) > 1e-16 && k < 300; k += 2) {
    term *= (z * z) / k
    sum += term
  }
  return 0.5 + (sum * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI)
}

/** Two independent normal numbers from two uniform ones in [0, 1) (Box and Muller). */
export function normals(u: number, v: number): readonly [number, number] {
  const r = Math.sqrt(-2 * Math.log1p(-u))
  const a = 2 * Math.PI * v
  return [r * Math.cos(a), r * Math.sin(a)]
}

export const middleOf = (places: readonly { readonly x: number; readonly y: number }[]) => ({
  x: places.reduce((s, p) => s + p.x, 0) / Math.max(1, places.length),
  y: places.reduce((s, p) => s + p.y, 0) / Math.max(1, places.length),
})
