// A thing picked on the bench, and all that belongs to it: one LED, string, part, net or wire seen through every view.

import type { LightFunction } from "../../2-lamp/artefact.ts"
import type { HarnessWire } from "../../5-board/artefact.ts"
import type { LampDesign } from "../../design-lamp.ts"
import type { Look } from "./look-at.ts"
import { plain } from "./words.ts"

export interface Thing {
  readonly kind: "led" | "string" | "part" | "net" | "wire"
  /** LED or part reference, name of string, net or wire of the harness. */
  readonly name: string
}

export const sameThing = (a: Thing | undefined, b: Thing | undefined): boolean =>
  a?.kind === b?.kind && a?.name === b?.name

/** Undefined when the design has no such thing. `board`: the one looked at, preferred where a net runs over several. */
export function lookAtThing(thing: Thing, design: LampDesign, board?: string): Look | undefined {
  const found = belonging(thing, design)
  if (!found) return undefined
  const { boards } = design.boards
  const on =
    boards.find((b) => b.name === board && carries(b, found)) ?? boards.find((b) => carries(b, found))
  const place = on?.parts.find((p) => p.ref === found.parts[0])
  const land = on?.lands.find((l) => l.net !== undefined && l.net === found.nets[0])
  const at = place ?? land
  const hole = holeOf(design, found.leds[0])
  return {
    view: undefined,
    board: on?.name,
    boardPoint: at && { x: at.x, y: at.y },
    facePoint: hole && { x: hole.x, y: hole.y },
    leds: found.leds,
    parts: found.parts,
    nets: found.nets,
    wire: found.wires[0],
    thing,
    mates: found.mates,
    strings: found.strings,
    groups: found.groups,
    wires: found.wires,
    harness: found.harness,
    says: inWords(thing, found, on?.name),
  }
}

interface Belonging {
  readonly leds: readonly string[]
  /** LEDs in series with them. */
  readonly mates: readonly string[]
  readonly strings: readonly string[]
  readonly groups: readonly string[]
  /** The picked part first. */
  readonly parts: readonly string[]
  readonly nets: readonly string[]
  /** Of the vehicle. */
  readonly wires: readonly string[]
  readonly harness: readonly string[]
}

type Board = LampDesign["boards"]["boards"][number]

const carries = (b: Board, { parts, nets }: Belonging) =>
  parts.length > 0
    ? b.parts.some((p) => p.ref === parts[0])
    : b.lands.some((l) => l.net !== undefined && nets.includes(l.net))

function belonging(thing: Thing, design: LampDesign): Belonging | undefined {
  if (thing.kind === "led") return ofLed(thing.name, design)
  if (thing.kind === "string") return ofString(thing.name, design)
  if (thing.kind === "part") return ofPart(thing.name, design)
  if (thing.kind === "net") return ofNet(thing.name, design)
  return ofWire(thing.name, design)
}

function ofLed(ref: string, design: LampDesign): Belonging | undefined {
  const group = design.lamp.groups.find((g) => g.leds.some((l) => l.ref === ref))
  if (!group) return undefined
  const string = design.circuit.strings.find((s) => s.leds.includes(ref))
  const wires = wiresOf([group.name], design)
  return {
    leds: [ref],
    mates: string?.leds.filter((l) => l !== ref) ?? [],
    strings: string ? [string.name] : [],
    groups: [group.name],
    parts: [ref, ...(string?.resistors ?? [])],
    nets: netsOf(ref, design),
    wires,
    harness: harnessOf([...(string?.nets ?? []), ...feedsOf(string?.resistors ?? [], design)], wires, design),
  }
}

function ofString(name: string, design: LampDesign): Belonging | undefined {
  const string = design.circuit.strings.find((s) => s.name === name)
  if (!string) return undefined
  const wires = wiresOf([string.group], design)
  return {
    leds: string.leds,
    mates: [],
    strings: [name],
    groups: [string.group],
    parts: [...string.leds, ...string.resistors],
    nets: unique([...string.leds, ...string.resistors].flatMap((ref) => netsOf(ref, design))).filter(
      (n) => string.nets.includes(n) && n !== "earth",
    ),
    wires,
    harness: harnessOf([...string.nets, ...feedsOf(string.resistors, design)], wires, design),
  }
}

function ofPart(ref: string, design: LampDesign): Belonging | undefined {
  const pad = design.boards.boards.some((b) => b.parts.some((p) => p.ref === ref && p.kind === "pad"))
  const nets = netsOf(ref, design)
  if (nets.length === 0 && !design.circuit.parts.some((p) => p.ref === ref)) return undefined
  const strings = design.circuit.strings.filter((s) => s.resistors.includes(ref))
  const groups = unique(strings.map((s) => s.group))
  const wires = pad ? nets.filter((n) => isVehicleWire(n, design)) : wiresOf(groups, design)
  return {
    leds: strings.flatMap((s) => s.leds),
    mates: [],
    strings: strings.map((s) => s.name),
    groups,
    parts: [ref],
    nets,
    wires,
    harness: harnessOf(
      nets.filter((n) => pad || n !== "earth"),
      [],
      design,
    ),
  }
}

function ofNet(name: string, design: LampDesign): Belonging | undefined {
  const there = design.boards.boards.some((b) => b.lands.some((l) => l.net === name))
  if (!there) return undefined
  // Earth and supply touch everything; ringing every LED would say nothing.
  const everywhere = ["earth", "supply"].includes(
    design.circuit.nets.find((n) => n.name === name)?.kind ?? "",
  )
  const strings = everywhere
    ? []
    : design.circuit.strings.filter(
        (s) => s.nets.includes(name) || feedsOf(s.resistors, design).includes(name),
      )
  const wires = isVehicleWire(name, design) ? [name] : []
  return {
    leds: strings.flatMap((s) => s.leds),
    mates: [],
    strings: strings.map((s) => s.name),
    groups: unique(strings.map((s) => s.group)),
    parts: [],
    nets: [name],
    wires,
    harness: harnessOf([name], wires, design),
  }
}

function ofWire(name: string, design: LampDesign): Belonging | undefined {
  const runs = design.boards.harness.filter((w) => w.name === name || vehicleEnd(w) === name)
  const nets = unique(runs.map((w) => w.net))
  const vehicle = isVehicleWire(name, design)
  if (runs.length === 0 && !vehicle) return undefined
  const lines = design.lamp.programme.filter((l) => l.when.includes(name))
  const groups = vehicle
    ? unique(lines.map((l) => l.light))
    : unique(
        design.circuit.strings
          .filter((s) => [...s.nets, ...feedsOf(s.resistors, design)].some((n) => nets.includes(n)))
          .filter(() => !nets.includes("earth"))
          .map((s) => s.group),
      )
  const strings = design.circuit.strings.filter((s) =>
    vehicle
      ? groups.includes(s.group)
      : !nets.includes("earth") && [...s.nets, ...feedsOf(s.resistors, design)].some((n) => nets.includes(n)),
  )
  return {
    leds: vehicle
      ? design.lamp.groups.filter((g) => groups.includes(g.name)).flatMap((g) => g.leds.map((l) => l.ref))
      : strings.flatMap((s) => s.leds),
    mates: [],
    strings: strings.map((s) => s.name),
    groups,
    parts: unique(runs.map((w) => w.to.ref)),
    nets,
    wires: vehicle ? [name] : [],
    harness: runs.map((w) => w.name),
  }
}

/** Nets a part's lands carry on its board: the board may have exchanged what the circuit left free. */
function netsOf(ref: string, design: LampDesign): string[] {
  const part = design.boards.boards.flatMap((b) => b.parts).find((p) => p.ref === ref)
  const pins = part?.pins ?? design.circuit.parts.find((p) => p.ref === ref)?.pins ?? {}
  return unique(Object.values(pins).filter((n) => !n.startsWith("@")))
}

/** The nets a string's resistors hang on. */
const feedsOf = (resistors: readonly string[], design: LampDesign) =>
  unique(resistors.flatMap((ref) => netsOf(ref, design))).filter((n) => n !== "earth")

/** Vehicle wires that some line of the programme lights these groups with. */
const wiresOf = (groups: readonly string[], { lamp }: LampDesign) =>
  unique(lamp.programme.filter((l) => groups.includes(l.light)).flatMap((l) => l.when))

function harnessOf(nets: readonly string[], wires: readonly string[], { boards }: LampDesign): string[] {
  const own = nets.filter((n) => n !== "earth" || nets.length === 1)
  return unique(
    boards.harness
      .filter((w) => own.includes(w.net) || wires.includes(vehicleEnd(w) ?? ""))
      .map((w) => w.name),
  )
}

const vehicleEnd = (w: HarnessWire) => ("vehicle" in w.from ? w.from.vehicle : undefined)
const isVehicleWire = (name: string, { lamp }: LampDesign) => lamp.vehicle.wires.some((w) => w.name === name)
const holeOf = ({ lamp }: LampDesign, ref: string | undefined) =>
  lamp.groups.flatMap((g) => g.leds).find((l) => l.ref === ref)?.hole
const unique = <T>(all: readonly T[]): T[] => [...new Set(all)]

function inWords({ kind, name }: Thing, found: Belonging, board: string | undefined): string {
  const said = [
    kind === "led" ? `LED ${name}` : kind === "part" ? name : `${kind} ${plain(name)}`,
    kind !== "string" && found.strings.length > 0 && count(found.strings, "string"),
    kind !== "led" &&
      found.leds.length > 0 &&
      `${found.leds.length} ${found.leds.length === 1 ? "LED" : "LEDs"}`,
    board !== undefined && `board ${plain(board)}`,
    kind !== "net" && found.nets.length > 0 && count(found.nets, "net"),
    kind !== "wire" && found.wires.length > 0 && count(found.wires, "wire"),
  ]
  return said.filter((s) => typeof s === "string").join(" · ")
}

const count = (names: readonly string[], word: string) =>
  names.length === 1
    ? names[0]!.includes(word)
      ? plain(names[0]!)
      : `${word} ${plain(names[0]!)}`
    : names.length <= 3
      ? `${word}s ${names.map(plain).join(", ")}`
      : `${names.length} ${word}s`

/** The functions an LED's group serves, for words and for the beams it takes part in. */
export const functionsOf = (design: LampDesign, led: string): readonly LightFunction[] =>
  design.lamp.groups.find((g) => g.leds.some((l) => l.ref === led))?.functions ?? []
