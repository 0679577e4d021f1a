// A sheet that several boards are milled from, as it is clamped: where each lies with its grooves and holes, what the
// router takes round it, the strip that is left to the clamps, and the programs that cut them all.

import { useMemo, useState } from "react"
import { showNumber } from "../../../0-ground/text/show.ts"
import type { SheetPlan } from "../../../6-copper/artefact.ts"
import { page, usePage } from "../store.ts"
import { plain } from "../words.ts"
import { pathOf } from "./board-frame.ts"
import { CutDrawing } from "./cut-drawing.tsx"
import { Dimensions, dimensionPad } from "./dimensions.tsx"
import { Programs } from "./programs.tsx"
import { SheetBoards } from "./sheet-boards.tsx"
import { SheetChooser } from "./sheet-chooser.tsx"
import { sheetFrame } from "./sheet-frame.ts"
import { Stage } from "./stage.tsx"

const none: readonly string[] = []

export function SheetView({ sheet }: { readonly sheet: SheetPlan }) {
  const design = usePage((s) => s.design)
  const [under, setUnder] = useState("")
  const pieces = useMemo(
    () =>
      sheet.places.flatMap((place, order) => {
        const board = design?.boards.boards.find((b) => b.name === place.board)
        const copper = design?.copper.boards.find((c) => c.board === place.board)
        return board && copper
          ? [{ order, place, board, copper, frame: sheetFrame(board, place, sheet) }]
          : []
      }),
    [design, sheet],
  )
  const snaps = useMemo(
    () => ({
      points: pieces.flatMap(({ board, frame }) =>
        board.screws.map((s) => ({ ...frame.at(s), says: `screw of ${plain(board.name)}` })),
      ),
      edges: [
        ...pieces.map(({ board, frame }) => ({
          line: board.outline.map(frame.at),
          closed: true,
          says: `edge of ${plain(board.name)}`,
        })),
        { line: corners(sheet.size, 0), closed: true, says: "edge of the sheet" },
      ],
    }),
    [pieces, sheet],
  )
  if (!design) return null
  const { w, h } = sheet.size
  const { router } = design.lamp.cutter
  const clamps = design.lamp.cutting?.shared?.clampingEdge ?? 0
  const size = `${showNumber(w)} × ${showNumber(h)} mm`
  const lie = `${pieces.map((p) => plain(p.board.name)).join(", ")} on ${size}`
  return (
    <div className="view">
      <div className="view-head">
        <SheetChooser />
        <p className="view-words">
          Copper up, as it is clamped: the programs count X to the right and Y up from the lower left corner.
        </p>
      </div>
      <div className="cut-body">
        <Stage
          label={`${plain(sheet.name)} as it is cut: ${lie}. Plus and minus zoom, zero shows the whole sheet, Shift with arrows moves, Shift M measures.`}
          content={{ minX: 0, minY: 0, maxX: w, maxY: h }}
          contentKey={`sheet ${sheet.name}`}
          whole="Whole sheet"
          pad={dimensionPad}
          snaps={snaps}
          aside={
            <p className="read-out">{under || `${lie}, ${showNumber(clamps)} mm left to the clamps.`}</p>
          }
        >
          {(view) => (
            <svg
              className="board-picture sheet-picture"
              width={view.width}
              height={view.height}
              role="img"
              aria-label={`${plain(sheet.name)}, copper side: ${lie}, in the order in which they are cut out`}
              data-sheet={sheet.name}
              onPointerOver={(e) => setUnder((e.target as Element).getAttribute("data-says") ?? "")}
              onPointerLeave={() => setUnder("")}
            >
              <g transform={`translate(${view.left} ${view.top}) scale(${view.scale})`}>
                <rect className="sheet-copper" width={w} height={h} />
                {clamps > 0 && (
                  <path
                    className="sheet-clamps"
                    fillRule="evenodd"
                    data-says={`${showNumber(clamps)} mm for the clamps: no cutter comes here`}
                    d={`${ring(corners(sheet.size, 0))}${ring(corners(sheet.size, clamps))}`}
                  />
                )}
                {pieces.map(({ board, copper, frame, place }) => (
                  <g key={board.name} data-piece={board.name} data-turn={place.turn}>
                    {/* Its inner half lies under the board. */}
                    <path
                      className="sheet-kerf"
                      strokeWidth={2 * router.diameter}
                      d={pathOf(board.outline, frame, true)}
                      data-says={`the router's cut round ${plain(board.name)}, ${showNumber(router.diameter)} mm wide`}
                    />
                    <CutDrawing
                      board={board}
                      copper={copper}
                      frame={frame}
                      base={design.lamp.copperClad.base}
                      top={copper.grooveWidth}
                      bottom={0}
                      nets={none}
                      parts={none}
                    />
                  </g>
                ))}
                <path className="sheet-zero" d={`M0 ${h - 8}V${h}H8`} />
              </g>
              {pieces.map(({ order, board, frame: { box } }) => (
                <text
                  key={board.name}
                  className="sheet-name"
                  x={view.left + ((box.minX + box.maxX) / 2) * view.scale}
                  y={view.top + ((box.minY + box.maxY) / 2) * view.scale}
                >
                  {order + 1} {plain(board.name)}
                </text>
              ))}
              <Dimensions box={{ minX: 0, minY: 0, maxX: w, maxY: h }} view={view} />
            </svg>
          )}
        </Stage>
        <SheetBoards sheet={sheet} show={(board) => page.setState({ board, sheet: undefined })} />
      </div>
      <Programs programs={sheet.programs} />
    </div>
  )
}

const corners = ({ w, h }: SheetPlan["size"], inside: number) => [
  { x: inside, y: inside },
  { x: w - inside, y: inside },
  { x: w - inside, y: h - inside },
  { x: inside, y: h - inside },
]

const ring = (points: readonly { readonly x: number; readonly y: number }[]) =>
  `M${points.map((p) => `${p.x} ${p.y}`).join("L")}Z`
