// Layers that every drawing of a board shares: holes, slots, wire links.

import { show } from "../../../0-ground/text/show.ts"
import type { Board } from "../../../5-board/artefact.ts"
import { type BoardFrame, pathOf } from "./board-frame.ts"

interface Props {
  readonly board: Board
  readonly frame: BoardFrame
}

export function Holes({ board, frame, only }: Props & { readonly only?: "screws" }) {
  return (
    <g className="holes">
      {!only &&
        board.lands.map((l) => {
          const q = frame.at(l)
          return (
            <circle
              key={`${l.ref} ${l.pin}`}
              cx={q.x}
              cy={q.y}
              r={l.hole / 2}
              data-hole={`${l.ref}.${l.pin}`}
            />
          )
        })}
      {board.screws.map((s) => {
        const q = frame.at(s)
        return <circle key={`${s.x} ${s.y}`} cx={q.x} cy={q.y} r={s.diameter / 2} data-screw="" />
      })}
      {(board.slots ?? []).map((s) => (
        <path
          key={`${s.from.x} ${s.from.y}`}
          className="slot"
          d={pathOf([s.from, s.to], frame, false)}
          strokeWidth={s.width}
        />
      ))}
    </g>
  )
}

export function Links({ board, frame, marked }: Props & { readonly marked: readonly string[] }) {
  return (
    <g className="links">
      {board.links.map((l) => (
        <path
          key={l.ref}
          className={marked.includes(l.net) ? "marked" : undefined}
          d={pathOf([l.from, l.to], frame, false)}
          data-link={l.ref}
          data-says={`wire link ${l.ref}, net ${l.net}, ${show(l.length, "mm")} long, on the component side`}
        />
      ))}
    </g>
  )
}
