// A network whose sources, and whose resistors of contacts, take new values again and again while its nodes and
// elements stay: each solution starts from one before. The answers are those of `operatingPoint`.

import type { Element, Network } from "./network.ts"
import { type Accuracy, type OperatingPoint, operatingPoint } from "./operating-point.ts"
import { PreparedNetwork, type Solution } from "./prepared-network.ts"

/** One answer: the prepared network's, or where that did not settle, a point. */
export type Answer = { readonly solution: Solution } | { readonly point: OperatingPoint }

export type Source = Extract<Element, { kind: "source" }>

export class SteppedNetwork {
  private readonly network: Network
  private readonly accuracy: Accuracy
  private readonly prepared: PreparedNetwork | undefined
  private readonly index: ReadonlyMap<string, number>
  /** The prepared network has values of sources that the network has not. */
  private isBehind = false

  /** The network's elements are replaced as they take new values: it belongs to this now. */
  constructor(network: Network, accuracy: Accuracy) {
    this.network = network
    this.accuracy = accuracy
    const isIdeal = network.elements.some((e) => e.kind === "source" && e.ohm === 0)
    this.prepared = isIdeal || accuracy.imbalance < 1e-9 ? undefined : new PreparedNetwork(network)
    this.index = new Map(network.names.map((name, i) => [name, i - 1]))
  }

  get elements(): readonly Element[] {
    return this.network.elements
  }

  setSource(k: number, volt: number, ohm: number): void {
    if (this.prepared) {
      this.prepared.setSource(k, volt, ohm)
      this.isBehind = true
    } else this.network.elements[k] = { ...(this.network.elements[k] as Source), volt, ohm }
  }

  setResistor(k: number, ohm: number): void {
    const e = this.network.elements[k] as Extract<Element, { kind: "resistor" }>
    if (e.ohm === ohm) return
    this.network.elements[k] = { ...e, ohm }
    this.prepared?.setResistor(k, ohm)
  }

  /** Undefined where it has no solution. */
  solve(like: Answer | undefined): Answer | undefined {
    const own = this.prepared
    if (own) {
      if (like && this.startFrom(own, like) && own.solve(this.accuracy))
        return { solution: own.bareSolution() }
      if (own.solve(this.accuracy, true)) return { solution: own.bareSolution() }
    }
    this.catchUp()
    const point = operatingPoint(this.network, this.accuracy, like && this.point(like))
    return point.converged ? { point } : undefined
  }

  private catchUp(): void {
    const { prepared, network } = this
    if (!prepared || !this.isBehind) return
    this.isBehind = false
    network.elements.forEach((e, k) => {
      if (e.kind === "source")
        network.elements[k] = { ...e, volt: prepared.voltOf(k), ohm: prepared.ohmOf(k) }
    })
  }

  private startFrom(own: PreparedNetwork, like: Answer): boolean {
    if ("point" in like) return own.startFrom(like.point)
    own.startFromSolution(like.solution)
    return true
  }

  /** A start half-way between two answers. */
  between(a: Answer | undefined, b: Answer | undefined): Answer | undefined {
    if (!a || !b || "point" in a || "point" in b) return b ?? a
    const mix = (p: Float64Array, q: Float64Array) => p.map((v, i) => (v + q[i]!) / 2)
    const { solution: from } = a
    const { solution: to } = b
    return { solution: { ...to, x: mix(from.x, to.x), through: mix(from.through, to.through) } }
  }

  /** Of an answer with the values the network has now. */
  point(answer: Answer): OperatingPoint {
    if ("point" in answer) return answer.point
    this.prepared!.fill(answer.solution)
    return this.prepared!.point(new Map(), answer.solution)
  }

  /** Volt to the reference; NaN for a node that does not exist. */
  voltage(answer: Answer, node: string): number {
    if (node === "0") return 0
    if ("point" in answer) return answer.point.voltage(node)
    const i = this.index.get(node)
    return i === undefined ? Number.NaN : answer.solution.x[i]!
  }

  /** Current through an element; a source's is what it delivers. */
  current(answer: Answer, k: number): number {
    if ("point" in answer) return answer.point.current(this.network.elements[k]!.ref)
    return this.prepared!.currentIn(answer.solution, k)
  }
}
