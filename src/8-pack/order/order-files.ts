// A board as files for ordering it from a fabricator: copper, solder mask, edge, holes and test records, all from the
// same copper that is cut. Every file shows the board from its copper side, which is called its top: nothing is mirrored.

import type { Point } from "../../0-ground/geometry/point.ts"
import { signedArea } from "../../0-ground/geometry/polygon.ts"
import type { Board, Land } from "../../5-board/artefact.ts"
import type { BoardCopper } from "../../6-copper/artefact.ts"
import type { PackFile } from "../artefact.ts"
import { drillFile } from "./drill-file.ts"
import { type Attributes, type GerberWriter, gerberWriter } from "./gerber-writer.ts"
import { testRecords } from "./test-records.ts"

/** Solder mask kept back from a land's edge, mm (common practice, no source). */
const maskGap = 0.1
/** Width of the line that draws the edge, mm; its middle is the edge. */
const edgeLine = 0.1

export function orderFiles(lamp: string, board: Board, copper: BoardCopper | undefined): PackFile[] {
  if (!copper || copper.islands.length === 0) return []
  const stem = `order/${board.name}`
  return [
    { path: `${stem}-copper.gbr`, text: copperLayer(lamp, board, copper) },
    { path: `${stem}-mask.gbr`, text: maskLayer(lamp, board) },
    { path: `${stem}-edge.gbr`, text: edgeLayer(lamp, board) },
    { path: `${stem}-holes.drl`, text: drillFile(board) },
    { path: `${stem}-nets.ipc`, text: testRecords(lamp, board) },
  ]
}

const comments = (lamp: string, board: Board, what: string) => [
  `Lampwright: ${lamp}, board ${board.name}, ${what}`,
  "One layer of copper, holes not plated. Seen from the COPPER side, here called top; not mirrored.",
]

/** Islands from the largest to the smallest: each dark, what lies within it clear, so that inner ones come on top. */
export function copperLayer(lamp: string, board: Board, { islands }: BoardCopper): string {
  const writer = gerberWriter({
    fileFunction: "Copper,L1,Top",
    comments: comments(lamp, board, "copper"),
  })
  const bySize = islands
    .map((island) => ({ island, area: Math.abs(signedArea(island.ring)) }))
    .sort((a, b) => b.area - a.area)
  for (const { island } of bySize) {
    const net: Attributes = island.net === undefined ? {} : { net: island.net }
    writer.region(island.ring, net)
    if (!island.holes || island.holes.length === 0) continue
    writer.polarity(false)
    for (const hole of island.holes) writer.region(hole)
    writer.polarity(true)
  }
  for (const land of board.lands) drawLand(writer, land, 0)
  return writer.finish()
}

function maskLayer(lamp: string, board: Board): string {
  const writer = gerberWriter({
    fileFunction: "Soldermask,Top",
    polarity: "Negative",
    comments: comments(lamp, board, "openings in the solder mask"),
  })
  for (const land of board.lands) drawLand(writer, land, maskGap)
  for (const s of board.screws)
    writer.flash(s, { kind: "circle", diameter: s.diameter + 2 * maskGap }, { use: "WasherPad" })
  return writer.finish()
}

function edgeLayer(lamp: string, board: Board): string {
  const writer = gerberWriter({ fileFunction: "Profile,NP", comments: comments(lamp, board, "edge") })
  const closed: Point[] = [...board.outline, board.outline[0]!]
  writer.stroke(closed, edgeLine, { use: "Profile" })
  return writer.finish()
}

function drawLand(writer: GerberWriter, land: Land, grow: number): void {
  const w = land.w + 2 * grow
  const h = land.h + 2 * grow
  const belongs: Attributes = {
    use: "ComponentPad",
    pin: { ref: land.ref, pin: land.pin },
    ...(land.net === undefined ? {} : { net: land.net }),
  }
  const quarter = ((land.rotation % 180) + 180) % 180
  if (Math.abs(w - h) < 1e-9) writer.flash(land, { kind: "circle", diameter: w }, belongs)
  else if (quarter === 0) writer.flash(land, { kind: "obround", w, h }, belongs)
  else if (quarter === 90) writer.flash(land, { kind: "obround", w: h, h: w }, belongs)
  else {
    // Apertures cannot be turned: a stroke as wide as the land's short side is the same shape.
    const width = Math.min(w, h)
    const half = (Math.max(w, h) - width) / 2
    const angle = ((land.rotation + (w >= h ? 0 : 90)) * Math.PI) / 180
    const [dx, dy] = [half * Math.cos(angle), half * Math.sin(angle)]
    const ends = [
      { x: land.x - dx, y: land.y - dy },
      { x: land.x + dx, y: land.y + dy },
    ]
    writer.stroke(ends, width, belongs)
  }
}
