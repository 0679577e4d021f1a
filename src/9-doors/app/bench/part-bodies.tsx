// Part bodies: solid from the component side, an outline through the board from the copper side.

import { boundingBox } from "../../../0-ground/geometry/polygon.ts"
import type { Board, PlacedPart } from "../../../5-board/artefact.ts"
import { ledColours } from "../light.ts"
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
  const circuit = usePage((s) => s.design?.circuit)
  const colours = lamp ? ledColours(lamp) : undefined
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
      <Names board={board} frame={frame} colours={colours} />
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

interface NamesProps {
  readonly board: Board
  readonly frame: BoardFrame
  readonly colours: ReadonlyMap<string, string> | undefined
}

/** All that stand upright are turned together: a turn of its own for each would make every redrawing of the page slow. */
function Names({ board, frame, colours }: NamesProps) {
  const names = board.parts.flatMap((part) => nameOf(part, frame) ?? [])
  const written = (turned: boolean) =>
    names
      .filter((n) => n.upright === turned)
      .map(({ part, x, y, size, words }) => (
        <text
          key={part.ref}
          data-kind={part.kind}
          data-colour={colours?.get(part.ref)}
          x={turned ? -y : x}
          y={turned ? x : y}
          fontSize={size}
          dy={size * 0.35}
          textAnchor="middle"
        >
          {words}
        </text>
      ))
  return (
    <g className="names">
      {written(false)}
      <g transform="rotate(-90)">{written(true)}</g>
    </g>
  )
}

/** The name in the body's middle, along its longer side, as large as fits. */
function nameOf(part: PlacedPart, frame: BoardFrame) {
  if (part.body.length === 0) return undefined
  const box = boundingBox(part.body.map((p) => frame.at(p)))
  const w = box.maxX - box.minX
  const h = box.maxY - box.minY
  const words = shortRef(part.ref)
  const upright = h > w * 1.4
  const [long, wide] = upright ? [h, w] : [w, h]
  const size = Math.min(part.kind === "led" ? 1.5 : 2.1, wide * 0.62, (long * 0.9) / (words.length * 0.56))
  if (size < 0.5) return undefined
  const x = (box.minX + box.maxX) / 2
  // An LED's lands fill its middle; its number stands below them.
  const y = part.kind === "led" ? box.maxY - h * 0.17 : (box.minY + box.maxY) / 2
  return { part, x, y, size, words, upright }
}
