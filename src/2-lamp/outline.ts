// Edges of faces and boards from their short forms, and the two questions asked of every edge:
// does it cross itself, and how far is a point from it.

import type { FacePoint, Point } from "../0-ground/geometry/point.ts"
import { boundingBox, signedArea } from "../0-ground/geometry/polygon.ts"
import { pointToSegment, segmentsMeet } from "../0-ground/geometry/segment.ts"
import type { Hole } from "./artefact.ts"
import type { OutlineShape, ScrewsShape } from "./lamp-schema.ts"
import { flattening } from "./read-drawing.ts"

/** Counter-clockwise ring; rectangles and discs touch both axes with their lower left. */
export function outlineOf(shape: OutlineShape): FacePoint[] {
  if ("rectangle" in shape) {
    const { w, h } = shape.rectangle
    return rectangle(w, h, Math.min(shape.corner ?? 0, w / 2, h / 2))
  }
  if ("circle" in shape) {
    const r = shape.circle / 2
    return turnAbout({ x: r, y: r }, r, 0, 360).slice(0, -1)
  }
  const ring: FacePoint[] = []
  for (const [x, y] of shape.points) {
    const last = ring[ring.length - 1]
    if (last === undefined || last.x !== x || last.y !== y) ring.push({ x, y })
  }
  const [first, last] = [ring[0], ring[ring.length - 1]]
  if (ring.length > 1 && first!.x === last!.x && first!.y === last!.y) ring.pop()
  return signedArea(ring) < 0 ? ring.reverse() : ring
}

export function rectangle(w: number, h: number, corner: number): FacePoint[] {
  if (corner <= 0)
    return [
      { x: 0, y: 0 },
      { x: w, y: 0 },
      { x: w, y: h },
      { x: 0, y: h },
    ]
  const r = corner
  const ring = [
    ...turnAbout({ x: w - r, y: r }, r, 270, 360),
    ...turnAbout({ x: w - r, y: h - r }, r, 0, 90),
    ...turnAbout({ x: r, y: h - r }, r, 90, 180),
    ...turnAbout({ x: r, y: r }, r, 180, 270),
  ]
  // Where a corner takes the whole side, two arcs share a point.
  return ring.filter((p, i) => {
    const q = ring[(i + 1) % ring.length]!
    return Math.hypot(p.x - q.x, p.y - q.y) > 1e-6
  })
}

/** More than the largest edge needs; what is larger is refused by its size afterwards. */
const mostChords = 8192

/** Points on a circle from one angle to another, both included; chords within the flattening tolerance. */
function turnAbout(centre: Point, r: number, from: number, to: number): FacePoint[] {
  const step = (2 * Math.acos(Math.max(0, 1 - flattening / r)) * 180) / Math.PI
  const n = Math.max(2, Math.min(mostChords, Math.ceil((to - from) / step)))
  return Array.from({ length: n + 1 }, (_, i) => onCircle(centre, r, from + ((to - from) * i) / n))
}

/** Point on a circle, counter-clockwise from the right; to a nanometre, quarter turns exact. */
export function onCircle(centre: Point, r: number, degrees: number): FacePoint {
  const a = (degrees * Math.PI) / 180
  return { x: nano(centre.x + r * Math.cos(a)), y: nano(centre.y + r * Math.sin(a)) }
}

const nano = (n: number) => {
  const rounded = Math.round(n * 1e6) / 1e6
  return rounded === 0 ? 0 : rounded
}

/** Screw holes of the short form; corners are those of the edge's bounding box. */
export function screwsOf(shape: ScrewsShape, ring: readonly FacePoint[]): Hole[] {
  if ("at" in shape)
    return shape.at.map(([x, y], i) => ({ id: `screw-${i + 1}`, x, y, diameter: shape.diameter }))
  const { minX, minY, maxX, maxY } = boundingBox(ring)
  const c = shape.corners
  const corners: [number, number][] = [
    [minX + c, minY + c],
    [maxX - c, minY + c],
    [maxX - c, maxY - c],
    [minX + c, maxY - c],
  ]
  return corners.map(([x, y], i) => ({
    id: `screw-${i + 1}`,
    x: nano(x),
    y: nano(y),
    diameter: shape.diameter,
  }))
}

/** A place where the ring meets itself, or undefined. Sorted by x, so that long rings stay quick. */
export function selfCrossing(ring: readonly Point[]): Point | undefined {
  const n = ring.length
  const next = (i: number) => (i + 1) % n
  const sides = ring.map((a, i) => {
    const b = ring[next(i)]!
    return {
      i,
      left: Math.min(a.x, b.x),
      right: Math.max(a.x, b.x),
      low: Math.min(a.y, b.y),
      high: Math.max(a.y, b.y),
    }
  })
  sides.sort((p, q) => p.left - q.left || p.i - q.i)
  const live: typeof sides = []
  for (const side of sides) {
    const { i } = side
    const [a, b] = [ring[i]!, ring[next(i)]!]
    for (let k = live.length - 1; k >= 0; k--) {
      const other = live[k]!
      if (other.right < side.left) {
        live[k] = live[live.length - 1]!
        live.pop()
        continue
      }
      if (other.high < side.low || side.high < other.low) continue
      const j = other.i
      const [c, d] = [ring[j]!, ring[next(j)]!]
      if (next(j) === i || next(i) === j) {
        // Neighbours share a point; they may not fold back onto each other.
        const [p, q, r] = next(j) === i ? [c, a, b] : [a, b, d]
        const fold = (q.x - p.x) * (r.y - q.y) - (q.y - p.y) * (r.x - q.x)
        const back = (q.x - p.x) * (r.x - q.x) + (q.y - p.y) * (r.y - q.y)
        if (fold === 0 && back < 0) return q
        continue
      }
      if (segmentsMeet(a, b, c, d)) return crossing(a, b, c, d)
    }
    live.push(side)
  }
  return undefined
}

function crossing(a: Point, b: Point, c: Point, d: Point): Point {
  const den = (b.x - a.x) * (d.y - c.y) - (b.y - a.y) * (d.x - c.x)
  if (den === 0) return c
  const t = ((c.x - a.x) * (d.y - c.y) - (c.y - a.y) * (d.x - c.x)) / den
  return { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) }
}

/** Least distance from a point to the ring's edge. */
export function toEdge(ring: readonly Point[], p: Point): number {
  let least = Number.POSITIVE_INFINITY
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++)
    least = Math.min(least, pointToSegment(p, ring[j]!, ring[i]!))
  return least
}
