// The chance that parts enter their holes: position errors are normal in x and y alike, so the distance between
// two axes follows Rayleigh's law without a bias and Rice's law with one.

/** P(distance ≤ c) for standard deviation σ per axis: 1 − exp(−c² ÷ 2σ²). */
export function rayleigh(c: number, sigma: number): number {
  if (c <= 0) return 0
  return sigma === 0 ? 1 : -Math.expm1(-(c * c) / (2 * sigma * sigma))
}

/** The distance that is not exceeded with chance p, in σ: √(−2 ln(1 − p)). */
export const rayleighReach = (p: number): number => Math.sqrt(-2 * Math.log1p(-p))

/** P(distance ≤ c) when the two axes are `bias` apart on average (Rice). Simpson's rule over the ring, 1e-10. */
export function rice(c: number, bias: number, sigma: number): number {
  if (c <= 0) return 0
  const k = c / sigma
  const b = bias / sigma
  const n = 4000
  const h = k / n
  let sum = 0
  for (let i = 0; i <= n; i++) {
    const r = i * h
    const weight = i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2
    // exp(−(r² + b²)/2)·I₀(r·b), with the growing parts taken together.
    sum += weight * r * Math.exp(-((r - b) ** 2) / 2) * besselScaled(r * b)
  }
  return Math.min(1, (sum * h) / 3)
}

/** exp(−x)·I₀(x): power series for small x, asymptotic series for large. */
export function besselScaled(x: number): number {
  if (x < 20) {
    let term = 1
    let sum = 1
    for (let k = 1; k < 200 && term > sum * 1e-17; k++) {
      term *= (x * x) / (4 * k * k)
      sum += term
    }
    return sum * Math.exp(-x)
  }
  let term = 1
  let sum = 1
  for (let k = 1; k < 12; k++) {
    term *= (2 * k - 1) ** 2 / (8 * k * x)
    sum += term
  }
  return sum / Math.sqrt(2 * Math.PI * x)
}

/** P(|x| ≤ k·σ) of a normal error, by Simpson's rule. */
export function normalWithin(k: number): number {
  const n = 2000
  const h = k / n
  let sum = 0
  for (let i = 0; i <= n; i++) {
    const weight = i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2
    sum += weight * Math.exp(-((i * h) ** 2) / 2)
  }
  return (sum * h * 2) / 3 / Math.sqrt(2 * Math.PI)
}

export interface Entering {
  /** Hole in the face, mm. */
  readonly hole: number
  /** Body diameter and its limits, taken as three standard deviations. */
  readonly body: number
  readonly bodyTolerance: number
  /** How far the LED can move sideways in its board holes, mm. */
  readonly play: number
  /** Standard deviation per axis of hole against LED, mm. */
  readonly sigma: number
}

/** Chance that one LED enters its hole: Rayleigh over the body's spread, body errors integrated to ±4 deviations. */
export function entersOne(e: Entering): number {
  const spread = e.bodyTolerance / 3
  if (spread === 0) return rayleigh((e.hole - e.body) / 2 + e.play, e.sigma)
  const n = 400
  let sum = 0
  let whole = 0
  for (let i = 0; i <= n; i++) {
    const z = -4 + (8 * i) / n
    const weight = (i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2) * Math.exp((-z * z) / 2)
    const body = e.body + z * spread
    // A body larger than its hole never enters, however well it stands.
    sum += weight * (body > e.hole ? 0 : rayleigh((e.hole - body) / 2 + e.play, e.sigma))
    whole += weight
  }
  return sum / whole
}

/** All of `count` LEDs, each for itself. */
export const entersAll = (e: Entering, count: number): number => entersOne(e) ** count

/** Smallest hole, in steps of 0.1 mm, that lets all enter with chance `p`. */
export function holeFor(e: Entering, count: number, p: number): number {
  for (let step = 0; step < 40; step++) {
    const hole = Math.round((e.body + step * 0.1) * 10) / 10
    if (entersAll({ ...e, hole }, count) >= p) return hole
  }
  return Number.NaN
}
