// Every reading that could be taken at each step, with what a sound lamp shows and the limits a meter must keep.

import { show as inWords } from "../../0-ground/text/show.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Part } from "../../3-drive/artefact.ts"
import type { Board, Land } from "../../5-board/artefact.ts"
import { assembly } from "./assembly.ts"
import { type Bench, type End, ends, nodeOf } from "./bench-network.ts"
import { landName, pointOf } from "./bridges.ts"
import type { BridgeFault, Fault } from "./faults.ts"
import { feeling } from "./feeling.ts"
import { splitByLink } from "./link-split.ts"
import { vehicleReadings } from "./on-vehicle.ts"
import {
  diodeTest,
  faradsOf,
  fittedToVehicle,
  type How,
  housed,
  joinedOhms,
  ohmsOf,
  open,
  type Powered,
  PoweredBench,
  type Range,
  type Setup,
  type SolvedEnds,
  type StepName,
  twisted,
} from "./readings.ts"

/** What a setup shows while one fault is there. */
export interface Shown {
  readonly ohms?: (a: string, b: string) => Range
  readonly farads?: (a: string, b: string) => Range
  /** With the supply on; `only`: looked at at that end alone. undefined: does not settle. */
  readonly power?: (only?: End) => Powered | undefined
  readonly fault: Fault | undefined
}

export interface Candidate {
  readonly setup: Setup
  readonly how: How
  /** Board, or "lamp". */
  readonly board: string
  readonly probe: string
  readonly unit: string
  readonly healthy: Range
  /** Limits with the meter's error in them; the high one may be infinite. */
  readonly low: number
  readonly high: number
  /** Always part of the plan. */
  readonly always: boolean
  /** Tells what touches the metal, and nothing else. */
  readonly onMetal?: true
  /** Taken to confirm: what a fault would show there is not solved. */
  readonly confirms?: true
  /** undefined: not to be had with this fault (does not settle). `only`: what that end alone shows. */
  readonly read: (shown: Shown, only?: End) => Range | undefined
}

export interface Station {
  readonly setup: Setup
  readonly board: string
  readonly candidates: readonly Candidate[]
  readonly show: (fault: Fault | undefined) => Shown
  /** With the supply on: what a sound lamp does. */
  readonly sound?: Powered
  /** False for a fault that carries no current here: a sound lamp shows the same. */
  readonly feels?: (fault: Fault) => boolean
}

/** Errors of a plain workshop meter and bench supply, common practice, no source. */
const meter = {
  resistance: { share: 0.01, fixed: 0.5 },
  capacitance: { share: 0.03, fixed: 1e-10 },
  /** Its test current is seldom just 1 mA. */
  diode: { share: 0.02, fixed: 0.06 },
  voltage: { share: 0.01, fixed: 0.05 },
  current: { share: 0.03, fixed: 1e-3 },
}
/** What a workshop meter may be off: a share of what it shows, and so much more, SI. */
export const meterOff = (how: How): { readonly share: number; readonly fixed: number } | undefined =>
  how === "count" || how === "look" ? undefined : meter[how]
/** What a workshop meter may be off at `value`, SI; nothing for what is counted or looked at. */
export function meterError(how: How, value: number): number {
  if (how === "count" || how === "look") return 0
  return meter[how].share * Math.abs(value) + meter[how].fixed
}
/** Less than this between two nets that should be apart is a short, Ω. */
const shortBelow = 500

/** Parts on the board at the end of a step. */
function fittedAt(step: StepName): (part: Part) => boolean {
  const upTo = assembly.findIndex((a) => a.step === step)
  const kinds = assembly.slice(0, upTo + 1)
  return upTo < 0 ? () => true : (part) => kinds.some(({ has }) => has(part))
}

export function stations(bench: Bench, lamp: Lamp, bridges: readonly BridgeFault[]): Station[] {
  const { boards } = bench.boards
  return [
    ...boards.flatMap((b) => unpowered(bench, b, bridges)),
    ...boards.flatMap((b) => boardPower(bench, lamp, b)),
    ...insulation(bench),
    ...wholeLamp(bench, lamp, false),
    ...(bench.circuit.controller === undefined ? [] : wholeLamp(bench, lamp, true)),
    ...onVehicle(bench, lamp),
  ]
}

function unpowered(bench: Bench, board: Board, bridges: readonly BridgeFault[]): Station[] {
  const parts = bench.circuit.parts.filter((p) => bench.pins.get(p.ref)?.board === board.name)
  const out: Station[] = []
  for (const { step, has } of assembly) {
    const setup: Setup = { step, boards: [board.name], fitted: fittedAt(step) }
    const here = parts.filter(has)
    const own = (part: Part) => board.lands.filter((l) => l.ref === part.ref && l.net !== undefined)
    const candidates: Candidate[] = []
    const ohms = ohmsOf(bench, setup)
    const show = (fault: Fault | undefined): Shown =>
      step.includes("capacitors")
        ? { farads: faradsOf(bench, setup, fault), fault }
        : { ohms: ohms(fault), fault }
    const sound = show(undefined)
    if (step === "wire links in")
      for (const l of board.links) candidates.push(...continuity(setup, board, l.ref))
    if (step === "resistors in")
      for (const p of here)
        for (const [a, b] of pairsOf(p, own(p))) candidates.push(resistance(setup, board, a, b, sound))
    if (step.includes("capacitors")) {
      const leaks = ohms(undefined)
      for (const p of here) {
        const [a, b] = own(p)
        // A resistor beside it would spoil the reading.
        if (a && b && leaks(node(board, a), node(board, b)).usual > 1e6)
          candidates.push(capacitance(setup, board, a, b, sound))
        else if (a && b) candidates.push(marking(setup, board, p))
      }
    }
    if (step === "suppressors in" || step === "diodes in")
      for (const p of here) {
        const [a, k] = ["A", "K"].map((pin) => own(p).find((l) => l.pin === pin))
        if (a && k) candidates.push(junction(bench, setup, board, a, k))
      }
    if (step === "everything in, no supply") {
      candidates.push(...apart(bench, setup, board, sound, bridges))
      candidates.push(...looks(setup, board, here))
    }
    out.push({ setup, board: board.name, candidates, show })
  }
  return out
}

/** A resistor's own two lands; a network's common pin with each other pin. */
function pairsOf(part: Part, lands: readonly Land[]): [Land, Land][] {
  if (part.kind === "resistor-array") {
    const common = lands.find((l) => l.pin === "1")
    return common ? lands.filter((l) => l !== common).map((l) => [common, l]) : []
  }
  const [a, b] = lands
  return a && b ? [[a, b]] : []
}

const node = (board: Board, land: Land, fault?: Fault) =>
  nodeOf(board.name, pointOf(land), landName(land), fault)

/** The node of a land; only a missing link moves it. */
function nodeAt(board: Board, land: Land): (fault: Fault | undefined) => string {
  const plain = node(board, land)
  return (fault) => (fault?.kind === "link" ? node(board, land, fault) : plain)
}

function limits(healthy: Range, how: keyof typeof meter): { low: number; high: number } {
  const { share, fixed } = meter[how]
  return {
    low: Math.max(0, healthy.low - Math.abs(healthy.low) * share - fixed),
    high: healthy.high + Math.abs(healthy.high) * share + fixed,
  }
}

const apartBy = (a: { x: number; y: number }, b: { x: number; y: number }) => Math.hypot(a.x - b.x, a.y - b.y)

function continuity(setup: Setup, board: Board, ref: string): Candidate[] {
  const link = board.links.find((l) => l.ref === ref)!
  const beyond = splitByLink(board, link)
  // On other lands of either side, so that a link soldered at one end only is found too.
  const side = (far: boolean, at: { x: number; y: number }) =>
    board.lands
      .filter((l) => l.net === link.net && beyond?.has(landName(l)) === far)
      .sort((p, q) => Number(p.ref === ref) - Number(q.ref === ref) || apartBy(p, at) - apartBy(q, at))[0]
  const [from, to] = [side(false, link.from), side(true, link.to)]
  if (!from || !to) return []
  return [
    {
      setup,
      how: "resistance",
      board: board.name,
      probe: `across link ${ref}: ${landName(from)} to ${landName(to)}, on the lands, not on the wire`,
      unit: "Ω",
      healthy: { low: 0, usual: 0.1, high: 0.3 },
      low: 0,
      high: 1,
      always: true,
      read: ({ fault }) => {
        const gone = fault?.kind === "link" && fault.board === board.name && fault.ref === ref
        return gone ? { low: open, usual: open, high: open } : { low: 0, usual: 0.1, high: 0.3 }
      },
    },
  ]
}

function resistance(setup: Setup, board: Board, a: Land, b: Land, sound: Shown): Candidate {
  const [from, to] = [nodeAt(board, a), nodeAt(board, b)]
  const healthy = sound.ohms!(from(undefined), to(undefined))
  return {
    setup,
    how: "resistance",
    board: board.name,
    probe: `${landName(a)} to ${landName(b)}`,
    unit: "Ω",
    healthy,
    ...limits(healthy, "resistance"),
    always: false,
    read: (s) => s.ohms!(from(s.fault), to(s.fault)),
  }
}

function capacitance(setup: Setup, board: Board, a: Land, b: Land, sound: Shown): Candidate {
  const [from, to] = [nodeAt(board, a), nodeAt(board, b)]
  const healthy = sound.farads!(from(undefined), to(undefined))
  return {
    setup,
    how: "capacitance",
    board: board.name,
    probe: `${landName(a)} to ${landName(b)}`,
    unit: "F",
    healthy,
    ...limits(healthy, "capacitance"),
    always: false,
    read: (s) => s.farads!(from(s.fault), to(s.fault)),
  }
}

/** What no meter tells on the board, its print does. */
function marking(setup: Setup, board: Board, part: Part): Candidate {
  const wrong = ["open", "ten times", "a tenth"]
  return {
    setup,
    how: "look",
    board: board.name,
    probe: `${part.ref} is in its place, both pins soldered, marked ${inWords(part.amount ?? 0, "F")}`,
    unit: "",
    healthy: { low: 1, usual: 1, high: 1 },
    low: 1,
    high: 1,
    always: false,
    read: ({ fault }) => {
      const bad = fault?.kind === "part" && fault.ref === part.ref && wrong.includes(fault.change)
      const v = bad ? 0 : 1
      return { low: v, usual: v, high: v }
    },
  }
}

function junction(bench: Bench, setup: Setup, board: Board, a: Land, k: Land): Candidate {
  const [from, to] = [nodeAt(board, a), nodeAt(board, k)]
  const test = diodeTest(bench, setup, from(undefined), to(undefined))
  const read = (fault: Fault | undefined, only?: End) =>
    test(fault, { from: from(fault), to: to(fault) }, only)
  const healthy = read(undefined)
  return {
    setup,
    how: "diode",
    board: board.name,
    probe: `red on ${landName(a)}, black on ${landName(k)}`,
    unit: "V",
    healthy,
    ...limits(healthy, "diode"),
    always: false,
    read: (s, only) => read(s.fault, only),
  }
}

/** No short between nets: every net that carries supply to earth, and each pair one drop of solder could join. */
function apart(
  bench: Bench,
  setup: Setup,
  board: Board,
  sound: Shown,
  bridges: readonly BridgeFault[],
): Candidate[] {
  const kind = new Map(bench.circuit.nets.map((n) => [n.name, n.kind]))
  const earth = board.lands.find((l) => l.net === bench.circuit.earth)
  const pads = board.lands.filter((l) => l.ref.startsWith("X-") && l.net !== undefined)
  const first = pads.find((l) => l.net === bench.circuit.earth) ?? earth
  const seen = new Set<string>()
  const make = (a: Land, b: Land, always: boolean): Candidate[] => {
    const key = [pointOf(a), pointOf(b)].sort().join("|")
    if (seen.has(key)) return []
    const [from, to] = [nodeAt(board, a), nodeAt(board, b)]
    const healthy = sound.ohms!(from(undefined), to(undefined))
    if (pointOf(a) === pointOf(b) || healthy.low < 5) return []
    seen.add(key)
    const value = limits(healthy, "resistance")
    // Where only a resistor lies between, its value is known; where chips may lie between, only a short is told.
    const exact = healthy.usual <= shortBelow
    return [
      {
        setup,
        how: "resistance",
        board: board.name,
        probe: `${landName(a)} to ${landName(b)}, no short`,
        unit: "Ω",
        healthy,
        low: exact ? value.low : Math.min(shortBelow, healthy.low / 2),
        high: exact ? value.high : Number.POSITIVE_INFINITY,
        always,
        read: (s) => s.ohms!(from(s.fault), to(s.fault)),
      },
    ]
  }
  const hot = board.lands.filter((l) => ["wire", "supply"].includes(kind.get(l.net ?? "") ?? ""))
  return [
    ...(first
      ? [...pads, ...hot].flatMap((l) =>
          make(
            l,
            first,
            hot.some((h) => h.net === l.net),
          ),
        )
      : []),
    ...nearPairs(board.lands).flatMap(([a, b]) => make(a, b, false)),
    // Copper that lies beside a land may have its own lands far away, and a land without a net has but itself.
    ...bridges.flatMap((f) => {
      if (f.board !== board.name) return []
      const [a, b] = [f.a, f.b].map((point) => board.lands.find((l) => pointOf(l) === point))
      return a && b ? make(a, b, false) : []
    }),
  ]
}

/** Lands of different nets less than 6 mm apart. */
function nearPairs(lands: readonly Land[]): [Land, Land][] {
  const out: [Land, Land][] = []
  for (let i = 0; i < lands.length; i++)
    for (let j = i + 1; j < lands.length; j++) {
      const a = lands[i]!
      const b = lands[j]!
      if (Math.abs(a.x - b.x) >= 6 || Math.abs(a.y - b.y) >= 6) continue
      if (a.net === undefined || b.net === undefined || a.net === b.net) continue
      if (Math.hypot(a.x - b.x, a.y - b.y) < 6) out.push([a, b])
    }
  return out
}

/** Polarity marks that no safe reading tells: an electrolytic or a chip the wrong way round dies on first power. */
function looks(setup: Setup, board: Board, parts: readonly Part[]): Candidate[] {
  return parts.flatMap((part): Candidate[] => {
    const polar = part.kind === "capacitor" && Object.hasOwn(part.pins, "+")
    const flat = part.kind === "transistor"
    const tab = part.kind === "regulator" || part.kind === "adjustable-regulator"
    const chip = tab || flat || ["low-side-array", "controller", "resistor-array"].includes(part.kind)
    const plain = ["header", "resonator", "relay"].includes(part.kind)
    if (!polar && !chip && !plain) return []
    const says = polar
      ? `stripe (−) of ${part.ref} lies at the net ${bench(part, board, "-")}`
      : tab || flat
        ? `${part.ref}: ${flat ? "flat" : "tab"} side as drawn`
        : chip
          ? `${part.ref}: notch or dot at pin 1 as drawn`
          : `${part.ref} is in its place and every pin is soldered`
    const wrong = plain ? "open" : "reversed"
    return [
      {
        setup,
        how: "look",
        board: board.name,
        probe: says,
        unit: "",
        healthy: { low: 1, usual: 1, high: 1 },
        low: 1,
        high: 1,
        always: true,
        read: ({ fault }) => {
          const bad = fault?.kind === "part" && fault.ref === part.ref && fault.change === wrong
          const v = bad ? 0 : 1
          return { low: v, usual: v, high: v }
        },
      },
    ]
  })
}
const bench = (part: Part, board: Board, pin: string) =>
  board.lands.find((l) => l.ref === part.ref && l.pin === pin)?.net ?? ""

/** One board on the bench supply: through its wires and earth, or, without earth, from its feed to each channel. */
function boardPower(bench: Bench, lamp: Lamp, board: Board): Station[] {
  const { circuit } = bench
  const kind = new Map(circuit.nets.map((n) => [n.name, n.kind]))
  const pads = board.lands.filter((l) => l.ref.startsWith("X-") && l.net !== undefined)
  const earth = pads.find((l) => l.net === circuit.earth)
  const channels = new Set(circuit.channels.map((c) => c.net))
  const feeds = pads.filter((l) => l.net !== circuit.earth && !channels.has(l.net!))
  const wires = feeds.filter((l) => kind.get(l.net!) === "wire")
  const minus = earth ? [earth] : pads.filter((l) => channels.has(l.net!))
  const out: Station[] = []
  for (const black of minus)
    for (const red of wires.length > 0 ? wires : feeds) {
      const plus = [node(board, red)]
      const name = `supply + on ${red.ref}, − on ${black.ref} of ${board.name}`
      out.push(
        ...station(
          bench,
          lamp,
          board.name,
          { step: "first power, board alone", boards: [board.name], fitted: () => true },
          { name, plus, minus: node(board, black) },
          black,
        ),
      )
    }
  return out
}

function wholeLamp(bench: Bench, lamp: Lamp, programmed: boolean): Station[] {
  const wires = lamp.vehicle.wires.filter((w) => w.role !== "earth")
  const always = programmed ? wires.filter((w) => w.role === "supply").map((w) => w.name) : []
  const inputs = programmed ? bench.circuit.inputs.map((i) => i.wire) : wires.map((w) => w.name)
  const sets = programmed
    ? [...(always.length > 0 ? [always] : []), ...inputs.map((w) => [...new Set([...always, w])])]
    : inputs.map((w) => [w])
  const step: StepName = programmed ? "programmed" : "whole lamp wired, not programmed"
  return sets.flatMap((live) => {
    const boards = reached(bench, live)
    if (boards.length === 0) return []
    const net = (w: string) => bench.circuit.nets.find((n) => n.wire === w)?.name ?? w
    const ends = bench.boards.harness.flatMap((h) => ("vehicle" in h.from ? [h.from.vehicle] : []))
    const plus = live.map((w) => `vehicle|${ends.includes(w) ? w : net(w)}`)
    return station(
      bench,
      lamp,
      "lamp",
      { step, boards, fitted: () => true },
      {
        name: `supply + on ${live.join(" and ")}, − on ${bench.circuit.earth}`,
        plus,
        minus: `vehicle|${bench.circuit.earth}`,
        wires: live,
        programmed,
      },
      undefined,
    )
  })
}

/** Least insulation of any wire to the metal, Ω; common practice, no source. */
const leastInsulation = 1e6

/** Nothing may touch the metal: a meter on the twisted wires tells most of it, eyes the rest. */
function insulation(bench: Bench): Station[] {
  const { boards } = bench.boards
  if (boards.length === 0) return []
  const setup: Setup = { step: housed, boards: boards.map((b) => b.name), fitted: () => true }
  const ohms = joinedOhms(bench, setup)
  const none = { low: open, usual: open, high: open }
  const meter: Candidate = {
    setup,
    how: "resistance",
    board: "lamp",
    probe: "all vehicle wires twisted together to the bare metal of the housing",
    unit: "Ω",
    healthy: none,
    low: leastInsulation,
    high: Number.POSITIVE_INFINITY,
    always: true,
    onMetal: true,
    read: ({ fault }) => {
      if (fault?.kind !== "housing") return none
      const r = ohms(nodeOf(fault.board, fault.land.net!, landName(fault.land), undefined), twisted)
      return r >= open ? none : { low: r * 0.98, usual: r, high: r * 1.02 }
    },
  }
  const eyes = boards.map(
    (b): Candidate => ({
      setup,
      how: "look",
      board: b.name,
      probe: `no joint, lead end or strand of ${b.name} touches metal or stands nearer to it than 1 mm`,
      unit: "",
      healthy: { low: 1, usual: 1, high: 1 },
      low: 1,
      high: 1,
      always: true,
      onMetal: true,
      read: ({ fault }) => {
        const v = fault?.kind === "housing" && fault.board === b.name ? 0 : 1
        return { low: v, usual: v, high: v }
      },
    }),
  )
  return [{ setup, board: "lamp", candidates: [meter, ...eyes], show: (fault) => ({ fault }) }]
}

/** With the lamp lit, the metal must stay without voltage: what it touches shows itself. */
function onMetal(
  common: { readonly setup: Setup; readonly board: string },
  sound: Powered,
  loaded: Powered,
): Candidate {
  const none = { low: 0, usual: 0, high: 0 }
  return {
    ...common,
    how: "voltage",
    probe: "red on the bare metal of the housing, black on the earth wire",
    unit: "V",
    healthy: none,
    low: 0,
    high: 0.1,
    always: false,
    onMetal: true,
    read: ({ fault }) => {
      if (fault?.kind !== "housing") return none
      const at = nodeOf(fault.board, fault.land.net!, landName(fault.land), undefined)
      const volt = sound.volt(at)
      // A point that floats reads differently on every meter.
      return Math.abs(volt.usual - loaded.volt(at).usual) > 0.1 ? undefined : volt
    },
  }
}

/** The vehicle's own supply and switches, engine running. */
function onVehicle(bench: Bench, lamp: Lamp): Station[] {
  if (bench.boards.boards.length === 0) return []
  const setup: Setup = { step: fittedToVehicle, boards: [], fitted: () => true }
  const candidates = vehicleReadings(lamp, bench.circuit).map((r): Candidate => {
    const own =
      r.how === "voltage" ? limits(r.healthy, "voltage") : { low: r.healthy.low, high: r.healthy.high }
    return { setup, board: "lamp", ...r, ...own, always: true, confirms: true, read: () => undefined }
  })
  return candidates.length === 0 ? [] : [{ setup, board: "lamp", candidates, show: (fault) => ({ fault }) }]
}

/** Boards that current from these wires can reach. */
function reached(bench: Bench, live: readonly string[]): string[] {
  const found = new Set<string>()
  const open = live.map((w) => `vehicle ${w}`)
  const name = (e: { board: string } | { vehicle: string }) =>
    "vehicle" in e ? `vehicle ${e.vehicle}` : e.board
  for (let at = open.pop(); at !== undefined; at = open.pop())
    for (const h of bench.boards.harness) {
      if (h.net === bench.circuit.earth) continue
      const pair = [name(h.from), name(h.to)]
      if (!pair.includes(at)) continue
      for (const p of pair)
        if (!p.startsWith("vehicle ") && !found.has(p)) {
          found.add(p)
          open.push(p)
        }
    }
  return bench.boards.boards.map((b) => b.name).filter((b) => found.has(b))
}

/** A powered setup with its current limit worked out, and the readings to be had there. */
function station(
  bench: Bench,
  lamp: Lamp,
  board: string,
  setup: Omit<Setup, "power">,
  power: Omit<NonNullable<Setup["power"]>, "volt" | "limit">,
  black: Land | undefined,
): Station[] {
  const volt = lamp.vehicle.supply.usual
  const free: Setup = { ...setup, power: { ...power, volt, limit: 10 } }
  // A sound lamp stays below its limit, which is set above what it takes: free and limited are the same.
  const solver = new PoweredBench(bench, lamp, free)
  const sound = solver.show(undefined, undefined, new Map())
  if (!sound) return []
  const limit = Math.max(0.02, Math.ceil(sound.current.high * 130 + 1e-9) / 100)
  const own: Setup = { ...setup, power: { ...power, volt, limit } }
  solver.limit = limit
  const show = (fault: Fault | undefined): Shown => {
    const known: SolvedEnds = new Map()
    return { power: (only) => solver.show(fault, sound, known, only), fault }
  }
  const loaded = new PoweredBench(bench, lamp, { ...own, leak: 1e-6 }).show(
    undefined,
    sound,
    new Map(),
    "usual",
  )
  if (!loaded) return []
  const common = { setup: own, board }
  const supplyCurrent: Candidate = {
    ...common,
    how: "current",
    probe: "supply current",
    unit: "A",
    healthy: sound.current,
    ...limits(sound.current, "current"),
    always: true,
    read: (s, only) => s.power?.(only)?.current,
  }
  const minus = black ? black.ref : `the ${bench.circuit.earth} wire`
  const feels = feeling(
    bench,
    setup.boards,
    ends.flatMap((end) => [sound.at(end).volts, sound.at(end).undriven]),
  )
  const byName = new Map(bench.boards.boards.map((b) => [b.name, b]))
  const voltages: Candidate[] = setup.boards.flatMap((name) =>
    testPoints(bench, name).flatMap((land): Candidate[] => {
      const at = nodeAt(byName.get(name)!, land)
      const healthy = sound.volt(at(undefined))
      // A point that floats reads differently on every meter.
      if (Math.abs(healthy.usual - loaded.volt(at(undefined)).usual) > 0.1) return []
      return [
        {
          ...common,
          how: "voltage",
          probe: `red on ${landName(land)}${board === "lamp" ? ` of ${name}` : ""}, black on ${minus}`,
          unit: "V",
          healthy,
          ...limits(healthy, "voltage"),
          always: false,
          read: (s, only) => s.power?.(only)?.volt(at(s.fault)),
        },
      ]
    }),
  )
  const counts: Candidate[] =
    board === "lamp"
      ? lamp.groups.flatMap((g): Candidate[] => {
          const refs = g.leds.map((l) => l.ref)
          const healthy = sound.lit(refs)
          if (healthy.low !== healthy.high) return []
          const there = refs.some((r) => setup.boards.includes(bench.pins.get(r)?.board ?? ""))
          return there
            ? [
                {
                  ...common,
                  how: "count",
                  probe: `LEDs of ${g.name} that light`,
                  unit: "",
                  healthy,
                  low: healthy.low,
                  high: healthy.high,
                  always: true,
                  read: (s, only) => s.power?.(only)?.lit(refs),
                },
              ]
            : []
        })
      : []
  const metal = own.power?.wires ? [onMetal(common, sound, loaded)] : []
  return [
    { setup: own, board, candidates: [supplyCurrent, ...counts, ...metal, ...voltages], show, sound, feels },
  ]
}

/** One land of each net, where a probe sits well: resistors and LEDs before chips, pads last. */
function testPoints(bench: Bench, name: string): Land[] {
  const board = bench.boards.boards.find((b) => b.name === name)!
  const kind = new Map(bench.circuit.parts.map((p) => [p.ref, p.kind]))
  const rank = (l: Land) => {
    const order = ["resistor", "led", "diode", "resistor-array", "controller"]
    const k = order.indexOf(kind.get(l.ref) ?? "")
    return k < 0 ? order.length + (l.ref.startsWith("X-") ? 1 : 0) : k
  }
  const first = new Map<string, Land>()
  for (const l of board.lands) {
    if (l.net === undefined || l.net === bench.circuit.earth) continue
    const known = first.get(l.net)
    if (!known || rank(l) < rank(known)) first.set(l.net, l)
  }
  return [...first.values()]
}
