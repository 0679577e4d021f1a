// What lies in one row is one element: an LED string with its resistor carries one current, and diodes in series follow
// the law of one diode. V = Σ nVt·ln(i/Is) + i·ΣR is n'Vt·ln(i/Is') + i·R' with n'Vt = Σ nVt, R' = ΣR and
// ln Is' = Σ nVt·ln Is ÷ Σ nVt, as long as i is far above every Is; LEDs' Is lie below 10^-15 A.

import { type Element, type Network, thirdPin } from "./network.ts"

/** A row of elements between two nodes that others meet too; a lone element is a row of one. */
export interface Row {
  /** Places among the network's elements, from the end where current enters (a) to the other (b). */
  readonly members: readonly number[]
  readonly a: number
  readonly b: number
  /** Nodes between the members: one less than members. */
  readonly inner: readonly number[]
}

/** Saturation currents above this do not vanish beside what the solver tells apart. */
export const vanishing = 1e-13

/** Whether an element may stand in a row with others. */
export const joins = (e: Element): boolean =>
  e.kind === "resistor" || (e.kind === "diode" && e.share === undefined && e.saturation < vanishing)

/** Every element in exactly one row; rows in the order of their first element. */
export function rowsOf(network: Network): Row[] {
  const { elements } = network
  const at: number[][] = network.names.map(() => [])
  const spoilt = new Uint8Array(network.names.length)
  spoilt[0] = 1
  elements.forEach((e, k) => {
    at[e.a]!.push(k)
    at[e.b]!.push(k)
    const c = thirdPin(e)
    spoilt[c] = 1
    if (!joins(e) || e.a === e.b) {
      spoilt[e.a] = 1
      spoilt[e.b] = 1
    }
  })
  /** The one other element at an inner node, where the current can go straight on. */
  const beyond = (k: number, node: number): number => {
    const here = at[node]!
    if (spoilt[node] === 1 || here.length !== 2) return -1
    const other = here[0] === k ? here[1]! : here[0]!
    const e = elements[k]!
    const o = elements[other]!
    if (e.kind !== "diode" && o.kind !== "diode") return -1
    // Anode to anode or cathode to cathode lets nothing through: no row.
    if (e.kind === "diode" && o.kind === "diode" && (e.a === node) === (o.a === node)) return -1
    return other
  }
  const taken = new Uint8Array(elements.length)
  const rows: Row[] = []
  elements.forEach((e, k) => {
    if (taken[k] === 1) return
    taken[k] = 1
    const members = [k]
    const inner: number[] = []
    let ends: [number, number] = [e.a, e.b]
    if (joins(e))
      for (const side of [0, 1] as const) {
        let last = k
        let node = ends[side]
        for (let next = beyond(last, node); next >= 0 && taken[next] === 0; next = beyond(last, node)) {
          taken[next] = 1
          if (side === 0) {
            members.unshift(next)
            inner.unshift(node)
          } else {
            members.push(next)
            inner.push(node)
          }
          const o = elements[next]!
          node = o.a === node ? o.b : o.a
          last = next
        }
        ends = side === 0 ? [node, ends[1]] : [ends[0], node]
      }
    // The row runs the way its diodes do.
    const path = [ends[0], ...inner, ends[1]]
    const backwards = members.some((m, i) => elements[m]!.kind === "diode" && elements[m]!.a === path[i + 1])
    rows.push(
      backwards && members.length > 1
        ? { members: members.reverse(), a: ends[1], b: ends[0], inner: inner.reverse() }
        : { members, a: ends[0], b: ends[1], inner },
    )
  })
  return rows
}
