// A small made-up board for tests: 4 × 3 cells of 10 mm, each cell one piece of copper with one land in its middle,
// straight grooves between cells of different nets, one wire link, one wire pad.

import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, Part } from "../../3-drive/artefact.ts"
import type { Board, Boards, Land } from "../../5-board/artefact.ts"
import type { CutterProgram } from "../../6-copper/artefact.ts"

/** Rows from below upward. `A` in the upper right corner is reached by the wire link. */
const cells = ["AABC", "DEEC", "DFGA"] as const
const pitch = 10
/** Which part and pin stands in the middle of each cell. */
const standing = [
  ["D1.A", "R1.1", "D1.K", "R2.1"],
  ["R1.2", "R2.2", "D2.A", "D2.K"],
  ["R3.1", "R3.2", "X1.1", "R4.1"],
] as const

export const netOfCell = (i: number, j: number) => cells[j]![i]!

/** A groove between two cells of different nets, with the two nets. */
export interface Stroke {
  readonly nets: readonly [string, string]
  readonly from: readonly [number, number]
  readonly to: readonly [number, number]
}

export function strokes(): Stroke[] {
  const out: Stroke[] = []
  for (let j = 0; j < 3; j++) {
    for (let i = 0; i < 4; i++) {
      if (i < 3 && netOfCell(i, j) !== netOfCell(i + 1, j)) {
        out.push({
          nets: [netOfCell(i, j), netOfCell(i + 1, j)],
          from: [(i + 1) * pitch, j * pitch],
          to: [(i + 1) * pitch, (j + 1) * pitch],
        })
      }
      if (j < 2 && netOfCell(i, j) !== netOfCell(i, j + 1)) {
        out.push({
          nets: [netOfCell(i, j), netOfCell(i, j + 1)],
          from: [i * pitch, (j + 1) * pitch],
          to: [(i + 1) * pitch, (j + 1) * pitch],
        })
      }
    }
  }
  return out
}

const land = (ref: string, pin: string, x: number, y: number, net: string): Land => ({
  ref,
  pin,
  net,
  x,
  y,
  shape: "round",
  w: 2,
  h: 2,
  rotation: 0,
  hole: 0.8,
})

export function syntheticBoard(): Board {
  const lands: Land[] = standing.flatMap((row, j) =>
    row.map((name, i) => {
      const [ref, pin] = name.split(".") as [string, string]
      return land(ref, pin, i * pitch + 5, j * pitch + 5, netOfCell(i, j))
    }),
  )
  // R4.2 stands beside its other pin: both ends of R4 are on A, one on each side of the link.
  lands.push(land("R4", "2", 17, 8, "A"))
  lands.push(land("W1", "1", 12, 3, "A"), land("W1", "2", 37, 27, "A"))
  const mid = (i: number, j: number) => ({ x: i * pitch + 5, y: j * pitch + 5 })
  const refs = ["D1", "D2", "R1", "R2", "R3", "R4", "X1"]
  return {
    name: "plate",
    pose: { originX: 40, originY: 0 },
    outline: [
      { x: 0, y: 0 },
      { x: 40, y: 0 },
      { x: 40, y: 30 },
      { x: 0, y: 30 },
    ],
    size: { w: 40, h: 30 },
    screws: [],
    parts: refs.map((ref) => ({
      ref,
      kind: ref[0] === "R" ? "resistor" : ref[0] === "D" ? "diode" : "pad",
      package: "test",
      value: "",
      x: 0,
      y: 0,
      rotation: 0,
      body: [],
      height: 2,
      pins: Object.fromEntries(lands.filter((l) => l.ref === ref).map((l) => [l.pin, l.net!])),
    })),
    lands,
    tracks: [
      { net: "A", width: 0.8, points: [mid(0, 0), mid(1, 0), { x: 17, y: 8 }] },
      { net: "E", width: 0.8, points: [mid(1, 1), mid(2, 1)] },
      { net: "C", width: 0.8, points: [mid(3, 0), mid(3, 1)] },
      { net: "D", width: 0.8, points: [mid(0, 1), mid(0, 2)] },
    ],
    links: [{ ref: "W1", net: "A", from: { x: 12, y: 3 }, to: { x: 37, y: 27 }, length: 34.7 }],
    linksLowerBound: 0,
    unrouted: [],
    clearance: 0.25,
    trackWidth: 0.4,
  }
}

export function syntheticBoards(board = syntheticBoard()): Boards {
  return {
    boards: [board],
    harness: [{ name: "tail", net: "G", from: { vehicle: "tail" }, to: { board: "plate", ref: "X1" } }],
    pinChoice: { controller: {}, sections: {}, strings: {} },
    figures: [],
    findings: [],
  }
}

export function syntheticCircuit(): Circuit {
  const pins = new Map<string, Record<string, string>>()
  for (const l of syntheticBoard().lands) {
    if (l.ref === "X1" || l.ref === "W1") continue
    pins.set(l.ref, { ...pins.get(l.ref), [l.pin]: l.net! })
  }
  const parts: Part[] = [...pins].map(([ref, own]) => ({
    ref,
    kind: ref[0] === "R" ? "resistor" : "diode",
    stock: "",
    package: "test",
    value: "",
    pins: own,
    purpose: "",
    home: { kind: "supply" },
    reversible: ref[0] === "R",
  }))
  const names = [...new Set(cells.join(""))].sort()
  return {
    parts,
    nets: names.map((name) => ({
      name,
      kind: name === "G" ? "wire" : "signal",
      current: 0.02,
      voltage: 12,
      ...(name === "G" ? { wire: "tail" } : {}),
    })),
    earth: "A",
    strings: [],
    channels: [],
    signals: [],
    inputs: [],
    drives: [],
    corners: [],
    figures: [],
    findings: [],
  }
}

const header = (rpm: number) => ["G21 G90 G94 G17", "G0 Z3", `M3 S${rpm}`, "G4 P2"]
const footer = ["G0 Z3", "M5", "G0 X0 Y0", "M30", ""]

export function engraveText(list: readonly Stroke[] = strokes(), depth = 0.1): string {
  const lines = header(12000)
  for (const s of list) {
    lines.push(`G0 X${s.from[0]} Y${s.from[1]}`, `G1 Z${-depth} F100`)
    lines.push(`G1 X${s.to[0]} Y${s.to[1]} F300`, "G0 Z3")
  }
  return [...lines, ...footer].join("\n")
}

export function drillText(lands: readonly { x: number; y: number }[] = syntheticBoard().lands): string {
  const lines = header(12000)
  lines.push("F120")
  for (const l of lands) lines.push(`G98 G81 X${l.x} Y${l.y} Z-2 R0.5`)
  return [...lines, "G80", ...footer].join("\n")
}

/** Round the board with a 1.5 mm router, down to z in two passes, one tab of 3 mm on the lower edge. */
export function outlineText(inset = -0.75, tab = true): string {
  const [x0, y0, x1, y1] = [inset, inset, 40 - inset, 30 - inset]
  const lines = header(12000)
  lines.push(`G0 X${x0} Y${y0}`)
  for (const z of [-0.9, -1.8]) {
    lines.push(`G1 Z${z} F60`)
    if (tab && z < -1) lines.push(`G1 X18 Y${y0} F240`, "G1 Z-0.9", "G1 X22.5", `G1 Z${z}`)
    lines.push(`G1 X${x1} Y${y0} F240`, `G1 X${x1} Y${y1}`, `G1 X${x0} Y${y1}`, `G1 X${x0} Y${y0}`)
  }
  return [...lines, ...footer].join("\n")
}

export function program(purpose: CutterProgram["purpose"], text: string, diameter: number): CutterProgram {
  return {
    board: "plate",
    file: `plate-${purpose}.ngc`,
    purpose,
    tool: purpose,
    toolDiameter: diameter,
    text,
    cutLength: 0,
    travel: 0,
    plunges: 0,
    time: 0,
  }
}

export const syntheticPrograms = (
  change: { engrave?: string; drill?: string; outline?: string } = {},
): CutterProgram[] => [
  program("engrave", change.engrave ?? engraveText(), 0.2),
  program("drill", change.drill ?? drillText(), 0.8),
  program("outline", change.outline ?? outlineText(), 1.5),
]

/** What the cut proof needs of a lamp: sheet and cutter. */
export const syntheticLamp = {
  groups: [],
  copperClad: { base: "FR4", thickness: 1.6, copper: 0.035, sheet: { w: 100, h: 160 } },
  cutter: {
    engraver: { tip: 0.2, angle: 30, depth: 0.1, feed: 300, plunge: 100, spindle: 12000 },
    drills: [0.8],
    drillFeed: 120,
    router: { diameter: 1.5, feed: 240, stepDown: 0.5 },
    machine: { rapid: 1500, acceleration: 100, flatness: 0.03, clearHeight: 3 },
  },
} as unknown as Lamp
