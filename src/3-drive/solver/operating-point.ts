// Operating point of a network: nodal analysis (ideal sources as extra unknowns) with Newton's method.
// A diode and its series resistance are one element whose current follows in closed form (Lambert W), so its law
// bends once and then runs straight: no exponential can overflow. Parts that only meet at the reference are solved
// one by one. An answer is given only when it is an answer; otherwise `converged` is false and it says where.

import { unionFind } from "../../0-ground/numbers/union-find.ts"
import { solveDense } from "./dense-lu.ts"
import { wOfLog } from "./lambert.ts"
import { channelCharge, type Element, limitSlope, type Network, thirdPin } from "./network.ts"
import { PreparedNetwork, patternKey } from "./prepared-network.ts"
import { eliminationOrder, type Order, solveInOrder } from "./sparse-order.ts"

export interface OperatingPoint {
  readonly converged: boolean
  /** A node of the part that did not converge. */
  readonly stuckAt?: string
  /** Worst imbalance of current at any node, ampere. */
  readonly imbalance: number
  readonly steps: number
  /** Volt to the reference; NaN for a node that does not exist. */
  voltage(node: string): number
  /** Elimination orders by network pattern, so that a network like this one need not work them out again. */
  readonly orders: Map<string, Order>
  /** Current through an element from its first to its second pin; a source's current is what it delivers. NaN: no such element. */
  current(ref: string): number
}

export interface Accuracy {
  /** Conductance from every node to the reference, which keeps nodes that nothing holds from being undetermined. */
  readonly leak: number
  /** Imbalance at a node that is let pass, ampere (beside 10^-11 of the greatest current there). */
  readonly imbalance: number
}

/** Good to about ten digits, down to nanoampere. */
export const exact: Accuracy = { leak: 1e-15, imbalance: 1e-13 }
/** A real board: a gigaohm of dirt on every net, currents to the nanoampere. */
export const real: Accuracy = { leak: 1e-9, imbalance: 1e-9 }

const maxSteps = 120
const mostRounds = 16

/** `start`: the answer of a similar network (same node names), which saves most of the steps. */
export function operatingPoint(
  network: Network,
  accuracy: Accuracy = exact,
  start?: OperatingPoint,
): OperatingPoint {
  const at = quickly(network, accuracy, start)
  if (at) return at
  const count = network.names.length
  const voltage = new Float64Array(count)
  const orders = start?.orders ?? new Map<string, Order>()
  let warm = start?.converged === true
  if (start && warm) {
    for (let i = 1; i < count; i++) {
      const v = start.voltage(network.names[i]!)
      if (Number.isFinite(v)) voltage[i] = v
      else warm = false
    }
  }
  const current = new Map<string, number>()
  let imbalance = 0
  let steps = 0
  let stuckAt: string | undefined
  for (const elements of components(network)) {
    const done = solveComponent(elements, voltage, { accuracy, orders, warm })
    steps = Math.max(steps, done.steps)
    if (!done.converged) stuckAt ??= network.names[elements[0]!.a || elements[0]!.b]!
    imbalance = Math.max(imbalance, done.imbalance)
    for (const [ref, i] of done.currents) current.set(ref, i)
  }
  // A start that leads nowhere is worse than none: a regulator that must change its state may not find the way.
  if (stuckAt !== undefined && start && warm)
    return operatingPoint(network, accuracy, { ...start, converged: false })
  const told = (ref: string) => current.get(ref) ?? Number.NaN
  for (const [ref, i] of network.pinCurrents(told, (node) => voltage[node]!)) current.set(ref, i)
  const index = new Map(network.names.map((n, i) => [n, i]))
  return {
    converged: stuckAt === undefined,
    ...(stuckAt === undefined ? {} : { stuckAt }),
    imbalance,
    steps,
    orders,
    voltage: (node) => (index.has(node) ? voltage[index.get(node)!]! : Number.NaN),
    current: told,
  }
}

/** Networks met before, by their pattern: their places in the matrix and their arrays are used again. */
const prepared = new Map<string, PreparedNetwork>()
const mostPrepared = 40

/** The usual way: Newton straight at it with rows taken as one; undefined where that does not settle. */
function quickly(
  network: Network,
  accuracy: Accuracy,
  start: OperatingPoint | undefined,
): OperatingPoint | undefined {
  if (accuracy.imbalance < 1e-9 || network.elements.some((e) => e.kind === "source" && e.ohm === 0))
    return undefined
  const key = patternKey(network)
  let own = prepared.get(key)
  if (own) own.load(network, key)
  else {
    own = new PreparedNetwork(network, key)
    if (prepared.size >= mostPrepared) prepared.delete(prepared.keys().next().value!)
    prepared.set(key, own)
  }
  const solved =
    (start?.converged === true && own.startFrom(start) && own.solve(accuracy)) || own.solve(accuracy, true)
  return solved ? own.point(start?.orders ?? new Map()) : undefined
}

/** Elements grouped so that two groups share no node but the reference. */
function components(network: Network): Element[][] {
  const joined = unionFind(network.names.length)
  const coils = new Map<string, Element>()
  for (const e of network.elements) if (e.kind === "contact") coils.set(e.coil, e)
  for (const e of network.elements) if (coils.has(e.ref)) coils.set(e.ref, e)
  for (const e of network.elements) {
    const coil = e.kind === "contact" ? coils.get(e.coil) : undefined
    // A contact is solved with its coil even where no conductor joins them.
    const held = [e.a, e.b, thirdPin(e), coil?.a ?? 0, coil?.b ?? 0].filter((p) => p !== 0)
    for (const p of held) joined.join(held[0]!, p)
  }
  const groups = new Map<number, Element[]>()
  for (const e of network.elements) {
    const anchor = e.a !== 0 ? e.a : e.b
    const root = anchor === 0 ? -1 : joined.find(anchor)
    const list = groups.get(root)
    if (list) list.push(e)
    else groups.set(root, [e])
  }
  return [...groups.values()]
}

interface Solved {
  readonly converged: boolean
  readonly imbalance: number
  readonly steps: number
  readonly currents: readonly (readonly [string, number])[]
}

interface Manner {
  readonly accuracy: Accuracy
  readonly orders: Map<string, Order>
  /** `voltage` already holds a good guess. */
  readonly warm: boolean
}

function solveComponent(
  elements: readonly Element[],
  voltage: Float64Array,
  { accuracy, orders, warm }: Manner,
): Solved {
  const local = new Map<number, number>()
  const place = (node: number) => {
    if (node === 0) return -1
    const known = local.get(node)
    if (known !== undefined) return known
    local.set(node, local.size)
    return local.size - 1
  }
  const pins = elements.map((e) => ({
    a: place(e.a),
    b: place(e.b),
    c: place(thirdPin(e)),
    branch: -1,
  }))
  const nodes = local.size
  let size = nodes
  elements.forEach((e, i) => {
    if (e.kind === "source" && e.ohm === 0) pins[i]!.branch = size++
  })
  const x = new Float64Array(size)
  if (warm) for (const [node, i] of local) x[i] = voltage[node]!
  const seen = (k: number) => (k < 0 ? 0 : x[k]!)
  const coilOf = elements.map((e) =>
    e.kind === "contact" ? elements.findIndex((c) => c.kind === "resistor" && c.ref === e.coil) : -1,
  )
  const coilCurrent = (i: number) => {
    const coil = elements[coilOf[i]!]
    const p = pins[coilOf[i]!]
    return coil?.kind === "resistor" && p ? Math.abs(seen(p.a) - seen(p.b)) / coil.ohm : 0
  }
  const stateOf = (e: Element, i: number, was: State): State => {
    const p = pins[i]!
    if (e.kind === "regulator") return passOf(e, was, seen(p.a), seen(p.b), seen(p.c))
    return e.kind === "contact" ? contactState(e, was, coilCurrent(i)) : was
  }
  const pass = elements.map((e, i): State => {
    if (e.kind === "contact") return e.pulled === true ? "pulled" : "at-rest"
    return warm ? stateOf(e, i, "dropout") : "dropout"
  })
  const order = size === nodes ? orderOf(pins, nodes, orders) : undefined
  const system: System = { elements, pins, nodes, size, pass, accuracy, order }
  let attempt = settle(system, x, !warm)
  // Regulators and contacts are solved in one state and it is checked afterwards; a buzzing relay never finds one.
  for (let round = 0; round < mostRounds && attempt.converged; round++) {
    let changed = false
    elements.forEach((e, i) => {
      const fits = stateOf(e, i, pass[i]!)
      if (fits === pass[i]) return
      pass[i] = fits
      changed = true
    })
    if (!changed) break
    const soFar = attempt.steps
    attempt = round === mostRounds - 1 ? { ...attempt, converged: false } : settle(system, x, false)
    attempt = { ...attempt, steps: attempt.steps + soFar }
  }
  for (const [node, i] of local) voltage[node] = x[i]!
  const currents = elements.map((e, i): readonly [string, number] => {
    const p = pins[i]!
    const at = (k: number) => (k < 0 ? 0 : x[k]!)
    if (p.branch >= 0) return [e.ref, x[p.branch]!]
    const v = at(p.a) - at(p.b)
    if (e.kind === "resistor") return [e.ref, v / e.ohm]
    if (e.kind === "source") return [e.ref, (e.volt - v) / e.ohm]
    if (e.kind === "regulator") return [e.ref, regulate(e, pass[i]!, at(p.a), at(p.b), at(p.c)).through]
    if (e.kind === "contact") return [e.ref, v / contactOhm(e, pass[i]!)]
    if (e.kind === "channel") {
      const from = channelCharge(e.sign * (at(p.c) - at(p.b)) - e.threshold, e.gain)
      const to = channelCharge(e.sign * (at(p.c) - at(p.a)) - e.threshold, e.gain)
      return [e.ref, e.sign * (from.current - to.current)]
    }
    return [e.ref, lawOf(e, v, 0).current]
  })
  return { converged: attempt.converged, imbalance: attempt.imbalance, steps: attempt.steps, currents }
}

/** Straight at it; if that fails, from an easy network (every bend bridged by a conductance) to the real one. */
function settle(system: System, x: Float64Array, fresh: boolean): Attempt {
  let straight = newton(system, x, 0, fresh)
  if (straight.converged) return straight
  if (!fresh) {
    x.fill(0)
    straight = newton(system, x, 0, true)
    if (straight.converged) return straight
  }
  x.fill(0)
  let steps = straight.steps
  for (let bridge = 1e-2; bridge > 1e-13; bridge /= 10) {
    const step = newton(system, x, bridge, bridge === 1e-2)
    steps += step.steps
    if (!step.converged) {
      const stepped = stepSources(system, x)
      return { ...stepped, steps: steps + stepped.steps }
    }
  }
  const last = newton(system, x, 0, false)
  if (last.converged) return { ...last, steps: steps + last.steps }
  const stepped = stepSources(system, x)
  return { ...stepped, steps: steps + last.steps + stepped.steps }
}

/** From a dead network to the real one, its sources rising in steps that halve where one fails. */
function stepSources(system: System, x: Float64Array): Attempt {
  x.fill(0)
  const good = x.slice()
  let reached = 0
  let stride = 0.1
  let steps = 0
  let attempt: Attempt = { converged: false, imbalance: Number.POSITIVE_INFINITY, steps: 0 }
  for (let k = 0; k < 200 && reached < 1; k++) {
    const share = Math.min(1, reached + stride)
    const elements = system.elements.map((e) => (e.kind === "source" ? { ...e, volt: share * e.volt } : e))
    attempt = newton({ ...system, elements }, x, 0, reached === 0)
    steps += attempt.steps
    if (attempt.converged) {
      reached = share
      good.set(x)
      stride = Math.min(0.2, stride * 1.5)
    } else {
      x.set(good)
      stride /= 3
      if (stride < 1e-5) break
    }
  }
  return { ...attempt, steps }
}

type Regulator = Extract<Element, { kind: "regulator" }>

interface System {
  /** State of each regulator and contact (other elements ignore it). */
  readonly pass: readonly State[]
  readonly accuracy: Accuracy
  /** Absent with ideal sources, whose rows need pivoting. */
  readonly order: Order | undefined
  readonly elements: readonly Element[]
  readonly pins: readonly {
    readonly a: number
    readonly b: number
    readonly c: number
    readonly branch: number
  }[]
  readonly nodes: number
  readonly size: number
}

interface Attempt {
  readonly converged: boolean
  readonly imbalance: number
  readonly steps: number
}

/** `x` is the start and becomes the answer. `fresh`: the first step bends every diode at its knee instead of at x. */
function newton(system: System, x: Float64Array, bridge: number, fresh: boolean): Attempt {
  const { nodes, size } = system
  const a = new Float64Array(size * size)
  const b = new Float64Array(size)
  const scale = new Float64Array(size)
  let imbalance = Number.POSITIVE_INFINITY
  let quiet = 0
  const bend = new Float64Array(system.elements.length).fill(Number.NaN)
  if (fresh)
    system.elements.forEach((e, k) => {
      bend[k] = kneeOf(e)
    })
  for (let step = 0; step < maxSteps; step++) {
    a.fill(0)
    b.fill(0)
    scale.fill(0)
    const bent = assemble(system, x, bridge, bend, fresh && step === 0, a, b, scale)
    // b holds the imbalance at x (currents into each node); the step solves J·dx = b.
    imbalance = 0
    let balanced = !bent
    for (let i = 0; i < nodes; i++) {
      const off = Math.abs(b[i]!)
      imbalance = Math.max(imbalance, off)
      if (off > system.accuracy.imbalance + 1e-11 * scale[i]!) balanced = false
    }
    for (let i = nodes; i < size; i++) if (Math.abs(b[i]!) > 1e-10) balanced = false
    if (balanced && (quiet > 0 || system.accuracy.imbalance >= 1e-9))
      return { converged: true, imbalance, steps: step }
    if (!solveStep(system, a, b)) {
      // A pivot too small for the fixed order: write the system again and solve it with pivoting.
      a.fill(0)
      b.fill(0)
      assemble(system, x, bridge, bend.slice(), true, a, b, scale)
      if (!solveDense(a, b, size)) return { converged: false, imbalance, steps: step }
    }
    let move = 0
    // Newton halves its stride when it goes on and on: a corner of a piecewise law may make it swing.
    const stride = step < 30 ? 1 : step < 60 ? 0.5 : 0.25
    for (let i = 0; i < size; i++) {
      const d = stride * b[i]!
      x[i] = x[i]! + d
      if (i < nodes) move = Math.max(move, Math.abs(d) / (1 + Math.abs(x[i]!)))
    }
    if (!Number.isFinite(move)) return { converged: false, imbalance, steps: step }
    quiet = move < 1e-9 ? quiet + 1 : 0
    // The voltages stand still to the last digit; what imbalance is left is rounding.
    if (quiet > 3 && !bent && imbalance < 1e-9) return { converged: true, imbalance, steps: step }
  }
  return { converged: false, imbalance, steps: maxSteps }
}

const solveStep = (system: System, a: Float64Array, b: Float64Array) =>
  system.order === undefined ? solveDense(a, b, system.size) : solveInOrder(a, b, system.size, system.order)

function orderOf(pins: System["pins"], nodes: number, known: Map<string, Order>): Order {
  const pattern = pins.map((p) => `${p.a},${p.b},${p.c}`).join(";")
  const order = known.get(pattern) ?? eliminationOrder(meetings(pins, nodes))
  known.set(pattern, order)
  return order
}

/** Which nodes share an element. */
function meetings(pins: System["pins"], nodes: number): Set<number>[] {
  const meets = Array.from({ length: nodes }, () => new Set<number>())
  for (const { a, b, c } of pins) {
    for (const p of [a, b, c]) for (const q of [a, b, c]) if (p >= 0 && q >= 0 && p !== q) meets[p]!.add(q)
  }
  return meets
}

function assemble(
  system: System,
  x: Float64Array,
  bridge: number,
  bend: Float64Array,
  first: boolean,
  a: Float64Array,
  b: Float64Array,
  scale: Float64Array,
): boolean {
  const { elements, pins, nodes, size } = system
  let bent = false
  const at = (k: number) => (k < 0 ? 0 : x[k]!)
  /** Current i flows from p to q; g = di/d(vp − vq). */
  const flow = (p: number, q: number, i: number, g: number) => {
    const m = Math.abs(i)
    if (p >= 0) {
      b[p] = b[p]! - i
      scale[p] = Math.max(scale[p]!, m)
      a[p * size + p] = a[p * size + p]! + g
      if (q >= 0) a[p * size + q] = a[p * size + q]! - g
    }
    if (q >= 0) {
      b[q] = b[q]! + i
      scale[q] = Math.max(scale[q]!, m)
      a[q * size + q] = a[q * size + q]! + g
      if (p >= 0) a[q * size + p] = a[q * size + p]! - g
    }
  }
  /** Current i flows from p to q; g = di/d(vu − vw). */
  const carry = (p: number, q: number, u: number, w: number, i: number, g: number) => {
    for (const [node, sign] of [
      [p, 1],
      [q, -1],
    ] as const) {
      if (node < 0) continue
      b[node] = b[node]! - sign * i
      scale[node] = Math.max(scale[node]!, Math.abs(i))
      if (u >= 0) a[node * size + u] = a[node * size + u]! + sign * g
      if (w >= 0) a[node * size + w] = a[node * size + w]! - sign * g
    }
  }
  for (let k = 0; k < elements.length; k++) {
    const e = elements[k]!
    const { a: p, b: q, c: r, branch } = pins[k]!
    const v = at(p) - at(q)
    switch (e.kind) {
      case "resistor":
        flow(p, q, v / e.ohm, 1 / e.ohm)
        break
      case "source":
        if (branch < 0) flow(p, q, (v - e.volt) / e.ohm, 1 / e.ohm)
        else {
          // The source delivers x[branch] into p.
          const i = x[branch]!
          if (p >= 0) {
            b[p] = b[p]! + i
            scale[p] = Math.max(scale[p]!, Math.abs(i))
            a[p * size + branch] = a[p * size + branch]! - 1
            a[branch * size + p] = a[branch * size + p]! + 1
          }
          if (q >= 0) {
            b[q] = b[q]! - i
            scale[q] = Math.max(scale[q]!, Math.abs(i))
            a[q * size + branch] = a[q * size + branch]! + 1
            a[branch * size + q] = a[branch * size + q]! - 1
          }
          b[branch] = e.volt - v
        }
        break
      case "contact":
        flow(p, q, v / contactOhm(e, system.pass[k]!), 1 / contactOhm(e, system.pass[k]!))
        break
      case "channel": {
        const over = (end: number) => e.sign * (at(r) - at(end)) - e.threshold
        const from = channelCharge(over(q), e.gain)
        const to = channelCharge(over(p), e.gain)
        carry(p, q, r, q, e.sign * (from.current - to.current), from.slope)
        carry(p, q, r, p, 0, -to.slope)
        // Bridged on the way from an easy network.
        if (bridge > 0) flow(p, q, bridge * v, bridge)
        break
      }
      case "regulator": {
        const law = regulate(e, system.pass[k]!, at(p), at(q), at(r))
        // Own current first, then the pass element with its two slopes.
        flow(p, r, law.own, law.ownSlope)
        const i = law.through
        if (p >= 0) {
          b[p] = b[p]! - i
          scale[p] = Math.max(scale[p]!, Math.abs(i))
        }
        if (q >= 0) {
          b[q] = b[q]! + i
          scale[q] = Math.max(scale[q]!, Math.abs(i))
        }
        for (const [node, slope] of [
          [p, law.byIn],
          [q, law.byOut],
          [r, law.byEarth],
        ] as const) {
          if (node < 0) continue
          if (p >= 0) a[p * size + node] = a[p * size + node]! + slope
          if (q >= 0) a[q * size + node] = a[q * size + node]! - slope
        }
        break
      }
      default: {
        // Bent where `bendAt` says; the current is then extended along that tangent to v.
        const where = first ? bend[k]! : bendAt(e, v, bend[k]!)
        bend[k] = where
        if (Math.abs(where - v) > 1e-12) bent = true
        const law = lawOf(e, where, bridge)
        const i = law.current + law.slope * (v - where)
        flow(p, q, i, law.slope)
        if (e.kind === "diode" && e.share !== undefined) {
          // The transistor's third pin: a share of the junction's current, into the base of an NPN, out of a PNP's.
          const g = e.share * (law.slope - bridge)
          const part = e.share * (i - bridge * v)
          const pnp = e.base === "b"
          carry(pnp ? q : r, pnp ? r : p, p, q, part, g)
          const across = pnp ? at(q) - at(r) : at(r) - at(p)
          if (e.early !== undefined && across > 0) {
            // From collector to emitter beside the junction.
            const [from, to] = pnp ? [p, r] : [r, q]
            carry(from, to, p, q, (part * across) / e.early, (g * across) / e.early)
            carry(from, to, pnp ? q : r, pnp ? r : p, 0, part / e.early)
          }
        }
      }
    }
  }
  for (let i = 0; i < nodes; i++) {
    a[i * size + i] = a[i * size + i]! + system.accuracy.leak
    b[i] = b[i]! - system.accuracy.leak * x[i]!
  }
  return bent
}

/**
 * Where a law is bent for voltage v: at v, but a diode that is asked to rise far rises tenfold in current at a time,
 * because its tangent at v would be far too steep to be of use.
 */
function bendAt(e: Element, v: number, before: number): number {
  if (e.kind !== "diode" || Number.isNaN(before) || v <= before) return v
  const most = 10 * Math.max(lawOf(e, before, 0).current, 1e-3)
  const highest = e.nVt * Math.log1p(most / e.saturation) + most * e.series
  return Math.min(v, highest)
}

/** Voltage at which a diode carries about a milliampere; where a curve says it starts. */
function kneeOf(e: Element): number {
  if (e.kind === "diode") return e.nVt * Math.log(1e-3 / e.saturation + 1) + 1e-3 * e.series
  return e.kind === "curve" ? e.start : 0
}

function lawOf(e: Element, v: number, bridge: number): { current: number; slope: number } {
  if (e.kind === "diode") {
    const { saturation, nVt } = e
    const series = Math.max(e.series, 1e-12)
    const L = Math.log((saturation * series) / nVt) + (v + saturation * series) / nVt
    const w = wOfLog(L)
    return { current: (nVt / series) * w - saturation + bridge * v, slope: w / (1 + w) / series + bridge }
  }
  if (e.kind === "curve") {
    const { points } = e
    let i = 1
    while (i < points.length - 1 && v > points[i]![0]) i++
    const [v0, i0] = points[i - 1]!
    const [v1, i1] = points[i]!
    const slope = (i1 - i0) / (v1 - v0)
    return { current: i0 + slope * (v - v0) + bridge * v, slope: slope + bridge }
  }
  return { current: 0, slope: 0 }
}

/**
 * How the pass element works: it regulates, it gives the most it can, it is fully on and still short of voltage, or
 * it gives nothing. And whether a relay is pulled in.
 */
type State = "regulating" | "limiting" | "dropout" | "off" | "at-rest" | "pulled"

type Contact = Extract<Element, { kind: "contact" }>

const contactOhm = (e: Contact, state: State) => ((state === "pulled") !== e.rest ? e.onOhm : e.offOhm)

function contactState(e: Contact, was: State, amps: number): State {
  if (e.pulled !== undefined) return e.pulled ? "pulled" : "at-rest"
  return (was === "pulled" ? amps >= e.dropOut : amps >= e.pullIn) ? "pulled" : "at-rest"
}

function regulate(e: Regulator, state: State, vin: number, vout: number, earth: number) {
  // Its own current needs about 2 V to flow.
  const share = Math.min(Math.max((vin - earth) / 2, 0), 1)
  const own = { own: e.quiescent * share, ownSlope: share > 0 && share < 1 ? e.quiescent / 2 : 0 }
  if (state === "off") return { ...own, through: 0, byIn: 0, byOut: 0, byEarth: 0 }
  if (state === "dropout") {
    const g = 1 / e.dropout
    return { ...own, through: (vin - vout - (e.headroom ?? 0)) * g, byIn: g, byOut: -g, byEarth: 0 }
  }
  if (state === "limiting") {
    const through = e.limit! + limitSlope * (vin - vout)
    return { ...own, through, byIn: limitSlope, byOut: -limitSlope, byEarth: 0 }
  }
  const g = 1 / e.ohm
  return { ...own, through: (e.volt - vout + earth) * g, byIn: 0, byOut: -g, byEarth: g }
}

/** The state to try next at these voltages: it gives the least of what it may, can and is let, and nothing backwards. */
function passOf(e: Regulator, state: State, vin: number, vout: number, earth: number): State {
  const may = (e.volt - vout + earth) / e.ohm
  const can = (vin - vout - (e.headroom ?? 0)) / e.dropout
  const most = e.limit === undefined ? Number.POSITIVE_INFINITY : e.limit + limitSlope * (vin - vout)
  switch (state) {
    case "dropout":
      if (can < 0) return "off"
      if (may < can) return "regulating"
      return can > most ? "limiting" : "dropout"
    case "regulating":
      // What it can give at these voltages says nothing yet where they are not to be had: "dropout" finds out.
      if (may < 0) return "off"
      if (may > most) return "limiting"
      return may > can ? "dropout" : "regulating"
    case "limiting":
      if (may < most) return may < 0 ? "off" : "regulating"
      return can < most ? "dropout" : "limiting"
    default:
      if (!(may > 0 && can > 0)) return "off"
      return most < Math.min(may, can) ? "limiting" : "regulating"
  }
}
