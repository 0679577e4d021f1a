// Which faults a setup with current in it cannot feel: between places at one voltage no current flows, with a fault or without.

import { type Bench, harness } from "./bench-network.ts"
import type { Volts } from "./dc-network.ts"
import type { Fault } from "./faults.ts"

/** Differences that are none, V: what solder, a part, or a wire of 0.02 Ω would carry over them shows nowhere. */
const none = { bridge: 1e-9, part: 1e-11, wire: 1e-13 }

/** False where a fault surely changes nothing. `solved`: what the sound setup shows in every state that counts. */
export function feeling(
  bench: Bench,
  boards: readonly string[],
  solved: readonly Volts[],
): (fault: Fault) => boolean {
  const wires = harness(bench, undefined)
  const known = new Map<string, boolean>()
  const apart = (nodes: readonly string[], by: number) => solved.some((volts) => spread(volts, nodes) > by)
  const ask = (fault: Fault): boolean => {
    switch (fault.kind) {
      case "bridge":
        return apart(
          [fault.a, fault.b, fault.over ?? fault.a].map((p) => `${fault.board}|${p}`),
          none.bridge,
        )
      case "part":
      case "section": {
        const kind = bench.parts.get(fault.ref)?.kind
        // Whether the programme runs hangs on these, current or not.
        if (kind === "controller" || kind === "resonator") return true
        const own = bench.pins.get(fault.ref)
        if (!own || !boards.includes(own.board)) return true
        const nodes = [...own.nets.values()].map((net) => `${own.board}|${net}`)
        return apart(nodes, none.part)
      }
      case "wire": {
        const own = wires.filter((w) => w.wire === fault.name)
        return own.length === 0 || own.some(({ a, b }) => apart([a, b], none.wire))
      }
      default:
        return true
    }
  }
  return (fault) => {
    const before = known.get(fault.id)
    if (before !== undefined) return before
    const told = ask(fault)
    known.set(fault.id, told)
    return told
  }
}

/** A place that nothing is joined to has no voltage. */
function spread(volts: Volts, nodes: readonly string[]): number {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const node of nodes) {
    const v = volts.get(node) ?? 0
    low = Math.min(low, v)
    high = Math.max(high, v)
  }
  return high - low
}
