// The circuit while it is being written: parts get their references in order, nets their kinds, names stay unique.

import { showOhm } from "../1-stock/e-series.ts"
import { packageType } from "../1-stock/packages.ts"
import { partType } from "../1-stock/parts.ts"
import type { Channel, ControllerSignal, Home, LedString, Net, Part } from "./artefact.ts"

type NetKind = Net["kind"]

export interface NetDraft {
  readonly name: string
  readonly kind: NetKind
  readonly wire?: string
}

const letters: Readonly<Record<Part["kind"], string>> = {
  led: "LED",
  resistor: "R",
  diode: "D",
  clamp: "D",
  zener: "D",
  capacitor: "C",
  "low-side-array": "U",
  regulator: "U",
  "adjustable-regulator": "U",
  transistor: "Q",
  relay: "K",
  controller: "U",
  resonator: "X",
  "resistor-array": "RN",
  header: "J",
}

export class CircuitDraft {
  readonly parts: Part[] = []
  readonly nets = new Map<string, NetDraft>()
  readonly strings: LedString[] = []
  readonly channels: Channel[] = []
  readonly signals: ControllerSignal[] = []
  /** Wire nets that have their bleed resistor. */
  readonly bled = new Set<string>()
  private readonly count = new Map<string, number>()
  private readonly refs = new Set<string>()

  /** A net of that name, or the name with a number where it is taken by something else. */
  net(name: string, kind: NetKind, wire?: string): string {
    let unique = name
    for (let n = 2; this.nets.has(unique); n++) unique = `${name}-${n}`
    this.nets.set(unique, { name: unique, kind, ...(wire === undefined ? {} : { wire }) })
    return unique
  }

  add(part: {
    readonly kind: Part["kind"]
    readonly stock: string
    readonly value: string
    readonly amount?: number
    readonly pins: Readonly<Record<string, string>>
    readonly purpose: string
    readonly home: Home
    readonly package?: string
    readonly ref?: string
    readonly reversible?: boolean
    readonly sections?: readonly (readonly string[])[]
    readonly behindHole?: string
  }): string {
    const letter = letters[part.kind]
    let ref = part.ref
    while (ref === undefined || (part.ref === undefined && this.refs.has(ref))) {
      const n = (this.count.get(letter) ?? 0) + 1
      this.count.set(letter, n)
      ref = `${letter}${n}`
    }
    this.refs.add(ref)
    const packageName = part.package ?? partType(part.stock).package
    const known = new Set(packageType(packageName).lands.map((l) => l.pin))
    for (const pin of Object.keys(part.pins)) {
      if (!known.has(pin)) throw new Error(`${part.stock} has no pin ${pin}`)
    }
    this.parts.push({ reversible: false, ...part, ref, package: packageName })
    return ref
  }

  resistor(
    ohm: number,
    a: string,
    b: string,
    purpose: string,
    home: Home,
    stock = "resistor-quarter-watt",
  ): string {
    return this.add({
      kind: "resistor",
      stock,
      value: showOhm(ohm),
      amount: ohm,
      pins: { "1": a, "2": b },
      purpose,
      home,
      reversible: true,
    })
  }

  diode(stock: string, anode: string, cathode: string, purpose: string, home: Home): string {
    return this.add({
      kind: "diode",
      stock,
      value: stock === "diode-1n4148" ? "1N4148" : "1N4007",
      pins: { A: anode, K: cathode },
      purpose,
      home,
    })
  }

  capacitor(
    stock: string,
    value: string,
    farad: number,
    plus: string,
    minus: string,
    purpose: string,
    home: Home,
  ): string {
    const polar = packageType(partType(stock).package).lands.some((l) => l.pin === "+")
    return this.add({
      kind: "capacitor",
      stock,
      value,
      amount: farad,
      pins: polar ? { "+": plus, "-": minus } : { "1": plus, "2": minus },
      purpose,
      home,
      reversible: !polar,
    })
  }
}
