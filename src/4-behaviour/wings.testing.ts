// Lamps made by hand for the tests of this room: the Tern's wings (two sweeps of eight), and variations.

import type { Group, Lamp, ProgrammeLine, Wire } from "../2-lamp/artefact.ts"
import type { Channel, Circuit, ControllerSignal } from "../3-drive/artefact.ts"

export const portPins: readonly string[] = [
  ..."012345".split("").map((b) => `PB${b}`),
  ..."012345".split("").map((b) => `PC${b}`),
  ..."01234567".split("").map((b) => `PD${b}`),
]

const hole = (id: string, x: number) => ({ id, x, y: 20, diameter: 5.2 })

export function group(name: string, count: number, more: Partial<Group> = {}): Group {
  return {
    name,
    face: "face",
    led: "amber-5mm",
    functions: ["direction-indicator"],
    order: "outward",
    leds: Array.from({ length: count }, (_, i) => ({
      ref: `${name}-${i + 1}`,
      hole: hole(`${name}-h${i + 1}`, 10 * i),
    })),
    ...more,
  }
}

export const flashingWire = (name: string, more: Partial<Wire> = {}): Wire => ({
  name,
  role: "flashing",
  flasher: "electronic",
  rate: 1.5,
  onShare: 0.5,
  ...more,
})
export const steadyWire = (name: string): Wire => ({ name, role: "steady" })

export const sweepLine = (when: string, light: string, more: Partial<ProgrammeLine> = {}): ProgrammeLine => ({
  when: [when],
  light,
  level: 1,
  sweep: { within: 0.18 },
  rise: 0.02,
  fall: 0.01,
  ...more,
})
export const plainLine = (when: string | readonly string[], light: string, level: number): ProgrammeLine => ({
  when: typeof when === "string" ? [when] : when,
  light,
  level,
  rise: 0,
  fall: 0,
})

export function lamp(
  wires: readonly Wire[],
  groups: readonly Group[],
  programme: readonly ProgrammeLine[],
): Lamp {
  return {
    name: "made by hand",
    vehicle: {
      kind: "three-wheeler",
      rules: "un-l",
      supply: { lowest: 9, usual: 13.5, highest: 16, surge: "clamped" },
      ambient: { lowest: -20, highest: 50 },
      wires: [...wires, { name: "plus", role: "supply" }],
    },
    faces: [],
    groups,
    programme,
    boards: [],
    copperClad: { base: "FR4", thickness: 1.6, copper: 0.035, sheet: { w: 100, h: 160 } },
    cutter: {
      engraver: { tip: 0.2, angle: 30, depth: 0.1, feed: 300, plunge: 100, spindle: 12000 },
      drills: [0.8],
      drillFeed: 120,
      router: { diameter: 1.5, feed: 240, stepDown: 0.5 },
      machine: { rapid: 1500, acceleration: 100, flatness: 0.03, clearHeight: 3 },
    },
    pins: {},
    places: {},
    seed: 1,
  }
}

/** Every LED of every group on its own output; every wire but supply and earth read. */
export function circuit(of: Lamp, activeHigh = true): Circuit {
  const leds = of.groups.flatMap((g) => g.leds.map((l) => ({ group: g.name, ref: l.ref })))
  const channels: Channel[] = leds.map((l, index) => ({
    index,
    group: l.group,
    leds: [l.ref],
    activeHigh,
    net: `out-${index}`,
  }))
  const read = of.vehicle.wires.filter((w) => w.role === "steady" || w.role === "flashing")
  const signals: ControllerSignal[] = [
    ...read.map((w) => ({
      name: `input-${w.name}`,
      net: `in-${w.name}`,
      direction: "input" as const,
      wire: w.name,
      allowed: portPins,
    })),
    ...channels.map((c) => ({
      name: `output-${c.index}`,
      net: c.net,
      direction: "output" as const,
      channel: c.index,
      allowed: portPins,
    })),
  ]
  return {
    parts: [],
    nets: [],
    earth: "earth",
    strings: [],
    channels,
    signals,
    controller: "U1",
    inputs: read.map((w) => ({
      wire: w.name,
      net: `in-${w.name}`,
      liveAbove: 8,
      deadBelow: 3,
      riseDelay: 0,
      fallDelay: 0,
    })),
    drives: [],
    corners: [],
    figures: [],
    findings: [],
  }
}

/** Pins in the order of the signals, from PB0 on. */
export const pinsInOrder = (of: Circuit) => ({
  controller: Object.fromEntries(of.signals.map((s, i) => [s.name, portPins[i]!])),
})

/** The Tern's two wings: eight amber LEDs each, swept outward within 180 ms. */
export const wings: Lamp = lamp(
  [flashingWire("left"), flashingWire("right")],
  [group("sweep-left", 8), group("sweep-right", 8)],
  [sweepLine("left", "sweep-left"), sweepLine("right", "sweep-right")],
)

export const tinyPins: readonly string[] = ["PA0", "PA1", "PA2", "PA3", "PA4", "PA5", "PA6", "PA7", "PB2"]

/** The circuit's controller becomes an ATtiny84A. */
export function withTiny(of: Circuit): Circuit {
  const part = { ref: "U1", kind: "controller", stock: "controller-attiny84a", value: "ATtiny84A", pins: {} }
  return {
    ...of,
    parts: [part as unknown as Circuit["parts"][number]],
    signals: of.signals.map((s) => ({ ...s, allowed: tinyPins })),
  }
}

/** The same circuit with an ATtiny84A, its signals on its pins in their order. */
export function tinyCircuit(of: Lamp): { circuit: Circuit; pins: { controller: Record<string, string> } } {
  const made = withTiny(circuit(of))
  return {
    circuit: made,
    pins: { controller: Object.fromEntries(made.signals.map((s, i) => [s.name, tinyPins[i]!])) },
  }
}
