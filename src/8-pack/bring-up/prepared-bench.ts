// A setup ready to be solved with one fault after the other: the sound network is built once for each end and each
// drive; a fault replaces what belongs to one part, leaves out one wire, or adds a drop of solder.

import type { Part } from "../../3-drive/artefact.ts"
import {
  addJunctions,
  type Bench,
  bridged,
  type Drive,
  type End,
  harness,
  resistancesOf,
} from "./bench-network.ts"
import { isLoose } from "./bridges.ts"
import { DcNetwork, holdsCurrent, holdsVoltage, type Volts } from "./dc-network.ts"
import type { Fault } from "./faults.ts"

/** Parts on some boards, on a supply between two places. */
export interface Bed {
  readonly boards: readonly string[]
  readonly fitted: (part: Part) => boolean
  /** Conductance of the voltmeter at each node, S. */
  readonly leak: number
  /** With the harness between the boards. */
  readonly wired: boolean
  /** Nodes joined to the plus terminal by a lead each; none: `plus` is a node of the boards. */
  readonly leads: readonly string[]
  readonly plus: string
  readonly minus: string
  readonly volt: number
  /** Ampere. */
  readonly limit: number
}

export interface Solved {
  readonly volts: Volts
  /** From the supply, A. */
  readonly amps: number
}

export class PreparedBench {
  private readonly bench: Bench
  private readonly bed: Bed
  private readonly parts: ReadonlyMap<string, Part>
  private readonly sound = new Map<string, DcNetwork>()
  /** Ampere. */
  limit: number

  constructor(bench: Bench, bed: Bed) {
    this.bench = bench
    this.bed = bed
    this.limit = bed.limit
    const here = bench.circuit.parts.filter((p) => {
      const placed = bench.pins.get(p.ref)
      return placed !== undefined && bed.boards.includes(placed.board) && bed.fitted(p)
    })
    this.parts = new Map(here.map((p) => [p.ref, p]))
  }

  /**
   * On a supply that holds its voltage, or, where that takes more than its limit, its current; undefined where it does
   * not settle. `near`: where to begin.
   */
  solve(fault: Fault | undefined, end: End, drive: Drive, near?: Solved): Solved | undefined {
    const { plus, minus, volt } = this.bed
    const { limit } = this
    const network = this.network(fault, end, drive)
    // Newton's method doubles the digits: after a step as short as this the next would be below 1e-8 V.
    const last = fault ? 1e-5 : 1e-8
    const across = (volts: Volts) => (volts.get(plus) ?? 0) - (volts.get(minus) ?? 0)
    if (near?.amps === limit) {
      network.feed(plus, minus, holdsCurrent(limit))
      const low = network.tried(near.volts, last)
      // Less than its voltage is enough for its limit: so it is at its limit.
      if (low && across(low) < volt - 1e-3) return { volts: low, amps: limit }
    }
    const law = holdsVoltage(volt)
    network.feed(plus, minus, law)
    const volts = network.solve(near?.volts, last)
    if (volts === undefined) return undefined
    const amps = -law(across(volts)).i
    if (amps <= limit) return { volts, amps }
    network.feed(plus, minus, holdsCurrent(limit))
    const low = network.solve(volts, last)
    return low && { volts: low, amps: limit }
  }

  private network(fault: Fault | undefined, end: End, drive: Drive): DcNetwork {
    // The nodes beyond a missing link have names of their own.
    if (fault?.kind === "link" && this.bed.boards.includes(fault.board)) return this.build(fault, end, drive)
    const key = `${end} ${drive.key}`
    let sound = this.sound.get(key)
    if (!sound) {
      sound = this.build(undefined, end, drive)
      this.sound.set(key, sound)
    }
    if (!fault) return sound
    const parts = this.partsOf(fault)
    const network = sound.without(fault.kind === "wire" ? [wireOwner(fault.name)] : parts.map((p) => p.ref))
    for (const part of parts) this.addResistances(network, part, fault, end)
    if (fault.kind === "bridge" && this.bed.boards.includes(fault.board)) {
      network.owner = fault.id
      for (const { a, b, ohm } of bridged(fault)) network.resistor(a, b, ohm)
    }
    for (const part of parts) this.addJunctions(network, part, fault, end, drive)
    return network
  }

  /** Whose elements the fault changes. */
  private partsOf(fault: Fault): Part[] {
    const refs =
      fault.kind === "part" || fault.kind === "section"
        ? [fault.ref]
        : fault.kind === "bridge"
          ? [fault.a, fault.b, fault.over ?? ""].filter(isLoose).map((p) => p.slice(1, p.lastIndexOf(".")))
          : []
    return [...new Set(refs)].flatMap((ref) => this.parts.get(ref) ?? [])
  }

  private build(fault: Fault | undefined, end: End, drive: Drive): DcNetwork {
    const { boards, leak, wired, leads, plus, minus } = this.bed
    const network = new DcNetwork(minus, leak)
    const on = (board: string) => boards.includes(board)
    for (const part of this.parts.values()) this.addResistances(network, part, fault, end)
    if (wired)
      for (const { a, b, ohm, wire } of harness(this.bench, fault)) {
        const here = (node: string) => node.startsWith("vehicle|") || on(node.slice(0, node.indexOf("|")))
        network.owner = wireOwner(wire)
        if (here(a) && here(b)) network.resistor(a, b, ohm)
      }
    for (const part of this.parts.values()) this.addJunctions(network, part, fault, end, drive)
    network.owner = "supply"
    for (const node of leads) network.resistor(plus, node, 0.02)
    return network
  }

  private addResistances(network: DcNetwork, part: Part, fault: Fault | undefined, end: End): void {
    network.owner = part.ref
    resistancesOf(this.bench, part, fault, end, true, (a, b, ohm) => network.resistor(a, b, ohm))
  }

  private addJunctions(network: DcNetwork, part: Part, fault: Fault | undefined, end: End, drive: Drive) {
    network.owner = part.ref
    addJunctions(network, this.bench, part, fault, end, drive)
  }
}

const wireOwner = (name: string) => `wire ${name}`
