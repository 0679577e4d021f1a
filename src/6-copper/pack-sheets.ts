// Boards on as few sheets as it takes, by their true outlines, each turned by quarter turns where that helps.
// Where a board may lie beside one that lies already is a Minkowski sum: the places at which the two would overlap.
// What the sums leave of the sheet is free; of its corners a board takes the one that keeps the used end of the
// sheet shortest. Tried in several orders, bounded and seeded: same outlines, same places.

import { differenceD, FillRule, unionD } from "clipper2-ts"
import type { Point } from "../0-ground/geometry/point.ts"
import { type Box, boundingBox, signedArea } from "../0-ground/geometry/polygon.ts"
import { type QuarterTurn, turned } from "../0-ground/geometry/quarter-turn.ts"
import { pointToSegment } from "../0-ground/geometry/segment.ts"
import { random } from "../0-ground/numbers/random.ts"
import type { Work } from "../0-ground/progress.ts"
import type { Mm } from "../0-ground/units/brand.ts"
import type { BoardPlace } from "./artefact.ts"
import { convexParts, convexSum } from "./convex-parts.ts"
import { growOutline } from "./grow-outline.ts"

export interface PackAsk {
  readonly pieces: readonly { readonly name: string; readonly outline: readonly Point[] }[]
  readonly sheet: { readonly w: Mm; readonly h: Mm }
  /** Kept free along the sheet's edges. */
  readonly edge: Mm
  /** Width the router takes away round a board. */
  readonly kerf: Mm
  /** Left standing between two kerfs. */
  readonly gap: Mm
  readonly seed: number
}

export interface Packed {
  /** One list a sheet; none is empty. */
  readonly sheets: readonly (readonly BoardPlace[])[]
  /** Boards that fit on no sheet of this size, alone and turned either way. */
  readonly left: readonly string[]
}

type Ring = { readonly x: number; readonly y: number }[]
type Rings = Ring[]

interface Piece {
  readonly name: string
  readonly area: number
  /** By quarter turns: what the board and half the gap take, and the box that its kerf takes. */
  readonly shapes: readonly { readonly parts: readonly Ring[]; readonly box: Box }[]
}

interface Laid {
  readonly piece: number
  readonly turn: number
  readonly x: number
  readonly y: number
}

const turns: readonly QuarterTurn[] = [0, 90, 180, 270]
/**
 * Outlines are taken larger by `spare` and then drawn with fewer corners, at most `coarse` inside that, mm. What is
 * left of `spare` holds the rounding of the sums, which is to 0.01 mm.
 */
const spare = 0.2
const coarse = 0.17
/** Orders tried; each places every board once. */
const mostTrials = 24
/** Places looked at over all orders. */
const mostPlacings = 120

/** `pieces` of an outline without area are left. */
export function* packSheets(ask: PackAsk): Work<Packed> {
  const { w, h } = ask.sheet
  const pieces = ask.pieces.map((p) => pieceOf(p, ask))
  const roomFor = (p: Piece) => turns.flatMap((_, t) => (rangeOf(p, t, ask) ? [t] : []))
  const fits = pieces.map(roomFor)
  const open = pieces.map((_, i) => i).filter((i) => fits[i]!.length > 0)
  const left = ask.pieces.filter((_, i) => fits[i]!.length === 0).map((p) => p.name)
  if (open.length === 0) return { sheets: [], left }
  const bySize = [...open].sort((a, b) => pieces[b]!.area - pieces[a]!.area || a - b)
  const { next } = random(ask.seed)
  const sums = new Map<string, Rings>()
  const alongX = w >= h
  const trials =
    open.length === 1 ? 1 : Math.max(6, Math.min(mostTrials, Math.floor(mostPlacings / open.length)))
  let best: { sheets: Laid[][]; score: readonly number[] } | undefined
  for (let trial = 0; trial < trials; trial++) {
    const order = [...bySize]
    const held = new Map<number, readonly number[]>()
    // The first try is the plain one: largest first, every turn allowed.
    if (trial > 0) {
      for (let swap = 0; swap < 1 + (trial % 3); swap++) {
        const [a, b] = [Math.floor(next() * order.length), Math.floor(next() * order.length)]
        ;[order[a], order[b]] = [order[b]!, order[a]!]
      }
      for (const i of order) {
        if (next() < 0.5) continue
        const only = fits[i]![Math.floor(next() * fits[i]!.length)]!
        held.set(i, [only])
      }
    }
    const sheets: Laid[][] = []
    for (const i of order) {
      const allowed = held.get(i) ?? fits[i]!
      const at = sheets.findIndex((laid) => {
        const place = bestPlace(pieces, i, allowed, laid, ask, alongX, sums)
        if (place) laid.push(place)
        return place !== undefined
      })
      if (at >= 0) continue
      sheets.push([bestPlace(pieces, i, allowed, [], ask, alongX, sums)!])
    }
    const ends = sheets.map((laid) => Math.max(...laid.map((l) => reachOf(pieces, l, alongX))))
    const score = [sheets.length, Math.min(...ends), ends.reduce((a, b) => a + b, 0)]
    if (!best || lower(score, best.score)) best = { sheets, score }
    yield { stage: "sheets", done: (trial + 1) / trials }
  }
  return {
    left,
    sheets: best!.sheets.map((laid) =>
      laid.map(({ piece, turn, x, y }) => ({ board: pieces[piece]!.name, turn: turns[turn]!, x, y })),
    ),
  }
}

function pieceOf({ name, outline }: PackAsk["pieces"][number], { kerf, gap }: PackAsk): Piece {
  const [grown] = growOutline(outline, kerf + gap / 2 + spare)
  const parts = grown ? convexParts(fewerCorners(grown, coarse)) : []
  return {
    name,
    area: Math.abs(signedArea(outline)),
    shapes: turns.map((turn) => {
      const box = boundingBox(outline.map((p) => turned(p, turn)))
      return {
        parts: parts.map((part) => part.map((p) => turned(p, turn))),
        box: {
          minX: box.minX - kerf,
          minY: box.minY - kerf,
          maxX: box.maxX + kerf,
          maxY: box.maxY + kerf,
        },
      }
    }),
  }
}

/** From corner to corner as far as every corner left out stays within `most` of the way; the first is kept. */
function fewerCorners(ring: readonly Point[], most: Mm): Point[] {
  const n = ring.length
  const kept = [0]
  for (let from = 0; from < n; ) {
    let to = from + 1
    const reaches = (end: number) => {
      for (let k = from + 1; k < end; k++)
        if (pointToSegment(ring[k]!, ring[from]!, ring[end % n]!) > most) return false
      return true
    }
    while (to < n && reaches(to + 1)) to++
    if (to < n) kept.push(to)
    from = to
  }
  return kept.map((k) => ring[k]!)
}

/** How far a board may be moved within the clamps, in whole micrometres; undefined where it has no room. */
function rangeOf(piece: Piece, turn: number, { sheet, edge }: PackAsk): Box | undefined {
  const { parts, box } = piece.shapes[turn]!
  if (parts.length === 0) return undefined
  const up = (v: number) => Math.ceil(v * 1000 - 1e-6) / 1000
  const down = (v: number) => Math.floor(v * 1000 + 1e-6) / 1000
  const range = {
    minX: up(edge - box.minX),
    minY: up(edge - box.minY),
    maxX: down(sheet.w - edge - box.maxX),
    maxY: down(sheet.h - edge - box.maxY),
  }
  return range.maxX >= range.minX && range.maxY >= range.minY ? range : undefined
}

function bestPlace(
  pieces: readonly Piece[],
  piece: number,
  allowed: readonly number[],
  laid: readonly Laid[],
  ask: PackAsk,
  alongX: boolean,
  sums: Map<string, Rings>,
): Laid | undefined {
  let best: Laid | undefined
  let least: readonly number[] = []
  for (const turn of allowed) {
    const range = rangeOf(pieces[piece]!, turn, ask)!
    for (const p of freeCorners(pieces, piece, turn, range, laid, sums)) {
      const place = { piece, turn, x: p.x, y: p.y }
      const { minX, minY } = pieces[piece]!.shapes[turn]!.box
      const cost = [
        reachOf(pieces, place, alongX),
        reachOf(pieces, place, !alongX),
        alongX ? p.x + minX : p.y + minY,
      ]
      if (best && !lower(cost, least)) continue
      best = place
      least = cost
    }
  }
  return best
}

/** Corners of what is left to a board's origin, to the micrometre. */
function freeCorners(
  pieces: readonly Piece[],
  piece: number,
  turn: number,
  range: Box,
  laid: readonly Laid[],
  sums: Map<string, Rings>,
): Point[] {
  // A board that just fits leaves a line, which has no area: taken wider by a micrometre, and back again below.
  const [x0, y0, x1, y1] = [range.minX - 1e-3, range.minY - 1e-3, range.maxX + 1e-3, range.maxY + 1e-3]
  const box = [
    { x: x0, y: y0 },
    { x: x1, y: y0 },
    { x: x1, y: y1 },
    { x: x0, y: y1 },
  ]
  const taken = laid.flatMap((l) =>
    overlapsOf(pieces, l.piece, piece, (turn - l.turn + 4) % 4, sums).map((ring) =>
      ring.map((p) => {
        const q = turned(p, turns[l.turn]!)
        return { x: q.x + l.x, y: q.y + l.y }
      }),
    ),
  )
  const free = taken.length === 0 ? [box] : differenceD([box], taken, FillRule.NonZero, 4)
  const held = (v: number, low: number, high: number) =>
    Math.round(Math.max(low, Math.min(high, v)) * 1000) / 1000
  return free.flatMap((ring) =>
    ring.map((p) => ({ x: held(p.x, range.minX, range.maxX), y: held(p.y, range.minY, range.maxY) })),
  )
}

/** Where the origin of board `b`, turned by `turn`, must not lie for it to keep off board `a` at its own origin: a ⊕ −b. */
function overlapsOf(
  pieces: readonly Piece[],
  a: number,
  b: number,
  turn: number,
  sums: Map<string, Rings>,
): Rings {
  const key = `${a} ${b} ${turn}`
  const known = sums.get(key)
  if (known) return known
  const moved = pieces[b]!.shapes[turn]!.parts.map((part) => part.map(({ x, y }) => ({ x: -x, y: -y })))
  const parts = pieces[a]!.shapes[0]!.parts.flatMap((fixed) => moved.map((m) => convexSum(fixed, m)))
  const made = unionD(parts, FillRule.NonZero) as Rings
  sums.set(key, made)
  return made
}

/** How far the kerf of a board that lies there reaches along the sheet. */
function reachOf(pieces: readonly Piece[], { piece, turn, x, y }: Laid, alongX: boolean): number {
  const { box } = pieces[piece]!.shapes[turn]!
  return alongX ? x + box.maxX : y + box.maxY
}

const lower = (a: readonly number[], b: readonly number[]): boolean => {
  for (let k = 0; k < a.length; k++) {
    if (Math.abs(a[k]! - b[k]!) < 1e-6) continue
    return a[k]! < b[k]!
  }
  return false
}
