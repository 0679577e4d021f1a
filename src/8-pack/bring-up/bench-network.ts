// Boards on the bench as a direct-current network: parts from the circuit, what joins them from the lands as placed,
// one fault at a time put in. Nodes are `board|net`; the part of a net beyond a missing link is `board|net~`.

import type { DiodeModel, PartType } from "../../1-stock/artefact.ts"
import { ledType, modelThermalVoltage } from "../../1-stock/leds.ts"
import { partType } from "../../1-stock/parts.ts"
import type { Circuit, Part } from "../../3-drive/artefact.ts"
import type { Boards } from "../../5-board/artefact.ts"
import { isLoose, looseName } from "./bridges.ts"
import { adjustable, curve, type DcNetwork, type DeviceLaw, diode, type Law, npn } from "./dc-network.ts"
import type { BridgeFault, Fault } from "./faults.ts"

/** Low: everything draws least and LEDs drop most; high the other way round. */
export const ends = ["low", "usual", "high"] as const
export type End = (typeof ends)[number]

/** A drop of solder or a lead across, Ω. */
const solder = 0.05

export interface Bench {
  readonly circuit: Circuit
  readonly boards: Boards
  /** Ref → board → pin → net, as the lands stand. */
  readonly pins: ReadonlyMap<
    string,
    {
      readonly board: string
      readonly nets: ReadonlyMap<string, string>
      /** Net → the first pin on it. */
      readonly pinOn: ReadonlyMap<string, string>
      /** Where the pins are while no fault moves them. */
      readonly nodes: ReadonlyMap<string, string>
    }
  >
  readonly parts: ReadonlyMap<string, Part>
}

export function benchOf(circuit: Circuit, boards: Boards): Bench {
  const pins = new Map<
    string,
    { board: string; nets: Map<string, string>; pinOn: Map<string, string>; nodes: Map<string, string> }
  >()
  for (const b of boards.boards)
    for (const l of b.lands) {
      if (l.net === undefined || b.links.some((w) => w.ref === l.ref)) continue
      const own = pins.get(l.ref) ?? { board: b.name, nets: new Map(), pinOn: new Map(), nodes: new Map() }
      // Pads carry the same ref on several boards; only parts of the circuit are asked for by ref.
      if (own.board === b.name) {
        own.nets.set(l.pin, l.net)
        own.nodes.set(l.pin, `${b.name}|${l.net}`)
        if (!own.pinOn.has(l.net)) own.pinOn.set(l.net, l.pin)
      }
      pins.set(l.ref, own)
    }
  return { circuit, boards, pins, parts: new Map(circuit.parts.map((p) => [p.ref, p])) }
}

/** The node a land lies on while `fault` is there. */
export function nodeOf(board: string, net: string, land: string, fault: Fault | undefined): string {
  const beyond = fault?.kind === "link" && fault.board === board && fault.net === net && fault.apart.has(land)
  return `${board}|${net}${beyond ? "~" : ""}`
}

export type PinNode = (pin: string) => string | undefined

/** Where the pins of a part end up, turned round if that is the fault; undefined for a part not on these boards. */
export function pinNodes(bench: Bench, part: Part, fault: Fault | undefined): PinNode {
  const placed = bench.pins.get(part.ref)
  if (!placed) return nowhere
  const turned = fault?.kind === "part" && fault.ref === part.ref && fault.change === "reversed"
  const { nodes } = placed
  // Most faults leave most parts as they are.
  if (!turned && fault?.kind !== "link" && fault?.kind !== "bridge") return (pin) => nodes.get(pin)
  return (pin) => {
    const there = turned ? opposite(part, [...placed.nets.keys()], pin) : pin
    if (there === undefined) return undefined
    const net = placed.nets.get(there) ?? looseEnd(fault, part.ref, there)
    return net === undefined ? undefined : nodeOf(placed.board, net, `${part.ref}.${there}`, fault)
  }
}

const nowhere: PinNode = () => undefined

/** A pin without a net matters only while solder joins it to something. */
function looseEnd(fault: Fault | undefined, ref: string, pin: string): string | undefined {
  if (fault?.kind !== "bridge") return undefined
  const name = looseName({ ref, pin })
  return fault.a === name || fault.b === name || fault.over === name ? name : undefined
}

/** The pins of a part that belong to no net and are bridged. */
function loosePins(fault: Fault | undefined, ref: string): string[] {
  if (fault?.kind !== "bridge") return []
  return [fault.a, fault.b, fault.over ?? ""].flatMap((point) =>
    isLoose(point) && point.startsWith(`(${ref}.`) ? [point.slice(ref.length + 2, -1)] : [],
  )
}

function opposite(part: Part, names: readonly string[], pin: string): string | undefined {
  if (part.kind === "resistor-array") {
    const { model } = partType(part.stock)
    return model.kind === "resistor-array" ? String(model.sections + 2 - Number(pin)) : undefined
  }
  if (part.kind === "regulator" || part.kind === "adjustable-regulator")
    return pin === "1" ? "3" : pin === "3" ? "1" : pin
  if (part.kind === "transistor") return pin === "C" ? "E" : pin === "E" ? "C" : pin
  return names.find((n) => n !== pin)
}

/** Ohms of a resistor or capacitor value under a fault: factor on its amount; undefined when it is not there. */
export function factor(part: Part, fault: Fault | undefined): number | undefined {
  if (fault?.kind !== "part" || fault.ref !== part.ref) return 1
  return { open: undefined, short: 1, reversed: 1, "ten times": 10, "a tenth": 0.1 }[fault.change]
}

export const shorted = (part: Part, fault: Fault | undefined) =>
  fault?.kind === "part" && fault.ref === part.ref && fault.change === "short"

/** The pins between which a part of more than two fails short. */
function across(part: Part): readonly [string, string] | undefined {
  if (part.kind === "regulator") return ["1", "3"]
  if (part.kind === "adjustable-regulator") return ["2", "3"]
  if (part.kind === "relay") return ["A1", "A2"]
  if (part.kind === "resonator") return ["1", "3"]
  if (part.kind === "controller") {
    const { model } = partType(part.stock)
    return model.kind === "controller" ? [model.packagePins.VCC![0]!, model.packagePins.GND![0]!] : undefined
  }
  return part.kind === "transistor" ? ["C", "E"] : undefined
}

export interface Resistance {
  readonly a: string
  readonly b: string
  readonly ohm: number
}

/** Every resistance there is: plain ones, sections of networks, bridges and shorts, with wires between boards. */
export function resistances(
  bench: Bench,
  on: (board: string) => boolean,
  fitted: (part: Part) => boolean,
  fault: Fault | undefined,
  end: End,
  powered = false,
): Resistance[] {
  const out: Resistance[] = []
  for (const part of bench.circuit.parts) {
    const placed = bench.pins.get(part.ref)
    if (placed && on(placed.board) && fitted(part))
      resistancesOf(bench, part, fault, end, powered, (a, b, ohm) => out.push({ a, b, ohm }))
  }
  if (fault?.kind === "bridge" && on(fault.board)) out.push(...bridged(fault))
  return out
}

/** What one part adds to them. */
export function resistancesOf(
  bench: Bench,
  part: Part,
  fault: Fault | undefined,
  end: End,
  powered: boolean,
  add: (a: string, b: string, ohm: number) => void,
): void {
  const sign = { low: 1, usual: 0, high: -1 }[end]
  const put = (a: string | undefined, b: string | undefined, ohm: number) => {
    if (a !== undefined && b !== undefined && a !== b) add(a, b, ohm)
  }
  const pin = pinNodes(bench, part, fault)
  const share = factor(part, fault)
  if (shorted(part, fault)) {
    const [a, b] = across(part) ?? [...(bench.pins.get(part.ref)?.nets.keys() ?? [])]
    put(pin(a!), pin(b!), solder)
  } else if (part.kind === "resistor" && share !== undefined && part.amount !== undefined) {
    const { model } = partType(part.stock)
    const tolerance = model.kind === "resistor" ? model.tolerance : 0
    put(pin("1"), pin("2"), part.amount * share * (1 + sign * tolerance))
  } else if (part.kind === "resistor-array" && share !== undefined) {
    const { model } = partType(part.stock)
    if (model.kind !== "resistor-array") return
    for (const own of model.sectionPins) {
      const wrong = fault?.kind === "section" && fault.ref === part.ref && fault.pin === own
      if (wrong && fault.change === "open") continue
      const ohm = wrong ? solder : model.resistance * share * (1 + sign * model.tolerance)
      put(pin(model.commonPin), pin(own), ohm)
    }
  } else if (part.kind === "relay") {
    const { model } = partType(part.stock)
    if (model.kind !== "relay") return
    const [from, to] = model.pins.coil
    if (share !== undefined) put(pin(from), pin(to), model.coil * (1 + sign * model.coilTolerance))
    const wrong = fault?.kind === "section" && fault.ref === part.ref ? fault.change : undefined
    // At rest, or shut for good; with the supply on the coil decides (`addJunctions`).
    if (wrong !== "open" && (!powered || wrong === "short"))
      put(pin(model.pins.common), pin(model.pins.rest), model.contactResistance)
  } else if (part.kind === "low-side-array" && fault?.kind === "section" && fault.ref === part.ref) {
    const { model } = partType(part.stock)
    if (model.kind === "low-side-array" && fault.change === "short")
      put(pin(fault.pin), pin(model.earthPin), solder)
  }
}

/** The solder of a bridge. */
export function bridged({ board, a, b, over }: BridgeFault): Resistance[] {
  const [from, to] = [`${board}|${a}`, `${board}|${b}`]
  const all = [{ a: from, b: to, ohm: solder }]
  if (over !== undefined) all.push({ a: from, b: `${board}|${over}`, ohm: solder })
  return all
}

/** Ω: harness wires, joined when the whole lamp is on the bench. */
export function harness(bench: Bench, fault: Fault | undefined): (Resistance & { readonly wire: string })[] {
  return bench.boards.harness.flatMap((h) => {
    if (fault?.kind === "wire" && fault.name === h.name) return []
    const end = (e: { board: string; ref: string } | { vehicle: string }) =>
      "vehicle" in e ? `vehicle|${e.vehicle}` : nodeOf(e.board, h.net, `${e.ref}.1`, fault)
    return [{ a: end(h.from), b: end(h.to), ohm: 0.02, wire: h.name }]
  })
}

/** What the running programme does with each signal. */
export interface Drive {
  /** The same for equal drives. */
  readonly key: string
  readonly of: (signal: string | typeof unused) => "high" | "low" | "open" | "pulled"
}
export const undriven: Drive = { key: "", of: () => "open" }
/** A pin of the controller without a signal: the firmware pulls it up (see the runtime). */
export const unused = "(unused)"
/** Pull-up of the controllers' pins, Ω: 20 to 50 kΩ by their data sheets (recalled). */
const pullUp = { low: 50e3, usual: 35e3, high: 20e3 }

/** Low: it drops most. */
export function ledLaw(stock: string, end: End): Law {
  const key = `${stock} ${end}`
  const known = ledLaws.get(key)
  if (known) return known
  const law = diode(ledType(stock).model[end === "low" ? "high" : end === "high" ? "low" : "usual"])
  ledLaws.set(key, law)
  return law
}
const ledLaws = new Map<string, Law>()

/** Junctions or the chip of one part, for powered boards. */
export function addJunctions(
  network: DcNetwork,
  bench: Bench,
  part: Part,
  fault: Fault | undefined,
  end: End,
  drive: Drive,
): void {
  // A relay's contact is there whatever its coil does.
  if (part.kind !== "relay" && (factor(part, fault) === undefined || shorted(part, fault))) return
  const pin = pinNodes(bench, part, fault)
  const between = (a: string, b: string, law: Law) => {
    const p = pin(a)
    const q = pin(b)
    if (p !== undefined && q !== undefined) network.branch(p, q, law)
  }
  if (part.kind === "led") {
    between("A", "K", ledLaw(part.stock, end))
    return
  }
  const { model } = partType(part.stock)
  if (model.kind === "diode") between("A", "K", rectifier(model.law, model.spread, end))
  else if (model.kind === "clamp")
    between("K", "A", avalanche(model.breakdownLow, model.clampAt, model.clampCurrent))
  else if (model.kind === "zener") between("K", "A", avalanche(model.low, model.high, model.at))
  else if (model.kind === "regulator") addRegulator(network, model, pin, end)
  else if (model.kind === "npn" || model.kind === "adjustable-regulator") {
    const names =
      model.kind === "npn" ? ["C", "B", "E"] : [model.pins.input, model.pins.output, model.pins.set]
    const nodes = names.map(pin)
    if (nodes.every((n) => n !== undefined))
      network.device(
        nodes as string[],
        model.kind === "npn" ? transistorLaw(model, end) : railLaw(model, end),
      )
  } else if (model.kind === "relay") addContact(network, part, model, pin, fault, end)
  else if (model.kind === "low-side-array") addArray(network, part, model, pin, fault, end)
  else if (model.kind === "controller") addController(network, bench, part, model, fault, end, drive)
}

/** Low: the sink holds least. Saturated, a small transistor drops less than any meter's error; so one reverse gain. */
const transistorLaw = (model: Model<"npn">, end: End) =>
  npn({
    saturation: model.baseEmitterAt / Math.expm1(model.baseEmitter[end] / modelThermalVoltage),
    gain: model.gain[end],
    reverseGain: 4,
  })

const railLaw = (model: Model<"adjustable-regulator">, end: End) =>
  adjustable({
    reference: model.reference[end],
    adjust: model.adjustCurrent[end],
    // Below what is typical by a good part on one side, the guaranteed 3 V on the other (data sheet).
    headroom: { low: 2.5, usual: model.headroom, high: model.headroom - 0.3 }[end],
    dropout: model.dropout,
    most: model.maximumCurrent,
  })

function rectifier(law: DiodeModel, spread: number, end: End): Law {
  return diode(law, { low: spread, usual: 0, high: -spread }[end])
}

const avalanche = (low: number, high: number, amps: number): Law =>
  curve([
    [-1, -1],
    [-0.7, -1e-3],
    [-0.5, -1e-6],
    [0, 0],
    [low, 1e-6],
    [Math.max(high, low + 0.2), amps],
  ])

type Model<K> = Extract<PartType["model"], { kind: K }>

/** A source of its voltage behind a small resistance that gives no more than the input holds above it. */
function addRegulator(network: DcNetwork, model: Model<"regulator">, pin: PinNode, end: End): void {
  const [input, earth, output] = [pin("1"), pin("2"), pin("3")]
  if (input === undefined || earth === undefined || output === undefined) return
  const volt = model.out[end]
  const inner = 0.5
  // Without current the input stands hardly above the output; the drop grows with current up to its stated value.
  const law = (own: number, out: number) => {
    const want = Math.min(volt - out, own - 0.1)
    const i = Math.min(Math.max(want / inner, 0), model.maximumCurrent)
    const active = want > 0 && i < model.maximumCurrent
    const byOutput = active && volt - out <= own - 0.1
    return {
      i: i + own * 1e-9,
      g: active && !byOutput ? 1 / inner : 1e-9,
      m: byOutput ? -1 / inner : 0,
    }
  }
  network.dependent(input, output, output, law)
  // Its own current: "at most" is what the data sheet says; the least is a guess well below any part's.
  const own = { low: 0.3, usual: 0.7, high: 1 }[end] * model.quiescent
  network.branch(
    input,
    earth,
    curve([
      [-1, -1e-6],
      [0, 0],
      [4, own],
      [40, own * 1.05],
    ]),
  )
}

/**
 * The contact that is closed at rest: open from half of the surely needed voltage on, or as late as from all of it.
 * The other one, where it is bridged, closes as that opens.
 */
function addContact(
  network: DcNetwork,
  part: Part,
  model: Model<"relay">,
  pin: PinNode,
  fault: Fault | undefined,
  end: End,
): void {
  const wrong = fault?.kind === "section" && fault.ref === part.ref
  const dead = factor(part, fault) === undefined || shorted(part, fault)
  const from = model.pullIn * { low: 1, usual: 0.75, high: 0.5 }[end]
  for (const [throwPin, atRest] of [
    [model.pins.rest, true],
    [model.pins.make, false],
  ] as const) {
    const nodes = [model.pins.coil[0], model.pins.coil[1], model.pins.common, throwPin].map(pin)
    if (wrong || nodes.some((n) => n === undefined)) continue
    network.device(nodes as string[], contactLaw(1 / model.contactResistance, from, atRest, dead))
  }
}

const contactLaw =
  (closed: number, from: number, atRest: boolean, dead: boolean): DeviceLaw =>
  ([plus, minus, a, b]) => {
    const coil = Math.abs(plus! - minus!)
    // A tenth of a volt from made to open, so that Newton's method finds its way.
    const still = dead ? 1 : Math.min(1, Math.max(0, (from - coil) / 0.1 + 1))
    const share = atRest ? still : 1 - still
    const g = closed * share + 1e-9
    const i = (a! - b!) * g
    const turn = -Math.sign(plus! - minus!) * (atRest ? 1 : -1)
    const bend = share > 0 && share < 1 ? ((a! - b!) * closed * turn) / 0.1 : 0
    return {
      i: [0, 0, i, -i],
      g: [
        [0, 0, 0, 0],
        [0, 0, 0, 0],
        [bend, -bend, g, -g],
        [-bend, bend, -g, g],
      ],
    }
  }

/** From each output to the pin all of them share for coils: 1.7 V at 0.35 A by the data sheet (recalled). */
const freewheel = diode({ saturation: 1e-12, emission: 1.4, series: 2 })

function addArray(
  network: DcNetwork,
  part: Part,
  model: Model<"low-side-array">,
  pin: PinNode,
  fault: Fault | undefined,
  end: End,
): void {
  const earth = pin(model.earthPin)
  if (earth === undefined) return
  const junctions = { low: model.junctions.high, usual: 1.35, high: model.junctions.low }[end]
  const rows = model.dropAt.map((d): readonly [number, number] => [
    d[end === "low" ? "high" : end === "high" ? "low" : "usual"],
    d.current,
  ])
  const output = curve([[-0.6, -1e-3], [0, 0], [rows[0]![0] * 0.9, 1e-4], ...rows])
  const commons = loosePins(fault, part.ref)
    .filter((p) => p !== model.earthPin && !model.sectionPins.some((s) => s.includes(p)))
    .flatMap((p) => pin(p) ?? [])
  for (const [input, out] of model.sectionPins) {
    const [signal, load] = [pin(input), pin(out)]
    if (signal === undefined) continue
    network.branch(
      signal,
      earth,
      curve([
        [-1, -1e-6],
        [0, 0],
        [junctions, 2e-5],
        [junctions + model.inputResistance * 1e-3, 1.02e-3],
      ]),
    )
    const dead = fault?.kind === "section" && fault.ref === part.ref && fault.pin === out
    if (load === undefined || dead) continue
    for (const common of commons) network.branch(load, common, freewheel)
    // On as far as its input is above the junctions; between off and on it follows the input.
    network.dependent(load, earth, signal, (own, control) => {
      const open = Math.min(1, Math.max(0, (control - junctions) / 0.1 + 0.2))
      const { i, g } = output(own)
      const moving = open > 0 && open < 1
      return { i: i * open, g: g * open + 1e-9, m: moving ? i / 0.1 : 0 }
    })
  }
}

/** A pin's own protection: one junction to either rail. */
const guard = diode({ saturation: 1e-12, emission: 1.2, series: 50 })

function addController(
  network: DcNetwork,
  bench: Bench,
  part: Part,
  model: Model<"controller">,
  fault: Fault | undefined,
  end: End,
  drive: Drive,
): void {
  const pin = pinNodes(bench, part, fault)
  const [plus, earth] = [pin(model.packagePins.VCC![0]!), pin(model.packagePins.GND![0]!)]
  if (plus === undefined || earth === undefined) return
  const amps = { low: 0.0003, usual: model.supplyCurrent.usual, high: model.supplyCurrent.high }[end]
  network.branch(
    plus,
    earth,
    curve([
      [-1, -1],
      [-0.7, -1e-6],
      [0, 0],
      [1.5, 1e-6],
      [4.5, amps],
      [6, amps * 1.2],
    ]),
  )
  for (const signal of bench.circuit.signals) {
    const own = bench.pins.get(part.ref)?.pinOn.get(signal.net)
    if (own === undefined || (fault?.kind === "section" && fault.ref === part.ref && fault.pin === own))
      continue
    const node = pin(own)!
    network.branch(node, plus, guard)
    network.branch(earth, node, guard)
    const to = drive.of(signal.name)
    if (to !== "open") network.resistor(node, to === "high" ? plus : earth, model.pinResistance / 2)
  }
  const io = new Set(model.ioPins.flatMap((name) => model.packagePins[name] ?? []))
  for (const own of loosePins(fault, part.ref)) {
    const node = pin(own)!
    network.branch(node, plus, guard)
    network.branch(earth, node, guard)
    if (io.has(own) && drive.of(unused) === "pulled") network.resistor(node, plus, pullUp[end])
  }
}
