// Engraved text put where it cuts no copper that was drawn: at the place asked for, else the nearest that is free.

import { type Point, turn } from "../0-ground/geometry/point.ts"
import { contains } from "../0-ground/geometry/polygon.ts"
import { pointToSegment, spanToSpan } from "../0-ground/geometry/segment.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { BoardText } from "../5-board/artefact.ts"
import type { ClearanceIndex } from "./clearance-index.ts"
import { toMicrometre } from "./keep-width.ts"
import { letterStrokes } from "./stroke-letters.ts"

export interface PlacedText {
  readonly text: BoardText
  /** Empty where no place was found. */
  readonly strokes: readonly (readonly Point[])[]
  /** How far it stands from where it was asked for, mm. */
  readonly moved: Mm
}

/** As far as a free place is looked for, mm, and how finely. */
const farthest = 25
const step = 0.5
/** Board left between a stroke and the edge, mm. */
const rim = 0.4

/** Between a letter and a groove that parts nets, middle to middle, mm: closer they cannot be read. */
const fromGroove = 0.5

/** `keep`: least distance of a stroke's middle to copper as drawn; `grooves` and `areas`: what the letters also keep off. */
export function placeText(
  text: BoardText,
  outline: readonly Point[],
  keep: Mm,
  index: ClearanceIndex,
  grooves: readonly (readonly Point[])[],
  areas: readonly (readonly Point[])[],
): PlacedText {
  const lines = [...grooves, ...areas.map((ring) => [...ring, ring[0]!])]
  const drawn = letterStrokes(text.says, text.height).map((s) => s.map((p) => turn(p, text.turn)))
  for (const { dx, dy } of ways()) {
    const strokes = drawn.map((s) =>
      s.map((p) => ({ x: toMicrometre(p.x + text.x + dx), y: toMicrometre(p.y + text.y + dy) })),
    )
    const readable = (s: readonly Point[]) =>
      lines.every((l) => clearOf(s, l)) && !areas.some((ring) => contains(ring, s[0]!))
    if (strokes.every((s) => free(s, outline, keep, index) && readable(s)))
      return { text, strokes, moved: Math.hypot(dx, dy) }
  }
  return { text, strokes: [], moved: 0 }
}

function free(stroke: readonly Point[], outline: readonly Point[], keep: Mm, index: ClearanceIndex): boolean {
  for (let k = 1; k < stroke.length; k++) {
    const a = stroke[k - 1]!
    const b = stroke[k]!
    if (index.clearance(a.x, a.y, b.x, b.y, keep) < keep) return false
  }
  return stroke.every(
    (p) =>
      contains(outline, p) &&
      outline.every((a, i) => pointToSegment(p, a, outline[(i + 1) % outline.length]!) >= rim),
  )
}

function clearOf(stroke: readonly Point[], groove: readonly Point[]): boolean {
  for (let i = 1; i < groove.length; i++) {
    const c = groove[i - 1]!
    const d = groove[i]!
    for (let k = 1; k < stroke.length; k++) {
      const a = stroke[k - 1]!
      const b = stroke[k]!
      if (Math.min(c.x, d.x) - Math.max(a.x, b.x) > fromGroove) continue
      if (Math.min(a.x, b.x) - Math.max(c.x, d.x) > fromGroove) continue
      if (spanToSpan(a.x, a.y, b.x, b.y, c.x, c.y, d.x, d.y) < fromGroove) return false
    }
  }
  return true
}

let nearestFirst: { readonly dx: number; readonly dy: number }[] | undefined

/** Shifts on a grid, the nearest first; ties by row, then column. */
function ways() {
  if (nearestFirst) return nearestFirst
  const n = Math.round(farthest / step)
  const all: { dx: number; dy: number }[] = []
  for (let j = -n; j <= n; j++)
    for (let i = -n; i <= n; i++) if (i * i + j * j <= n * n) all.push({ dx: i * step, dy: j * step })
  all.sort((a, b) => a.dx ** 2 + a.dy ** 2 - b.dx ** 2 - b.dy ** 2 || a.dy - b.dy || a.dx - b.dx)
  nearestFirst = all
  return all
}
