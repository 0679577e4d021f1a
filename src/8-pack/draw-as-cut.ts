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
    wrapped(`${i + 1}  ${f.title}`, Math.floor(width / (letter * letterWidth))).map((text, k) => ({
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
    ...faults.flatMap((f, i) => ringMarks(f, i + 1)),
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

function ringMarks(f: Finding, number: number): Mark[] {
  const at: Point = { x: f.where.x!, y: f.where.y! }
  const red = f.severity === "red"
  return [
    { kind: "disc", role: red ? "fault" : "caution", ...at, diameter: ringSize },
    {
      kind: "text",
      role: red ? "warning" : "label",
      x: at.x + ringSize * 0.72,
      y: at.y + ringSize * 0.72,
      text: String(number),
      size: 2.4,
    },
  ]
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
