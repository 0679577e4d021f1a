// What the cutter leaves: copper, grooves at their true width, holes, and the programs that make them.

import { memo, useEffect, useMemo, useState } from "react"
import { ToggleButton } from "react-aria-components"
import { showNumber } from "../../../0-ground/text/show.ts"
import type { Board } from "../../../5-board/artefact.ts"
import type { BoardCopper, CutterProgram } from "../../../6-copper/artefact.ts"
import { usePage } from "../store.ts"
import { duration } from "../words.ts"
import { BoardChooser, SideChooser } from "./board-chooser.tsx"
import { type BoardFrame, boardFrame, pathOf } from "./board-frame.ts"
import { Holes, Links } from "./board-layers.tsx"
import { boardSnaps, pickOnBoard } from "./board-picks.ts"
import { onThis } from "./board-view.tsx"
import { DepthPanel } from "./depth-panel.tsx"
import { Dimensions, dimensionPad } from "./dimensions.tsx"
import { grooveAt, grooveWords } from "./groove-at.ts"
import { PartBodies } from "./part-bodies.tsx"
import { Stage } from "./stage.tsx"

export function CutView() {
  const design = usePage((s) => s.design)
  const name = usePage((s) => s.board)
  const side = usePage((s) => s.side)
  const look = usePage((s) => s.look)
  const [under, setUnder] = useState("")
  const [asked, setAsked] = useState<number>()
  const [plot, setPlot] = useState(wide)
  const board = design?.boards.boards.find((b) => b.name === name)
  const copper = design?.copper.boards.find((b) => b.board === name)
  const frame = useMemo(() => board && boardFrame(board, side), [board, side])
  const snaps = useMemo(() => board && frame && boardSnaps(board, frame), [board, frame])
  // biome-ignore lint/correctness/useExhaustiveDependencies: another board is cut at its own depth
  useEffect(() => setAsked(undefined), [copper])
  if (!design || !board || !copper || !frame || !snaps) return null
  const programs = design.plan.programs.filter((p) => p.board === board.name)
  const here = onThis(look, board)
  const place = look?.board === board.name ? look.boardPoint : undefined
  const point = place && frame.at(place)
  const proof = design.proof.boards.find((b) => b.board === board.name)
  const engraver = design.lamp.cutter.engraver
  const depth = asked ?? copper.depth
  const widths = grooveAt(copper, engraver.angle, depth, design.lamp.copperClad.copper)
  return (
    <div className="view">
      <div className="view-head">
        <BoardChooser />
        <SideChooser />
        {proof?.depthWindow && (
          <ToggleButton className="head-toggle" isSelected={plot} onChange={setPlot}>
            Depth window
          </ToggleButton>
        )}
        <p className="view-words">
          {side === "copper"
            ? "As on the mill: what the road sees on the right is on the left here."
            : "The copper side mirrored left to right, its grooves seen through the base."}
        </p>
      </div>
      <div className="cut-body">
        <Stage
          label={`What the cutter leaves of ${board.name}, ${side} side. Plus and minus zoom, zero shows the whole board, Shift with arrows moves, comma and full stop pick nets, Shift M measures.`}
          content={frame.box}
          contentKey={`${board.name} cut ${side}`}
          focus={
            point && !look?.thing
              ? { ...point, key: `${board.name} cut ${side} ${point.x} ${point.y}` }
              : undefined
          }
          picked={point}
          whole="Whole board"
          pad={dimensionPad}
          snaps={snaps}
          aside={<p className="read-out">{under || `${grooveWords(widths, depth)} ${cutFacts(copper)}.`}</p>}
        >
          {(view) => (
            // biome-ignore lint/a11y/useKeyWithClickEvents: comma and full stop pick nets by key
            <svg
              className="board-picture"
              width={view.width}
              height={view.height}
              role="img"
              aria-label={`Board ${board.name} after cutting, ${side} side: ${cutFacts(copper)}`}
              data-board={board.name}
              onPointerOver={(e) => setUnder((e.target as Element).getAttribute("data-says") ?? "")}
              onPointerLeave={() => setUnder("")}
              onClick={(e) => pickOnBoard(e, board)}
            >
              <g transform={`translate(${view.left} ${view.top}) scale(${view.scale})`}>
                <CutDrawing
                  board={board}
                  copper={copper}
                  frame={frame}
                  base={design.lamp.copperClad.base}
                  top={widths.top}
                  bottom={widths.bottom}
                  nets={here?.nets ?? none}
                  parts={here?.parts ?? none}
                />
                {point && !look?.thing && (
                  <circle
                    className="place-ring"
                    cx={point.x}
                    cy={point.y}
                    r={Math.max(1.2, 14 / view.scale)}
                  />
                )}
              </g>
              <Dimensions box={frame.box} view={view} />
            </svg>
          )}
        </Stage>
        {plot && proof?.depthWindow && (
          <DepthPanel
            board={board.name}
            window={proof.depthWindow}
            depth={depth}
            setDepth={setAsked}
            words={grooveWords(widths, depth)}
          />
        )}
      </div>
      <Programs programs={programs} />
    </div>
  )
}

const none: readonly string[] = []
const wide = globalThis.matchMedia?.("(min-width: 1500px)").matches ?? true

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

const CutDrawing = memo(function CutDrawing(props: DrawingProps) {
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
