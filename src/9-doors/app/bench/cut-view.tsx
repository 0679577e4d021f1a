// What the cutter leaves: copper, grooves at their true width, holes, and the programs that make them.

import { memo, useMemo, useState } from "react"
import { show, showNumber } from "../../../0-ground/text/show.ts"
import type { Board } from "../../../5-board/artefact.ts"
import type { BoardCopper, CutterProgram } from "../../../6-copper/artefact.ts"
import { usePage } from "../store.ts"
import { duration } from "../words.ts"
import { BoardChooser } from "./board-chooser.tsx"
import { type BoardFrame, boardFrame, pathOf } from "./board-frame.ts"
import { Stage } from "./stage.tsx"

export function CutView() {
  const design = usePage((s) => s.design)
  const name = usePage((s) => s.board)
  const look = usePage((s) => s.look)
  const [under, setUnder] = useState("")
  const board = design?.boards.boards.find((b) => b.name === name)
  const copper = design?.copper.boards.find((b) => b.board === name)
  const frame = useMemo(() => board && boardFrame(board, "copper"), [board])
  if (!design || !board || !copper || !frame) return null
  const programs = design.plan.programs.filter((p) => p.board === board.name)
  const here = look?.board === board.name ? look : undefined
  const point = here?.boardPoint && frame.at(here.boardPoint)
  return (
    <div className="view">
      <div className="view-head">
        <BoardChooser />
        <p className="view-words">
          Copper side up, as on the mill; groove {show(copper.grooveWidth, "mm")} wide,{" "}
          {show(copper.depth, "mm")} deep.
        </p>
      </div>
      <Stage
        label={`What the cutter leaves of ${board.name}. Plus and minus zoom, zero shows the whole board, Shift with arrows moves.`}
        content={frame.box}
        contentKey={`${board.name} cut`}
        focus={point && { ...point, key: `${board.name} cut ${point.x} ${point.y}` }}
        whole="Whole board"
        aside={<p className="read-out">{under || cutFacts(copper)}</p>}
      >
        {(view) => (
          <svg
            className="board-picture"
            width={view.width}
            height={view.height}
            role="img"
            aria-label={`Board ${board.name} after cutting: ${cutFacts(copper)}`}
            data-board={board.name}
            onPointerOver={(e) => setUnder((e.target as Element).getAttribute("data-says") ?? "")}
            onPointerLeave={() => setUnder("")}
          >
            <g transform={`translate(${view.left} ${view.top}) scale(${view.scale})`}>
              <CutDrawing board={board} copper={copper} frame={frame} nets={here?.nets ?? none} />
              {point && (
                <circle className="place-ring" cx={point.x} cy={point.y} r={Math.max(1.2, 14 / view.scale)} />
              )}
            </g>
          </svg>
        )}
      </Stage>
      <Programs programs={programs} />
    </div>
  )
}

const none: readonly string[] = []

interface DrawingProps {
  readonly board: Board
  readonly copper: BoardCopper
  readonly frame: BoardFrame
  readonly nets: readonly string[]
}

const CutDrawing = memo(function CutDrawing({ board, copper, frame, nets }: DrawingProps) {
  return (
    <g className="cut-drawing">
      <path className="sheet" d={pathOf(board.outline, frame, true)} />
      <g className="islands">
        {copper.islands.map((island, i) => (
          <path
            // biome-ignore lint/suspicious/noArrayIndexKey: a net may have several pieces
            key={i}
            className={island.net !== undefined && nets.includes(island.net) ? "marked" : undefined}
            data-island={island.net ?? ""}
            data-says={island.net ? `net ${island.net}` : "copper that joins nothing"}
            d={pathOf(island.ring, frame, true)}
          />
        ))}
      </g>
      <g className="grooves" strokeWidth={copper.grooveWidth}>
        {copper.grooves.map((g, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: grooves have no name
          <path key={i} data-groove={i} d={pathOf(g.points, frame, false)} />
        ))}
      </g>
      <g className="holes">
        {board.lands.map((l) => {
          const q = frame.at(l)
          return <circle key={`${l.ref} ${l.pin}`} cx={q.x} cy={q.y} r={l.hole / 2} />
        })}
        {board.screws.map((s) => {
          const q = frame.at(s)
          return <circle key={`${s.x} ${s.y}`} cx={q.x} cy={q.y} r={s.diameter / 2} />
        })}
      </g>
      <path className="edge" d={pathOf(board.outline, frame, true)} />
    </g>
  )
})

/** On a low screen the list starts folded, so that the board keeps its room. */
const roomy = globalThis.matchMedia?.("(min-height: 800px)").matches ?? true

function Programs({ programs }: { readonly programs: readonly CutterProgram[] }) {
  const total = programs.reduce((s, p) => s + p.time, 0)
  return (
    <details className="programs" open={roomy}>
      <summary className="programs-head">
        {programs.length} programs, {duration(total)} on the machine, tool changes aside.{" "}
        <span>Eye protection on before the spindle starts.</span>
      </summary>
      <table>
        <caption className="unseen">Cutter programs in the order they are run</caption>
        <thead>
          <tr>
            <th scope="col">Program</th>
            <th scope="col">Tool</th>
            <th scope="col" className="number">
              Cut
            </th>
            <th scope="col" className="number">
              Travel
            </th>
            <th scope="col" className="number">
              Plunges
            </th>
            <th scope="col" className="number">
              Time
            </th>
          </tr>
        </thead>
        <tbody>
          {programs.map((p) => (
            <tr key={p.file}>
              <th scope="row">{p.file}</th>
              <td>{p.tool}</td>
              <td className="number">{p.cutLength > 0 ? length(p.cutLength) : "–"}</td>
              <td className="number">{length(p.travel)}</td>
              <td className="number">{p.plunges}</td>
              <td className="number">{duration(p.time)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  )
}

const length = (mm: number) => (mm >= 1000 ? `${showNumber(mm / 1000)} m` : `${showNumber(mm)} mm`)

function cutFacts(c: BoardCopper): string {
  return `${c.grooves.length} grooves around ${c.islands.length} pieces of copper`
}
