// A network solved again and again with other values: places in the matrix and the order of elimination are worked
// out once, values lie in flat arrays, and each solution starts from the one before. Same laws as `operatingPoint`,
// which is asked whenever this does not settle.

import { wOfLog } from "./lambert.ts"
import { channelCharge, type Element, limitSlope, type Network, thirdPin } from "./network.ts"
import type { Accuracy, OperatingPoint } from "./operating-point.ts"
import { eliminationOrder } from "./sparse-order.ts"

const maxSteps = 60

export class PreparedNetwork {
  /** Node voltages, index by `nodeOf`; kept from solution to solution. */
  readonly x: Float64Array
  /** Current from first to second pin of each element; a source's is what it delivers. */
  readonly current: Float64Array
  readonly refs: readonly string[]
  steps = 0
  /** Worst current imbalance of the last solution, ampere. */
  imbalance = 0
  private readonly n: number
  private elements: readonly Element[]
  private network: Network
  /** Index into `kinds`. */
  private readonly kind: Uint8Array
  /** Conductance; or saturation current. */
  private readonly p0: Float64Array
  /** Source voltage; or emission × thermal voltage. */
  private readonly p1: Float64Array
  private readonly p2: Float64Array
  /** ln(saturation × series ÷ nVt) + saturation × series ÷ nVt. */
  private readonly p3: Float64Array
  private readonly w: Float64Array
  private readonly a: Int32Array
  private readonly b: Int32Array
  /** Third pin; −1 for none. */
  private readonly c: Int32Array
  /** A contact's coil, by its place among the elements. */
  private readonly coil: Int32Array
  /** Elements that are solved in one state which is checked afterwards. */
  private readonly stateful: readonly number[]
  private readonly lopsided: boolean
  private readonly matrix: Float64Array
  private readonly touched: Int32Array
  private readonly order: Int32Array
  private readonly start: Int32Array
  private readonly later: Int32Array
  private readonly off: Float64Array
  private readonly bend: Float64Array
  private readonly state: Uint8Array
  private readonly names: ReadonlyMap<string, number>

  /** Throws for an ideal source, which this does not take. */
  constructor(network: Network) {
    this.elements = network.elements
    this.network = network
    this.refs = network.elements.map((e) => e.ref)
    this.names = new Map(network.names.map((name, i) => [name, i - 1]))
    const n = network.names.length - 1
    this.n = n
    const count = network.elements.length
    this.a = Int32Array.from(network.elements, (e) => e.a - 1)
    this.b = Int32Array.from(network.elements, (e) => e.b - 1)
    this.c = Int32Array.from(network.elements, (e) => thirdPin(e) - 1)
    this.coil = Int32Array.from(network.elements, (e) =>
      e.kind === "contact"
        ? network.elements.findIndex((c) => c.kind === "resistor" && c.ref === e.coil)
        : -1,
    )
    this.stateful = network.elements.flatMap((e, k) =>
      e.kind === "regulator" || e.kind === "contact" ? [k] : [],
    )
    if (network.elements.some((e) => e.kind === "source" && e.ohm === 0))
      throw new Error("an ideal source cannot be prepared")
    this.lopsided = network.elements.some((e) => e.kind === "channel" || (e.kind === "diode" && e.share))
    this.kind = Uint8Array.from(network.elements, (e) => kinds.indexOf(e.kind))
    this.p0 = new Float64Array(count)
    this.p1 = new Float64Array(count)
    this.p2 = new Float64Array(count)
    this.p3 = new Float64Array(count)
    this.w = new Float64Array(count).fill(1)
    this.x = new Float64Array(n)
    this.off = new Float64Array(n)
    this.current = new Float64Array(count)
    this.bend = new Float64Array(count)
    this.state = new Uint8Array(count)
    this.matrix = new Float64Array(n * n)
    const meets = Array.from({ length: n }, () => new Set<number>())
    for (let k = 0; k < count; k++) {
      const pins = [this.a[k]!, this.b[k]!, this.c[k]!].filter((p) => p >= 0)
      for (const p of pins) for (const q of pins) if (p !== q) meets[p]!.add(q)
    }
    const { order, later } = eliminationOrder(meets)
    this.order = order
    this.start = new Int32Array(n + 1)
    later.forEach((l, i) => {
      this.start[i + 1] = this.start[i]! + l.length
    })
    this.later = new Int32Array(this.start[n]!)
    later.forEach((l, i) => {
      this.later.set(l, this.start[i]!)
    })
    const touched = new Set<number>()
    for (let step = 0; step < n; step++) {
      const k = order[step]!
      touched.add(k * n + k)
      for (const i of later[step]!) {
        touched.add(k * n + i)
        touched.add(i * n + k)
      }
    }
    this.touched = Int32Array.from(touched).sort()
    this.take()
  }

  setResistor(k: number, ohm: number): void {
    this.p0[k] = 1 / ohm
  }
  setSource(k: number, volt: number): void {
    this.p1[k] = volt
  }
  setDiode(k: number, saturation: number, nVt: number, series: number): void {
    const ohm = Math.max(series, 1e-12)
    this.p0[k] = saturation
    this.p1[k] = nVt
    this.p2[k] = ohm
    this.p3[k] = Math.log((saturation * ohm) / nVt) + (saturation * ohm) / nVt
  }
  /** Resistance of a resistor or a source. */
  ohmOf(k: number): number {
    return 1 / this.p0[k]!
  }
  voltOf(k: number): number {
    return this.p1[k]!
  }

  private take(): void {
    this.elements.forEach((e, k) => {
      if (e.kind === "resistor") this.setResistor(k, e.ohm)
      else if (e.kind === "source") {
        this.p0[k] = 1 / e.ohm
        this.p1[k] = e.volt
      } else if (e.kind === "diode") this.setDiode(k, e.saturation, e.nVt, e.series)
    })
  }

  /** Same elements between the same nodes, other values. False when the pattern differs. */
  load(network: Network): boolean {
    if (network.elements.length !== this.elements.length || network.names.length - 1 !== this.n) return false
    for (let k = 0; k < network.elements.length; k++) {
      const e = network.elements[k]!
      const was = this.elements[k]!
      if (e.kind !== was.kind || e.a !== was.a || e.b !== was.b) return false
      if (thirdPin(e) - 1 !== this.c[k]) return false
      if (e.kind === "source" && e.ohm === 0) return false
    }
    this.elements = network.elements
    this.network = network
    this.take()
    return true
  }

  startFrom(point: OperatingPoint): void {
    for (const [name, i] of this.names) if (i >= 0) this.x[i] = point.voltage(name)
  }

  /** The last solution, kept apart from the next. */
  point(orders: OperatingPoint["orders"]): OperatingPoint {
    const x = this.x.slice()
    const current = new Map(this.refs.map((ref, k) => [ref, this.current[k]!]))
    const told = (ref: string) => current.get(ref) ?? Number.NaN
    const volt = (node: number) => (node === 0 ? 0 : x[node - 1]!)
    for (const [ref, i] of this.network.pinCurrents(told, volt)) current.set(ref, i)
    return {
      converged: true,
      imbalance: this.imbalance,
      steps: this.steps,
      orders,
      voltage: (node) => {
        const i = this.names.get(node)
        return i === undefined ? Number.NaN : i < 0 ? 0 : x[i]!
      },
      current: told,
    }
  }

  /** Volt to the reference; NaN for a node that does not exist. */
  voltage(node: string): number {
    const i = this.names.get(node)
    return i === undefined ? Number.NaN : i < 0 ? 0 : this.x[i]!
  }

  /** True when every node balances; starts from `x`. */
  solve(accuracy: Accuracy): boolean {
    const { n, x, off, matrix, elements } = this
    this.bend.fill(Number.NaN)
    for (const k of this.stateful) {
      const e = elements[k]!
      if (e.kind === "regulator") this.state[k] = this.fits(e, k, 1)
      else if (e.kind === "contact") this.state[k] = e.pulled === true ? 1 : 0
    }
    let rounds = 0
    for (let step = 0; step < maxSteps; step++) {
      const bent = this.assemble(accuracy.leak)
      let worst = 0
      let most = 0
      for (let i = 0; i < n; i++) worst = Math.max(worst, Math.abs(off[i]!))
      for (let k = 0; k < elements.length; k++) most = Math.max(most, Math.abs(this.current[k]!))
      this.imbalance = worst
      this.steps = step
      if (!Number.isFinite(worst)) return false
      if (!bent && worst <= accuracy.imbalance + 1e-11 * most) {
        let changed = false
        for (const k of this.stateful) {
          const state = this.stateAt(elements[k]!, k)
          if (state === this.state[k]) continue
          this.state[k] = state
          changed = true
        }
        if (!changed) return true
        if (rounds++ > 14) return false
        this.assemble(accuracy.leak)
      }
      if (!this.eliminate()) return false
      for (let i = 0; i < n; i++) x[i] = x[i]! + off[i]!
      if (step === maxSteps - 1) break
    }
    matrix.fill(0)
    return false
  }

  /** Imbalance into `off`, slopes into `matrix`, currents into `current`. True when a diode was bent elsewhere than at x. */
  private assemble(leak: number): boolean {
    const { n, x, off, matrix, touched, a, b, c, current, bend } = this
    for (let i = 0; i < touched.length; i++) matrix[touched[i]!] = 0
    off.fill(0)
    let bent = false
    const { kind, p0, p1, p2, p3, w } = this
    for (let k = 0; k < kind.length; k++) {
      const p = a[k]!
      const q = b[k]!
      const vp = p < 0 ? 0 : x[p]!
      const vq = q < 0 ? 0 : x[q]!
      const v = vp - vq
      let i = 0
      let g = 0
      switch (kind[k]) {
        case 0:
          g = p0[k]!
          i = v * g
          current[k] = i
          break
        case 1:
          g = p0[k]!
          i = (v - p1[k]!) * g
          current[k] = -i
          break
        case 2: {
          const saturation = p0[k]!
          const nVt = p1[k]!
          const series = p2[k]!
          let where = v
          const before = bend[k]!
          if (v > before) {
            // Rise tenfold in current at a time: the tangent at v would be far too steep to be of use.
            const most = 10 * Math.max((nVt / series) * w[k]! - saturation, 1e-3)
            const highest = nVt * Math.log1p(most / saturation) + most * series
            if (highest < v) where = highest
          }
          bend[k] = where
          const now = wNear(p3[k]! + where / nVt, w[k]!)
          w[k] = now
          g = now / (1 + now) / series
          i = (nVt / series) * now - saturation
          current[k] = i
          if (where !== v) {
            if (v - where > 1e-12) bent = true
            i += g * (v - where)
          }
          const e = this.elements[k] as Extract<Element, { kind: "diode" }>
          if (e.share !== undefined) {
            const r = c[k]!
            // As in `operatingPoint`: a share of the junction's current through the third pin.
            const pnp = e.base === "b"
            const part = e.share * i
            this.carry(pnp ? q : r, pnp ? r : p, p, q, part, e.share * g)
            const vr = r < 0 ? 0 : x[r]!
            const across = pnp ? vq - vr : vr - vp
            if (e.early !== undefined && across > 0) {
              const from = pnp ? p : r
              const to = pnp ? r : q
              this.carry(from, to, p, q, (part * across) / e.early, (e.share * g * across) / e.early)
              this.carry(from, to, pnp ? q : r, pnp ? r : p, 0, part / e.early)
            }
          }
          break
        }
        case 3: {
          const { points } = this.elements[k] as Extract<Element, { kind: "curve" }>
          let s = 1
          while (s < points.length - 1 && v > points[s]![0]) s++
          const [v0, i0] = points[s - 1]!
          const [v1, i1] = points[s]!
          g = (i1 - i0) / (v1 - v0)
          i = i0 + g * (v - v0)
          current[k] = i
          break
        }
        case 5: {
          const e = this.elements[k] as Extract<Element, { kind: "channel" }>
          const r = c[k]!
          const gate = r < 0 ? 0 : x[r]!
          const from = channelCharge(e.sign * (gate - vq) - e.threshold, e.gain)
          const to = channelCharge(e.sign * (gate - vp) - e.threshold, e.gain)
          i = e.sign * (from.current - to.current)
          current[k] = i
          this.carry(p, q, r, q, i, from.slope)
          this.carry(p, q, r, p, 0, -to.slope)
          continue
        }
        case 6: {
          const e = this.elements[k] as Extract<Element, { kind: "contact" }>
          g = 1 / ((this.state[k] === 1) !== e.rest ? e.onOhm : e.offOhm)
          i = v * g
          current[k] = i
          break
        }
        default: {
          const e = this.elements[k] as Extract<Element, { kind: "regulator" }>
          const r = c[k]!
          const earth = r < 0 ? 0 : x[r]!
          const share = Math.min(Math.max((vp - earth) / 2, 0), 1)
          const own = e.quiescent * share
          this.stamp(p, r, own, share > 0 && share < 1 ? e.quiescent / 2 : 0)
          const state = this.state[k]!
          let byIn = 0
          let byOut = 0
          let byEarth = 0
          if (state === 1) {
            byIn = 1 / e.dropout
            byOut = -byIn
            i = (v - (e.headroom ?? 0)) * byIn
          } else if (state === 2) {
            byOut = -1 / e.ohm
            byEarth = 1 / e.ohm
            i = (e.volt - vq + earth) / e.ohm
          } else if (state === 3) {
            byIn = limitSlope
            byOut = -limitSlope
            i = e.limit! + limitSlope * v
          }
          current[k] = i
          if (p >= 0) {
            off[p] = off[p]! - i
            matrix[p * n + p] = matrix[p * n + p]! + byIn
            if (q >= 0) matrix[p * n + q] = matrix[p * n + q]! + byOut
            if (r >= 0) matrix[p * n + r] = matrix[p * n + r]! + byEarth
          }
          if (q >= 0) {
            off[q] = off[q]! + i
            matrix[q * n + q] = matrix[q * n + q]! - byOut
            if (p >= 0) matrix[q * n + p] = matrix[q * n + p]! - byIn
            if (r >= 0) matrix[q * n + r] = matrix[q * n + r]! - byEarth
          }
          continue
        }
      }
      this.stamp(p, q, i, g)
    }
    for (let i = 0; i < n; i++) {
      matrix[i * n + i] = matrix[i * n + i]! + leak
      off[i] = off[i]! - leak * x[i]!
    }
    return bent
  }

  private stamp(p: number, q: number, i: number, g: number): void {
    const { n, off, matrix } = this
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
    const { n, matrix, off, order, start, later } = this
    for (let step = 0; step < n; step++) {
      const k = order[step]!
      const row = k * n
      const pivot = matrix[row + k]!
      if (!(Math.abs(pivot) > 1e-18)) return false
      const to = start[step + 1]!
      if (this.lopsided) {
        // With transistors the matrix is not symmetric, and a pivot may be too small beside its column.
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
    for (let step = n - 1; step >= 0; step--) {
      const k = order[step]!
      let sum = off[k]!
      const to = start[step + 1]!
      for (let t = start[step]!; t < to; t++) sum -= matrix[k * n + later[t]!]! * off[later[t]!]!
      off[k] = sum / matrix[k * n + k]!
    }
    return true
  }

  private stateAt(e: Element, k: number): number {
    const was = this.state[k]!
    if (e.kind === "regulator") return this.fits(e, k, was)
    if (e.kind !== "contact") return was
    if (e.pulled !== undefined) return e.pulled ? 1 : 0
    const amps = Math.abs(this.current[this.coil[k]!] ?? 0)
    return (was === 1 ? amps >= e.dropOut : amps >= e.pullIn) ? 1 : 0
  }

  /** 0 gives nothing, 1 is fully on and still short of voltage, 2 regulates, 3 gives the most it is let. */
  private fits(e: Extract<Element, { kind: "regulator" }>, k: number, state: number): number {
    const at = (i: number) => (i < 0 ? 0 : this.x[i]!)
    const may = (e.volt - at(this.b[k]!) + at(this.c[k]!)) / e.ohm
    const can = (at(this.a[k]!) - at(this.b[k]!) - (e.headroom ?? 0)) / e.dropout
    const most =
      e.limit === undefined
        ? Number.POSITIVE_INFINITY
        : e.limit + limitSlope * (at(this.a[k]!) - at(this.b[k]!))
    if (state === 1) return can < 0 ? 0 : may < can ? 2 : can > most ? 3 : 1
    if (state === 2) return may < 0 || can < 0 ? 0 : may > most ? 3 : may > can ? 1 : 2
    if (state === 3) return may < most ? (may < 0 ? 0 : 2) : can < most ? 1 : 3
    return may > 0 && can > 0 ? 2 : 0
  }
}

const kinds = ["resistor", "source", "diode", "curve", "regulator", "channel", "contact"]

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
