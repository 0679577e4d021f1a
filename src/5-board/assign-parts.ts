// Which parts go on which board, and the wires between boards.
// Vehicle wires and earth come straight to every board that uses them; any other net that lives on several boards
// gets one wire pad on each and harness wires from the board where its first part sits.

import type { Finding } from "../0-ground/finding.ts"
import type { BoardRequest, Lamp } from "../2-lamp/artefact.ts"
import type { Circuit, Home, Part } from "../3-drive/artefact.ts"
import type { HarnessWire } from "./artefact.ts"
import { state } from "./board-findings.ts"

export interface WirePad {
  readonly board: string
  readonly ref: string
  readonly net: string
  /** From the vehicle's own harness: thicker wire. */
  readonly vehicle: boolean
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
  for (const part of circuit.parts) {
    const board = boardFor(lamp, part)
    if (board) parts.get(board.name)!.push(part)
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
  return { parts, pads, harness, findings }
}

const carrier = (lamp: Lamp, word: string): BoardRequest | undefined =>
  lamp.boards.find((b) => b.carries.includes(word))

function boardFor(lamp: Lamp, part: Part): BoardRequest | undefined {
  const { home } = part
  const electronics = () => carrier(lamp, "drivers") ?? carrier(lamp, "supply") ?? carrier(lamp, "controller")
  if (home.kind === "group") {
    const board = carrier(lamp, home.group)
    return board?.roomFor === "leds-only" && part.kind !== "led" ? electronics() : board
  }
  return carrier(lamp, home.kind) ?? electronics()
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
