// The lines where two neighbouring pieces are equally far, traced from the labelled raster into chains between
// junctions. Every point is a root on the line between two samples of unlike label, found on the exact shapes.
// Chains that meet share the very same junction, so the web of grooves is watertight.

import type { Work } from "../0-ground/progress.ts"
import { type CopperShapes, shapeDistance } from "./copper-shapes.ts"
import { type NearestPiece, nearestOf } from "./nearest-piece.ts"

export interface Chain {
  /** x, y, x, y, … in mm; first and last point equal when it closes on itself away from a junction. */
  readonly points: Float64Array
  /** Junction at either end, −1 for an end that runs off the board or a closed chain. */
  readonly from: number
  readonly to: number
  /** The two pieces it separates. */
  readonly pieces: readonly [number, number]
}

const noLink = -1

/** All chains of the labelled raster in scan order. */
export function* grooveChains(shapes: CopperShapes, nearest: NearestPiece): Work<Chain[]> {
  const { nx, ny } = nearest.raster
  const scan: Scan = {
    shapes,
    nearest,
    crossings: new Crossings(),
    junctions: [],
    lower: new Int32Array(nx).fill(-1),
    upper: new Int32Array(nx).fill(-1),
    upright: new Int32Array(nx).fill(-1),
  }
  for (let i = 0; i + 1 < nx; i++) scan.lower[i] = crossing(scan, i, i + 1)
  for (let j = 0; j + 1 < ny; j++) {
    crossRow(scan, j)
    joinRow(scan, j)
    const swap = scan.lower
    scan.lower = scan.upper
    scan.upper = swap
    if (j % 256 === 0) yield { stage: "grooves", done: j / ny }
  }
  return walk(scan.crossings, scan.junctions)
}

interface Scan {
  readonly shapes: CopperShapes
  readonly nearest: NearestPiece
  readonly crossings: Crossings
  readonly junctions: Junction[]
  /** Crossings of the current row of squares by column: on its lower side, its upper side and its uprights. */
  lower: Int32Array
  upper: Int32Array
  readonly upright: Int32Array
}

interface Junction {
  readonly x: number
  readonly y: number
  readonly edges: readonly number[]
}

/** The crossing between two neighbouring samples, −1 where there is none. */
function crossing({ shapes, nearest, crossings }: Scan, sample: number, next: number): number {
  const { labels, raster } = nearest
  const { nx, step, x0, y0 } = raster
  const a = labels[sample]!
  const b = labels[next]!
  if (a === b || a < 0 || b < 0) return -1
  const i = sample % nx
  const j = (sample - i) / nx
  const alongX = next === sample + 1
  const t = equalShare(shapes, nearest, sample, a, b, x0 + i * step, y0 + j * step, alongX, step)
  return alongX
    ? crossings.add(x0 + (i + t) * step, y0 + j * step, a, b)
    : crossings.add(x0 + i * step, y0 + (j + t) * step, a, b)
}

function crossRow(scan: Scan, j: number): void {
  const { labels, raster } = scan.nearest
  const { nx } = raster
  const { upper, upright } = scan
  for (let i = 0; i < nx; i++) {
    const s = j * nx + i
    const a = labels[s]!
    upright[i] = a === labels[s + nx]! ? -1 : crossing(scan, s, s + nx)
    if (i + 1 < nx) {
      upper[i] = labels[s + nx] === labels[s + nx + 1] ? -1 : crossing(scan, s + nx, s + nx + 1)
    }
  }
}

/** Links the crossings round each square of a row. */
function joinRow(scan: Scan, j: number): void {
  const { labels, raster } = scan.nearest
  const { nx } = raster
  for (let i = 0; i + 1 < nx; i++) {
    const s = j * nx + i
    const a = labels[s]!
    const b = labels[s + 1]!
    const c = labels[s + nx]!
    const d = labels[s + nx + 1]!
    if ((a === b && b === c && c === d) || a < 0 || b < 0 || c < 0 || d < 0) continue
    joinSquare(scan, s, i, j)
  }
}

function joinSquare(scan: Scan, s: number, i: number, j: number): void {
  const { shapes, nearest, crossings } = scan
  const { labels, raster } = nearest
  const { nx, step, x0, y0 } = raster
  const [a, b, c, d] = [labels[s]!, labels[s + 1]!, labels[s + nx]!, labels[s + nx + 1]!]
  const around = [scan.lower[i]!, scan.upright[i + 1]!, scan.upper[i]!, scan.upright[i]!]
  const cut = around.filter((e) => e >= 0)
  if (cut.length === 2) {
    crossings.link(cut[0]!, cut[1]!)
    return
  }
  const centre = { x: x0 + (i + 0.5) * step, y: y0 + (j + 0.5) * step }
  if (cut.length === 4 && (a === d || b === c)) {
    const { list, start, end } = nearest.candidates(s)
    const middle = nearestOf(shapes, list, start, end, centre.x, centre.y)
    // The diagonal pair that owns the middle stays joined; the two other corners are cut off.
    if (a === d && middle === a) {
      crossings.link(around[0]!, around[1]!)
      crossings.link(around[2]!, around[3]!)
      return
    }
    if (b === c && middle === b) {
      crossings.link(around[0]!, around[3]!)
      crossings.link(around[1]!, around[2]!)
      return
    }
  }
  const pieces = [...new Set([a, b, c, d])]
  const at = equidistant(shapes, nearest, s, pieces, centre.x, centre.y, step)
  scan.junctions.push({ ...at, edges: [...cut] })
  for (const e of cut) crossings.attach(e, -1 - scan.junctions.length)
}

/** Where along a → b (0…1) both pieces are equally far: false position on the difference of the exact distances. */
function equalShare(
  shapes: CopperShapes,
  nearest: NearestPiece,
  sample: number,
  a: number,
  b: number,
  x: number,
  y: number,
  alongX: boolean,
  step: number,
): number {
  const { list, start, end } = nearest.candidates(sample)
  const dx = alongX ? step : 0
  const dy = alongX ? 0 : step
  let low = 0
  let high = 1
  let atLow = nearerTo(shapes, list, start, end, a, b, x, y)
  let atHigh = nearerTo(shapes, list, start, end, a, b, x + dx, y + dy)
  if (!(atLow < 0)) return 0
  if (!(atHigh > 0)) return 1
  let t = 0.5
  for (let round = 0; round < 12; round++) {
    t = (low * atHigh - high * atLow) / (atHigh - atLow)
    const here = nearerTo(shapes, list, start, end, a, b, x + t * dx, y + t * dy)
    if (Math.abs(here) < 1e-6) break
    if (here < 0) {
      low = t
      atLow = here
      atHigh /= 2
    } else {
      high = t
      atHigh = here
      atLow /= 2
    }
  }
  return t
}

/** How much nearer piece a is than piece b: the difference of their distances, mm; below 0 where a is nearer. */
function nearerTo(
  shapes: CopperShapes,
  list: ArrayLike<number>,
  start: number,
  end: number,
  a: number,
  b: number,
  x: number,
  y: number,
): number {
  let da = Number.POSITIVE_INFINITY
  let db = Number.POSITIVE_INFINITY
  for (let k = start; k < end; k++) {
    const s = list[k]!
    const piece = shapes.piece[s]!
    if (piece !== a && piece !== b) continue
    const d = shapeDistance(shapes, s, x, y)
    if (piece === a) {
      if (d < da) da = d
    } else if (d < db) db = d
  }
  return da - db
}

/** The point near (x, y) equally far from the pieces (the first three of them): Newton, kept within the square. */
function equidistant(
  shapes: CopperShapes,
  nearest: NearestPiece,
  sample: number,
  pieces: readonly number[],
  x: number,
  y: number,
  step: number,
): { x: number; y: number } {
  const { list, start, end } = nearest.candidates(sample)
  const three = pieces.slice(0, 3)
  const distanceTo = (piece: number, px: number, py: number) => {
    let least = Number.POSITIVE_INFINITY
    for (let k = start; k < end; k++) {
      if (shapes.piece[list[k]!] === piece) least = Math.min(least, shapeDistance(shapes, list[k]!, px, py))
    }
    return least
  }
  const h = 1e-5
  let px = x
  let py = y
  for (let round = 0; round < 8; round++) {
    const [da, db, dc] = three.map((p) => distanceTo(p, px, py)) as [number, number, number]
    const [ax, bx, cx] = three.map((p, i) => (distanceTo(p, px + h, py) - [da, db, dc][i]!) / h) as [
      number,
      number,
      number,
    ]
    const [ay, by, cy] = three.map((p, i) => (distanceTo(p, px, py + h) - [da, db, dc][i]!) / h) as [
      number,
      number,
      number,
    ]
    const f = da - db
    const g = da - dc
    const det = (ax - bx) * (ay - cy) - (ay - by) * (ax - cx)
    if (!(Math.abs(det) > 1e-6)) break
    const dx = (f * (ay - cy) - g * (ay - by)) / det
    const dy = ((ax - bx) * g - (ax - cx) * f) / det
    if (!(Math.abs(px - dx - x) <= step) || !(Math.abs(py - dy - y) <= step)) break
    px -= dx
    py -= dy
    if (Math.abs(dx) + Math.abs(dy) < 1e-6) return { x: px, y: py }
  }
  return { x, y }
}

/** Points where a line between neighbouring samples changes label, each linked to at most two others. */
class Crossings {
  readonly xy: number[] = []
  readonly pieces: number[] = []
  readonly links: number[] = []

  get count(): number {
    return this.links.length / 2
  }

  add(x: number, y: number, a: number, b: number): number {
    this.xy.push(x, y)
    this.pieces.push(Math.min(a, b), Math.max(a, b))
    this.links.push(noLink, noLink)
    return this.count - 1
  }

  /** `to` is another crossing, or −2 − n for junction n. */
  attach(e: number, to: number): void {
    const { links } = this
    if (links[2 * e] === noLink) links[2 * e] = to
    else links[2 * e + 1] = to
  }

  link(e: number, f: number): void {
    this.attach(e, f)
    this.attach(f, e)
  }
}

function walk(crossings: Crossings, junctions: readonly Junction[]): Chain[] {
  const { links } = crossings
  const used = new Uint8Array(crossings.count)
  const chains: Chain[] = []
  for (const [n, { edges }] of junctions.entries())
    for (const e of edges) if (used[e] === 0) chains.push(trace(crossings, junctions, used, e, -2 - n))
  for (let e = 0; e < crossings.count; e++) {
    const ends = (links[2 * e] === noLink ? 1 : 0) + (links[2 * e + 1] === noLink ? 1 : 0)
    if (used[e] === 0 && ends > 0) chains.push(trace(crossings, junctions, used, e, noLink))
  }
  for (let e = 0; e < crossings.count; e++)
    if (used[e] === 0) chains.push(trace(crossings, junctions, used, e, links[2 * e + 1]!))
  return chains
}

function trace(
  { xy, pieces, links }: Crossings,
  junctions: readonly Junction[],
  used: Uint8Array,
  start: number,
  cameFrom: number,
): Chain {
  const out: number[] = []
  const chain = (from: number, to: number): Chain => ({
    points: Float64Array.from(out),
    from: from <= -2 ? -2 - from : -1,
    to: to <= -2 ? -2 - to : -1,
    pieces: [pieces[2 * start]!, pieces[2 * start + 1]!],
  })
  if (cameFrom <= -2) out.push(junctions[-2 - cameFrom]!.x, junctions[-2 - cameFrom]!.y)
  let here = start
  let before = cameFrom
  for (;;) {
    used[here] = 1
    out.push(xy[2 * here]!, xy[2 * here + 1]!)
    const next = links[2 * here] === before ? links[2 * here + 1]! : links[2 * here]!
    before = here
    if (next < 0) {
      if (next <= -2) out.push(junctions[-2 - next]!.x, junctions[-2 - next]!.y)
      return chain(cameFrom, next)
    }
    if (used[next] === 1) {
      out.push(out[0]!, out[1]!)
      return chain(noLink, noLink)
    }
    here = next
  }
}
