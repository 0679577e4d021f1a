// How the lamp stands on the bench: which pin lights which LEDs, which wires feed them, how wires reach pins.
// Read from the circuit's parts and nets and from the firmware's pin list; nothing of how they were chosen.

import { partType } from "../../1-stock/parts.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, LedString } from "../../3-drive/artefact.ts"
import type { Behaviour, FirmwareImage } from "../../4-behaviour/artefact.ts"
import type { PinNetwork } from "./wire-volts.ts"

export interface Made {
  readonly lamp: Lamp
  readonly circuit: Circuit
  readonly behaviour: Behaviour
  readonly firmware: FirmwareImage | undefined
}

/** Port 0 = B, 1 = C, 2 = D; of the ATtiny84A 0 = A, 1 = B. */
export interface Pin {
  readonly port: number
  readonly bit: number
}

export interface BenchChannel extends Pin {
  readonly index: number
  readonly activeHigh: boolean
  /** The circuit's pull lights the LEDs while the controller does not drive the pin. */
  readonly floatsLit: boolean
  readonly group: string
  readonly leds: readonly string[]
}

export interface BenchInput extends Pin {
  readonly wire: string
  /** As the drive room solved its network. */
  readonly network: PinNetwork
  /** The pin is low while the wire is live. */
  readonly inverted: boolean
}

export interface BenchLed {
  readonly ref: string
  readonly group: string
  /** Any of these live feeds the LED. */
  readonly feeds: readonly string[]
  /** Position in `channels`; absent for LEDs fed straight from their wires. */
  readonly channel?: number
}

export interface LampOnBench {
  readonly channels: readonly BenchChannel[]
  readonly inputs: readonly BenchInput[]
  readonly leds: readonly BenchLed[]
  /** The controller as the circuit names its part; absent: an ATmega328P, or none. */
  readonly controller?: string
  /** What could not be placed on the bench, in words. */
  readonly faults: readonly string[]
}

export function putOnBench({ lamp, circuit, behaviour, firmware }: Made): LampOnBench {
  const faults: string[] = []
  const controller = circuit.parts.find((p) => p.ref === circuit.controller)?.value
  const tiny = controller === "ATtiny84A"
  if (firmware && controller !== undefined && controller !== firmware.controller)
    faults.push(`the image is made for the ${firmware.controller}, the circuit has an ${controller}`)
  const pin = (signal: string | undefined, what: string): Pin | undefined => {
    const name = signal === undefined ? undefined : firmware?.pinOf[signal]
    const match = (tiny ? /^P([AB])([0-7])$/ : /^P([BCD])([0-7])$/).exec(name ?? "")
    if (!match) faults.push(`${what} has no controller pin (${name ?? "none given"})`)
    return match ? { port: (tiny ? "AB" : "BCD").indexOf(match[1]!), bit: Number(match[2]) } : undefined
  }
  const signalOf = (net: string, direction: "input" | "output") =>
    circuit.signals.find((s) => s.net === net && s.direction === direction)?.name
  const channels = firmware
    ? [...circuit.channels]
        .sort((a, b) => a.index - b.index)
        .flatMap((c): BenchChannel[] => {
          const signal = circuit.signals.find((s) => s.direction === "output" && s.channel === c.index)
          const at = pin(signal?.name, `output ${c.index} of ${c.group}`)
          const floatsLit = signal !== undefined && pulledTo(circuit, signal.net) === c.activeHigh
          return at
            ? [{ ...at, index: c.index, activeHigh: c.activeHigh, floatsLit, group: c.group, leds: c.leds }]
            : []
        })
    : []
  const inputs = firmware
    ? circuit.inputs.flatMap((i): BenchInput[] => {
        const signal =
          circuit.signals.find((s) => s.direction === "input" && s.wire === i.wire)?.name ??
          signalOf(i.net, "input")
        const at = pin(signal, `input ${i.wire}`)
        const inverted = behaviour.inputs.find((b) => b.wire === i.wire)?.inverted ?? false
        const network = { ...i, usual: lamp.vehicle.supply.usual }
        return at ? [{ ...at, wire: i.wire, network, inverted }] : []
      })
    : []
  const channelOf = new Map(channels.flatMap((c, at) => c.leds.map((led) => [led, at] as const)))
  const leds = lamp.groups.flatMap((group) =>
    group.leds.map(({ ref }): BenchLed => {
      const string = circuit.strings.find((s) => s.leds.includes(ref))
      if (!string) faults.push(`${ref} is in no string of the circuit`)
      const channel = channelOf.get(ref)
      return {
        ref,
        group: group.name,
        feeds: string ? feedsOf(circuit, string) : [],
        ...(channel === undefined ? {} : { channel }),
      }
    }),
  )
  return { channels, inputs, leds, faults, ...(controller === undefined ? {} : { controller }) }
}

/** Whether resistors pull a net to a supply (true) or to earth (false); undefined where nothing pulls it. */
function pulledTo(circuit: Circuit, net: string): boolean | undefined {
  const supplies = new Set(circuit.nets.filter((n) => n.kind === "supply").map((n) => n.name))
  for (const part of circuit.parts) {
    if (part.kind !== "resistor" && part.kind !== "resistor-array") continue
    const pins = Object.entries(part.pins)
    const here = pins.find(([, n]) => n === net)
    if (!here) continue
    // The far end of a bussed array is the pin that belongs to no section.
    const sections = part.sections?.flat() ?? []
    const far = pins.filter(([pin, n]) => n !== net && (pins.length === 2 || !sections.includes(pin)))
    for (const [, n] of far) {
      if (supplies.has(n)) return true
      if (n === circuit.earth) return false
    }
  }
  return undefined
}

/** Vehicle wires that reach the supply end of a string through diodes and resistors. */
function feedsOf(circuit: Circuit, string: LedString): string[] {
  const wireOf = new Map(circuit.nets.flatMap((n) => (n.wire ? [[n.name, n.wire] as const] : [])))
  const closed = new Set([
    circuit.earth,
    ...circuit.nets.filter((n) => n.kind === "signal").map((n) => n.name),
  ])
  const seen = new Set([string.nets[0]!])
  const found: string[] = []
  for (const net of seen) {
    const wire = wireOf.get(net)
    if (wire !== undefined) {
      found.push(wire)
      continue
    }
    for (const part of circuit.parts) {
      if (part.kind === "adjustable-regulator") {
        const { model } = partType(part.stock)
        if (model.kind === "adjustable-regulator" && part.pins[model.pins.output] === net)
          seen.add(part.pins[model.pins.input]!)
      }
      if (part.kind !== "diode" && part.kind !== "resistor") continue
      const pins = Object.entries(part.pins)
      const here = pins.find(([, n]) => n === net)
      const there = pins.find(([, n]) => n !== net)
      if (!here || !there || closed.has(there[1])) continue
      // A diode feeds from its anode to its cathode only.
      if (part.kind === "diode" && !isCathode(here[0])) continue
      seen.add(there[1])
    }
  }
  return found
}

const isCathode = (pin: string) => /^(k|c|cathode)$/i.test(pin)
