// A board as the cutter leaves it: copper, grooves at their true width, holes, from either side.

import { memo, useMemo } from "react"
import type { Board } from "../../../5-board/artefact.ts"
import type { BoardCopper } from "../../../6-copper/artefact.ts"
import { type BoardFrame, pathOf } from "./board-frame.ts"
import { Holes, Links } from "./board-layers.tsx"
import { PartBodies } from "./part-bodies.tsx"

interface DrawingProps {
  readonly board: Board
  readonly copper: BoardCopper
  readonly frame: BoardFrame
  readonly base: string
  /** Widths of the grooves, mm: at the copper's surface, and where the foil ends. */
  readonly top: number
  readonly bottom: number
  readonly nets: readonly string[]
  readonly parts: readonly string[]
}

export const CutDrawing = memo(function CutDrawing(props: DrawingProps) {
  const { board, copper, frame, base, top, bottom, nets, parts } = props
  const fromCopper = frame.side === "copper"
  const grooves = useMemo(() => copper.grooves.map((g) => pathOf(g.points, frame, false)), [copper, frame])
  return (
    <g className={`cut-drawing board-drawing from-${frame.side}`} data-base={base}>
      <path className="sheet" d={pathOf(board.outline, frame, true)} />
      {fromCopper && (
        <g className="islands">
          {copper.islands.map((island, i) => (
            <path
              // biome-ignore lint/suspicious/noArrayIndexKey: a net may have several pieces
              key={i}
              fillRule="evenodd"
              className={island.net !== undefined && nets.includes(island.net) ? "marked" : undefined}
              data-island={island.net ?? ""}
              data-says={island.net ? `net ${island.net}` : "copper that joins nothing"}
              d={[island.ring, ...(island.holes ?? [])].map((r) => pathOf(r, frame, true)).join("")}
            />
          ))}
        </g>
      )}
      <g className="grooves" strokeWidth={top}>
        {grooves.map((d, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: grooves have no name
          <path key={i} data-groove={i} d={d} />
        ))}
      </g>
      {fromCopper && bottom > 0 && (
        <g className="groove-floors" strokeWidth={bottom}>
          {grooves.map((d, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: grooves have no name
            <path key={i} d={d} />
          ))}
        </g>
      )}
      <Holes board={board} frame={frame} />
      <Links board={board} frame={frame} marked={nets} />
      {!fromCopper && <PartBodies board={board} frame={frame} marked={parts} />}
      {fromCopper && parts.length > 0 && (
        <g className="bodies">
          {board.parts
            .filter((p) => parts.includes(p.ref))
            .map((p) => (
              <path key={p.ref} className="picked-body" d={pathOf(p.body, frame, true)} />
            ))}
        </g>
      )}
      <path className="edge" d={pathOf(board.outline, frame, true)} />
    </g>
  )
})
