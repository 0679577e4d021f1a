// What a pointer meets on a drawn board, and what measuring catches there.

import type { Board } from "../../../5-board/artefact.ts"
import { pick } from "../picking.ts"
import type { BoardFrame } from "./board-frame.ts"
import type { Snaps } from "./snap.ts"

/** Lands and bodies stand for their part; tracks, links and copper for their net. */
export function pickOnBoard(event: React.MouseEvent, board: Board): void {
  const hit = (event.target as Element).closest<SVGElement>(
    "[data-part],[data-land],[data-hole],[data-track],[data-link],[data-island]",
  )
  if (!hit) return
  const { part, track, link, island } = hit.dataset
  const land = hit.dataset.land ?? hit.dataset.hole
  const ref = part ?? (land === undefined ? undefined : land.slice(0, land.lastIndexOf(".")))
  const wireLink = board.links.find((l) => l.ref === (link ?? ref))
  const net = wireLink?.net ?? track ?? island
  if (ref !== undefined && !wireLink) {
    const led = board.parts.some((p) => p.ref === ref && p.kind === "led")
    pick({ kind: led ? "led" : "part", name: ref })
  } else if (net) pick({ kind: "net", name: net })
}

export function boardSnaps(board: Board, frame: BoardFrame): Snaps {
  const corners = board.outline.length <= 12 ? board.outline : []
  return {
    points: [
      ...board.lands.map((l) => ({ ...frame.at(l), says: `${l.ref} pin ${l.pin}` })),
      ...board.screws.map((s) => ({ ...frame.at(s), says: `a ${s.diameter} mm screw hole` })),
      ...corners.map((p) => ({ ...frame.at(p), says: "a corner" })),
    ],
    edges: [{ line: board.outline.map((p) => frame.at(p)), closed: true, says: "the edge" }],
  }
}
