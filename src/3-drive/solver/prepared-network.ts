// A network ready to be solved again and again: rows of LEDs and their resistors are one element each (`rowsOf`), places
// in the matrix and the order of elimination are worked out once for a pattern, values lie in flat arrays, and each
// solution may start from the one before. Same laws as `operatingPoint`, which is asked whenever this does not settle.

import { wOfLog } from "./lambert.ts"
import { channelCharge, type Element, limitSlope, type Network, thirdPin } from "./network.ts"
import type { Accuracy, OperatingPoint } from "./operating-point.ts"
import { joins, type Row, rowsOf } from "./series.ts"
import { eliminationOrder } from "./sparse-order.ts"

const maxSteps = 60
/** Steps that are taken whole whatever comes of them. */
const patient = 6

/** What depends only on which elements meet where. */
interface Pattern {
  readonly rows: readonly Row[]
  /** Row of each element, and which way round it stands in it. */
  readonly rowOf: Int32Array
  readonly turned: Uint8Array
  /** Pins of each row, −1 for the reference. */
  readonly a: Int32Array
  readonly b: Int32Array
  readonly c: Int32Array
  /** Row of a contact's coil; −1 elsewhere. */
  readonly coil: Int32Array
  readonly kind: Uint8Array
  /** Rows that are solved in one state which is checked afterwards. */
  readonly stateful: readonly number[]
  readonly lopsided: boolean
  readonly order: Int32Array
  /** later[start[i]] … later[start[i + 1]]: the nodes the pivot of step i meets. */
  readonly start: Int32Array
  readonly later: Int32Array
  readonly touched: Int32Array
  /** Row and column of each touched place. */
  readonly touchedRow: Int32Array
  readonly touchedColumn: Int32Array
  /** Rows that are resistors or sources, and all others. */
  readonly straight: Int32Array
  readonly crooked: Int32Array
}

/** Voltages by node, node 1 first, and currents by row. */
export interface Solution {
  readonly x: Float64Array
  readonly through: Float64Array
  readonly steps: number
  readonly imbalance: number
}

export class PreparedNetwork {
  /** Node voltages, node 1 first; kept from solution to solution. Nodes inside rows follow with `fill`. */
  readonly x: Float64Array
  refs: readonly string[]
  steps = 0
  /** Worst current imbalance of the last solution, ampere. */
  imbalance = 0
  private readonly n: number
  private network: Network
  private elements: readonly Element[]
  private readonly pattern: Pattern
  /** First element of each row. */
  private lead: readonly Element[] = []
  private readonly key: string
  /** Current of each row along its way; a source's is what it delivers. */
  private readonly through: Float64Array
  /** Conductance; or saturation current. */
  private readonly p0: Float64Array
  /** Voltage of a source or regulator; emission × thermal voltage of a diode; stretch of a curve. */
  private readonly p1: Float64Array
  private readonly p2: Float64Array
  /** ln(saturation × series ÷ nVt) + saturation × series ÷ nVt. */
  private readonly p3: Float64Array
  /** Share of a transistor's junction. */
  private readonly p4: Float64Array
  private readonly w: Float64Array
  /** Of each element: resistance, nVt, and nVt × ln saturation; zero where it has none. */
  private readonly ohm: Float64Array
  private readonly nVt: Float64Array
  private readonly lift: Float64Array
  /** Rows whose members changed since they were added up. */
  private readonly stale: Uint8Array
  private readonly matrix: Float64Array
  private readonly off: Float64Array
  /** What resistors, sources and the leak put into matrix and imbalance: the same at every step. */
  private readonly base: Float64Array
  private readonly given: Float64Array
  private readonly bend: Float64Array
  private readonly slope: Float64Array
  /** Current at which a diode is bent in the first step; 0: at its voltage. And what a regulator gave before. */
  private readonly hint: Float64Array
  private readonly state: Uint8Array
  private index: ReadonlyMap<string, number>
  /** Place of each ref among the elements. */
  private place: ReadonlyMap<string, number>

  /** Throws for an ideal source, which this does not take. */
  constructor(network: Network, key = patternKey(network)) {
    if (network.elements.some((e) => e.kind === "source" && e.ohm === 0))
      throw new Error("an ideal source cannot be prepared")
    this.network = network
    this.elements = network.elements
    this.refs = network.elements.map((e) => e.ref)
    const n = network.names.length - 1
    this.n = n
    this.key = key
    this.pattern = patternOf(network, this.key)
    const count = network.elements.length
    const rows = this.pattern.rows.length
    this.x = new Float64Array(n)
    this.off = new Float64Array(n)
    this.matrix = new Float64Array(n * n)
    this.base = new Float64Array(n * n)
    this.given = new Float64Array(n)
    this.through = new Float64Array(rows)
    this.p0 = new Float64Array(rows)
    this.p1 = new Float64Array(rows)
    this.p2 = new Float64Array(rows)
    this.p3 = new Float64Array(rows)
    this.p4 = new Float64Array(rows)
    this.w = new Float64Array(rows).fill(1)
    this.bend = new Float64Array(rows)
    this.slope = new Float64Array(rows)
    this.hint = new Float64Array(rows)
    this.state = new Uint8Array(rows)
    this.stale = new Uint8Array(rows)
    this.ohm = new Float64Array(count)
    this.nVt = new Float64Array(count)
    this.lift = new Float64Array(count)
    this.index = new Map(network.names.map((name, i) => [name, i - 1]))
    this.place = new Map(this.refs.map((ref, k) => [ref, k]))
    this.take()
  }

  setResistor(k: number, ohm: number): void {
    this.ohm[k] = ohm
    this.stale[this.pattern.rowOf[k]!] = 1
  }
  setSource(k: number, volt: number, ohm = this.ohm[k]!): void {
    const row = this.pattern.rowOf[k]!
    this.ohm[k] = ohm
    this.p0[row] = 1 / ohm
    this.p1[row] = volt
  }
  setDiode(k: number, saturation: number, nVt: number, series: number): void {
    this.setDiodeLog(k, Math.log(saturation), nVt, series)
  }
  /** With the natural logarithm of the saturation current. */
  setDiodeLog(k: number, logSaturation: number, nVt: number, series: number): void {
    this.ohm[k] = series
    this.nVt[k] = nVt
    this.lift[k] = nVt * logSaturation
    this.stale[this.pattern.rowOf[k]!] = 1
  }
  setRegulator(k: number, volt: number): void {
    this.p1[this.pattern.rowOf[k]!] = volt
  }
  /** The share of a transistor's junction that flows on through its third pin. */
  setShare(k: number, share: number): void {
    this.p4[this.pattern.rowOf[k]!] = share
  }
  shareOf(k: number): number {
    return this.p4[this.pattern.rowOf[k]!]!
  }
  /** A curve with all its voltages that many times as large. */
  setStretch(k: number, times: number): void {
    this.p1[this.pattern.rowOf[k]!] = times
  }
  /** Resistance of a resistor or a source. */
  ohmOf(k: number): number {
    return this.ohm[k]!
  }
  voltOf(k: number): number {
    return this.p1[this.pattern.rowOf[k]!]!
  }
  /** Current from first to second pin of an element; a source's is what it delivers. */
  currentOf(k: number): number {
    const row = this.pattern.rowOf[k]!
    return this.pattern.turned[k] === 1 ? -this.through[row]! : this.through[row]!
  }

  /** The same in a solution kept. */
  currentIn({ through }: Solution, k: number): number {
    const i = through[this.pattern.rowOf[k]!]!
    return this.pattern.turned[k] === 1 ? -i : i
  }

  private take(): void {
    this.stale.fill(1)
    this.lead = this.pattern.rows.map((row) => this.elements[row.members[0]!]!)
    this.elements.forEach((e, k) => {
      if (e.kind === "resistor") this.ohm[k] = e.ohm
      else if (e.kind === "source") this.setSource(k, e.volt, e.ohm)
      else if (e.kind === "diode") {
        this.setDiode(k, e.saturation, e.nVt, e.series)
        this.setShare(k, e.share ?? 0)
      } else if (e.kind === "curve") this.setStretch(k, 1)
      else if (e.kind === "regulator") this.setRegulator(k, e.volt)
    })
  }

  /** Adds up the members of rows that changed. */
  private settleRows(): void {
    const { pattern, p0, p1, p2, p3, ohm, nVt, lift, stale } = this
    for (let r = 0; r < pattern.rows.length; r++) {
      if (stale[r] === 0) continue
      stale[r] = 0
      const kind = pattern.kind[r]!
      const { members } = pattern.rows[r]!
      if (kind === 0) p0[r] = 1 / ohm[members[0]!]!
      else if (kind === 2) {
        let series = 0
        let volts = 0
        let lifts = 0
        for (let m = 0; m < members.length; m++) {
          const k = members[m]!
          series += ohm[k]!
          volts += nVt[k]!
          lifts += lift[k]!
        }
        series = Math.max(series, 1e-12)
        const log = lifts / volts
        const saturation = Math.exp(log)
        p0[r] = saturation
        p1[r] = volts
        p2[r] = series
        p3[r] = log + Math.log(series / volts) + (saturation * series) / volts
      }
    }
  }

  /** Resistors, sources and leak into `base` and `given`. */
  private layStraight(leak: number): void {
    const { n, base, given, pattern, p0, p1 } = this
    const { touched, straight, kind, a, b, order } = pattern
    for (let t = 0; t < touched.length; t++) base[touched[t]!] = 0
    given.fill(0)
    for (let s = 0; s < straight.length; s++) {
      const r = straight[s]!
      const p = a[r]!
      const q = b[r]!
      const g = p0[r]!
      const push = kind[r] === 1 ? g * p1[r]! : 0
      if (p >= 0) {
        base[p * n + p] = base[p * n + p]! + g
        given[p] = given[p]! + push
        if (q >= 0) base[p * n + q] = base[p * n + q]! - g
      }
      if (q >= 0) {
        base[q * n + q] = base[q * n + q]! + g
        given[q] = given[q]! - push
        if (p >= 0) base[q * n + p] = base[q * n + p]! - g
      }
    }
    for (let s = 0; s < order.length; s++) {
      const i = order[s]!
      base[i * n + i] = base[i * n + i]! + leak
    }
  }

  /** Currents of resistors and sources at x. */
  private tellStraight(): void {
    const { pattern, x, p0, p1, through } = this
    const { straight, kind, a, b } = pattern
    for (let s = 0; s < straight.length; s++) {
      const r = straight[s]!
      const v = (a[r]! < 0 ? 0 : x[a[r]!]!) - (b[r]! < 0 ? 0 : x[b[r]!]!)
      through[r] = kind[r] === 1 ? (p1[r]! - v) * p0[r]! : v * p0[r]!
    }
  }

  /** Same elements between the same nodes, other values and names. False when the pattern differs. */
  load(network: Network, key = patternKey(network)): boolean {
    if (network.elements.length !== this.elements.length || network.names.length - 1 !== this.n) return false
    if (network.elements.some((e) => e.kind === "source" && e.ohm === 0)) return false
    if (key !== this.key) return false
    this.elements = network.elements
    if (network.names.some((name, i) => this.index.get(name) !== i - 1))
      this.index = new Map(network.names.map((name, i) => [name, i - 1]))
    if (network.elements.some((e, k) => e.ref !== this.refs[k])) {
      this.refs = network.elements.map((e) => e.ref)
      this.place = new Map(this.refs.map((ref, k) => [ref, k]))
    }
    this.network = network
    this.take()
    return true
  }

  /** Currents of the rows, as `bendAt` takes them. */
  currents(): Float64Array {
    return this.through.slice()
  }
  /** The first step of the next solution bends diodes at these currents: they change less than voltages do. */
  bendAt(current: (row: number) => number): void {
    for (let r = 0; r < this.hint.length; r++) this.hint[r] = current(r)
  }

  /** False when that point lacks a node. */
  startFrom(point: OperatingPoint): boolean {
    const { rows, kind } = this.pattern
    this.bendAt((r) =>
      hinted(kind[r]!) ? Math.abs(point.current(this.refs[rows[r]!.members[0]!]!)) || 0 : 0,
    )
    let all = true
    for (const [name, i] of this.index) {
      if (i < 0) continue
      const v = point.voltage(name)
      if (Number.isFinite(v)) this.x[i] = v
      else all = false
    }
    this.w.fill(1)
    return all
  }

  /** As from the point made of that solution. */
  startFromSolution(solution: Solution): void {
    const { x, hint, pattern } = this
    const { kind } = pattern
    for (let r = 0; r < hint.length; r++) hint[r] = hinted(kind[r]!) ? Math.abs(solution.through[r]!) || 0 : 0
    // A loop copies so few numbers sooner than `set` is called.
    for (let i = 0; i < x.length; i++) x[i] = solution.x[i]!
    this.w.fill(1)
  }

  /** Voltages of the nodes inside rows, from the current that runs through them. */
  fill({ x, through }: Pick<Solution, "x" | "through"> = { x: this.x, through: this.through }): void {
    const { pattern, ohm, nVt, lift } = this
    for (let r = 0; r < pattern.rows.length; r++) {
      const { members, inner } = pattern.rows[r]!
      if (inner.length === 0) continue
      const i = through[r]!
      const top = pattern.a[r]! < 0 ? 0 : x[pattern.a[r]!]!
      const foot = pattern.b[r]! < 0 ? 0 : x[pattern.b[r]!]!
      if (i > 1e-16) {
        const log = Math.log(i)
        let v = foot
        for (let m = members.length - 1; m > 0; m--) {
          const k = members[m]!
          v += nVt[k]! * log - lift[k]! + i * ohm[k]!
          x[inner[m - 1]! - 1] = v
        }
        continue
      }
      // Nothing flows: what is left of the voltage lies over the diodes.
      let volts = 0
      for (const k of members) volts += nVt[k]!
      let v = foot
      for (let m = members.length - 1; m > 0; m--) {
        v += ((top - foot) * nVt[members[m]!]!) / volts
        x[inner[m - 1]! - 1] = v
      }
    }
  }

  /** Sum of the squared voltages of all nodes that were solved: with the leak, what the dirt on them takes. */
  squaredVolts(): number {
    let sum = 0
    for (const i of this.pattern.order) sum += this.x[i]! * this.x[i]!
    return sum
  }

  /** The last solution, kept apart from the next. */
  solution(): Solution {
    this.fill()
    return this.bareSolution()
  }

  /** The same without the voltages inside rows, which `fill` adds when they are asked for. */
  bareSolution(): Solution {
    return { x: this.x.slice(), through: this.through.slice(), steps: this.steps, imbalance: this.imbalance }
  }

  /** The last solution, or one before it, told by names. */
  point(orders: OperatingPoint["orders"], solution = this.solution()): OperatingPoint {
    const { x, steps, imbalance } = solution
    // Kept with the point: another network of this pattern may bring other names.
    const { index, place, network } = this
    const ofElement = (ref: string) => {
      const k = place.get(ref)
      return k === undefined ? Number.NaN : this.currentIn(solution, k)
    }
    let pins: ReadonlyMap<string, number> | undefined
    return {
      converged: true,
      imbalance,
      steps,
      orders,
      voltage: (node) => {
        const i = index.get(node)
        return i === undefined ? Number.NaN : i < 0 ? 0 : x[i]!
      },
      current: (ref) => {
        const k = place.get(ref)
        if (k !== undefined) return this.currentIn(solution, k)
        pins ??= new Map(network.pinCurrents(ofElement, (node) => (node === 0 ? 0 : x[node - 1]!)))
        return pins.get(ref) ?? Number.NaN
      },
    }
  }

  /** Volt to the reference; NaN for a node that does not exist. */
  voltage(node: string): number {
    const i = this.index.get(node)
    return i === undefined ? Number.NaN : i < 0 ? 0 : this.x[i]!
  }

  /** True when every node balances; starts from `x`, or with every diode bent at its knee when `fresh`. */
  solve(accuracy: Accuracy, fresh = false): boolean {
    const { n, x, off, elements, pattern } = this
    const { rows, crooked, stateful, order } = pattern
    this.settleRows()
    this.layStraight(accuracy.leak)
    this.bend.fill(Number.NaN)
    if (fresh) {
      x.fill(0)
      this.w.fill(1)
      this.hint.fill(1e-3)
    }
    for (const r of stateful) {
      const e = elements[rows[r]!.members[0]!]!
      if (e.kind === "regulator") this.state[r] = fresh ? 1 : this.likely(e, r)
      else if (e.kind === "contact") this.state[r] = e.pulled === true ? 1 : 0
    }
    let rounds = 0
    let before = Number.POSITIVE_INFINITY
    for (let step = 0; step < maxSteps; step++) {
      // A pair of laws may throw currents to and fro; then bend at the voltages.
      const bent = this.assemble(step === 0, fresh, step < 25)
      if (step === 0) this.hint.fill(0)
      let worst = 0
      let most = 0
      for (let i = 0; i < n; i++) worst = Math.max(worst, Math.abs(off[i]!))
      for (let s = 0; s < crooked.length; s++) most = Math.max(most, Math.abs(this.through[crooked[s]!]!))
      this.imbalance = worst
      this.steps = step
      if (!Number.isFinite(worst)) return false
      if (!bent && worst <= accuracy.imbalance + 1e-11 * most) {
        this.tellStraight()
        let changed = false
        for (const r of stateful) {
          const state = this.stateAt(elements[rows[r]!.members[0]!]!, r)
          if (state === this.state[r]) continue
          this.state[r] = state
          changed = true
        }
        if (!changed) return true
        if (rounds++ > 14) return false
        this.assemble(false, false, true)
      }
      if (!this.eliminate()) return false
      // Between two stretches of a curve it may go to and fro without end: half the way breaks that.
      const way = step >= patient && worst > 0.9 * before ? 0.5 : 1
      before = worst
      for (let s = 0; s < order.length; s++) {
        const i = order[s]!
        x[i] = x[i]! + way * off[i]!
      }
      if (step === maxSteps - 1) break
    }
    this.matrix.fill(0)
    return false
  }

  /** Imbalance into `off`, slopes into `matrix`, currents into `through`. True when a diode was bent elsewhere than at x. */
  private assemble(first: boolean, fresh: boolean, straight: boolean): boolean {
    const { n, x, off, matrix, through, bend, slope, hint, p0, p1, p2, p3, w, lead } = this
    const { base, given } = this
    const { touched, touchedRow, touchedColumn, crooked, a, b, c, kind, lopsided } = this.pattern
    for (let i = 0; i < n; i++) off[i] = given[i]!
    for (let t = 0; t < touched.length; t++) {
      const at = touched[t]!
      const g = base[at]!
      matrix[at] = g
      if (g !== 0) {
        const row = touchedRow[t]!
        off[row] = off[row]! - g * x[touchedColumn[t]!]!
      }
    }
    let bent = false
    for (let s = 0; s < crooked.length; s++) {
      const k = crooked[s]!
      const p = a[k]!
      const q = b[k]!
      const vp = p < 0 ? 0 : x[p]!
      const vq = q < 0 ? 0 : x[q]!
      const v = vp - vq
      let i = 0
      let g = 0
      switch (kind[k]) {
        case 2: {
          const saturation = p0[k]!
          const nVt = p1[k]!
          const series = p2[k]!
          const before = bend[k]!
          // The current the last tangent foretells is nearer the answer than the voltage: bend where it flows.
          let told = first ? hint[k]! : straight ? through[k]! + slope[k]! * (v - before) : 0
          // One that is told to block would fall by a factor of e at a time.
          if (told <= 1e-9 && straight && !first && through[k]! > 1e-6) told = 0.03 * through[k]!
          let where = v
          if (told > 1e-9) {
            i = told
            where = nVt * Math.log1p(i / saturation) + i * series
            g = 1 / (nVt / (i + saturation) + series)
            w[k] = ((i + saturation) * series) / nVt
          } else {
            if (v > before) {
              // Rise tenfold in current at a time: the tangent at v would be far too steep to be of use.
              const most = 10 * Math.max((nVt / series) * w[k]! - saturation, 1e-3)
              const highest = nVt * Math.log1p(most / saturation) + most * series
              if (highest < v) where = highest
            }
            const now = wNear(p3[k]! + where / nVt, w[k]!)
            w[k] = now
            g = now / (1 + now) / series
            i = (nVt / series) * now - saturation
          }
          bend[k] = where
          slope[k] = g
          through[k] = i
          if (where !== v) {
            // What is left is of second order: a tenth of a microvolt is less than a picoampere.
            if (Math.abs(v - where) > 1e-7) bent = true
            i += g * (v - where)
          }
          const e = lopsided ? lead[k]! : undefined
          if (e?.kind === "diode" && e.share !== undefined) {
            const r = c[k]!
            // As in `operatingPoint`: a share of the junction's current through the third pin.
            const pnp = e.base === "b"
            const share = this.p4[k]!
            const part = share * i
            this.carry(pnp ? q : r, pnp ? r : p, p, q, part, share * g)
            const vr = r < 0 ? 0 : x[r]!
            const across = pnp ? vq - vr : vr - vp
            if (e.early !== undefined && across > 0) {
              const from = pnp ? p : r
              const to = pnp ? r : q
              this.carry(from, to, p, q, (part * across) / e.early, (share * g * across) / e.early)
              this.carry(from, to, pnp ? q : r, pnp ? r : p, 0, part / e.early)
            }
          }
          break
        }
        case 3: {
          const { points, start } = lead[k] as Extract<Element, { kind: "curve" }>
          const stretch = p1[k]!
          const where = first && fresh ? start : v / stretch
          let s = 1
          while (s < points.length - 1 && where > points[s]![0]) s++
          const from = points[s - 1]!
          const to = points[s]!
          g = (to[1] - from[1]) / (to[0] - from[0]) / stretch
          i = from[1] + g * (v - from[0] * stretch)
          through[k] = i
          if (first && fresh) bent = true
          break
        }
        case 5: {
          const e = lead[k] as Extract<Element, { kind: "channel" }>
          const r = c[k]!
          const gate = r < 0 ? 0 : x[r]!
          const from = channelCharge(e.sign * (gate - vq) - e.threshold, e.gain)
          const to = channelCharge(e.sign * (gate - vp) - e.threshold, e.gain)
          i = e.sign * (from.current - to.current)
          through[k] = i
          this.carry(p, q, r, q, i, from.slope)
          this.carry(p, q, r, p, 0, -to.slope)
          continue
        }
        case 6: {
          const e = lead[k] as Extract<Element, { kind: "contact" }>
          g = 1 / ((this.state[k] === 1) !== e.rest ? e.onOhm : e.offOhm)
          i = v * g
          through[k] = i
          break
        }
        default: {
          const e = lead[k] as Extract<Element, { kind: "regulator" }>
          const r = c[k]!
          const earth = r < 0 ? 0 : x[r]!
          const share = Math.min(Math.max((vp - earth) / 2, 0), 1)
          this.carry(p, r, p, r, e.quiescent * share, share > 0 && share < 1 ? e.quiescent / 2 : 0)
          const state = this.state[k]!
          if (state === 1) {
            i = (v - (e.headroom ?? 0)) / e.dropout
            this.carry(p, q, p, q, i, 1 / e.dropout)
          } else if (state === 2) {
            i = (p1[k]! - vq + earth) / e.ohm
            this.carry(p, q, r, q, i, 1 / e.ohm)
          } else if (state === 3) {
            i = e.limit! + limitSlope * v
            this.carry(p, q, p, q, i, limitSlope)
          }
          through[k] = i
          continue
        }
      }
      if (p >= 0) {
        off[p] = off[p]! - i
        matrix[p * n + p] = matrix[p * n + p]! + g
        if (q >= 0) matrix[p * n + q] = matrix[p * n + q]! - g
      }
      if (q >= 0) {
        off[q] = off[q]! + i
        matrix[q * n + q] = matrix[q * n + q]! + g
        if (p >= 0) matrix[q * n + p] = matrix[q * n + p]! - g
      }
    }
    return bent
  }

  /** Current i from p to q that follows the voltage between u and w with that slope. */
  private carry(p: number, q: number, u: number, w: number, i: number, g: number): void {
    const { n, off, matrix } = this
    if (p >= 0) {
      off[p] = off[p]! - i
      if (u >= 0) matrix[p * n + u] = matrix[p * n + u]! + g
      if (w >= 0) matrix[p * n + w] = matrix[p * n + w]! - g
    }
    if (q >= 0) {
      off[q] = off[q]! + i
      if (u >= 0) matrix[q * n + u] = matrix[q * n + u]! - g
      if (w >= 0) matrix[q * n + w] = matrix[q * n + w]! + g
    }
  }

  /** Solves for the step along the fixed order; `off` becomes the step. */
  private eliminate(): boolean {
    const { n, matrix, off } = this
    const { order, start, later, lopsided } = this.pattern
    for (let step = 0; step < order.length; step++) {
      const k = order[step]!
      const row = k * n
      const pivot = matrix[row + k]!
      if (!(Math.abs(pivot) > 1e-18)) return false
      const to = start[step + 1]!
      if (lopsided) {
        // With transistors the matrix is not symmetric, and a pivot may be too small beside its row.
        for (let s = start[step]!; s < to; s++)
          if (!(Math.abs(pivot) > 1e-9 * Math.abs(matrix[row + later[s]!]!))) return false
      }
      for (let s = start[step]!; s < to; s++) {
        const i = later[s]!
        const below = matrix[i * n + k]!
        if (below === 0) continue
        const factor = below / pivot
        for (let t = start[step]!; t < to; t++) {
          const j = later[t]!
          matrix[i * n + j] = matrix[i * n + j]! - factor * matrix[row + j]!
        }
        off[i] = off[i]! - factor * off[k]!
      }
    }
    for (let step = order.length - 1; step >= 0; step--) {
      const k = order[step]!
      let sum = off[k]!
      const to = start[step + 1]!
      for (let t = start[step]!; t < to; t++) sum -= matrix[k * n + later[t]!]! * off[later[t]!]!
      off[k] = sum / matrix[k * n + k]!
    }
    return true
  }

  private stateAt(e: Element, r: number): number {
    const was = this.state[r]!
    if (e.kind === "regulator") return this.fits(e, r, was)
    if (e.kind !== "contact") return was
    if (e.pulled !== undefined) return e.pulled ? 1 : 0
    const amps = Math.abs(this.through[this.pattern.coil[r]!] ?? 0)
    return (was === 1 ? amps >= e.dropOut : amps >= e.pullIn) ? 1 : 0
  }

  /** Where it starts from: by its input alone, as the output may not have followed what it is now set to. */
  private likely(e: Extract<Element, { kind: "regulator" }>, r: number): number {
    const { a, b, c } = this.pattern
    const at = (i: number) => (i < 0 ? 0 : this.x[i]!)
    // Something else holds its output well above what it is set to.
    if (at(b[r]!) - at(c[r]!) > 1.1 * this.p1[r]!) return 0
    const spare = at(a[r]!) - at(c[r]!) - this.p1[r]! - (e.headroom ?? 0)
    const flows = Math.abs(this.hint[r]!)
    if (!(spare > e.dropout * flows)) return this.fits(e, r, 1)
    return e.limit !== undefined && flows >= e.limit ? 3 : 2
  }

  /** 0 gives nothing, 1 is fully on and still short of voltage, 2 regulates, 3 gives the most it is let. */
  private fits(e: Extract<Element, { kind: "regulator" }>, r: number, state: number): number {
    const { a, b, c } = this.pattern
    const at = (i: number) => (i < 0 ? 0 : this.x[i]!)
    const may = (this.p1[r]! - at(b[r]!) + at(c[r]!)) / e.ohm
    const can = (at(a[r]!) - at(b[r]!) - (e.headroom ?? 0)) / e.dropout
    const most =
      e.limit === undefined ? Number.POSITIVE_INFINITY : e.limit + limitSlope * (at(a[r]!) - at(b[r]!))
    if (state === 1) return can < 0 ? 0 : may < can ? 2 : can > most ? 3 : 1
    if (state === 2) return may < 0 ? 0 : may > most ? 3 : may > can ? 1 : 2
    if (state === 3) return may < most ? (may < 0 ? 0 : 2) : can < most ? 1 : 3
    return may > 0 && can > 0 ? (most < Math.min(may, can) ? 3 : 2) : 0
  }
}

/** Diodes and regulators start from the current before. */
const hinted = (kind: number) => kind === 2 || kind === 4

const kinds = ["resistor", "source", "diode", "curve", "regulator", "channel", "contact"]

/** Which elements of which kind meet where. */
export function patternKey(network: Network): string {
  let key = `${network.names.length}`
  for (const e of network.elements) {
    const kind = kinds.indexOf(e.kind)
    key += `;${e.kind === "diode" && !joins(e) ? 9 : kind} ${e.a} ${e.b} ${thirdPin(e)}`
    if (e.kind === "contact") key += e.coil
  }
  return key
}

/** Patterns met before; a design has few, and solves each many times. */
const known = new Map<string, Pattern>()
const mostKnown = 256

function patternOf(network: Network, key: string): Pattern {
  const before = known.get(key)
  if (before) return before
  const made = makePattern(network)
  if (known.size >= mostKnown)
    for (const oldest of [...known.keys()].slice(0, mostKnown / 2)) known.delete(oldest)
  known.set(key, made)
  return made
}

function makePattern(network: Network): Pattern {
  const { elements } = network
  const n = network.names.length - 1
  const rows = rowsOf(network)
  const rowOf = new Int32Array(elements.length)
  const turned = new Uint8Array(elements.length)
  const inside = new Uint8Array(n)
  rows.forEach((row, r) => {
    const path = [row.a, ...row.inner, row.b]
    row.members.forEach((k, m) => {
      rowOf[k] = r
      turned[k] = elements[k]!.a === path[m] ? 0 : 1
    })
    for (const node of row.inner) inside[node - 1] = 1
  })
  const lead = rows.map((row) => elements[row.members[0]!]!)
  const a = Int32Array.from(rows, (row) => row.a - 1)
  const b = Int32Array.from(rows, (row) => row.b - 1)
  const c = Int32Array.from(lead, (e) => thirdPin(e) - 1)
  const coil = Int32Array.from(lead, (e) => {
    const k = e.kind === "contact" ? elements.findIndex((o) => o.kind === "resistor" && o.ref === e.coil) : -1
    return k < 0 ? -1 : rowOf[k]!
  })
  const kind = Uint8Array.from(rows, (row) => {
    const diode = row.members.some((k) => elements[k]!.kind === "diode")
    return diode ? 2 : kinds.indexOf(elements[row.members[0]!]!.kind)
  })
  const meets = Array.from({ length: n }, () => new Set<number>())
  rows.forEach((_, r) => {
    const pins = [a[r]!, b[r]!, c[r]!].filter((p) => p >= 0)
    for (const p of pins) for (const q of pins) if (p !== q) meets[p]!.add(q)
  })
  const all = eliminationOrder(meets)
  // Nodes inside rows meet nothing: they are not solved.
  const steps = [...all.order.keys()].filter((s) => inside[all.order[s]!] === 0)
  const order = Int32Array.from(steps, (s) => all.order[s]!)
  const later = steps.map((s) => all.later[s]!)
  const start = new Int32Array(order.length + 1)
  later.forEach((l, i) => {
    start[i + 1] = start[i]! + l.length
  })
  const flat = new Int32Array(start[order.length]!)
  later.forEach((l, i) => {
    flat.set(l, start[i]!)
  })
  const touched = new Set<number>()
  order.forEach((k, i) => {
    touched.add(k * n + k)
    for (const j of later[i]!) {
      touched.add(k * n + j)
      touched.add(j * n + k)
    }
  })
  return {
    rows,
    rowOf,
    turned,
    a,
    b,
    c,
    coil,
    kind,
    stateful: lead.flatMap((e, r) => (e.kind === "regulator" || e.kind === "contact" ? [r] : [])),
    lopsided: lead.some((e) => e.kind === "channel" || (e.kind === "diode" && e.share !== undefined)),
    order,
    start,
    later: flat,
    ...places(Int32Array.from(touched).sort(), n),
    straight: Int32Array.from([...kind.keys()].filter((r) => kind[r]! <= 1)),
    crooked: Int32Array.from([...kind.keys()].filter((r) => kind[r]! > 1)),
  }
}

const places = (touched: Int32Array, n: number) => ({
  touched,
  touchedRow: touched.map((t) => Math.floor(t / n)),
  touchedColumn: touched.map((t) => t % n),
})

/**
 * w + ln w = L from a nearby w, by the step of F. N. Fritsch, R. E. Shafer and W. P. Crowley (Comm. ACM 16, 1973,
 * p. 123, algorithm 443), whose error falls with the fourth power.
 */
function wNear(L: number, near: number): number {
  if (L < -36) return Math.exp(L)
  let w = near
  // Far off: begin where the closed form does.
  if (!(Math.abs(L - near - Math.log(near)) < 2)) w = L > 1 ? L - Math.log(L) : Math.exp(L)
  for (let i = 0; i < 8; i++) {
    const z = L - Math.log(w) - w
    const q = 2 * (1 + w) * (1 + w + (2 / 3) * z)
    const e = (z / (1 + w)) * ((q - z) / (q - 2 * z))
    w *= 1 + e
    if (Math.abs(e) < 1e-5) return w
    if (!(w > 0)) return wOfLog(L)
  }
  return wOfLog(L)
}
