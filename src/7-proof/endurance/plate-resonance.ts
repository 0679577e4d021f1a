// First resonance of a thin plate of any outline, free at its edges and held by its screws: Ritz's method.
// The bent shape is a sum of polynomials; the mix with the least ratio of bending to moving energy is the first mode.

import { boundingBox, contains } from "../../0-ground/geometry/polygon.ts"

export interface Sheet {
  /** Pa */
  readonly modulus: number
  readonly poisson: number
  /** m */
  readonly thickness: number
  /** Of the sheet and what it carries, spread out, kg/m². */
  readonly massPerArea: number
}

/** Bending stiffness, N·m: E·h³ ÷ 12(1 − ν²). */
export const stiffness = ({ modulus, poisson, thickness }: Omit<Sheet, "massPerArea">): number =>
  (modulus * thickness ** 3) / (12 * (1 - poisson ** 2))

/** Rectangle a × b held along all four edges, Hz: (π ÷ 2)·√(D ÷ ρ)·(1/a² + 1/b²), metres. */
export const edgesHeld = (s: Sheet, a: number, b: number): number =>
  (Math.PI / 2) * Math.sqrt(stiffness(s) / s.massPerArea) * (1 / a ** 2 + 1 / b ** 2)

export interface Resonance {
  /** Hz. Ritz's method comes from above: the true one is a little lower. */
  readonly frequency: number
  /** How far a place moves in the first mode, of the farthest sample. */
  readonly moves: (x: number, y: number) => number
}

interface Spot {
  readonly x: number
  readonly y: number
}

/**
 * `outline` and `held` in millimetres. A clamped screw head or spacer is given as points round its rim. Undefined
 * where fewer than three points hold it or they lie on one line: then the sheet can move freely.
 */
export function firstResonance(
  sheet: Sheet,
  outline: readonly Spot[],
  held: readonly Spot[],
): Resonance | undefined {
  const box = boundingBox(outline)
  const half = Math.max(box.maxX - box.minX, box.maxY - box.minY) / 2
  if (!(half > 0) || onOneLine(held, half)) return undefined
  const [mx, my] = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2]
  const u = (x: number) => (x - mx) / half
  const v = (y: number) => (y - my) / half
  const { bend, move } = energies(outline, half, mx, my, sheet.poisson)
  // Held places: a spring so stiff that they stand still.
  for (const p of held) hold(bend, shapesAt(u(p.x), v(p.y)).w)
  for (let r = 0; r < count; r++) {
    bend[r * count + r]! *= 1 + 1e-11
    for (let c = 0; c < r; c++) {
      move[c * count + r] = move[r * count + c]!
    }
  }
  const factor = choleskyInPlace(bend, count)
  if (!factor) return undefined
  const { shape, lambda } = slowest(factor, move)
  const at = (x: number, y: number) => Math.abs(dot(shape, shapesAt(u(x), v(y)).w))
  const most = Math.max(...outline.map((p) => at(p.x, p.y)), 1e-30)
  const scale = stiffness(sheet) / (sheet.massPerArea * (half / 1000) ** 4)
  const frequency = Math.sqrt(lambda * scale) / (2 * Math.PI)
  return Number.isFinite(frequency) ? { frequency, moves: (x, y) => at(x, y) / most } : undefined
}

/** Bending and moving energy of each pair of terms over the outline, as lower triangles. */
function energies(
  outline: readonly Spot[],
  half: number,
  mx: number,
  my: number,
  poisson: number,
): { readonly bend: Float64Array; readonly move: Float64Array } {
  const bend = new Float64Array(count * count)
  const move = new Float64Array(count * count)
  const cell = (2 * half) / cells
  const area = (cell / half) ** 2
  for (let i = 0; i < cells; i++) {
    for (let j = 0; j < cells; j++) {
      const spot = { x: mx - half + (i + 0.5) * cell, y: my - half + (j + 0.5) * cell }
      if (contains(outline, spot))
        addEnergies(bend, move, shapesAt((spot.x - mx) / half, (spot.y - my) / half), area, poisson)
    }
  }
  return { bend, move }
}

function addEnergies(
  bend: Float64Array,
  move: Float64Array,
  { w, xx, yy, xy }: Shapes,
  area: number,
  poisson: number,
): void {
  for (let r = 0; r < count; r++) {
    const wr = w[r]! * area
    const xr = xx[r]! * area
    const yr = yy[r]! * area
    const tr = xy[r]! * area
    for (let c = 0; c <= r; c++) {
      move[r * count + c]! += wr * w[c]!
      bend[r * count + c]! +=
        xr * (xx[c]! + poisson * yy[c]!) + yr * (yy[c]! + poisson * xx[c]!) + 2 * (1 - poisson) * tr * xy[c]!
    }
  }
}

function hold(bend: Float64Array, w: Float64Array): void {
  for (let r = 0; r < count; r++)
    for (let c = 0; c <= r; c++) bend[r * count + c]! += holdStiffness * w[r]! * w[c]!
}

/** The first mode by inverse iteration: its shape, and its ratio of bending to moving energy. */
function slowest(
  factor: Float64Array,
  move: Float64Array,
): { readonly shape: Float64Array; readonly lambda: number } {
  const shape = Float64Array.from(terms, (_, k) => 1 / (1 + k))
  let lambda = 0
  for (let n = 0; n < 60; n++) {
    const force = times(move, shape, count)
    const next = solve(factor, force, count)
    const before = lambda
    // Rayleigh's quotient of the new shape: its bending energy is next·force.
    lambda = dot(next, force) / dot(next, times(move, next, count))
    const size = Math.sqrt(dot(next, next))
    for (let k = 0; k < count; k++) shape[k] = next[k]! / size
    if (Math.abs(lambda - before) < 1e-9 * lambda) break
  }
  return { shape, lambda }
}

const degree = 9
const cells = 24
const holdStiffness = 1e7
const terms = Array.from({ length: degree + 1 }, (_, i) =>
  Array.from({ length: degree + 1 - i }, (_, j) => [i, j] as const),
).flat()
const count = terms.length
const powerX = Uint8Array.from(terms, ([i]) => i)
const powerY = Uint8Array.from(terms, ([, j]) => j)

/** Chebyshev polynomials and their first and second derivatives up to `degree`. */
function chebyshev(x: number) {
  const t = [1, x]
  const d = [0, 1]
  const s = [0, 0]
  for (let k = 2; k <= degree; k++) {
    t.push(2 * x * t[k - 1]! - t[k - 2]!)
    d.push(2 * t[k - 1]! + 2 * x * d[k - 1]! - d[k - 2]!)
    s.push(4 * d[k - 1]! + 2 * x * s[k - 1]! - s[k - 2]!)
  }
  return { t, d, s }
}

interface Shapes {
  readonly w: Float64Array
  readonly xx: Float64Array
  readonly yy: Float64Array
  readonly xy: Float64Array
}

function shapesAt(x: number, y: number): Shapes {
  const a = chebyshev(x)
  const b = chebyshev(y)
  const w = new Float64Array(count)
  const xx = new Float64Array(count)
  const yy = new Float64Array(count)
  const xy = new Float64Array(count)
  for (let k = 0; k < count; k++) {
    const i = powerX[k]!
    const j = powerY[k]!
    w[k] = a.t[i]! * b.t[j]!
    xx[k] = a.s[i]! * b.t[j]!
    yy[k] = a.t[i]! * b.s[j]!
    xy[k] = a.d[i]! * b.d[j]!
  }
  return { w, xx, yy, xy }
}

function onOneLine(held: readonly Spot[], half: number): boolean {
  for (const a of held)
    for (const b of held)
      for (const c of held)
        if (Math.abs((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)) > 1e-3 * half) return false
  return true
}

/** Lower triangle L of L·Lᵀ, in place of the matrix; undefined when it is not positive. */
function choleskyInPlace(m: Float64Array, n: number): Float64Array | undefined {
  for (let j = 0; j < n; j++) {
    for (let i = j; i < n; i++) {
      let sum = m[i * n + j]!
      for (let k = 0; k < j; k++) sum -= m[i * n + k]! * m[j * n + k]!
      if (i === j) {
        if (!(sum > 0)) return undefined
        m[j * n + j] = Math.sqrt(sum)
      } else m[i * n + j] = sum / m[j * n + j]!
    }
  }
  return m
}

function solve(l: Float64Array, b: Float64Array, n: number): Float64Array {
  const x = Float64Array.from(b)
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i]! -= l[i * n + k]! * x[k]!
    x[i]! /= l[i * n + i]!
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i]! -= l[k * n + i]! * x[k]!
    x[i]! /= l[i * n + i]!
  }
  return x
}

function times(m: Float64Array, x: Float64Array, n: number): Float64Array {
  const out = new Float64Array(n)
  for (let r = 0; r < n; r++) {
    let sum = 0
    for (let c = 0; c < n; c++) sum += m[r * n + c]! * x[c]!
    out[r] = sum
  }
  return out
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!
  return sum
}
