// Way in: a board as its programs will leave it, for drawing: the copper cut on the grid, piece by piece, and its holes.

import { contains } from "../0-ground/geometry/polygon.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Board } from "../5-board/artefact.ts"
import type { CutterProgram } from "../6-copper/artefact.ts"
import { ringPoints } from "./cut/extract-netlist.ts"
import { labelCopper, pieceAt } from "./cut/label-copper.ts"
import { readCutProgram } from "./cut/read-cut-program.ts"
import { type Heights, onSurface } from "./cut/read-heights.ts"
import { drilledHoles, engraverOf, milledHoles, simulateCut } from "./cut/simulate-cut.ts"
import { traceCopper } from "./cut/trace-copper.ts"

export interface SeenPiece {
  /** Outer ring and holes in board coordinates; filled by the even-odd rule. */
  readonly rings: readonly (readonly { readonly x: number; readonly y: number }[])[]
  /** Names of the nets whose lands stand on it: none for copper that nothing is soldered to. */
  readonly nets: readonly string[]
}

export interface SeenBoard {
  readonly pieces: readonly SeenPiece[]
  readonly holes: readonly { readonly x: number; readonly y: number; readonly diameter: number }[]
  /** What the router takes right through inside the edge: its middle's way and its width. */
  readonly milled: readonly {
    readonly points: readonly { readonly x: number; readonly y: number }[]
    readonly width: number
  }[]
}

/** Fine enough for a drawing at several times the size, mm; coarser for boards that would ask for too many pixels. */
const finest = 0.02
const mostPixels = 60e6

/** The board cut at the depths written, on the surface measured where one is given. */
export function seeBoard(
  lamp: Pick<Lamp, "cutter" | "copperClad">,
  board: Board,
  programs: readonly CutterProgram[],
  heights?: Heights,
): SeenBoard {
  const read = programs.map((p) => ({ p, moves: readCutProgram(p.text).moves }))
  const of = (purpose: CutterProgram["purpose"]) => read.filter(({ p }) => p.purpose === purpose)
  const bent = <T extends { moves: Parameters<typeof onSurface>[0] }>(r: T) =>
    heights ? onSurface(r.moves, heights) : r.moves
  const inside = (x: number, y: number) => contains(board.outline, { x, y })
  const drilled = of("drill").flatMap(({ p, moves }) => drilledHoles(moves, p.toolDiameter))
  const holes = [
    ...drilled,
    ...of("outline").flatMap(({ p, moves }) => milledHoles(moves, p.toolDiameter, inside)),
  ]
  const job = {
    outline: board.outline,
    engraver: engraverOf(lamp),
    engraving: of("engrave").flatMap(bent),
    milling: [
      ...of("clear").map((r) => ({ diameter: r.p.toolDiameter, moves: bent(r) })),
      ...of("outline").map((r) => ({ diameter: r.p.toolDiameter, moves: r.moves })),
    ],
    holes,
    foil: lamp.copperClad.copper,
  }
  const pixel = Math.max(finest, Math.sqrt((board.size.w * board.size.h) / mostPixels))
  const labels = labelCopper(simulateCut(job, { pixel, at: "top", height: 0 }))
  const nets = traceCopper(labels).map(({ rings }) => ({ rings, nets: new Set<string>() }))
  for (const land of board.lands) {
    if (land.net === undefined) continue
    for (const { x, y } of ringPoints(land)) {
      const piece = pieceAt(labels, x, y)
      if (piece >= 0) nets[piece]!.nets.add(land.net)
    }
  }
  const milled = of("outline").flatMap(({ p, moves }) =>
    moves
      .filter(
        (m) =>
          m.kind === "feed" &&
          Math.max(m.z0, m.z1) <= -lamp.copperClad.thickness &&
          inside(m.x0, m.y0) &&
          inside(m.x1, m.y1),
      )
      .map((m) => ({
        points: [
          { x: m.x0, y: m.y0 },
          { x: m.x1, y: m.y1 },
        ],
        width: p.toolDiameter,
      })),
  )
  return {
    milled,
    pieces: nets.map((n) => ({ rings: n.rings, nets: [...n.nets].sort() })),
    holes: holes.map(({ x, y, diameter }) => ({ x, y, diameter })),
  }
}
