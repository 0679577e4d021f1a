// Random boards for tests: odd outlines, screws, LEDs at given places, parts pinned by hand, any netlist.
// Made through the room's way in, from a lamp and a circuit that hold nothing else.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { contains } from "../0-ground/geometry/polygon.ts"
import { pointToSegment } from "../0-ground/geometry/segment.ts"
import { type Random, random } from "../0-ground/numbers/random.ts"
import { packageType } from "../1-stock/packages.ts"
import type { BoardRequest, Hole, Lamp } from "../2-lamp/artefact.ts"
import { readLamp } from "../2-lamp/read-lamp.ts"
import type { Circuit, Net, Part } from "../3-drive/artefact.ts"

interface Spot {
  readonly x: number
  readonly y: number
}

const packages: readonly (readonly [name: string, kind: Part["kind"], stock: string, share: number])[] = [
  ["axial-quarter-watt", "resistor", "film", 24],
  ["do-41", "diode", "1N4007", 9],
  ["ceramic-2.54", "capacitor", "ceramic", 9],
  ["electrolytic-6.3", "capacitor", "electrolytic", 6],
  ["to-92-cbe", "transistor", "BC337", 10],
  ["sip-9", "resistor-array", "bussed", 1],
  ["dip-18", "low-side-array", "ULN2803A", 1],
  ["header-2x3", "header", "header", 1],
]

const base: Lamp = (() => {
  const at = join(import.meta.dirname, "../../examples/marker")
  const text = readFileSync(join(at, "marker.yaml"), "utf8")
  return readLamp(text, (f) => readFileSync(join(at, f), "utf8")).lamp!
})()

export interface RandomBoard {
  readonly lamp: Lamp
  readonly circuit: Circuit
}

/** `parts`: about how many, LEDs and wire pads beside them. */
export function randomBoard(seed: number, parts = 4 + (seed % 9)): RandomBoard {
  const chance = random(seed * 7919 + 17)
  const leds = chance.below(3) === 0 ? 0 : 2 + chance.below(6)
  const chosen = Array.from({ length: parts }, () => pick(chance))
  const area =
    chosen.reduce((sum, [name]) => sum + roomOf(name), 0) + leds * roomOf("led-5mm") + 6 * roomOf("wire-pad")
  const outline = shape(chance, area * (2.2 + 1.4 * chance.next()))
  const screws = screwsIn(chance, outline)
  const spots = ledSpots(chance, outline, screws, leds)
  const holes: Hole[] = spots.map((s, i) => ({ id: `hole-${i + 1}`, x: s.x, y: s.y, diameter: 5.2 }))
  const refs = holes.map((_, i) => `glow-${i + 1}`)

  const list: Part[] = [
    ...refs.map(
      (ref, i): Part => ({
        ref,
        kind: "led",
        stock: "red-5mm",
        package: "led-5mm",
        value: "red",
        pins: {},
        purpose: "",
        home: { kind: "group", group: "glow" },
        reversible: false,
        behindHole: holes[i]!.id,
      }),
    ),
    ...chosen.map(
      ([name, kind, stock], i): Part => ({
        ref: `P${i + 1}`,
        kind,
        stock,
        package: name,
        value: name,
        pins: {},
        purpose: "",
        home: { kind: "drivers" },
        reversible: kind === "resistor",
      }),
    ),
  ]
  const { nets, pinned } = wire(chance, list)
  const request: BoardRequest = {
    name: "board",
    carries: ["glow", "controller", "drivers", "supply"],
    outline,
    screws,
    inset: 0,
    height: 25,
    roomFor: "everything",
    ...(chance.below(2) === 0 ? {} : { wiresAt: outline[chance.below(outline.length)]! }),
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
    parts: pinned,
    nets,
    earth: "earth",
    signals: [],
    strings: [],
    channels: [],
    inputs: [],
    drives: [],
    candidates: [],
    corners: [],
    figures: [],
    findings: [],
  } as unknown as Circuit
  return { lamp, circuit }
}

function pick(chance: Random) {
  let n = chance.below(packages.reduce((sum, p) => sum + p[3], 0))
  for (const p of packages) {
    n -= p[3]
    if (n < 0) return p
  }
  return packages[0]!
}

function roomOf(name: string): number {
  const { body, lands } = packageType(name)
  const w = Math.max(body.w, ...lands.map((l) => 2 * Math.abs(l.x) + l.w)) + 2
  const h = Math.max(body.h, ...lands.map((l) => 2 * Math.abs(l.y) + l.h)) + 2
  return w * h
}

/** Rectangle, trapezium, L, disc or a crescent's piece; counter-clockwise, lower left at the origin. */
function shape(chance: Random, area: number): Spot[] {
  const kind = chance.below(5)
  const long = 1 + 1.2 * chance.next()
  const h = Math.max(22, Math.sqrt(area / long))
  const w = Math.max(22, area / h)
  const at = (x: number, y: number) => ({ x: Math.round(x * 100) / 100, y: Math.round(y * 100) / 100 })
  if (kind === 1) return [at(0, 0), at(w * 1.1, 0), at(w * 0.95, h), at(w * 0.05, h)]
  if (kind === 2)
    return [
      at(0, 0),
      at(w * 1.15, 0),
      at(w * 1.15, h * 0.7),
      at(w * 0.6, h * 0.7),
      at(w * 0.6, h * 1.15),
      at(0, h * 1.15),
    ]
  if (kind === 3) {
    const r = Math.sqrt((w * h) / Math.PI) * 1.05
    return Array.from({ length: 48 }, (_, i) =>
      at(r + r * Math.cos((2 * Math.PI * i) / 48), r + r * Math.sin((2 * Math.PI * i) / 48)),
    )
  }
  if (kind === 4) {
    // A ring's sector a third of the way round.
    const inner = (w / 2) * 0.8
    const outer = inner + h * 1.1
    const arc = (r: number, from: number, to: number) =>
      Array.from({ length: 17 }, (_, i) => {
        const a = ((from + ((to - from) * i) / 16) * Math.PI) / 180
        return at(outer + r * Math.cos(a), r * Math.sin(a))
      })
    return [...arc(outer, 40, 140), ...arc(inner, 140, 40)]
  }
  return [at(0, 0), at(w, 0), at(w, h), at(0, h)]
}

const edgeTo = (ring: readonly Spot[], p: Spot) =>
  Math.min(...ring.map((q, i) => pointToSegment(p, q, ring[(i + 1) % ring.length]!)))

function somewhere(chance: Random, ring: readonly Spot[], inside: number): Spot | undefined {
  const maxX = Math.max(...ring.map((p) => p.x))
  const maxY = Math.max(...ring.map((p) => p.y))
  for (let k = 0; k < 200; k++) {
    const p = { x: Math.round(chance.next() * maxX * 10) / 10, y: Math.round(chance.next() * maxY * 10) / 10 }
    if (contains(ring, p) && edgeTo(ring, p) >= inside) return p
  }
  return undefined
}

function screwsIn(chance: Random, ring: readonly Spot[]): Hole[] {
  const out: Hole[] = []
  for (let k = chance.below(4); k > 0; k--) {
    const p = somewhere(chance, ring, 4)
    if (p && out.every((s) => Math.hypot(s.x - p.x, s.y - p.y) > 12))
      out.push({ id: `screw-${out.length + 1}`, ...p, diameter: 3.2 })
  }
  return out
}

function ledSpots(chance: Random, ring: readonly Spot[], screws: readonly Spot[], n: number): Spot[] {
  const out: Spot[] = []
  for (let k = 0; k < n; k++) {
    const p = somewhere(chance, ring, 4.5)
    if (
      p &&
      screws.every((s) => Math.hypot(s.x - p.x, s.y - p.y) > 8) &&
      out.every((q) => Math.hypot(q.x - p.x, q.y - p.y) > 8.5)
    )
      out.push(p)
  }
  return out
}

/** Deals the pins of all parts to nets of two to seven pins; some stay open. Earth and one vehicle wire get pads. */
function wire(chance: Random, list: readonly Part[]): { nets: Net[]; pinned: Part[] } {
  // A circuit's nets join neighbours in it more often than strangers: pins are dealt in part order, well shuffled.
  const pins = list.flatMap((p, i) =>
    packageType(p.package).lands.map((l) => ({ ref: p.ref, pin: l.pin, i })),
  )
  const order = pins.map((p) => ({ p, at: p.i + 5 * chance.next() })).sort((a, b) => a.at - b.at)
  const netOf = new Map<string, string>()
  const nets: Net[] = []
  const many = new Set(list.filter((p) => packageType(p.package).lands.length > 4).map((p) => p.ref))
  const left = order.map(({ p }) => p)
  while (left.length > 1) {
    const name = nets.length === 0 ? "earth" : nets.length === 1 ? "plus" : `N${nets.length}`
    const size = nets.length < 2 ? 4 + chance.below(4) : 2 + chance.below(chance.below(3) === 0 ? 5 : 2)
    // Pins of one chip or header belong to different nets, as they mostly do.
    const members: typeof left = []
    for (let k = 0; k < left.length && members.length < size; )
      if (many.has(left[k]!.ref) && members.some((m) => m.ref === left[k]!.ref)) k++
      else members.push(...left.splice(k, 1))
    if (members.length < 2) break
    for (const p of members) netOf.set(`${p.ref} ${p.pin}`, name)
    nets.push({
      name,
      kind: name === "earth" ? "earth" : name === "plus" ? "wire" : "signal",
      current: name === "earth" || name === "plus" ? 0.8 : 0.02 + 0.2 * chance.next(),
      voltage: 14,
      ...(name === "plus" ? { wire: "plus" } : {}),
    })
    if (chance.below(10) === 0) left.shift()
  }
  const pinned = list.map((p) => ({
    ...p,
    pins: Object.fromEntries(
      packageType(p.package).lands.flatMap((l) => {
        const net = netOf.get(`${p.ref} ${l.pin}`)
        return net === undefined ? [] : [[l.pin, net]]
      }),
    ),
  }))
  return { nets, pinned }
}
