// Electrical rule check for tests: what every circuit of this room must satisfy, whatever the lamp.

import { packageType } from "../1-stock/packages.ts"
import { modelOf, partType } from "../1-stock/parts.ts"
import type { Circuit } from "./artefact.ts"

/** Faults in words; none for a sound circuit. */
export function circuitFaults(circuit: Circuit): string[] {
  const faults: string[] = []
  const names = new Set(circuit.nets.map((n) => n.name))
  if (names.size !== circuit.nets.length) faults.push("two nets share a name")
  const refs = new Set(circuit.parts.map((p) => p.ref))
  if (refs.size !== circuit.parts.length) faults.push("two parts share a ref")
  if (!names.has(circuit.earth)) faults.push("no earth net")

  // Pins per net: a vehicle wire counts as one, and so does a controller pin the board will choose.
  const ends = new Map<string, number>()
  const meet = (net: string) => ends.set(net, (ends.get(net) ?? 0) + 1)
  for (const part of circuit.parts) {
    const lands = new Set(packageType(part.package).lands.map((l) => l.pin))
    for (const [pin, net] of Object.entries(part.pins)) {
      if (!lands.has(pin)) faults.push(`${part.ref} has no land ${pin}`)
      if (net.startsWith("@")) {
        if (!controllerPins(circuit).test(net)) faults.push(`${part.ref}.${pin}: ${net} is no controller pin`)
        continue
      }
      if (!names.has(net)) faults.push(`${part.ref}.${pin} is on ${net}, which is no net`)
      meet(net)
    }
    if (part.kind === "led") {
      if (part.pins.A === undefined || part.pins.K === undefined) faults.push(`${part.ref} has an open pin`)
      if (part.behindHole === undefined) faults.push(`${part.ref} stands behind no hole`)
      continue
    }
    const { model } = partType(part.stock)
    const two = ["resistor", "diode", "clamp", "zener", "capacitor"].includes(model.kind)
    if (two && Object.keys(part.pins).length !== 2) faults.push(`${part.ref} has an open pin`)
    if (two && new Set(Object.values(part.pins)).size !== 2) faults.push(`${part.ref} is shorted`)
    if (model.kind === "npn" && new Set(Object.values(part.pins)).size !== 3)
      faults.push(`${part.ref} is not joined by all its pins`)
    if (model.kind === "resistor" && !(part.amount! > 0)) faults.push(`${part.ref} has no value`)
    if (part.reversible && part.pins["+"] !== undefined) faults.push(`${part.ref} is polarised`)
    if (part.sections && new Set(part.sections.map((s) => s.length)).size > 1) {
      faults.push(`${part.ref} has unequal sections`)
    }
  }
  for (const net of circuit.nets) if (net.wire !== undefined) meet(net.name)
  for (const signal of circuit.signals) meet(signal.net)
  for (const net of circuit.nets) {
    if ((ends.get(net.name) ?? 0) < 2) faults.push(`${net.name} joins nothing`)
    if (!Number.isFinite(net.current) || !Number.isFinite(net.voltage))
      faults.push(`${net.name} has no rating`)
  }

  // No floating input: each array input in use has a pull-up, each controller input a resistor to earth.
  for (const part of circuit.parts) {
    if (part.kind !== "low-side-array") continue
    for (const [input, output] of modelOf(part.stock, "low-side-array").sectionPins) {
      const net = part.pins[input]
      if ((net === undefined) !== (part.pins[output] === undefined))
        faults.push(`${part.ref}.${input} is half used`)
      if (net === undefined) continue
      const held = circuit.parts.some(
        (p) => p.kind === "resistor-array" && Object.values(p.pins).includes(net),
      )
      if (!held) faults.push(`${part.ref}.${input} floats while the controller is silent`)
    }
  }
  for (const signal of circuit.signals) {
    if (signal.allowed.length === 0) faults.push(`${signal.name} may use no pin`)
    if (signal.direction !== "input") continue
    const held = circuit.parts.some(
      (p) =>
        p.kind === "resistor" &&
        Object.values(p.pins).includes(signal.net) &&
        Object.values(p.pins).includes(circuit.earth),
    )
    if (!held) faults.push(`${signal.name} floats`)
  }

  // Strings tell the truth about parts.
  for (const s of circuit.strings) {
    if (s.nets.length !== s.leds.length + 1) faults.push(`${s.name}: nets and LEDs do not match`)
    s.leds.forEach((ref, i) => {
      const led = circuit.parts.find((p) => p.ref === ref)
      if (led?.pins.A !== s.nets[i] || led?.pins.K !== s.nets[i + 1])
        faults.push(`${s.name}: ${ref} is elsewhere`)
    })
    for (const ref of s.resistors) {
      const own = circuit.parts.find((p) => p.ref === ref)
      if (!own || !Object.values(own.pins).includes(s.sink?.foot ?? s.nets[0]!))
        faults.push(`${s.name}: ${ref} is elsewhere`)
    }
    if (s.sink) {
      const at = (ref: string) => circuit.parts.find((p) => p.ref === ref)?.pins ?? {}
      const [pass, hold] = [at(s.sink.pass), at(s.sink.hold)]
      if (pass.C !== s.nets[s.nets.length - 1] || pass.E !== hold.B || pass.B !== hold.C)
        faults.push(`${s.name}: its sink is no sink`)
      if (hold.E !== s.sink.foot || !Object.values(at(s.sink.sense)).includes(pass.E!))
        faults.push(`${s.name}: its sink has no footing`)
    }
    const end = s.sink?.foot ?? s.nets[s.nets.length - 1]!
    if (
      s.channel === undefined
        ? end !== circuit.earth
        : circuit.channels.find((c) => c.index === s.channel)?.net !== end
    ) {
      faults.push(`${s.name} ends nowhere`)
    }
  }
  const inStrings = circuit.strings.flatMap((s) => s.leds)
  const leds = circuit.parts.filter((p) => p.kind === "led").map((p) => p.ref)
  if (inStrings.length !== leds.length || new Set(inStrings).size !== leds.length)
    faults.push("an LED is in no string or in two")
  return faults
}

/** Port pins of the circuit's controller, as a header names them. */
function controllerPins(circuit: Circuit): RegExp {
  const part = circuit.parts.find((p) => p.ref === circuit.controller)
  return part?.stock === "controller-attiny84a" ? /^@P(A[0-7]|B[0-3])$/ : /^@P[BCD]\d$/
}
