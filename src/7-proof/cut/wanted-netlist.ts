// Which pin must be joined with which, worked out from the circuit's parts, the choices of the board room and the
// harness alone. What boards say about their own lands is compared with this, never believed.

import type { Circuit, Part } from "../../3-drive/artefact.ts"
import type { Boards } from "../../5-board/artefact.ts"

export interface WiringFault {
  readonly text: string
  readonly board?: string
  readonly part?: string
  readonly net?: string
}

export interface WantedNetlist {
  /** Ref → pin → net. A pin that is absent must stay alone. */
  readonly pins: ReadonlyMap<string, ReadonlyMap<string, string>>
  /** Board and ref of every wire pad, `board/ref`, with the net its wire carries. */
  readonly pads: ReadonlyMap<string, string>
  readonly faults: readonly WiringFault[]
}

/** DIP-28 package pins of the ATmega48/88/168/328 family by port pin (data sheet, pin configurations; from memory). */
const megaPins: Readonly<Record<string, string>> = Object.fromEntries([
  ...[0, 1, 2, 3, 4].map((i) => [`PD${i}`, String(2 + i)]),
  ["PC6", "1"],
  ["PB6", "9"],
  ["PB7", "10"],
  ...[5, 6, 7].map((i) => [`PD${i}`, String(6 + i)]),
  ...[0, 1, 2, 3, 4, 5].map((i) => [`PB${i}`, String(14 + i)]),
  ...[0, 1, 2, 3, 4, 5].map((i) => [`PC${i}`, String(23 + i)]),
])

/** DIP-14 package pins of the ATtiny24/44/84 family by port pin (data sheet, pin configurations; from memory). */
const tinyPins: Readonly<Record<string, string>> = Object.fromEntries([
  ["PB0", "2"],
  ["PB1", "3"],
  ["PB3", "4"],
  ["PB2", "5"],
  ...[7, 6, 5, 4, 3, 2, 1, 0].map((i) => [`PA${i}`, String(13 - i)]),
])

export function wantedNetlist(circuit: Circuit, boards: Boards): WantedNetlist {
  const faults: WiringFault[] = []
  const pins = new Map<string, Map<string, string>>()
  for (const part of circuit.parts) {
    if (pins.has(part.ref)) faults.push({ text: `two parts are called ${part.ref}`, part: part.ref })
    pins.set(part.ref, new Map(Object.entries(part.pins)))
  }
  giveSignals(circuit, boards, pins, faults)
  for (const part of circuit.parts) exchangeSections(part, boards, pins.get(part.ref)!, faults)
  orderStrings(circuit, boards, pins, faults)
  turnReversible(circuit, boards, pins)
  return { pins, pads: padNets(boards, faults), faults }
}

/** Each signal goes to the controller pin the board chose, among those allowed, never two signals to one pin. */
function giveSignals(
  circuit: Circuit,
  boards: Boards,
  pins: Map<string, Map<string, string>>,
  faults: WiringFault[],
): void {
  const controller = circuit.controller
  if (controller === undefined) return
  const own = pins.get(controller)
  if (!own) {
    faults.push({ text: `the controller ${controller} is not among the parts`, part: controller })
    return
  }
  const portPins =
    circuit.parts.find((p) => p.ref === controller)?.value === "ATtiny84A" ? tinyPins : megaPins
  const taken = new Map<string, string>()
  for (const signal of circuit.signals) {
    const port = boards.pinChoice.controller[signal.name]
    const say = (text: string) => faults.push({ text, part: controller, net: signal.net })
    if (port === undefined) {
      say(`the signal ${signal.name} has no controller pin`)
      continue
    }
    if (!signal.allowed.includes(port)) say(`the signal ${signal.name} may not use ${port}`)
    const other = taken.get(port)
    if (other) say(`${signal.name} and ${other} are both on ${port}`)
    taken.set(port, signal.name)
    const pin: string | undefined = portPins[port]
    if (pin === undefined) {
      say(`the controller has no port pin ${port}`)
      continue
    }
    const before = own.get(pin)
    if (before !== undefined && before !== signal.net) mergeNet(pins, before, signal.net)
    own.set(pin, signal.net)
  }
  // Pins of other parts that ask for a port by name (a programming header) go with whatever that port carries.
  for (const [port, pin] of Object.entries(portPins)) {
    const name = `@${port}`
    const users = [...pins.values()].some((p) => [...p.values()].includes(name))
    if (!users) continue
    const net = own.get(pin)
    if (net === undefined) own.set(pin, name)
    else if (net !== name) mergeNet(pins, name, net)
  }
}

/** A net of the circuit that a chosen pin already carries becomes one with the signal's net. */
function mergeNet(pins: Map<string, Map<string, string>>, from: string, into: string): void {
  for (const own of pins.values()) for (const [pin, net] of own) if (net === from) own.set(pin, into)
}

function exchangeSections(part: Part, boards: Boards, own: Map<string, string>, faults: WiringFault[]): void {
  const choice = boards.pinChoice.sections[part.ref]
  if (!part.sections || !choice) return
  const { sections } = part
  const sorted = [...choice].sort((a, b) => a - b)
  if (choice.length !== sections.length || sorted.some((v, i) => v !== i)) {
    faults.push({ text: `the sections of ${part.ref} are not each used once`, part: part.ref })
    return
  }
  for (const [i, section] of sections.entries()) {
    const from = sections[choice[i]!]!
    for (const [k, pin] of section.entries()) {
      const net = part.pins[from[k]!]
      if (net === undefined) own.delete(pin)
      else own.set(pin, net)
    }
  }
}

/** The board may change which LED stands where in its string; the string's nets stay in order. */
function orderStrings(
  circuit: Circuit,
  boards: Boards,
  pins: Map<string, Map<string, string>>,
  faults: WiringFault[],
): void {
  for (const s of circuit.strings) {
    const order = boards.pinChoice.strings[s.name] ?? s.leds
    const same = order.length === s.leds.length && s.leds.every((led) => order.includes(led))
    if (!same) {
      faults.push({ text: `the string ${s.name} was given other LEDs than its own` })
      continue
    }
    if (s.nets.length !== s.leds.length + 1) {
      faults.push({ text: `the string ${s.name} has ${s.nets.length} nets for ${s.leds.length} LEDs` })
      continue
    }
    for (const [k, led] of order.entries()) {
      const own = pins.get(led)
      if (!own) {
        faults.push({ text: `the LED ${led} of ${s.name} is not among the parts`, part: led })
        continue
      }
      own.set("A", s.nets[k]!)
      own.set("K", s.nets[k + 1]!)
    }
  }
}

/** A part that works either way round stands as the board says, if that is one of its two ways. */
function turnReversible(circuit: Circuit, boards: Boards, pins: Map<string, Map<string, string>>): void {
  const placed = new Map(boards.boards.flatMap((b) => b.parts.map((p) => [p.ref, p] as const)))
  for (const part of circuit.parts) {
    if (!part.reversible) continue
    const own = pins.get(part.ref)!
    const keys = [...own.keys()]
    const claim = placed.get(part.ref)?.pins
    if (keys.length !== 2 || !claim) continue
    const [a, b] = keys as [string, string]
    const [na, nb] = [own.get(a)!, own.get(b)!]
    if (claim[a] === nb && claim[b] === na) {
      own.set(a, nb)
      own.set(b, na)
    }
  }
}

/** Every end of a harness wire on a board is a pad that carries the wire's net. */
function padNets(boards: Boards, faults: WiringFault[]): Map<string, string> {
  const pads = new Map<string, string>()
  const known = new Set(boards.boards.flatMap((b) => b.lands.map((l) => `${b.name}/${l.ref}`)))
  for (const wire of boards.harness) {
    for (const end of [wire.from, wire.to]) {
      if (!("board" in end)) continue
      const key = `${end.board}/${end.ref}`
      const before = pads.get(key)
      const say = (text: string) => faults.push({ text, board: end.board, part: end.ref, net: wire.net })
      if (!known.has(key))
        say(`the harness wire ${wire.name} ends on ${end.ref}, which the board does not have`)
      if (before !== undefined && before !== wire.net)
        say(`the pad ${end.ref} is wired to ${before} and ${wire.net}`)
      pads.set(key, wire.net)
    }
  }
  return pads
}
