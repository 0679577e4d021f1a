// A section through face, LEDs, board and cover along a row of LEDs, unrolled: s runs along the row, z down from the
// face's front into the lamp. Everything at its own size, millimetres.

import { boardToFace, type Point } from "../../../0-ground/geometry/point.ts"
import { leds as stock } from "../../../1-stock/leds.ts"
import type { Face, Lamp } from "../../../2-lamp/artefact.ts"
import type { Board } from "../../../5-board/artefact.ts"

export type Span = readonly [number, number]

export interface SectionLed {
  readonly ref: string
  readonly s: number
  readonly hole: number
  /** Where its leads pass the board, along s. */
  readonly leads: readonly number[]
}

export interface SectionBlock {
  readonly ref: string
  readonly from: number
  readonly to: number
  readonly height: number
}

export interface Section {
  readonly length: number
  readonly leds: readonly SectionLed[]
  /** Sheet metal that the section cuts; empty for a board with no face of its own. */
  readonly metal: readonly Span[]
  readonly board: readonly Span[]
  readonly blocks: readonly SectionBlock[]
  /** `beside`: how far it stands from the section, mm. */
  readonly screws: readonly { readonly s: number; readonly diameter: number; readonly beside: number }[]
  readonly thickness: number
  /** From the back of the face, or of what is above, to the component side. */
  readonly height: number
  readonly sheet: number
  readonly copper: number
  readonly cover: number | undefined
  readonly body: LedBody | undefined
}

export interface LedBody {
  readonly diameter: number
  readonly flange: number
  readonly flangeThickness: number
  /** Top of the dome above the flange's underside. */
  readonly tall: number
}

/** Undefined where the board has no place in the description. */
export function sectionOf(lamp: Lamp, board: Board, group: string | undefined): Section | undefined {
  const request = lamp.boards.find((b) => b.name === board.name)
  if (!request) return undefined
  const face = lamp.faces.find((f) => f.name === board.face)
  const own = lamp.groups.find((g) => g.name === group)
  const here = (own?.leds ?? []).filter((l) => board.parts.some((p) => p.ref === l.ref))
  const outline = board.outline.map((p) => boardToFace(p, board.pose))
  const row = here.length > 0 ? along(here.map((l) => ({ ...l.hole, ref: l.ref }))) : []
  const rings = face ? [face.outline, outline] : [outline]
  const path = extended(row.length > 0 ? row : acrossTallest(board), rings)
  const at = places(path)
  const total = at[at.length - 1] ?? 0
  const type = own && stock.find(own.led)
  const ledAt = (p: Point) => nearestOn(path, at, p).s
  return {
    length: total,
    leds: row.map((p) => {
      const s = ledAt(p)
      const way = direction(path, at, s)
      const lands = board.lands.filter((l) => l.ref === p.ref).map((l) => boardToFace(l, board.pose))
      return {
        ref: p.ref,
        s,
        hole: here.find((l) => l.ref === p.ref)!.hole.diameter,
        leads: lands.map((l) => s + (l.x - p.x) * way.x + (l.y - p.y) * way.y),
      }
    }),
    metal: face ? metalOf(face, path, at) : [],
    board: spansInside(path, at, [outline]),
    blocks: board.parts.flatMap((part) => {
      if (part.kind === "led" || part.kind === "pad" || part.height <= 0 || part.body.length < 3) return []
      const body = part.body.map((p) => boardToFace(p, board.pose))
      return spansInside(path, at, [body]).map(([from, to]) => ({
        ref: part.ref,
        from,
        to,
        height: part.height,
      }))
    }),
    screws: board.screws.map((screw) => {
      const near = nearestOn(path, at, boardToFace(screw, board.pose))
      return { s: near.s, diameter: screw.diameter, beside: near.far }
    }),
    thickness: face?.thickness ?? 0,
    height: request.height,
    sheet: lamp.copperClad.thickness,
    copper: lamp.copperClad.copper,
    cover: request.depth,
    body: type && {
      diameter: type.body.diameter,
      flange: type.body.flangeDiameter,
      flangeThickness: type.body.flangeThickness,
      tall: type.body.heightAboveSeat,
    },
  }
}

/** LED to nearest LED, from the one farthest from the middle. */
function along<P extends Point>(all: readonly P[]): P[] {
  const middle = {
    x: all.reduce((s, p) => s + p.x, 0) / all.length,
    y: all.reduce((s, p) => s + p.y, 0) / all.length,
  }
  const left = [...all]
  const take = (score: (p: P) => number) => {
    let best = 0
    for (let i = 1; i < left.length; i++) if (score(left[i]!) < score(left[best]!) - 1e-9) best = i
    return left.splice(best, 1)[0]!
  }
  const row = [take((p) => -far(p, middle))]
  while (left.length > 0) {
    const last = row[row.length - 1]!
    row.push(take((p) => far(p, last)))
  }
  return row
}

/** Across the board through its tallest part, for a board that carries no LED. */
function acrossTallest(board: Board): Point[] {
  const solid = board.parts.filter((p) => p.kind !== "led" && p.kind !== "pad" && p.body.length >= 3)
  const tallest = [...solid].sort((a, b) => b.height - a.height)[0]
  const ring = tallest?.body ?? board.outline
  const middle = {
    x: ring.reduce((s, p) => s + p.x, 0) / ring.length,
    y: ring.reduce((s, p) => s + p.y, 0) / ring.length,
  }
  const p = boardToFace(middle, board.pose)
  return [
    { x: p.x - 0.5, y: p.y },
    { x: p.x + 0.5, y: p.y },
  ]
}

/** On both ends straight on until it has left all rings. */
function extended(row: readonly Point[], rings: readonly (readonly Point[])[]): Point[] {
  const all = rings.flat()
  const reach = all.reduce((d, p) => Math.max(d, far(p, row[0]!)), 0) + 4
  const [a, b] = [row[0]!, row[1] ?? { x: row[0]!.x + 1, y: row[0]!.y }]
  const [y, z] = [row[row.length - 2] ?? { x: row[0]!.x - 1, y: row[0]!.y }, row[row.length - 1]!]
  const path = [beyond(b, a, reach), ...row, beyond(y, z, reach)]
  const at = places(path)
  const spans = spansInside(path, at, [rings[0]!]).concat(
    rings.slice(1).flatMap((r) => spansInside(path, at, [r])),
  )
  const from = Math.max(0, Math.min(...spans.map(([f]) => f), at[1]!) - 3)
  const to = Math.min(at[at.length - 1]!, Math.max(...spans.map(([, t]) => t), at[at.length - 2]!) + 3)
  return [point(path, at, from), ...row, point(path, at, to)]
}

function beyond(from: Point, to: Point, by: number): Point {
  const d = far(from, to) || 1
  return { x: to.x + ((to.x - from.x) / d) * by, y: to.y + ((to.y - from.y) / d) * by }
}

/** Metal along the section, its holes taken out. */
function metalOf(face: Face, path: readonly Point[], at: readonly number[]): Span[] {
  const solid = spansInside(path, at, [face.outline, ...face.windows])
  const holes = [...face.ledHoles, ...face.screwHoles].flatMap((h) =>
    spansOfDisc(path, at, h, h.diameter / 2),
  )
  return without(solid, holes)
}

/** Where a path runs inside rings, by the even–odd rule. */
export function spansInside(
  path: readonly Point[],
  at: readonly number[],
  rings: readonly (readonly Point[])[],
): Span[] {
  const cuts = [0, at[at.length - 1] ?? 0]
  for (let i = 1; i < path.length; i++)
    for (const ring of rings)
      for (let k = 0; k < ring.length; k++) {
        const t = crossing(path[i - 1]!, path[i]!, ring[k]!, ring[(k + 1) % ring.length]!)
        if (t !== undefined) cuts.push(at[i - 1]! + t * (at[i]! - at[i - 1]!))
      }
  return spansBetween(cuts, (s) => {
    const p = point(path, at, s)
    return rings.reduce((inside, ring) => inside !== odd(ring, p), false)
  })
}

function spansOfDisc(path: readonly Point[], at: readonly number[], c: Point, r: number): Span[] {
  const cuts = [0, at[at.length - 1] ?? 0]
  for (let i = 1; i < path.length; i++) {
    const [a, b] = [path[i - 1]!, path[i]!]
    const [dx, dy] = [b.x - a.x, b.y - a.y]
    const length = dx * dx + dy * dy
    const k = ((c.x - a.x) * dx + (c.y - a.y) * dy) / length
    const off = (c.x - a.x - k * dx) ** 2 + (c.y - a.y - k * dy) ** 2
    if (off >= r * r) continue
    const half = Math.sqrt((r * r - off) / length)
    for (const t of [k - half, k + half])
      if (t > 0 && t < 1) cuts.push(at[i - 1]! + t * (at[i]! - at[i - 1]!))
  }
  return spansBetween(cuts, (s) => far(point(path, at, s), c) < r)
}

function spansBetween(cuts: readonly number[], holds: (s: number) => boolean): Span[] {
  const sorted = [...cuts].sort((a, b) => a - b)
  const out: [number, number][] = []
  for (let i = 1; i < sorted.length; i++) {
    const [from, to] = [sorted[i - 1]!, sorted[i]!]
    if (to - from < 1e-9 || !holds((from + to) / 2)) continue
    const last = out[out.length - 1]
    if (last && from - last[1] < 1e-9) last[1] = to
    else out.push([from, to])
  }
  return out
}

function without(spans: readonly Span[], holes: readonly Span[]): Span[] {
  let left = [...spans]
  for (const [from, to] of holes)
    left = left.flatMap(([a, b]): Span[] => {
      if (to <= a || from >= b) return [[a, b]]
      return [...(from > a ? [[a, from] as const] : []), ...(to < b ? [[to, b] as const] : [])]
    })
  return left
}

/** Length along the path at each of its points. */
export function places(path: readonly Point[]): number[] {
  const at = [0]
  for (let i = 1; i < path.length; i++) at.push(at[i - 1]! + far(path[i - 1]!, path[i]!))
  return at
}

function point(path: readonly Point[], at: readonly number[], s: number): Point {
  let i = 1
  while (i < path.length - 1 && at[i]! < s) i++
  const wide = at[i]! - at[i - 1]! || 1
  const t = Math.max(0, Math.min(1, (s - at[i - 1]!) / wide))
  const [a, b] = [path[i - 1]!, path[i]!]
  return { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t }
}

function direction(path: readonly Point[], at: readonly number[], s: number): Point {
  const [a, b] = [point(path, at, Math.max(0, s - 0.5)), point(path, at, s + 0.5)]
  const d = far(a, b) || 1
  return { x: (b.x - a.x) / d, y: (b.y - a.y) / d }
}

function nearestOn(path: readonly Point[], at: readonly number[], p: Point) {
  let best = { s: 0, far: Number.POSITIVE_INFINITY }
  for (let i = 1; i < path.length; i++) {
    const [a, b] = [path[i - 1]!, path[i]!]
    const [dx, dy] = [b.x - a.x, b.y - a.y]
    const length = dx * dx + dy * dy
    const t = length === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / length))
    const d = Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy)
    if (d < best.far - 1e-12) best = { s: at[i - 1]! + t * Math.sqrt(length), far: d }
  }
  return best
}

/** Share of a–b at which it crosses c–d. */
function crossing(a: Point, b: Point, c: Point, d: Point): number | undefined {
  const [rx, ry, sx, sy] = [b.x - a.x, b.y - a.y, d.x - c.x, d.y - c.y]
  const cross = rx * sy - ry * sx
  if (cross === 0) return undefined
  const t = ((c.x - a.x) * sy - (c.y - a.y) * sx) / cross
  const u = ((c.x - a.x) * ry - (c.y - a.y) * rx) / cross
  return t >= 0 && t <= 1 && u >= 0 && u < 1 ? t : undefined
}

function odd(ring: readonly Point[], p: Point): boolean {
  let inside = false
  for (let i = 0, k = ring.length - 1; i < ring.length; k = i++) {
    const [a, b] = [ring[i]!, ring[k]!]
    if (a.y > p.y !== b.y > p.y && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) inside = !inside
  }
  return inside
}

const far = (a: Point, b: Point) => Math.hypot(a.x - b.x, a.y - b.y)
