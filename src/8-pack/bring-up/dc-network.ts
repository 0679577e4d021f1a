// Direct-current networks of resistors and things that bend: Newton's method on the node equations, dense, small.
// Every node leaks a little to the reference as it does through a voltmeter, so that no matrix is ever singular.

import type { DiodeModel } from "../../1-stock/artefact.ts"
import { modelThermalVoltage } from "../../1-stock/leds.ts"

/** Current from the first to the second node for a voltage between them, and its slope. */
export type Law = (volt: number) => { readonly i: number; readonly g: number }

interface Branch {
  readonly a: number
  readonly b: number
  readonly law: Law
}

/** Current into `from` and out of `into` that depends on the voltage of a third node. */
interface Controlled {
  readonly from: number
  readonly into: number
  readonly by: number
  readonly law: (
    own: number,
    control: number,
  ) => { readonly i: number; readonly g: number; readonly m: number }
}

/** A part with several pins: what it draws from each node, and how that changes with every node's voltage. */
interface Device {
  readonly nodes: readonly number[]
  readonly law: DeviceLaw
}

/** Volt at each pin → ampere into each pin, and its slopes: `g[k][j]` is what pin k draws more per volt at pin j. */
export type DeviceLaw = (volts: readonly number[]) => {
  readonly i: readonly number[]
  readonly g: readonly (readonly number[])[]
}

export class DcNetwork {
  /** Node 0 is the reference. */
  private readonly index = new Map<string, number>()
  /** Resistors: ends and conductance; they fill the matrix once, the rest once a round. */
  private readonly linear: { readonly a: number; readonly b: number; readonly g: number }[] = []
  private readonly branches: Branch[] = []
  private readonly controlled: Controlled[] = []
  private readonly devices: Device[] = []
  private readonly leak: number

  constructor(reference: string, leak: number) {
    this.index.set(reference, 0)
    this.leak = leak
  }

  node(name: string): number {
    const known = this.index.get(name)
    if (known !== undefined) return known
    this.index.set(name, this.index.size)
    return this.index.size - 1
  }

  resistor(a: string, b: string, ohm: number): void {
    if (a !== b) this.linear.push({ a: this.node(a), b: this.node(b), g: 1 / ohm })
  }

  branch(a: string, b: string, law: Law): void {
    if (a !== b) this.branches.push({ a: this.node(a), b: this.node(b), law })
  }

  /** `law(v, c)`: v from `from` to `into`, c the control node's voltage to the reference; m is the slope over c. */
  dependent(from: string, into: string, by: string, law: Controlled["law"]): void {
    this.controlled.push({ from: this.node(from), into: this.node(into), by: this.node(by), law })
  }

  device(nodes: readonly string[], law: DeviceLaw): void {
    this.devices.push({ nodes: nodes.map((n) => this.node(n)), law })
  }

  /** Voltage of every node to the reference; undefined when it does not settle. `near`: where to begin. */
  solve(near?: ReadonlyMap<string, number>): ReadonlyMap<string, number> | undefined {
    return this.settle(near) ?? (near && this.settle(undefined))
  }

  private settle(near: ReadonlyMap<string, number> | undefined): ReadonlyMap<string, number> | undefined {
    const n = this.index.size - 1
    const row = this.rows()
    const v = new Float64Array(n + 1)
    if (near) for (const [name, k] of this.index) v[k] = near.get(name) ?? 0
    v[0] = 0
    const plain = this.resistors(n, row)
    const m = new Float64Array(n * n)
    const f = new Float64Array(n)
    for (let round = 0; round < 400; round++) {
      this.assemble(v, m, f, row, plain)
      if (!eliminate(m, f, n)) return undefined
      let most = 0
      for (let k = 0; k < n; k++) most = Math.max(most, Math.abs(f[k]!))
      // Long steps overshoot the bend of a junction; past the first rounds they are shortened further.
      const damp = Math.min(1, (round < 40 ? 2 : round < 150 ? 0.3 : 0.05) / Math.max(most, 1e-30))
      for (let k = 1; k <= n; k++) v[k] = v[k]! - damp * f[row[k]!]!
      if (most < 1e-8) return new Map([...this.index].map(([name, k]) => [name, v[k]!]))
    }
    return undefined
  }

  /** Row of each node: those with few neighbours first, which keeps the elimination sparse; −1 for the reference. */
  private rows(): Int32Array {
    const degree = new Int32Array(this.index.size)
    for (const { a, b } of [...this.linear, ...this.branches]) {
      degree[a]!++
      degree[b]!++
    }
    const order = Array.from(degree.keys())
      .slice(1)
      .sort((p, q) => degree[p]! - degree[q]! || p - q)
    const row = new Int32Array(this.index.size).fill(-1)
    for (const [k, node] of order.entries()) row[node] = k
    return row
  }

  /** What resistors and leaks put into the matrix. */
  private resistors(n: number, row: Int32Array): Float64Array {
    const m = new Float64Array(n * n)
    for (let k = 0; k < n; k++) m[k * n + k] = this.leak
    for (const { a, b, g } of this.linear) {
      const [p, q] = [row[a]!, row[b]!]
      if (p >= 0) m[p * n + p]! += g
      if (q >= 0) m[q * n + q]! += g
      if (p >= 0 && q >= 0) {
        m[p * n + q]! -= g
        m[q * n + p]! -= g
      }
    }
    return m
  }

  /** Jacobian into `m`, which begins as `plain`, sum of currents leaving each node into `f`. */
  private assemble(
    v: Float64Array,
    m: Float64Array,
    f: Float64Array,
    row: Int32Array,
    plain: Float64Array,
  ): void {
    const n = f.length
    m.set(plain)
    for (let k = 1; k <= n; k++) f[row[k]!] = this.leak * v[k]!
    for (const { a, b, g } of this.linear) {
      const i = (v[a]! - v[b]!) * g
      if (a > 0) f[row[a]!]! += i
      if (b > 0) f[row[b]!]! -= i
    }
    const leave = (node: number, i: number) => {
      if (node > 0) f[row[node]!]! += i
    }
    const add = (node: number, by: number, g: number) => {
      if (node > 0 && by > 0) m[row[node]! * n + row[by]!]! += g
    }
    for (const { a, b, law } of this.branches) {
      const { i, g } = law(v[a]! - v[b]!)
      leave(a, i)
      leave(b, -i)
      add(a, a, g)
      add(b, b, g)
      add(a, b, -g)
      add(b, a, -g)
    }
    for (const { nodes, law } of this.devices) {
      const { i, g } = law(nodes.map((n) => v[n]!))
      nodes.forEach((node, k) => {
        leave(node, i[k]!)
        nodes.forEach((by, j) => {
          add(node, by, g[k]![j]!)
        })
      })
    }
    for (const { from, into, by, law } of this.controlled) {
      const { i, g, m: slope } = law(v[from]! - v[into]!, v[by]!)
      leave(from, i)
      leave(into, -i)
      for (const [node, sign] of [
        [from, 1],
        [into, -1],
      ] as const) {
        add(node, from, sign * g)
        add(node, into, -sign * g)
        add(node, by, sign * slope)
      }
    }
  }
}

/**
 * Solves m·x = f in place; false when singular. The diagonal is the pivot unless it is far below its column's
 * greatest, and only what is not zero is touched: such networks are nearly trees.
 */
function eliminate(m: Float64Array, f: Float64Array, n: number): boolean {
  const columns = new Int32Array(n)
  for (let k = 0; k < n; k++) {
    let best = k
    for (let r = k + 1; r < n; r++) if (Math.abs(m[r * n + k]!) > Math.abs(m[best * n + k]!)) best = r
    if (Math.abs(m[k * n + k]!) >= 0.01 * Math.abs(m[best * n + k]!)) best = k
    const top = m[best * n + k]!
    if (!(Math.abs(top) > 1e-300)) return false
    if (best !== k) swapRows(m, f, n, k, best)
    let used = 0
    for (let c = k + 1; c < n; c++) if (m[k * n + c] !== 0) columns[used++] = c
    for (let r = k + 1; r < n; r++) {
      const below = m[r * n + k]!
      if (below === 0) continue
      const factor = below / top
      for (let u = 0; u < used; u++) m[r * n + columns[u]!]! -= factor * m[k * n + columns[u]!]!
      f[r]! -= factor * f[k]!
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    let sum = f[k]!
    for (let c = k + 1; c < n; c++) sum -= m[k * n + c]! * f[c]!
    f[k] = sum / m[k * n + k]!
  }
  return true
}

function swapRows(m: Float64Array, f: Float64Array, n: number, a: number, b: number): void {
  for (let c = 0; c < n; c++) {
    const t = m[a * n + c]!
    m[a * n + c] = m[b * n + c]!
    m[b * n + c] = t
  }
  const t = f[a]!
  f[a] = f[b]!
  f[b] = t
}

/** I = Is·(exp((V − I·Rs)/(n·Vt)) − 1), solved for I; `shift` moves the whole curve along V. */
export function diode(model: DiodeModel, shift = 0): Law {
  const nVt = model.emission * modelThermalVoltage
  return (volt) => {
    const v = volt - shift
    const is = model.saturation
    if (v < 10 * nVt && is * Math.exp(v / nVt) * model.series < 1e-9 * nVt) {
      const e = Math.exp(Math.max(v / nVt, -80))
      return { i: is * (e - 1), g: (is * e) / nVt + 1e-12 }
    }
    // In the logarithm of the current the equation is nearly straight: x = ln(1 + I/Is).
    let x = Math.min(v / nVt, Math.log1p(Math.max(v, 0) / (model.series * is)))
    for (let k = 0; k < 60; k++) {
      const e = is * Math.exp(x)
      const step = (nVt * x + model.series * (e - is) - v) / (nVt + model.series * e)
      x -= step
      if (Math.abs(step) < 1e-13 * Math.max(1, Math.abs(x))) break
    }
    const e = is * Math.exp(x)
    return { i: e - is, g: 1 / (nVt / e + model.series) + 1e-12 }
  }
}

/** Straight pieces through (volt, ampere) points that rise; the end pieces go on. */
export function curve(points: readonly (readonly [number, number])[]): Law {
  return (v) => {
    let k = 1
    while (k < points.length - 1 && v > points[k]![0]) k++
    const [v0, i0] = points[k - 1]!
    const [v1, i1] = points[k]!
    const g = (i1 - i0) / (v1 - v0)
    return { i: i0 + (v - v0) * g, g }
  }
}

/** What a bench supply does when it holds its voltage, and when it is at its current limit. */
export const holdsVoltage =
  (volt: number): Law =>
  (v) => ({ i: (v - volt) / supplyOhm, g: 1 / supplyOhm })
export const holdsCurrent =
  (limit: number): Law =>
  () => ({ i: -limit, g: 0 })
/** Inside the supply and its leads, Ω. */
const supplyOhm = 0.01

/**
 * Bipolar transistor, collector, base, emitter, by Ebers and Moll; its exponentials go on straight above 2 A, so that
 * no step can overflow.
 */
export function npn(law: {
  readonly saturation: number
  readonly gain: number
  readonly reverseGain: number
}): DeviceLaw {
  const nVt = modelThermalVoltage
  const knee = nVt * Math.log(2 / law.saturation)
  const junction = (v: number) => {
    if (v > knee) return { i: 2 * (1 + (v - knee) / nVt), g: 2 / nVt }
    const e = law.saturation * Math.exp(Math.max(v / nVt, -80))
    return { i: e - law.saturation, g: e / nVt }
  }
  // A trifle across each junction keeps a dark transistor determined.
  const dirt = 1e-9
  return ([c, b, e]) => {
    const f = junction(b! - e!)
    const r = junction(b! - c!)
    const [bf, br] = [1 / law.gain, 1 / law.reverseGain]
    const collector = f.i - r.i * (1 + br)
    const base = f.i * bf + r.i * br
    const leakC = dirt * (c! - b!)
    const leakE = dirt * (e! - b!)
    const cB = f.g - r.g * (1 + br)
    const [cC, cE] = [r.g * (1 + br), -f.g]
    const bB = f.g * bf + r.g * br
    const [bC, bE] = [-r.g * br, -f.g * bf]
    return {
      i: [collector + leakC, base - leakC - leakE, -collector - base + leakE],
      g: [
        [cC + dirt, cB - dirt, cE],
        [bC - dirt, bB + 2 * dirt, bE - dirt],
        [-cC - bC, -cB - bB - dirt, -cE - bE + dirt],
      ],
    }
  }
}

/** Adjustable regulator, input, output, set pin: holds its reference between output and set pin while it can. */
export function adjustable(law: {
  readonly reference: number
  readonly adjust: number
  readonly headroom: number
  readonly dropout: number
  readonly most: number
}): DeviceLaw {
  const inner = 0.2
  return ([input, output, set]) => {
    const may = (law.reference - (output! - set!)) / inner
    const can = (input! - output! - law.headroom) / law.dropout
    const through = Math.max(0, Math.min(may, can, law.most))
    const byRef = through > 0 && may <= can && may < law.most
    const byIn = through > 0 && can < may && can < law.most
    const [a, b] = [byRef ? 1 / inner : 0, byIn ? 1 / law.dropout : 0]
    // The set pin's own current needs some voltage over the regulator to flow.
    const open = Math.min(1, Math.max(0, (input! - set!) / 2))
    const own = law.adjust * open
    const s = open > 0 && open < 1 ? law.adjust / 2 : 0
    const dirt = 1e-9
    const leak = dirt * (input! - output!)
    return {
      i: [through + own + leak, -through - leak, -own],
      g: [
        [b + s + dirt, -a - b - dirt, a - s],
        [-b - dirt, a + b + dirt, -a],
        [-s, 0, s],
      ],
    }
  }
}
