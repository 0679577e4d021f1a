// The ring-of-LEDs board of the measured prototype, to be placed and routed by its seed: 26 LEDs on a disc of 100 mm in
// seven strings of 2 to 4, each with its transistor, controller and supply on the same board: 62 parts, 53 nets. Larger
// ones have more rings of LEDs in strings of four, several strings on a transistor: 100 LEDs make 157 parts, 400 make 532.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { random } from "../0-ground/numbers/random.ts"
import { modelOf } from "../1-stock/parts.ts"
import type { BoardRequest, Hole, Lamp } from "../2-lamp/artefact.ts"
import { readLamp } from "../2-lamp/read-lamp.ts"
import type { Circuit, ControllerSignal, LedString, Net, Part } from "../3-drive/artefact.ts"

export interface RingBoard {
  readonly lamp: Lamp
  readonly circuit: Circuit
}

interface Size {
  readonly leds: number
  /** Of the disc, and of one ring of LEDs from the next, mm. */
  readonly diameter: number
  readonly apart: number
}

const channels = 7
const sizes: readonly Size[] = [
  { leds: 26, diameter: 100, apart: 12 },
  { leds: 100, diameter: 160, apart: 12 },
  { leds: 400, diameter: 320, apart: 16 },
]

/**
 * `leds`: 26, 100 or 400. The seed deals the LEDs to strings, and is the seed of the search. `diameter`: of the disc,
 * where it is not to be the usual one, mm.
 */
export function ringBoard(leds: number, seed: number, diameter?: number): RingBoard {
  const usual = sizes.find((s) => s.leds === leds)
  if (!usual) throw new Error(`no ring board with ${leds} LEDs`)
  const size = { ...usual, diameter: diameter ?? usual.diameter }
  const chance = random(seed * 104_729 + leds)
  const places = rings(size)
  const refs = places.map((_, i) => `glow-${i + 1}`)
  const holes = places.map((p, i): Hole => ({ id: `hole-${i + 1}`, ...p, diameter: 5.2 }))
  const lengths = leds === 26 ? dealt(chance.below, leds) : even(leds)

  const nets: Net[] = []
  const net = (name: string, kind: Net["kind"], current: number, wire?: string): string => {
    if (!nets.some((n) => n.name === name))
      nets.push({ name, kind, current, voltage: 14, ...(wire === undefined ? {} : { wire }) })
    return name
  }
  const earth = net("earth", "earth", 1)
  const plus = net("plus", "wire", 1, "plus")
  const supply = net("V", "supply", 1)
  const five = net("5V", "supply", 0.05)
  const parts: Part[] = []
  const add = (
    ref: string,
    kind: Part["kind"],
    stock: string,
    packageName: string,
    pins: Record<string, string>,
    more: Partial<Part> = {},
  ) =>
    parts.push({
      ref,
      kind,
      stock,
      package: packageName,
      value: kind,
      pins,
      purpose: "",
      home: { kind: "drivers" },
      reversible: kind === "resistor",
      ...more,
    })
  const film = "axial-quarter-watt"
  const strings: LedString[] = []
  let next = 0
  for (const [s, k] of lengths.entries()) {
    const name = `S${s + 1}`
    const channel = Math.floor((s * channels) / lengths.length)
    const inside = Array.from({ length: k }, (_, i) => net(`${name}-${i}`, "led", 0.02))
    const foot = net(`C${channel}`, "led", 0.02 * Math.ceil(lengths.length / channels))
    const on = [...inside, foot]
    for (let i = 0; i < k; i++, next++)
      add(
        refs[next]!,
        "led",
        "red-5mm",
        "led-5mm",
        { A: on[i]!, K: on[i + 1]! },
        { behindHole: holes[next]!.id, home: { kind: "group", group: "glow" } },
      )
    add(`RS${s + 1}`, "resistor", "film", film, { "1": supply, "2": on[0]! })
    strings.push({
      name,
      group: "glow",
      leds: refs.slice(next - k, next),
      nets: on,
      resistors: [`RS${s + 1}`],
      channel,
    })
  }
  const { ioPins, packagePins } = modelOf("controller-atmega328p", "controller")
  const signals: ControllerSignal[] = []
  for (let c = 0; c < channels; c++) {
    const base = net(`B${c}`, "signal", 0.002)
    const signal = net(`out-${c}`, "signal", 0.002)
    add(`Q${c + 1}`, "transistor", "BC337", "to-92-cbe", { C: `C${c}`, B: base, E: earth })
    add(`RB${c + 1}`, "resistor", "film", film, { "1": signal, "2": base })
    signals.push({ name: `output-${c}`, net: signal, direction: "output", channel: c, allowed: ioPins })
  }
  const wire = net("wire", "wire", 0.01, "wire")
  const input = net("in", "signal", 0.001)
  signals.push({ name: "input-wire", net: input, direction: "input", wire: "wire", allowed: ioPins })
  const power = { VCC: five, AVCC: five, GND: earth }
  add(
    "U1",
    "controller",
    "controller-atmega328p",
    "dip-28",
    Object.fromEntries(
      Object.entries(power).flatMap(([pin, n]) => (packagePins[pin] ?? []).map((p) => [p, n])),
    ),
  )
  add("U2", "regulator", "regulator", "to-92-ebc", { E: five, B: earth, C: supply })
  add("D1", "diode", "1N4007", "do-41", { A: plus, K: supply })
  add("C1", "capacitor", "electrolytic", "electrolytic-6.3", { "+": supply, "-": earth })
  add("C2", "capacitor", "electrolytic", "electrolytic-6.3", { "+": five, "-": earth })
  add("C3", "capacitor", "ceramic", "ceramic-2.54", { "1": five, "2": earth }, { reversible: true })
  add("C4", "capacitor", "ceramic", "ceramic-2.54", { "1": five, "2": earth }, { reversible: true })
  add("C5", "capacitor", "ceramic", "ceramic-2.54", { "1": input, "2": earth }, { reversible: true })
  add("RI1", "resistor", "film", film, { "1": wire, "2": input })
  add("RI2", "resistor", "film", film, { "1": input, "2": earth })
  add("Z1", "zener", "zener", "do-35", { A: earth, K: input })
  add("RI3", "resistor", "film", film, { "1": wire, "2": earth })

  const request: BoardRequest = {
    name: "ring",
    carries: ["glow", "controller", "drivers", "supply"],
    outline: disc(size.diameter),
    screws: [],
    inset: 0,
    height: 25,
    roomFor: "everything",
  }
  const lamp: Lamp = {
    ...base,
    faces: [],
    groups: [
      {
        name: "glow",
        face: "none",
        led: "red-5mm",
        functions: [],
        order: "drawn",
        leds: refs.map((ref, i) => ({ ref, hole: holes[i]! })),
      },
    ],
    programme: [],
    boards: [request],
    pins: {},
    seed,
  }
  const circuit: Circuit = {
    parts,
    nets,
    earth,
    strings,
    channels: [],
    signals,
    controller: "U1",
    inputs: [],
    drives: [],
    corners: [],
    figures: [],
    findings: [],
  }
  return { lamp, circuit }
}

const base: Lamp = (() => {
  const at = join(import.meta.dirname, "../../examples/marker")
  const text = readFileSync(join(at, "marker.yaml"), "utf8")
  return readLamp(text, (f) => readFileSync(join(at, f), "utf8")).lamp!
})()

const round = (v: number): number => Math.round(v * 100) / 100

const disc = (diameter: number) =>
  Array.from({ length: 72 }, (_, i) => {
    const a = (2 * Math.PI * i) / 72
    const r = diameter / 2
    return { x: round(r + r * Math.cos(a)), y: round(r + r * Math.sin(a)) }
  })

/** A ring 8 mm from the edge; many LEDs fill it to 8 mm from one another and go on with a ring further in. */
function rings(size: Size): { x: number; y: number }[] {
  const { leds, diameter, apart } = size
  const out: { x: number; y: number }[] = []
  for (let r = diameter / 2 - 8; out.length < leds; r -= apart) {
    const here = Math.min(leds - out.length, Math.floor((2 * Math.PI * r) / 8))
    for (let i = 0; i < here; i++) {
      const a = (2 * Math.PI * i) / here
      out.push({ x: round(diameter / 2 + r * Math.cos(a)), y: round(diameter / 2 + r * Math.sin(a)) })
    }
  }
  return out
}

/** Seven strings of 2 to 4. */
function dealt(below: (n: number) => number, leds: number): number[] {
  const out = Array<number>(channels).fill(2)
  for (let left = leds - 2 * channels; left > 0; ) {
    const s = below(channels)
    if (out[s]! === 4) continue
    out[s]!++
    left--
  }
  return out
}

/** Strings of four, some of three, so that there are as many as in the prototype. */
function even(leds: number): number[] {
  const count = leds === 100 ? 28 : 103
  return Array.from(
    { length: count },
    (_, s) => Math.floor(((s + 1) * leds) / count) - Math.floor((s * leds) / count),
  )
}
