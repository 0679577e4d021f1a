// What flows into and out of each net, from a solved corner: the sum of what its elements carry, halved, is the most
// any one of its tracks can carry.

import { partType } from "../1-stock/parts.ts"
import type { Net } from "./artefact.ts"
import type { SolvedCorner } from "./corners.ts"
import type { CircuitBody } from "./model-circuit.ts"

export function netLoads(circuit: CircuitBody, solved: readonly SolvedCorner[]): Net[] {
  const refs = elementsOf(circuit)
  return circuit.nets.map((net) => {
    const mine = refs.get(net.name) ?? []
    let current = 0
    let voltage = 0
    for (const { point } of solved) {
      let through = 0
      for (const ref of mine) through += Math.abs(finite(point.current(ref)))
      current = Math.max(current, through / 2)
      voltage = Math.max(voltage, finite(point.voltage(net.name) - point.voltage(circuit.earth)))
    }
    return {
      name: net.name,
      kind: net.kind,
      current,
      voltage,
      ...(net.wire === undefined ? {} : { wire: net.wire }),
    }
  })
}

const finite = (v: number) => (Number.isFinite(v) ? v : 0)

/** Net → names of the solver's elements that meet there. */
function elementsOf(circuit: CircuitBody): ReadonlyMap<string, readonly string[]> {
  const at = new Map<string, string[]>()
  const put = (net: string | undefined, ref: string) => {
    if (net === undefined) return
    const list = at.get(net)
    if (list) list.push(ref)
    else at.set(net, [ref])
  }
  for (const net of circuit.nets) {
    if (net.wire !== undefined) put(net.name, `wire:${net.wire}`)
  }
  put(circuit.earth, "wire:earth")
  for (const part of circuit.parts) {
    if (part.kind === "led") {
      for (const net of Object.values(part.pins)) put(net, part.ref)
      continue
    }
    const { model } = partType(part.stock)
    if (model.kind === "low-side-array") {
      for (const pin of model.sectionPins.flat()) {
        put(part.pins[pin], `${part.ref}.${pin}`)
        if (part.pins[pin] !== undefined) put(part.pins[model.earthPin], `${part.ref}.${pin}`)
      }
    } else if (model.kind === "resistor-array") {
      for (const pin of model.sectionPins) {
        put(part.pins[pin], `${part.ref}.${pin}`)
        if (part.pins[pin] !== undefined) put(part.pins[model.commonPin], `${part.ref}.${pin}`)
      }
    } else if (model.kind === "controller") {
      const vcc = part.pins[model.packagePins.VCC![0]!]
      put(vcc, part.ref)
      put(circuit.earth, part.ref)
      for (const signal of circuit.signals) {
        put(signal.net, `${part.ref}.${signal.name}`)
        put(vcc, `${part.ref}.${signal.name}`)
      }
    } else if (model.kind === "regulator") {
      put(part.pins["1"], part.ref)
      put(part.pins["3"], part.ref)
    } else if (model.kind === "adjustable-regulator") {
      put(part.pins[model.pins.input], part.ref)
      put(part.pins[model.pins.output], part.ref)
    } else if (model.kind === "npn") {
      for (const pin of ["C", "B", "E"]) put(part.pins[pin], `${part.ref}.${pin}`)
    } else if (model.kind === "relay") {
      for (const pin of model.pins.coil) put(part.pins[pin], part.ref)
      for (const [pin, name] of [
        [model.pins.rest, "break"],
        [model.pins.make, "make"],
      ] as const) {
        if (part.pins[pin] === undefined) continue
        put(part.pins[pin], `${part.ref}.${name}`)
        put(part.pins[model.pins.common], `${part.ref}.${name}`)
      }
    } else if (model.kind !== "capacitor") {
      for (const net of Object.values(part.pins)) put(net, part.ref)
    }
  }
  return at
}
