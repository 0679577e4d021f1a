// Which parts go on which board, and the wires between boards: LEDs behind their face, controller, drivers and supply
// where the description says, and what may stand on several boards where that leaves the fewest wires.
// Vehicle wires and earth come straight to every board that uses them; any other net that lives on several boards
// gets one wire pad on each and harness wires from the board where its first part sits.

import type { Finding } from "../0-ground/finding.ts"
import type { BoardRequest, Lamp } from "../2-lamp/artefact.ts"
import type { Circuit, Home, Part } from "../3-drive/artefact.ts"
import type { HarnessWire } from "./artefact.ts"
import { state } from "./board-findings.ts"
import { divideParts } from "./divide-parts.ts"
import { colouredHarness } from "./harness-colours.ts"

export interface WirePad {
  readonly board: string
  readonly ref: string
  readonly net: string
  /** From the vehicle's own harness: thicker wire. */
  readonly vehicle: boolean
  readonly colour?: string
}

export interface Assigned {
  /** Board name → its parts in circuit order. */
  readonly parts: ReadonlyMap<string, readonly Part[]>
  readonly pads: readonly WirePad[]
  readonly harness: readonly HarnessWire[]
  readonly findings: readonly Finding[]
}

export function assignParts(lamp: Lamp, circuit: Circuit): Assigned {
  const findings: Finding[] = []
  const parts = new Map<string, Part[]>(lamp.boards.map((b) => [b.name, []]))
  const missing = new Map<string, string[]>()
  const divided = divide(lamp, circuit)
  for (const part of circuit.parts) {
    const board = divided.get(part.ref)
    if (board !== undefined) parts.get(board)!.push(part)
    else {
      const what = homeText(part.home)
      missing.set(what, [...(missing.get(what) ?? []), part.ref])
    }
  }
  for (const [what, refs] of missing)
    findings.push(
      state("no-board", {
        severity: "red",
        title: `no board carries ${what}, which needs ${refs.length} part${refs.length > 1 ? "s" : ""} (${refs.slice(0, 4).join(", ")}${refs.length > 4 ? ", …" : ""})`,
        where: { text: "boards", path: "boards", part: refs[0]! },
        advice: `Add ${what} to the \`carries\` of a board.`,
      }),
    )
  const { pads, harness } = wires(lamp, circuit, parts)
  const coloured = colouredHarness(lamp, circuit.earth, harness)
  const colourOf = new Map(coloured.map((h) => [h.net, h.colour]))
  const named = pads.map((p): WirePad => {
    const colour = colourOf.get(p.net)
    return colour === undefined ? p : { ...p, colour }
  })
  return { parts, pads: named, harness: coloured, findings }
}

/** Board name of each part that has one. */
function divide(lamp: Lamp, circuit: Circuit): Map<string, string> {
  const housed = circuit.parts.flatMap((part) => {
    const boards = boardsFor(lamp, part)
    return boards.length > 0 ? [{ part, boards }] : []
  })
  const members = new Map<string, number[]>()
  const join = (net: string, p: number) => {
    const list = members.get(net)
    if (!list) members.set(net, [p])
    else if (!list.includes(p)) list.push(p)
  }
  housed.forEach(({ part }, p) => {
    for (const net of netsOf(part)) join(net, p)
    if (part.ref === circuit.controller) for (const s of circuit.signals) join(s.net, p)
  })
  const on = divideParts({
    allowed: housed.map(({ boards }) => boards.map((b) => lamp.boards.indexOf(b))),
    nets: [...members.values()],
    boards: lamp.boards.length,
  })
  return new Map(housed.map(({ part }, p) => [part.ref, lamp.boards[on[p]!]!.name]))
}

const carriers = (lamp: Lamp, word: string): BoardRequest[] =>
  lamp.boards.filter((b) => b.carries.includes(word))

/** Boards a part may stand on, its own first. A part with a pinned place and an LED have no choice. */
function boardsFor(lamp: Lamp, part: Part): BoardRequest[] {
  const { home } = part
  const pinned = lamp.boards.filter((b) => Object.hasOwn(lamp.pins, `boards.${b.name}.${part.ref}`))
  if (pinned.length > 0 && part.kind !== "led") return pinned.slice(0, 1)
  const electronics = () =>
    ["drivers", "supply", "controller"].map((w) => carriers(lamp, w)).find((list) => list.length > 0) ?? []
  if (home.kind !== "group") {
    const own = carriers(lamp, home.kind)
    return own.length > 0 ? own : electronics()
  }
  const board = carriers(lamp, home.group)[0]
  if (part.kind === "led") return board ? [board] : []
  if (!board) return []
  if (board.roomFor === "leds-only") return electronics()
  return [board, ...carriers(lamp, "drivers").filter((b) => b !== board && b.roomFor === "everything")]
}

const homeText = (home: Home): string => (home.kind === "group" ? home.group : home.kind)

/** Nets of a part, placeholders for controller pins left out. */
const netsOf = (part: Part): string[] => Object.values(part.pins).filter((n) => !n.startsWith("@"))

function wires(lamp: Lamp, circuit: Circuit, parts: ReadonlyMap<string, readonly Part[]>) {
  const boardsOf = new Map<string, string[]>()
  const use = (net: string, board: string) => {
    const list = boardsOf.get(net) ?? []
    if (!list.includes(board)) list.push(board)
    boardsOf.set(net, list)
  }
  // In circuit order, so that the first board of a net is where its first part sits.
  const home = new Map<string, string>()
  for (const [board, list] of parts) for (const p of list) home.set(p.ref, board)
  for (const part of circuit.parts) {
    const board = home.get(part.ref)
    if (board) for (const net of netsOf(part)) use(net, board)
  }
  const controllerBoard = circuit.controller === undefined ? undefined : home.get(circuit.controller)
  if (controllerBoard) for (const s of circuit.signals) use(s.net, controllerBoard)

  const pads: WirePad[] = []
  const harness: HarnessWire[] = []
  for (const net of circuit.nets) {
    const boards = boardsOf.get(net.name) ?? []
    const wire = net.wire ?? (net.name === circuit.earth ? net.name : undefined)
    if (wire !== undefined)
      for (const board of boards) {
        const ref = `X-${wire}`
        pads.push({ board, ref, net: net.name, vehicle: true })
        harness.push({
          name: boards.length > 1 ? `${wire} to ${board}` : wire,
          net: net.name,
          from: { vehicle: wire },
          to: { board, ref },
        })
      }
    else if (boards.length > 1) {
      const ref = `X-${net.name}`
      for (const board of boards) pads.push({ board, ref, net: net.name, vehicle: false })
      for (const board of boards.slice(1))
        harness.push({
          name: boards.length > 2 ? `${net.name} to ${board}` : net.name,
          net: net.name,
          from: { board: boards[0]!, ref },
          to: { board, ref },
        })
    }
  }
  return { pads, harness, lamp }
}
