// Part bodies: solid from the component side, an outline through the board from the copper side.

import { boundingBox } from "../../../0-ground/geometry/polygon.ts"
import { show } from "../../../0-ground/text/show.ts"
import type { Board, PlacedPart } from "../../../5-board/artefact.ts"
import { lightColour } from "../light.ts"
import { usePage } from "../store.ts"
import { shortRef } from "../words.ts"
import { type BoardFrame, pathOf } from "./board-frame.ts"

interface Props {
  readonly board: Board
  readonly frame: BoardFrame
  readonly marked: readonly string[]
}

export function PartBodies({ board, frame, marked }: Props) {
  const lamp = usePage((s) => s.design?.lamp)
  const colours = new Map(
    lamp?.groups.flatMap((g) => g.leds.map((l) => [l.ref, lightColour(g.led)] as const)),
  )
  return (
    <g className="bodies">
      <Domes />
      {board.parts.map((part) => {
        const colour = colours.get(part.ref)
        return (
          <g
            key={part.ref}
            className={marked.includes(part.ref) ? "body marked" : "body"}
            data-part={part.ref}
            data-kind={part.kind}
            data-colour={colour}
          >
            <path
              d={pathOf(part.body, frame, true)}
              data-says={`${part.ref}, ${part.value}${part.height > 0 ? `, ${show(part.height, "mm")} high` : ""}`}
            />
            <PartName part={part} frame={frame} />
          </g>
        )
      })}
    </g>
  )
}

/** LED lenses from the component side: lighter towards the light. */
function Domes() {
  return (
    <defs>
      {Object.entries(domes).map(([colour, [light, dark]]) => (
        <radialGradient key={colour} id={`dome-${colour}`} cx="0.38" cy="0.32" r="0.7">
          <stop offset="0" stopColor={light} />
          <stop offset="1" stopColor={dark} />
        </radialGradient>
      ))}
    </defs>
  )
}

const domes = {
  red: ["#e0604f", "#7e1a12"],
  amber: ["#ffc760", "#9c6105"],
  white: ["#ffffff", "#a3acb2"],
} as const

/** The name in the body's middle, along its longer side, as large as fits. */
function PartName({ part, frame }: { readonly part: PlacedPart; readonly frame: BoardFrame }) {
  if (part.body.length === 0) return null
  const box = boundingBox(part.body.map((p) => frame.at(p)))
  const w = box.maxX - box.minX
  const h = box.maxY - box.minY
  const name = shortRef(part.ref)
  const upright = h > w * 1.4
  const [long, wide] = upright ? [h, w] : [w, h]
  const size = Math.min(part.kind === "led" ? 1.5 : 2.1, wide * 0.62, (long * 0.9) / (name.length * 0.56))
  if (size < 0.5) return null
  const x = (box.minX + box.maxX) / 2
  // An LED's lands fill its middle; its number stands below them.
  const y = part.kind === "led" ? box.maxY - h * 0.17 : (box.minY + box.maxY) / 2
  return (
    <text
      x={x}
      y={y}
      fontSize={size}
      dy={size * 0.35}
      textAnchor="middle"
      transform={upright ? `rotate(-90 ${x} ${y})` : undefined}
    >
      {name}
    </text>
  )
}
