// A board as laid out: tracks, lands, links and parts, from the copper side or the component side.

import { memo, useMemo, useState } from "react"
import { show, showNumber } from "../../../0-ground/text/show.ts"
import type { Board } from "../../../5-board/artefact.ts"
import { usePage } from "../store.ts"
import { BoardChooser, SideChooser } from "./board-chooser.tsx"
import { type BoardFrame, boardFrame, pathOf, stadium } from "./board-frame.ts"
import { PartBodies } from "./part-bodies.tsx"
import { Stage } from "./stage.tsx"

export function BoardView() {
  const design = usePage((s) => s.design)
  const name = usePage((s) => s.board)
  const side = usePage((s) => s.side)
  const look = usePage((s) => s.look)
  const [under, setUnder] = useState("")
  const board = design?.boards.boards.find((b) => b.name === name)
  const frame = useMemo(() => board && boardFrame(board, side), [board, side])
  if (!design || !board || !frame) return null
  const here = look?.board === board.name ? look : undefined
  const part = here && board.parts.find((p) => here.parts.includes(p.ref))
  const place = here?.boardPoint ?? (part && { x: part.x, y: part.y })
  const point = place && frame.at(place)
  return (
    <div className="view">
      <div className="view-head">
        <BoardChooser />
        <SideChooser />
        <p className="view-words">
          {side === "copper"
            ? "As on the mill: what the road sees on the right is on the left here."
            : "As you fit the parts: the copper side mirrored left to right."}
        </p>
      </div>
      <Stage
        label={`Board ${board.name}, ${side} side. Plus and minus zoom, zero shows the whole board, Shift with arrows moves.`}
        content={frame.box}
        contentKey={`${board.name} ${side}`}
        focus={point && { ...point, key: `${board.name} ${side} ${point.x} ${point.y}` }}
        whole="Whole board"
        aside={<p className="read-out">{under || boardFacts(board)}</p>}
      >
        {(view) => (
          <svg
            className="board-picture"
            width={view.width}
            height={view.height}
            role="img"
            aria-label={`${boardFacts(board)}, seen from the ${side} side`}
            data-board={board.name}
            onPointerOver={(e) => setUnder((e.target as Element).getAttribute("data-says") ?? "")}
            onPointerLeave={() => setUnder("")}
          >
            <g transform={`translate(${view.left} ${view.top}) scale(${view.scale})`}>
              <BoardDrawing
                board={board}
                frame={frame}
                nets={here?.nets ?? none}
                parts={here?.parts ?? none}
              />
              {point && (
                <circle className="place-ring" cx={point.x} cy={point.y} r={Math.max(2.4, 14 / view.scale)} />
              )}
            </g>
          </svg>
        )}
      </Stage>
    </div>
  )
}

const none: readonly string[] = []

interface DrawingProps {
  readonly board: Board
  readonly frame: BoardFrame
  readonly nets: readonly string[]
  readonly parts: readonly string[]
}

const BoardDrawing = memo(function BoardDrawing({ board, frame, nets, parts }: DrawingProps) {
  const marked = (net: string | undefined) => (net !== undefined && nets.includes(net) ? "marked" : undefined)
  return (
    <g className={`board-drawing from-${frame.side}`}>
      <path className="base" d={pathOf(board.outline, frame, true)} />
      <g className="tracks">
        {board.tracks.map((t, i) => (
          <path
            // biome-ignore lint/suspicious/noArrayIndexKey: a net has several tracks
            key={i}
            className={marked(t.net)}
            d={pathOf(t.points, frame, false)}
            strokeWidth={t.width}
            data-track={t.net}
            data-says={`net ${t.net}, track ${show(t.width, "mm")} wide`}
          />
        ))}
      </g>
      <g className="lands">
        {board.lands.map((land) => {
          const { width, from, to } = stadium(land)
          return (
            <path
              key={`${land.ref} ${land.pin}`}
              className={marked(land.net)}
              d={pathOf([from, to], frame, false)}
              strokeWidth={width}
              data-land={`${land.ref}.${land.pin}`}
              data-says={`${land.ref} pin ${land.pin}, ${land.net ? `net ${land.net}` : "not connected"}, hole ${showNumber(land.hole)} mm`}
            />
          )
        })}
      </g>
      {frame.side === "copper" && <Holes board={board} frame={frame} />}
      <g className="links">
        {board.links.map((l) => (
          <path
            key={l.ref}
            d={pathOf([l.from, l.to], frame, false)}
            data-link={l.ref}
            data-says={`wire link ${l.ref}, net ${l.net}, ${show(l.length, "mm")} long, on the component side`}
          />
        ))}
      </g>
      <PartBodies board={board} frame={frame} marked={parts} />
      {frame.side === "component" && <Holes board={board} frame={frame} only="screws" />}
      <path className="edge" d={pathOf(board.outline, frame, true)} />
    </g>
  )
})

function Holes({
  board,
  frame,
  only,
}: {
  readonly board: Board
  readonly frame: BoardFrame
  readonly only?: "screws"
}) {
  const holes = only ? [] : board.lands.map((l) => ({ x: l.x, y: l.y, d: l.hole, key: `${l.ref} ${l.pin}` }))
  const screws = board.screws.map((s, i) => ({ x: s.x, y: s.y, d: s.diameter, key: `screw ${i}` }))
  return (
    <g className="holes">
      {[...holes, ...screws].map(({ key, d, ...p }) => {
        const q = frame.at(p)
        return <circle key={key} cx={q.x} cy={q.y} r={d / 2} />
      })}
    </g>
  )
}

function boardFacts(b: Board): string {
  const links =
    b.links.length === 0
      ? "no wire link"
      : b.links.length === 1
        ? "1 wire link"
        : `${b.links.length} wire links`
  return `${showNumber(b.size.w)} × ${showNumber(b.size.h)} mm, ${b.parts.length} parts, ${b.lands.length} lands, ${links}`
}
