// A board as its cutter programs will leave it: bare copper on laminate, bores, and every fault that was found ringed
// and numbered, with what it is below.

import type { Finding } from "../0-ground/finding.ts"
import type { Point } from "../0-ground/geometry/point.ts"
import { boundingBox } from "../0-ground/geometry/polygon.ts"
import type { Board } from "../5-board/artefact.ts"
import type { SeenBoard } from "../7-proof/see-board.ts"
import type { Mark, Scene } from "./scene.ts"

/** More than these would hide the board, mm and a count. */
const mostRinged = 30
const ringSize = 3.2
const gap = 5
const letter = 2.2
const line = 3.2
/** Width of a letter as a share of its size, roughly. */
const letterWidth = 0.52

/** Red findings with a place on the board are ringed, then cautions. `title` replaces the usual one. */
export function drawAsCut(
  board: Board,
  seen: SeenBoard,
  findings: readonly Finding[],
  title = `Board ${board.name} as it will be cut, 1:1`,
): Scene {
  const placed = findings.filter(
    (f) =>
      f.where.board === board.name &&
      f.where.frame === "board" &&
      f.where.x !== undefined &&
      f.severity !== "green",
  )
  const faults = [
    ...placed.filter((f) => f.severity === "red"),
    ...placed.filter((f) => f.severity === "amber"),
  ].slice(0, mostRinged)
  const box = boundingBox(board.outline)
  const width = Math.max(box.maxX - box.minX, 80)
  const loose = seen.pieces.filter((p) => p.nets.length === 0).length
  const state =
    faults.length === 0
      ? "No fault was found that has a place here."
      : `${faults.length} place${faults.length > 1 ? "s" : ""} ringed: red must not be cut, a broken ring is a caution.`
  const heads = [state, ...(loose > 0 ? ["Pale copper belongs to no net."] : [])]
  const told = faults.flatMap((f, i) =>
    wrapped(`${i + 1} ${f.title}`, Math.floor(width / (letter * letterWidth))).map((text, k) => ({
      text: k === 0 ? text : `    ${text}`,
      red: f.severity === "red",
    })),
  )
  const notes = [...heads.map((text) => ({ text, red: false })), ...told]
  const marks: Mark[] = [
    { kind: "ring", role: "laminate", points: board.outline, id: "edge" },
    ...seen.pieces.flatMap((p): Mark[] => {
      const [first, ...others] = p.rings
      if (!first) return []
      const role = p.nets.length === 0 ? "loose-copper" : "bare-copper"
      return [{ kind: "ring", role, points: first, ...(others.length > 0 ? { others } : {}) }]
    }),
    ...seen.milled.map((m): Mark => ({ kind: "line", role: "bore", points: m.points, width: m.width })),
    ...seen.holes.map((h): Mark => ({ kind: "disc", role: "bore", x: h.x, y: h.y, diameter: h.diameter })),
    ...ringMarks(faults),
    ...notes.map(
      ({ text, red }, k): Mark => ({
        kind: "text",
        role: red ? "warning" : "label",
        x: box.minX,
        y: box.minY - gap - k * line,
        text,
        size: letter,
        anchor: "start",
      }),
    ),
  ]
  return {
    title,
    view: "Seen from the COPPER side, cut in the computer from the programs' text.",
    mirrored: false,
    box: {
      minX: box.minX - gap,
      minY: box.minY - gap - notes.length * line,
      maxX: Math.max(box.maxX, box.minX + (notes.length > 0 ? width : 0)) + gap,
      maxY: box.maxY + gap,
    },
    marks,
  }
}

/** Rings, each with its number on the side that is furthest from other rings and numbers. */
function ringMarks(faults: readonly Finding[]): Mark[] {
  const rings = faults.map((f): Point => ({ x: f.where.x!, y: f.where.y! }))
  const numbers: Point[] = []
  return faults.flatMap((f, i): Mark[] => {
    const at = rings[i]!
    const red = f.severity === "red"
    const others = [...rings.filter((_, k) => k !== i), ...numbers]
    let best = at
    let room = -1
    for (let k = 0; k < 8; k++) {
      const angle = ((2 * k + 1) * Math.PI) / 8
      const p = { x: at.x + ringSize * Math.cos(angle), y: at.y + ringSize * Math.sin(angle) }
      const free = Math.min(6, ...others.map((o) => Math.hypot(o.x - p.x, o.y - p.y)))
      if (free > room + 1e-6) {
        room = free
        best = p
      }
    }
    numbers.push(best)
    return [
      { kind: "disc", role: red ? "fault" : "caution", ...at, diameter: ringSize },
      { kind: "text", role: red ? "warning" : "label", ...best, text: String(i + 1), size: 2.4 },
    ]
  })
}

function wrapped(text: string, most: number): string[] {
  const lines: string[] = []
  let now = ""
  for (const word of text.split(" ")) {
    if (now !== "" && now.length + 1 + word.length > most) {
      lines.push(now)
      now = word
    } else now = now === "" ? word : `${now} ${word}`
  }
  return [...lines, now]
}
