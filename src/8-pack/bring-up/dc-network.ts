// Direct-current networks of resistors and things that bend: Newton's method on the node equations, dense, small.
// Every node leaks a little to the reference as it does through a voltmeter, so that no matrix is ever singular.

import type { DiodeModel } from "../../1-stock/artefact.ts"
import { modelThermalVoltage } from "../../1-stock/leds.ts"

/** Current from the first to the second node for a voltage between them, and its slope; to be read at once. */
export type Law = (volt: number) => { readonly i: number; readonly g: number }

/** One object for all answers: laws are asked a million times. */
function told(i: number, g: number): { readonly i: number; readonly g: number } {
  answer.i = i
  answer.g = g
  return answer
}
const answer = { i: 0.5, g: 0.5 }

interface Owned {
  readonly owner: string
}

interface Resistor extends Owned {
  readonly a: number
  readonly b: number
  readonly g: number
}

interface Branch extends Owned {
  readonly a: number
  readonly b: number
  readonly law: Law
}

/** Current into `from` and out of `into` that depends on the voltage of a third node. */
interface Controlled extends Owned {
  readonly from: number
  readonly into: number
  readonly by: number
  readonly law: (
    own: number,
    control: number,
  ) => { readonly i: number; readonly g: number; readonly m: number }
}

/** A part with several pins: what it draws from each node, and how that changes with every node's voltage. */
interface Device extends Owned {
  readonly nodes: readonly number[]
  readonly law: DeviceLaw
}

/** Volt at each pin → ampere into each pin, and its slopes: `g[k][j]` is what pin k draws more per volt at pin j. */
export type DeviceLaw = (volts: readonly number[]) => {
  readonly i: readonly number[]
  readonly g: readonly (readonly number[])[]
}

/** Voltage of every node to the reference. */
export class Volts {
  readonly index: ReadonlyMap<string, number>
  readonly values: Float64Array

  constructor(index: ReadonlyMap<string, number>, values: Float64Array) {
    this.index = index
    this.values = values
  }

  get(name: string): number | undefined {
    const k = this.index.get(name)
    return k === undefined ? undefined : this.values[k]
  }

  /** Each moved as far as it moved from `before` to `after`. */
  moved(before: Volts, after: Volts): Volts {
    const values = this.values.slice()
    this.index.forEach((k, name) => {
      values[k] = values[k]! + (after.get(name) ?? 0) - (before.get(name) ?? 0)
    })
    return new Volts(this.index, values)
  }
}

export class DcNetwork {
  /** Whose the elements are that are added from now on; they can be left out together. */
  owner = ""
  /** Node 0 is the reference. */
  private index = new Map<string, number>()
  /** Copies have the same nodes until one of them gets another. */
  private sharesIndex = false
  /** Resistors fill the matrix once, the rest once a round. */
  private linear: Resistor[] = []
  private branches: Branch[] = []
  private controlled: Controlled[] = []
  private devices: Device[] = []
  private source: Branch | undefined
  private readonly leak: number
  /** Row of each node, worked out by whichever copy is solved first. */
  private order: { rows?: Int32Array } = {}

  constructor(reference: string, leak: number) {
    this.index.set(reference, 0)
    this.leak = leak
  }

  /** A copy without what belongs to `owners`. */
  without(owners: readonly string[] = []): DcNetwork {
    const copy = new DcNetwork("", this.leak)
    const kept = <T extends Owned>(all: readonly T[]) =>
      owners.length === 0 ? all.slice() : all.filter((e) => !owners.includes(e.owner))
    copy.index = this.index
    copy.sharesIndex = true
    this.sharesIndex = true
    copy.linear = kept(this.linear)
    copy.branches = kept(this.branches)
    copy.controlled = kept(this.controlled)
    copy.devices = kept(this.devices)
    copy.source = this.source
    copy.order = this.order
    return copy
  }

  node(name: string): number {
    const known = this.index.get(name)
    if (known !== undefined) return known
    if (this.sharesIndex) {
      this.index = new Map(this.index)
      this.sharesIndex = false
      this.order = {}
    }
    this.index.set(name, this.index.size)
    return this.index.size - 1
  }

  resistor(a: string, b: string, ohm: number): void {
    if (a !== b) this.linear.push({ owner: this.owner, a: this.node(a), b: this.node(b), g: 1 / ohm })
  }

  branch(a: string, b: string, law: Law): void {
    if (a !== b) this.branches.push({ owner: this.owner, a: this.node(a), b: this.node(b), law })
  }

  /** The branch that feeds it all, in place of the one before. */
  feed(a: string, b: string, law: Law): void {
    this.source = { owner: "supply", a: this.node(a), b: this.node(b), law }
  }

  /** `law(v, c)`: v from `from` to `into`, c the control node's voltage to the reference; m is the slope over c. */
  dependent(from: string, into: string, by: string, law: Controlled["law"]): void {
    this.controlled.push({
      owner: this.owner,
      from: this.node(from),
      into: this.node(into),
      by: this.node(by),
      law,
    })
  }

  device(nodes: readonly string[], law: DeviceLaw): void {
    this.devices.push({ owner: this.owner, nodes: nodes.map((n) => this.node(n)), law })
  }

  /** undefined when it does not settle. `near`: where to begin. `last`: the longest last step, V. */
  solve(near?: Volts, last = 1e-8): Volts | undefined {
    return this.settle(near, last, 400) ?? (near && this.settle(undefined, last, 400))
  }

  /** Solved where that takes few steps from `near`; undefined otherwise. */
  tried(near: Volts, last: number): Volts | undefined {
    return this.settle(near, last, 12)
  }

  private settle(near: Volts | undefined, last: number, rounds: number): Volts | undefined {
    const n = this.index.size - 1
    this.order.rows ??= this.rows()
    const row = this.order.rows
    const v = new Float64Array(n + 1)
    if (near?.index === this.index) v.set(near.values)
    else if (near)
      this.index.forEach((k, name) => {
        v[k] = near.get(name) ?? 0
      })
    v[0] = 0
    const room = scratchOf(n)
    const { m, f, plain } = room
    this.resistors(plain, n, row)
    this.pattern(room, n, row)
    for (let round = 0; round < rounds; round++) {
      this.assemble(v, m, f, row, plain)
      if (!eliminateSparse(m, f, n, room)) {
        this.assemble(v, m, f, row, plain)
        if (!eliminate(m, f, n, room)) return undefined
      }
      let most = 0
      for (let k = 0; k < n; k++) most = Math.max(most, Math.abs(f[k]!))
      // Long steps overshoot the bend of a junction; past the first rounds they are shortened further.
      const damp = Math.min(1, (round < 40 ? 2 : round < 150 ? 0.3 : 0.05) / Math.max(most, 1e-30))
      for (let k = 1; k <= n; k++) v[k] = v[k]! - damp * f[row[k]!]!
      if (most < last) {
        this.sharesIndex = true
        return new Volts(this.index, v)
      }
    }
    return undefined
  }

  /** Those with few neighbours first, which keeps the elimination sparse; the reference's is the last of all. */
  private rows(): Int32Array {
    const size = this.index.size
    const degree = new Int32Array(size)
    const count = ({ a, b }: { readonly a: number; readonly b: number }) => {
      degree[a]!++
      degree[b]!++
    }
    this.linear.forEach(count)
    this.branches.forEach(count)
    if (this.source) count(this.source)
    const order = Array.from(degree.keys())
      .slice(1)
      .sort((p, q) => degree[p]! - degree[q]! || p - q)
    const row = new Int32Array(size).fill(size - 1)
    for (let k = 0; k < order.length; k++) row[order[k]!] = k
    return row
  }

  /** What resistors and leaks put into the matrix. */
  private resistors(m: Float64Array, n: number, row: Int32Array): void {
    const w = n + 1
    m.fill(0)
    for (let k = 0; k < n; k++) m[k * w + k] = this.leak
    const { linear } = this
    for (let k = 0; k < linear.length; k++) {
      const { a, b, g } = linear[k]!
      addPair(m, w, row[a]!, row[b]!, g)
    }
  }

  /** Of each row, the later rows it meets when those before are eliminated in turn; symmetric, and the same each round. */
  private pattern({ meets, start, later }: Scratch, n: number, row: Int32Array): void {
    const w = n + 1
    meets.fill(0)
    const { linear, branches, source } = this
    for (let k = 0; k < linear.length; k++) meet(meets, w, row[linear[k]!.a]!, row[linear[k]!.b]!)
    for (let k = 0; k < branches.length; k++) meet(meets, w, row[branches[k]!.a]!, row[branches[k]!.b]!)
    if (source) meet(meets, w, row[source.a]!, row[source.b]!)
    for (const { nodes } of this.devices)
      for (const p of nodes) for (const q of nodes) meet(meets, w, row[p]!, row[q]!)
    for (const { from, into, by } of this.controlled) {
      meet(meets, w, row[from]!, row[into]!)
      meet(meets, w, row[from]!, row[by]!)
      meet(meets, w, row[into]!, row[by]!)
    }
    let used = 0
    for (let k = 0; k < n; k++) {
      start[k] = used
      for (let j = k + 1, at = k * w + j; j < n; j++, at++) if (meets[at] !== 0) later[used++] = j
      for (let i = start[k]!; i < used; i++)
        for (let j = i + 1; j < used; j++) meets[later[i]! * w + later[j]!] = 1
    }
    start[n] = used
  }

  /**
   * Jacobian into `m`, which begins as `plain`, sum of currents leaving each node into `f`. The reference has a row and
   * a column too, which nobody reads.
   */
  private assemble(
    v: Float64Array,
    m: Float64Array,
    f: Float64Array,
    row: Int32Array,
    plain: Float64Array,
  ): void {
    const w = f.length
    const { leak, linear, branches, devices, controlled, source } = this
    m.set(plain)
    f[w - 1] = 0
    for (let k = 1; k < w; k++) f[row[k]!] = leak * v[k]!
    for (let k = 0; k < linear.length; k++) {
      const { a, b, g } = linear[k]!
      const i = (v[a]! - v[b]!) * g
      f[row[a]!]! += i
      f[row[b]!]! -= i
    }
    const count = source ? branches.length + 1 : branches.length
    for (let k = 0; k < count; k++) {
      const { a, b, law } = k < branches.length ? branches[k]! : source!
      const { i, g } = law(v[a]! - v[b]!)
      const p = row[a]!
      const q = row[b]!
      f[p]! += i
      f[q]! -= i
      addPair(m, w, p, q, g)
    }
    for (const { nodes, law } of devices) {
      const { i, g } = law(nodes.map((n) => v[n]!))
      for (let k = 0; k < nodes.length; k++) {
        const r = row[nodes[k]!]!
        f[r]! += i[k]!
        for (let j = 0; j < nodes.length; j++) m[r * w + row[nodes[j]!]!]! += g[k]![j]!
      }
    }
    for (let k = 0; k < controlled.length; k++) {
      const { from, into, by, law } = controlled[k]!
      const { i, g, m: slope } = law(v[from]! - v[into]!, v[by]!)
      const p = row[from]!
      const q = row[into]!
      const c = row[by]!
      f[p]! += i
      f[q]! -= i
      m[p * w + p]! += g
      m[p * w + q]! -= g
      m[p * w + c]! += slope
      m[q * w + p]! -= g
      m[q * w + q]! += g
      m[q * w + c]! -= slope
    }
  }
}

function addPair(m: Float64Array, w: number, p: number, q: number, g: number): void {
  m[p * w + p]! += g
  m[q * w + q]! += g
  m[p * w + q]! -= g
  m[q * w + p]! -= g
}

/** Kept above the diagonal. */
function meet(meets: Uint8Array, w: number, p: number, q: number): void {
  meets[p < q ? p * w + q : q * w + p] = 1
}

interface Scratch {
  readonly m: Float64Array
  readonly f: Float64Array
  readonly plain: Float64Array
  readonly columns: Int32Array
  readonly below: Int32Array
  readonly meets: Uint8Array
  /** later[start[k]] … later[start[k + 1]]: the rows that row k meets. */
  readonly start: Int32Array
  readonly later: Int32Array
}

/** Room to solve in, kept: thousands of networks of the same few sizes are solved one after the other. */
function scratchOf(n: number): Scratch {
  const known = scratches.get(n)
  if (known) return known
  const w = n + 1
  const made = {
    m: new Float64Array(w * w),
    f: new Float64Array(w),
    plain: new Float64Array(w * w),
    columns: new Int32Array(w),
    below: new Int32Array(w),
    meets: new Uint8Array(w * w),
    start: new Int32Array(w),
    later: new Int32Array(w * w),
  }
  scratches.set(n, made)
  return made
}
const scratches = new Map<number, Scratch>()

/** As `eliminate`, over the pattern alone; false where another pivot than the diagonal is wanted. */
function eliminateSparse(
  m: Float64Array,
  f: Float64Array,
  n: number,
  { start, later }: Pick<Scratch, "start" | "later">,
): boolean {
  const w = n + 1
  for (let k = 0; k < n; k++) {
    const from = start[k]!
    const to = start[k + 1]!
    const top = m[k * w + k]!
    let most = Math.abs(top)
    for (let i = from; i < to; i++) most = Math.max(most, Math.abs(m[later[i]! * w + k]!))
    if (!(Math.abs(top) > 1e-300) || !(Math.abs(top) >= 0.01 * most)) return false
    for (let i = from; i < to; i++) {
      const r = later[i]! * w
      const first = m[r + k]!
      if (first === 0) continue
      const factor = first / top
      for (let j = from; j < to; j++) m[r + later[j]!]! -= factor * m[k * w + later[j]!]!
      f[later[i]!]! -= factor * f[k]!
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    let sum = f[k]!
    for (let i = start[k]!; i < start[k + 1]!; i++) sum -= m[k * w + later[i]!]! * f[later[i]!]!
    f[k] = sum / m[k * w + k]!
  }
  return true
}

/**
 * Solves m·x = f in place; false when singular. The diagonal is the pivot unless it is far below its column's
 * greatest, and only what is not zero is touched: such networks are nearly trees. The last row and column of `m`, and
 * the last of `f`, are the reference's and stay out.
 */
function eliminate(
  m: Float64Array,
  f: Float64Array,
  n: number,
  { columns, below }: Pick<Scratch, "columns" | "below">,
): boolean {
  const w = n + 1
  for (let k = 0; k < n; k++) {
    // Rows under the pivot that have something in its column.
    let rows = 0
    let best = k
    let most = Math.abs(m[k * w + k]!)
    const own = most
    for (let r = k + 1, at = r * w + k; r < n; r++, at += w) {
      const x = m[at]!
      if (x === 0) continue
      below[rows++] = r
      if (Math.abs(x) > most) {
        most = Math.abs(x)
        best = r
      }
    }
    if (own >= 0.01 * most) best = k
    const top = m[best * w + k]!
    if (!(Math.abs(top) > 1e-300)) return false
    if (best !== k) swapRows(m, f, w, k, best)
    let used = 0
    for (let c = k + 1, at = k * w + c; c < n; c++, at++) if (m[at] !== 0) columns[used++] = c
    for (let i = 0; i < rows; i++) {
      const r = below[i]!
      const first = m[r * w + k]!
      if (first === 0) continue
      const factor = first / top
      for (let u = 0; u < used; u++) m[r * w + columns[u]!]! -= factor * m[k * w + columns[u]!]!
      f[r]! -= factor * f[k]!
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    let sum = f[k]!
    for (let c = k + 1, at = k * w + c; c < n; c++, at++) sum -= m[at]! * f[c]!
    f[k] = sum / m[k * w + k]!
  }
  return true
}

function swapRows(m: Float64Array, f: Float64Array, w: number, a: number, b: number): void {
  for (let c = 0; c < w; c++) {
    const t = m[a * w + c]!
    m[a * w + c] = m[b * w + c]!
    m[b * w + c] = t
  }
  const t = f[a]!
  f[a] = f[b]!
  f[b] = t
}

/** I = Is·(exp((V − I·Rs)/(n·Vt)) − 1), solved for I; `shift` moves the whole curve along V. */
export function diode(model: DiodeModel, shift = 0): Law {
  const nVt = model.emission * modelThermalVoltage
  const is = model.saturation
  return (volt) => {
    const v = volt - shift
    if (v < 10 * nVt) {
      const e = Math.exp(Math.max(v / nVt, -80))
      if (is * e * model.series < 1e-9 * nVt) return told(is * (e - 1), (is * e) / nVt + 1e-12)
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
    return told(e - is, 1 / (nVt / e + model.series) + 1e-12)
  }
}

/** Straight pieces through (volt, ampere) points that rise; the end pieces go on. */
export function curve(points: readonly (readonly [number, number])[]): Law {
  const volts = points.map((p) => p[0])
  const amps = points.map((p) => p[1])
  return (v) => {
    let k = 1
    while (k < volts.length - 1 && v > volts[k]!) k++
    const g = (amps[k]! - amps[k - 1]!) / (volts[k]! - volts[k - 1]!)
    return told(amps[k - 1]! + (v - volts[k - 1]!) * g, g)
  }
}

/** What a bench supply does when it holds its voltage, and when it is at its current limit. */
export const holdsVoltage =
  (volt: number): Law =>
  (v) =>
    told((v - volt) / supplyOhm, 1 / supplyOhm)
export const holdsCurrent =
  (limit: number): Law =>
  () =>
    told(-limit, 0)
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
