// A board as laid out: tracks, lands, links and parts, from the copper side or the component side.

import { memo, useMemo, useState } from "react"
import { show, showNumber } from "../../../0-ground/text/show.ts"
import type { Board } from "../../../5-board/artefact.ts"
import type { BoardCopper } from "../../../6-copper/artefact.ts"
import type { Look } from "../look-at.ts"
import { usePage } from "../store.ts"
import { BoardChooser, SideChooser } from "./board-chooser.tsx"
import { type BoardFrame, boardFrame, pathOf, stadium } from "./board-frame.ts"
import { Holes, Links } from "./board-layers.tsx"
import { boardSnaps, pickOnBoard } from "./board-picks.ts"
import { Dimensions, dimensionPad } from "./dimensions.tsx"
import { MoveControls, MovingPart, useMoveParts } from "./move-parts.tsx"
import { PartBodies } from "./part-bodies.tsx"
import { Stage } from "./stage.tsx"

export function BoardView() {
  const design = usePage((s) => s.design)
  const name = usePage((s) => s.board)
  const side = usePage((s) => s.side)
  const look = usePage((s) => s.look)
  const [under, setUnder] = useState("")
  const laid = usePage((s) => s.laid.find((b) => b.name === name))
  const board = laid ?? design?.boards.boards.find((b) => b.name === name)
  const frame = useMemo(() => board && boardFrame(board, side), [board, side])
  const snaps = useMemo(() => board && frame && boardSnaps(board, frame), [board, frame])
  const mover = useMoveParts(board, frame, look)
  if (!board || !frame || !snaps) return null
  const here = onThis(look, board)
  const part = here && board.parts.find((p) => here.parts.includes(p.ref))
  const place = (look?.board === board.name ? look.boardPoint : undefined) ?? part
  const point = place && frame.at(place)
  const copper = laid ? undefined : design?.copper.boards.find((c) => c.board === board.name)
  return (
    <div className="view" onKeyDownCapture={mover.key}>
      <div className="view-head">
        <BoardChooser />
        <SideChooser />
        <MoveControls board={board} look={look} mover={mover} />
        <p className="view-words">
          {side === "copper"
            ? "As on the mill: what the road sees on the right is on the left here."
            : "As you fit the parts: the copper side mirrored left to right."}
        </p>
      </div>
      <Stage
        label={`Board ${board.name}, ${side} side. Plus and minus zoom, zero shows the whole board, Shift with arrows moves, comma and full stop pick parts, Shift M measures.`}
        content={frame.box}
        contentKey={`${board.name} ${side}`}
        focus={
          point && !look?.thing ? { ...point, key: `${board.name} ${side} ${point.x} ${point.y}` } : undefined
        }
        picked={point}
        whole="Whole board"
        pad={dimensionPad}
        snaps={snaps}
        aside={<p className="read-out">{under || boardFacts(board)}</p>}
      >
        {(view) => (
          // biome-ignore lint/a11y/useKeyWithClickEvents: comma and full stop pick parts by key
          <svg
            className="board-picture"
            width={view.width}
            height={view.height}
            role="img"
            aria-label={`${boardFacts(board)}, seen from the ${side} side`}
            data-board={board.name}
            onPointerOver={(e) => setUnder((e.target as Element).getAttribute("data-says") ?? "")}
            onPointerLeave={() => setUnder("")}
            onClick={(e) => {
              if (!mover.on) pickOnBoard(e, board)
            }}
            data-moving-parts={mover.on || undefined}
            onPointerDown={mover.down}
            onPointerMove={(e) => mover.move(e, view)}
            onPointerUp={mover.up}
          >
            <g transform={`translate(${view.left} ${view.top}) scale(${view.scale})`}>
              <BoardDrawing
                board={board}
                copper={copper}
                frame={frame}
                nets={here?.nets ?? none}
                parts={here?.parts ?? none}
              />
              <MovingPart board={board} frame={frame} mover={mover} />
              {point && !look?.thing && (
                <circle className="place-ring" cx={point.x} cy={point.y} r={Math.max(2.4, 14 / view.scale)} />
              )}
            </g>
            <Dimensions box={frame.box} view={view} />
          </svg>
        )}
      </Stage>
    </div>
  )
}

const none: readonly string[] = []

/** A net runs over several boards; what was picked is marked on each. */
export const onThis = (look: Look | undefined, board: Board): Look | undefined =>
  look?.thing || look?.board === board.name ? look : undefined

interface DrawingProps {
  readonly board: Board
  readonly copper: BoardCopper | undefined
  readonly frame: BoardFrame
  readonly nets: readonly string[]
  readonly parts: readonly string[]
}

const BoardDrawing = memo(function BoardDrawing({ board, copper, frame, nets, parts }: DrawingProps) {
  const marked = (net: string | undefined) => (net !== undefined && nets.includes(net) ? "marked" : undefined)
  return (
    <g className={`board-drawing from-${frame.side}`}>
      <path className="base" d={pathOf(board.outline, frame, true)} />
      {frame.side === "copper" && copper && <Islands copper={copper} frame={frame} nets={nets} />}
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
      <Links board={board} frame={frame} marked={nets} />
      <PartBodies board={board} frame={frame} marked={parts} />
      {frame.side === "component" && <Holes board={board} frame={frame} only="screws" />}
      <path className="edge" d={pathOf(board.outline, frame, true)} />
    </g>
  )
})

/** The copper that stays, quietly: the tracks lie in it. */
function Islands({
  copper,
  frame,
  nets,
}: {
  readonly copper: BoardCopper
  readonly frame: BoardFrame
  readonly nets: readonly string[]
}) {
  return (
    <g className="areas">
      {copper.islands.map((island, i) => (
        <path
          // biome-ignore lint/suspicious/noArrayIndexKey: a net may have several pieces
          key={i}
          fillRule="evenodd"
          className={island.net !== undefined && nets.includes(island.net) ? "marked" : undefined}
          data-says={
            island.net
              ? `net ${island.net}, copper that stays around its tracks`
              : "copper that joins nothing"
          }
          data-island={island.net}
          d={[island.ring, ...(island.holes ?? [])].map((r) => pathOf(r, frame, true)).join("")}
        />
      ))}
      <g className="gaps" strokeWidth={copper.grooveWidth}>
        {copper.grooves.map((g, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: grooves have no name
          <path key={i} d={pathOf(g.points, frame, false)} />
        ))}
      </g>
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
