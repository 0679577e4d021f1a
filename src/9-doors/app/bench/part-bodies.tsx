// Part bodies: solid from the component side, an outline through the board from the copper side.

import { useMemo } from "react"
import { boundingBox } from "../../../0-ground/geometry/polygon.ts"
import type { Board, PlacedPart } from "../../../5-board/artefact.ts"
import { ledColours } from "../light.ts"
import { usePage } from "../store.ts"
import { type BoardFrame, pathOf } from "./board-frame.ts"
import { partNames } from "./part-names.ts"

interface Props {
  readonly board: Board
  readonly frame: BoardFrame
  readonly marked: readonly string[]
}

export function PartBodies({ board, frame, marked }: Props) {
  const lamp = usePage((s) => s.design?.lamp)
  const circuit = usePage((s) => s.design?.circuit)
  const colours = useMemo(() => lamp && ledColours(lamp), [lamp])
  const names = useMemo(() => partNames(board, frame, colours), [board, frame, colours])
  const purposes = new Map(circuit?.parts.map((p) => [p.ref, p.purpose]))
  return (
    <g className="bodies">
      <Domes />
      {board.parts.map((part) => {
        const colour = colours?.get(part.ref)
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
              data-says={[part.ref, part.value, purposes.get(part.ref) ?? ""]
                .filter((t) => t !== "")
                .join(", ")}
            />
            <Orientation part={part} board={board} frame={frame} />
          </g>
        )
      })}
      <image
        className="names"
        href={names}
        x={frame.box.minX}
        y={frame.box.minY}
        width={frame.box.maxX - frame.box.minX}
        height={frame.box.maxY - frame.box.minY}
      />
    </g>
  )
}

/** Which way round it goes: a band at a diode's cathode, a flat at an LED's, a plus, a dot at pin 1. */
function Orientation({
  part,
  board,
  frame,
}: {
  readonly part: PlacedPart
  readonly board: Board
  readonly frame: BoardFrame
}) {
  const land = (pin: string) => board.lands.find((l) => l.ref === part.ref && l.pin === pin)
  if (part.body.length === 0) return null
  const box = boundingBox(part.body.map((p) => frame.at(p)))
  const middle = { x: (box.minX + box.maxX) / 2, y: (box.minY + box.maxY) / 2 }
  const cathode = land("K")
  if (cathode) {
    const k = frame.at(cathode)
    const along = Math.atan2(k.y - middle.y, k.x - middle.x)
    const flat = part.kind === "led"
    const [c, s] = [Math.cos(along), Math.sin(along)]
    const from = part.body.map((p) => frame.at(p)).map((p) => ({ x: p.x - middle.x, y: p.y - middle.y }))
    const half = Math.max(...from.map((p) => p.x * c + p.y * s))
    const wide = Math.max(...from.map((p) => p.y * c - p.x * s))
    const at = half * (flat ? 0.86 : 0.62)
    const reach = flat ? wide * 0.5 : wide
    const end = (side: number) =>
      `${middle.x + at * c - side * reach * s} ${middle.y + at * s + side * reach * c}`
    return <path className="way-round" d={`M${end(-1)}L${end(1)}`} strokeWidth={flat ? 0.3 : half * 0.2} />
  }
  const plus = land("+")
  if (plus) {
    const p = frame.at(plus)
    const out = { x: middle.x + (p.x - middle.x) * 1.75, y: middle.y + (p.y - middle.y) * 1.75 }
    const d = 0.55
    return (
      <path
        className="way-round"
        strokeWidth={0.25}
        d={`M${out.x - d} ${out.y}H${out.x + d}M${out.x} ${out.y - d}V${out.y + d}`}
      />
    )
  }
  const first = Object.keys(part.pins).length > 2 ? land("1") : undefined
  if (!first) return null
  const p = frame.at(first)
  const inside = {
    x: Math.max(box.minX + 0.9, Math.min(box.maxX - 0.9, p.x)),
    y: Math.max(box.minY + 0.9, Math.min(box.maxY - 0.9, p.y)),
  }
  return <circle className="pin-one" cx={inside.x} cy={inside.y} r={0.45} />
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
