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
  const { raster, labels } = nearest
  const { nx, ny, step, x0, y0 } = raster
  const crossings = crossingList()
  const junctions: { x: number; y: number; edges: number[] }[] = []
  // Crossings of the current row of squares by column: on its lower side, its upper side and its uprights.
  let lower = new Int32Array(nx).fill(-1)
  let upper = new Int32Array(nx).fill(-1)
  const upright = new Int32Array(nx).fill(-1)

  const crossing = (sample: number, next: number): number => {
    const a = labels[sample]!
    const b = labels[next]!
    if (a === b || a < 0 || b < 0) return -1
    const i = sample % nx
    const j = (sample - i) / nx
    const t = equalShare(
      shapes,
      nearest,
      sample,
      a,
      b,
      x0 + i * step,
      y0 + j * step,
      next === sample + 1,
      step,
    )
    return next === sample + 1
      ? crossings.add(x0 + (i + t) * step, y0 + j * step, a, b)
      : crossings.add(x0 + i * step, y0 + (j + t) * step, a, b)
  }

  for (let i = 0; i + 1 < nx; i++) lower[i] = crossing(i, i + 1)
  for (let j = 0; j + 1 < ny; j++) {
    for (let i = 0; i < nx; i++) {
      const s = j * nx + i
      const a = labels[s]!
      upright[i] = a === labels[s + nx]! ? -1 : crossing(s, s + nx)
      if (i + 1 < nx) {
        upper[i] = labels[s + nx] === labels[s + nx + 1] ? -1 : crossing(s + nx, s + nx + 1)
      }
    }
    for (let i = 0; i + 1 < nx; i++) {
      const s = j * nx + i
      const a = labels[s]!
      const b = labels[s + 1]!
      const c = labels[s + nx]!
      const d = labels[s + nx + 1]!
      if ((a === b && b === c && c === d) || a < 0 || b < 0 || c < 0 || d < 0) continue
      const around = [lower[i]!, upright[i + 1]!, upper[i]!, upright[i]!]
      const cut = around.filter((e) => e >= 0)
      if (cut.length === 2) crossings.link(cut[0]!, cut[1]!)
      else if (cut.length === 4 && (a === d || b === c)) {
        const centre = { x: x0 + (i + 0.5) * step, y: y0 + (j + 0.5) * step }
        const { list, start, end } = nearest.candidates(s)
        const middle = nearestOf(shapes, list, start, end, centre.x, centre.y)
        // The diagonal pair that owns the middle stays joined; the two other corners are cut off.
        if (a === d && middle === a) {
          crossings.link(around[0]!, around[1]!)
          crossings.link(around[2]!, around[3]!)
        } else if (b === c && middle === b) {
          crossings.link(around[0]!, around[3]!)
          crossings.link(around[1]!, around[2]!)
        } else junction(cut, s)
      } else junction(cut, s)
    }
    const swap = lower
    lower = upper
    upper = swap
    if (j % 256 === 0) yield { stage: "grooves", done: j / ny }
  }

  function junction(cut: readonly number[], sample: number): void {
    const i = sample % nx
    const j = (sample - i) / nx
    const pieces = [
      ...new Set([labels[sample]!, labels[sample + 1]!, labels[sample + nx]!, labels[sample + nx + 1]!]),
    ]
    const at = equidistant(
      shapes,
      nearest,
      sample,
      pieces,
      x0 + (i + 0.5) * step,
      y0 + (j + 0.5) * step,
      step,
    )
    junctions.push({ ...at, edges: [...cut] })
    for (const e of cut) crossings.attach(e, -1 - junctions.length)
  }
  return walk(crossings, junctions)
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
  const difference = (t: number) => {
    const px = alongX ? x + t * step : x
    const py = alongX ? y : y + t * step
    let da = Number.POSITIVE_INFINITY
    let db = Number.POSITIVE_INFINITY
    for (let k = start; k < end; k++) {
      const s = list[k]!
      const piece = shapes.piece[s]!
      if (piece !== a && piece !== b) continue
      const d = shapeDistance(shapes, s, px, py)
      if (piece === a) {
        if (d < da) da = d
      } else if (d < db) db = d
    }
    return da - db
  }
  let low = 0
  let high = 1
  let atLow = difference(0)
  let atHigh = difference(1)
  if (!(atLow < 0)) return 0
  if (!(atHigh > 0)) return 1
  let t = 0.5
  for (let round = 0; round < 12; round++) {
    t = (low * atHigh - high * atLow) / (atHigh - atLow)
    const here = difference(t)
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

type Crossings = ReturnType<typeof crossingList>

/** Points where a line between neighbouring samples changes label, each linked to at most two others. */
function crossingList() {
  const xy: number[] = []
  const pieces: number[] = []
  const links: number[] = []
  const attach = (e: number, to: number) => {
    if (links[2 * e] === noLink) links[2 * e] = to
    else links[2 * e + 1] = to
  }
  return {
    add(x: number, y: number, a: number, b: number): number {
      xy.push(x, y)
      pieces.push(Math.min(a, b), Math.max(a, b))
      links.push(noLink, noLink)
      return links.length / 2 - 1
    },
    /** `to` is another crossing, or −2 − n for junction n. */
    attach,
    link(e: number, f: number) {
      attach(e, f)
      attach(f, e)
    },
    xy,
    pieces,
    links,
    count: () => links.length / 2,
  }
}

function walk(
  crossings: Crossings,
  junctions: readonly { x: number; y: number; edges: readonly number[] }[],
): Chain[] {
  const { xy, pieces, links } = crossings
  const used = new Uint8Array(crossings.count())
  const chains: Chain[] = []
  const trace = (start: number, cameFrom: number) => {
    const out: number[] = []
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
        chains.push(chain(out, start, cameFrom, next))
        return
      }
      if (used[next] === 1) {
        out.push(out[0]!, out[1]!)
        chains.push(chain(out, start, noLink, noLink))
        return
      }
      here = next
    }
  }
  const chain = (out: readonly number[], start: number, from: number, to: number): Chain => ({
    points: Float64Array.from(out),
    from: from <= -2 ? -2 - from : -1,
    to: to <= -2 ? -2 - to : -1,
    pieces: [pieces[2 * start]!, pieces[2 * start + 1]!],
  })
  junctions.forEach(({ edges }, n) => {
    for (const e of edges) if (used[e] === 0) trace(e, -2 - n)
  })
  for (let e = 0; e < crossings.count(); e++) {
    const ends = (links[2 * e] === noLink ? 1 : 0) + (links[2 * e + 1] === noLink ? 1 : 0)
    if (used[e] === 0 && ends > 0) trace(e, noLink)
  }
  for (let e = 0; e < crossings.count(); e++) if (used[e] === 0) trace(e, links[2 * e + 1]!)
  return chains
}
