// Single faults a builder can make: a part left out, shorted, turned round, off by a decade; neighbouring lands
// bridged with solder; a wire link or a harness wire left out; a net that touches the metal housing.

import { partType } from "../../1-stock/parts.ts"
import type { Circuit, Part } from "../../3-drive/artefact.ts"
import type { Board, Boards, Land } from "../../5-board/artefact.ts"
import type { Copper } from "../../6-copper/artefact.ts"
import {
  type Bridge,
  type BridgePlace,
  type BridgesOfBoard,
  bridgesOf,
  isLoose,
  landName,
} from "./bridges.ts"
import { splitByLink } from "./link-split.ts"

export type Change = "open" | "short" | "reversed" | "ten times" | "a tenth"

export type Fault = { readonly id: string; readonly text: string; readonly board: string } & (
  | { readonly kind: "part"; readonly ref: string; readonly change: Change }
  | {
      readonly kind: "section"
      readonly ref: string
      readonly pin: string
      readonly change: "open" | "short"
    }
  | ({ readonly kind: "bridge" } & Bridge)
  /** The lands, as `ref.pin`, that the link parts from the others. */
  | { readonly kind: "link"; readonly ref: string; readonly net: string; readonly apart: ReadonlySet<string> }
  | { readonly kind: "wire"; readonly name: string }
  /** The land's net touches the metal the boards stand in: a screw, a spacer, a lead end, a wire's strand. */
  | { readonly kind: "housing"; readonly land: Land; readonly places: readonly BridgePlace[] }
)
export type BridgeFault = Extract<Fault, { kind: "bridge" }>

/** Every fault, with bridges to lands without a net among them; which of those matter is told by solving them. */
export function listFaults(circuit: Circuit, boards: Boards, copper: Copper): Fault[] {
  const boardOf = new Map(boards.boards.flatMap((b) => b.parts.map((p) => [p.ref, b] as const)))
  const parts = circuit.parts.flatMap((p) => {
    const board = boardOf.get(p.ref)
    return board === undefined ? [] : partFaults(p, board)
  })
  const pins = boards.boards.flatMap((b) => controllerPins(circuit, b))
  const wires = boards.harness.map((h): Fault => {
    const board = h.to.board
    return {
      id: `wire ${h.name} missing`,
      text: `wire ${h.name} missing or broken`,
      board,
      kind: "wire",
      name: h.name,
    }
  })
  return [
    ...parts,
    ...pins,
    ...boards.boards.flatMap((b) => {
      const found = bridgesOf(
        b,
        copper.boards.find((c) => c.board === b.name),
      )
      return [...linkFaults(b), ...bridges(b, found), ...onHousing(b, found)]
    }),
    ...wires,
  ]
}

const words: Record<Change, string> = {
  open: "missing, broken or not soldered",
  short: "shorted",
  reversed: "turned round",
  "ten times": "of ten times its value",
  "a tenth": "of a tenth of its value",
}

function partFaults(part: Part, on: Board): Fault[] {
  const { ref } = part
  const board = on.name
  const changes = changesOf(part)
  const own = changes.map((change): Fault => {
    return { id: `${ref} ${change}`, text: `${ref} ${words[change]}`, board, kind: "part", ref, change }
  })
  // A section whose pin is joined to nothing is not used.
  const used = new Set(on.lands.flatMap((l) => (l.ref === ref && l.net !== undefined ? [l.pin] : [])))
  return [...own, ...sectionFaults(part, board, used)]
}

function changesOf(part: Part): readonly Change[] {
  switch (part.kind) {
    case "led":
    case "diode":
    case "clamp":
    case "zener":
      return ["open", "short", "reversed"]
    case "resistor":
      return ["open", "short", "ten times", "a tenth"]
    case "capacitor":
      return [
        "open",
        "short",
        ...(Object.hasOwn(part.pins, "+") ? (["reversed"] as const) : []),
        "ten times",
        "a tenth",
      ]
    case "resistor-array":
      return ["open", "ten times", "a tenth", "reversed"]
    case "regulator":
    case "adjustable-regulator":
    case "transistor":
      return ["open", "short", "reversed"]
    case "relay":
      return ["open", "short"]
    case "controller":
      return ["open", "short", "reversed"]
    case "low-side-array":
      return ["open", "reversed"]
    case "resonator":
      return ["open", "short"]
    default:
      return ["open"]
  }
}

/** Sections of a network or an array fail one by one. */
function sectionFaults(part: Part, board: string, used: ReadonlySet<string>): Fault[] {
  const { model } = part.kind === "led" ? { model: undefined } : partType(part.stock)
  const { ref } = part
  const fault = (pin: string, change: "open" | "short"): Fault => ({
    id: `${ref} section at pin ${pin} ${change}`,
    text: `${ref}: section at pin ${pin} ${change === "open" ? "open or its pin not soldered" : "shorted"}`,
    board,
    kind: "section",
    ref,
    pin,
    change,
  })
  const both = (pin: string) => (used.has(pin) ? [fault(pin, "open"), fault(pin, "short")] : [])
  // Its contact by itself; the coil is the part's own fault.
  if (model?.kind === "relay") return both(model.pins.rest)
  if (model?.kind === "resistor-array") return model.sectionPins.flatMap(both)
  if (model?.kind === "low-side-array") return model.sectionPins.flatMap(([, out]) => both(out))
  return []
}

/** Each signal's pin of the controller left unsoldered. */
function controllerPins(circuit: Circuit, board: Board): Fault[] {
  const signals = new Set(circuit.signals.map((s) => s.net))
  return board.lands
    .filter((l) => l.ref === circuit.controller && l.net !== undefined && signals.has(l.net))
    .map((l) => ({
      id: `${landName(l)} not soldered`,
      text: `${l.ref} pin ${l.pin} (${l.net}) not soldered`,
      board: board.name,
      kind: "section",
      ref: l.ref,
      pin: l.pin,
      change: "open",
    }))
}

function linkFaults(board: Board): Fault[] {
  return board.links.flatMap((l): Fault[] => {
    const apart = splitByLink(board, l)
    if (apart === undefined) return []
    const { ref, net } = l
    return [
      {
        id: `${board.name} link ${ref} missing`,
        text: `wire link ${ref} on ${board.name} missing or not soldered`,
        board: board.name,
        kind: "link",
        ref,
        net,
        apart,
      },
    ]
  })
}

const bridges = ({ name }: Board, { between }: BridgesOfBoard): BridgeFault[] =>
  between.map((bridge) => bridgeFault(name, bridge))

export function bridgeFault(board: string, bridge: Bridge): BridgeFault {
  const { a, b, over, places } = bridge
  const points = [a, b, ...(over === undefined ? [] : [over])].map((p) => (isLoose(p) ? p.slice(1, -1) : p))
  const names = places.map((p) => p.name)
  return {
    id: `${board} bridge ${points.join(" ")}`,
    text: `solder bridge between ${list(points)} on ${board} at ${names.join(", ")}`,
    board,
    kind: "bridge",
    ...bridge,
  }
}

const list = (names: readonly string[]) => `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`

/** Each net of a board once, at its first land; with the places where solder reaches the copper under a screw. */
function onHousing(board: Board, { toScrew }: BridgesOfBoard): Fault[] {
  const nets = new Map<string, Land>()
  for (const l of board.lands) if (l.net !== undefined && !nets.has(l.net)) nets.set(l.net, l)
  return [...nets].map(([net, land]) => ({
    id: `${board.name} ${net} on housing`,
    text: `${net} on ${board.name} touches the metal housing`,
    board: board.name,
    kind: "housing",
    land,
    places: (toScrew.get(net) ?? []).map((at) => ({
      name: `${landName(at)}–copper under a screw`,
      lands: [at],
      gap: 0,
    })),
  }))
}
