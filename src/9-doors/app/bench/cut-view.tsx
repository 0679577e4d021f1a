// What the cutter leaves: copper, grooves at their true width, holes, and the programs that make them.

import { useEffect, useMemo, useState } from "react"
import { ToggleButton } from "react-aria-components"
import type { BoardCopper } from "../../../6-copper/artefact.ts"
import { usePage } from "../store.ts"
import { BoardChooser, SideChooser } from "./board-chooser.tsx"
import { boardFrame } from "./board-frame.ts"
import { boardSnaps, pickOnBoard } from "./board-picks.ts"
import { onThis } from "./board-view.tsx"
import { CutDrawing } from "./cut-drawing.tsx"
import { DepthPanel } from "./depth-panel.tsx"
import { Dimensions, dimensionPad } from "./dimensions.tsx"
import { grooveAt, grooveWords } from "./groove-at.ts"
import { Programs } from "./programs.tsx"
import { SheetChooser } from "./sheet-chooser.tsx"
import { SheetView } from "./sheet-view.tsx"
import { Stage } from "./stage.tsx"

/** A board by itself, or the sheet that several are milled from. */
export function CutView() {
  const sheet = usePage((s) => s.design?.plan.sheets?.find((p) => p.name === s.sheet))
  return sheet ? <SheetView sheet={sheet} /> : <BoardCut />
}

function BoardCut() {
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
        <SheetChooser />
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

function cutFacts(c: BoardCopper): string {
  return `${c.grooves.length} grooves around ${c.islands.length} pieces of copper`
}
