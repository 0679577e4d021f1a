// The names on the parts of a board as one picture of its own: letters in the drawing itself would all be set anew at
// every distance, hundreds of them.

import barlow from "@fontsource/barlow/files/barlow-latin-400-normal.woff2?inline"
import { boundingBox } from "../../../0-ground/geometry/polygon.ts"
import type { Board, PlacedPart } from "../../../5-board/artefact.ts"
import { shortRef } from "../words.ts"
import type { BoardFrame } from "./board-frame.ts"

/** Address of the picture; its coordinates are the frame's, in millimetres. */
export function partNames(
  board: Board,
  frame: BoardFrame,
  colours: ReadonlyMap<string, string> | undefined,
): string {
  const { minX, minY, maxX, maxY } = frame.box
  const ink = frame.side === "copper" ? onCopper : onParts
  const texts = board.parts.map((part) => nameOf(part, frame, ink[colours?.get(part.ref) ?? part.kind]))
  const box = `${minX} ${minY} ${maxX - minX} ${maxY - minY}`
  return `data:image/svg+xml,${encodeURIComponent(
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${box}">${face}<g ${letters} ${ink.all}>${texts.join("")}</g></svg>`,
  )}`
}

/** A picture sees no typeface of the page; it brings its own. */
const face = `<style>@font-face{font-family:Barlow;src:url(${barlow})}</style>`
const letters =
  'font-family="Barlow, Segoe UI, system-ui, sans-serif" text-anchor="middle" text-rendering="geometricPrecision"'

/** `all`: attributes of every name; else the colour of some, by the LED's colour or the kind of part. */
type Inks = Readonly<Record<string, string>> & { readonly all: string }

const onCopper: Inks = {
  all: 'fill="#f6f3ea" paint-order="stroke" stroke="#1d1b14" stroke-opacity="0.7" stroke-width="0.3"',
}

const onParts: Inks = {
  all: 'fill="#f1eee6"',
  resistor: "#2a2418",
  capacitor: "#20170a",
  amber: "#1f1503",
  white: "#1b2022",
}

/** In the body's middle, along its longer side, as large as fits. */
function nameOf(part: PlacedPart, frame: BoardFrame, ink: string | undefined): string {
  if (part.body.length === 0) return ""
  const box = boundingBox(part.body.map((p) => frame.at(p)))
  const w = box.maxX - box.minX
  const h = box.maxY - box.minY
  const name = shortRef(part.ref)
  const upright = h > w * 1.4
  const [long, wide] = upright ? [h, w] : [w, h]
  const size = Math.min(part.kind === "led" ? 1.5 : 2.1, wide * 0.62, (long * 0.9) / (name.length * 0.56))
  if (size < 0.5) return ""
  const x = (box.minX + box.maxX) / 2
  // An LED's lands fill its middle; its number stands below them.
  const y = part.kind === "led" ? box.maxY - h * 0.17 : (box.minY + box.maxY) / 2
  const turn = upright ? ` transform="rotate(-90 ${x} ${y})"` : ""
  const fill = ink === undefined ? "" : ` fill="${ink}"`
  return `<text x="${x}" y="${y}" dy="${size * 0.35}" font-size="${size}"${turn}${fill}>${escaped(name)}</text>`
}

const escaped = (words: string) =>
  words.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;")
