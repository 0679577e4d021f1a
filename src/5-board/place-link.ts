// A wire link for a net that the sketch leaves in pieces: of all places where one may stand, at any angle and of a
// length that is sold, those nearest to what each piece's copper can reach; the sketch then says whether it helps.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Progress, Work } from "../0-ground/progress.ts"
import { LinkRoom, type PlacedLink } from "./link-room.ts"
import { linkLength, type RouteTask } from "./route-task.ts"
import { Sketch, type SketchResult } from "./sketch-route.ts"

export interface Linked {
  /** With the link's two lands at the end, joined. */
  readonly task: RouteTask
  readonly sketch: Sketch
  readonly result: SketchResult
  readonly link: PlacedLink
}

/** Places for a link's land are looked for this far apart, mm. */
const raster = 1.27
const directions = 24
/** What a millimetre of link weighs against one of track. */
const linkWeight = 1.5
const startsTried = 120
/** For one place of so many others are made to move. */
const pushedFor = 6
/** Tried links differ by this at one end, mm. */
const different = 2.5

export interface LinkSearch {
  readonly seed: number
  /** Places tried. */
  readonly places: number
  /** Connections pushed out while one of them is tried. */
  readonly pushesALink: number
}

const looking: Progress = { stage: "route", done: 0.5 }

/** The best link for a net in pieces; undefined when none leaves fewer connections open. */
export function* placeLink(
  task: RouteTask,
  links: readonly PlacedLink[],
  sketch: Sketch,
  net: number,
  { seed, places: most, pushesALink }: LinkSearch,
): Work<Linked | undefined> {
  const before = sketch.result().open
  const places = candidates(task, links, sketch, net, most)
  const land = ({ x, y }: Point) => {
    const { radius: r, hole } = task.linkLand
    return { net, x, y, ax: x, ay: y, bx: x, by: y, r, hole }
  }
  const n = task.lands.length
  const lines = sketch.plans()
  const attempt = (link: PlacedLink, pushes: number): Linked => {
    const lands = [...task.lands, land(link.from), land(link.to)]
    const more: RouteTask = { ...task, lands, joined: [...(task.joined ?? []), [n, n + 1]] }
    const next = new Sketch(more, undefined, sketch)
    next.retrace(sketch, lines)
    return { task: more, sketch: next, result: next.run(pushes, seed), link }
  }
  // Where nobody has to move, the first will do; else the best of some for which others make way.
  for (const link of places) {
    yield looking
    const tried = attempt(link, 0)
    if (tried.result.open < before) return tried
  }
  let best: Linked | undefined
  for (const link of places.slice(0, Math.ceil(most / pushedFor))) {
    yield looking
    const tried = attempt(link, pushesALink)
    if (tried.result.open < (best?.result.open ?? before)) best = tried
  }
  return best
}

interface Candidate extends PlacedLink {
  readonly price: number
}

function candidates(
  task: RouteTask,
  links: readonly PlacedLink[],
  sketch: Sketch,
  net: number,
  most: number,
): readonly PlacedLink[] {
  const pieces = sketch.components(net).sort((a, b) => a.length - b.length || a[0]! - b[0]!)
  const near = new Places(sketch, sketch.reach(net, pieces[0]!))
  const far = new Places(sketch, sketch.reach(net, pieces.slice(1).flat()))
  const room = new LinkRoom(task, links)
  const known = new Map<number, boolean>()
  const stands = (k: number): boolean => {
    let may = known.get(k)
    if (may === undefined) {
      may = room.mayLand(near.at(k))
      known.set(k, may)
    }
    return may
  }
  const ranked = [...near.price.keys()]
    .filter((k) => near.price[k]! < Number.POSITIVE_INFINITY)
    .sort((a, b) => near.price[a]! - near.price[b]! || a - b)
  const starts: number[] = []
  for (const k of ranked) {
    if (starts.length >= startsTried) break
    if (stands(k)) starts.push(k)
  }
  const { least, greatest, step } = linkLength
  const all: Candidate[] = []
  for (const k of starts) {
    const from = near.at(k)
    for (let d = 0; d < directions; d++) {
      const a = (2 * Math.PI * d) / directions
      for (let length = Math.max(least, 2 * step); length <= greatest; length += step) {
        const to = { x: from.x + length * Math.cos(a), y: from.y + length * Math.sin(a) }
        const there = far.priceAt(to)
        if (there === Number.POSITIVE_INFINITY) continue
        all.push({ from, to, price: near.price[k]! + there + linkWeight * length })
      }
    }
  }
  all.sort(
    (a, b) =>
      a.price - b.price || a.from.x - b.from.x || a.from.y - b.from.y || a.to.x - b.to.x || a.to.y - b.to.y,
  )
  const out: Candidate[] = []
  const close = (p: Point, q: Point) => Math.hypot(p.x - q.x, p.y - q.y) < different
  for (const c of all) {
    if (out.some((o) => close(o.from, c.from) && close(o.to, c.to))) continue
    if (!room.mayLand(c.to) || !room.mayRun(c.from, c.to)) continue
    out.push(c)
    if (out.length >= most) break
  }
  return out
}

/** A raster over the board with the price at which copper of a net gets to each point. */
class Places {
  private readonly columns: number
  readonly price: Float64Array

  constructor(sketch: Sketch, reach: Float64Array) {
    const { x, y, corner } = sketch.mesh
    this.columns = Math.ceil(Math.max(...x) / raster) + 2
    const rows = Math.ceil(Math.max(...y) / raster) + 2
    this.price = new Float64Array(this.columns * rows).fill(Number.POSITIVE_INFINITY)
    for (let t = 0; t < reach.length; t++) {
      if (reach[t] === Number.POSITIVE_INFINITY) continue
      const [a, b, c] = [corner[3 * t]!, corner[3 * t + 1]!, corner[3 * t + 2]!]
      const low = (v: Float64Array) => Math.max(0, Math.ceil(Math.min(v[a]!, v[b]!, v[c]!) / raster))
      const high = (v: Float64Array) => Math.floor(Math.max(v[a]!, v[b]!, v[c]!) / raster)
      for (let r = low(y); r <= high(y); r++)
        for (let q = low(x); q <= high(x); q++) {
          const px = q * raster
          const py = r * raster
          const left = (i: number, j: number) =>
            (x[j]! - x[i]!) * (py - y[i]!) - (y[j]! - y[i]!) * (px - x[i]!) >= 0
          const s = left(a, b)
          if (s !== left(b, c) || s !== left(c, a)) continue
          const k = r * this.columns + q
          if (reach[t]! < this.price[k]!) this.price[k] = reach[t]!
        }
    }
  }

  at(k: number): Point {
    return { x: (k % this.columns) * raster, y: Math.floor(k / this.columns) * raster }
  }

  priceAt(p: Point): number {
    const q = Math.round(p.x / raster)
    if (q < 0 || q >= this.columns || p.y < 0) return Number.POSITIVE_INFINITY
    return this.price[Math.round(p.y / raster) * this.columns + q] ?? Number.POSITIVE_INFINITY
  }
}
