// Path data → polylines that stay within a tolerance of the true curve. Lines, cubic and quadratic curves, arcs.
// The data is read by a general-purpose library; the flattening is done after the transform, so its tolerance is
// in millimetres of the face.

import svgpath from "svgpath"
import type { Point } from "../0-ground/geometry/point.ts"
import { type Affine, apply, stretch } from "./svg-transform.ts"

export interface Polyline {
  readonly points: readonly Point[]
  readonly closed: boolean
}

export interface FlatPath {
  readonly lines: readonly Polyline[]
  /** Set when the data breaks off; `lines` holds what stands before that place (SVG 2, 9.5.4). */
  readonly error?: string
}

/** Of one path; far more than any edge that can be cut. */
const mostPoints = 5000

export function flattenPath(data: string, map: Affine, tolerance: number): FlatPath {
  const read = svgpath(data)
  // The library types its error loosely; an empty text means none.
  const error = (read as unknown as { err: string }).err
  const lines: { points: Point[]; closed: boolean }[] = []
  let current: { points: Point[]; closed: boolean } | undefined
  let start: Point = { x: 0, y: 0 }
  let count = 0
  const open = (from: Point) => {
    if (current === undefined) {
      current = { points: [apply(map, from)], closed: false }
      lines.push(current)
    }
    return current.points
  }
  const add = (points: Point[], p: Point) => {
    count++
    points.push(p)
  }
  read
    .abs()
    .unshort()
    .iterate((segment, _index, x, y) => {
      if (count > mostPoints) return
      const s = segment as unknown as [string, ...number[]]
      const from: Point = { x, y }
      switch (s[0]) {
        case "M":
          current = undefined
          start = { x: s[1]!, y: s[2]! }
          open(start)
          break
        case "L":
          add(open(from), apply(map, { x: s[1]!, y: s[2]! }))
          break
        case "H":
          add(open(from), apply(map, { x: s[1]!, y }))
          break
        case "V":
          add(open(from), apply(map, { x, y: s[1]! }))
          break
        case "C": {
          const into = open(from)
          const [p0, p1, p2, p3] = [from, at(s, 1), at(s, 3), at(s, 5)].map((p) => apply(map, p)) as [
            Point,
            Point,
            Point,
            Point,
          ]
          for (const p of cubic(p0, p1, p2, p3, tolerance)) add(into, p)
          break
        }
        case "Q": {
          const into = open(from)
          const [p0, c, p3] = [from, at(s, 1), at(s, 3)].map((p) => apply(map, p)) as [Point, Point, Point]
          for (const p of cubic(p0, mix(p0, c, 2 / 3), mix(p3, c, 2 / 3), p3, tolerance)) add(into, p)
          break
        }
        case "A": {
          const into = open(from)
          const end: Point = { x: s[6]!, y: s[7]! }
          for (const p of arc(from, end, s[1]!, s[2]!, s[3]!, s[4] !== 0, s[5] !== 0, map, tolerance))
            add(into, p)
          break
        }
        default:
          if (current) current.closed = true
          current = undefined
      }
    })
  const bad = lines.some((l) => l.points.some((p) => !Number.isFinite(p.x) || !Number.isFinite(p.y)))
  if (bad) return { lines: [], error: "a coordinate is too large to be a number" }
  if (count > mostPoints) return { lines: [], error: `the path needs more than ${mostPoints} points` }
  return { lines, ...(error ? { error: error.replace(/^SvgPath:\s*/, "") } : {}) }
}

const at = (s: readonly (string | number)[], i: number): Point => ({
  x: s[i] as number,
  y: s[i + 1] as number,
})
const mix = (a: Point, b: Point, t: number): Point => ({ x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t })

/** Chord error of n equal parameter steps is at most |second derivative| ÷ (8·n²); that of a cubic is at most 6·M. */
function* cubic(p0: Point, p1: Point, p2: Point, p3: Point, tolerance: number): Generator<Point> {
  const bend = Math.max(
    Math.hypot(p0.x - 2 * p1.x + p2.x, p0.y - 2 * p1.y + p2.y),
    Math.hypot(p1.x - 2 * p2.x + p3.x, p1.y - 2 * p2.y + p3.y),
  )
  const n = steps(Math.sqrt((6 * bend) / (8 * tolerance)))
  for (let i = 1; i < n; i++) {
    const t = i / n
    const u = 1 - t
    const [a, b, c, d] = [u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t]
    yield { x: a * p0.x + b * p1.x + c * p2.x + d * p3.x, y: a * p0.y + b * p1.y + c * p2.y + d * p3.y }
  }
  yield p3
}

/** Elliptical arc by its centre (SVG 2, appendix B.2.4); radii too small are scaled up, a zero radius is a line. */
function* arc(
  from: Point,
  to: Point,
  radiusX: number,
  radiusY: number,
  degrees: number,
  large: boolean,
  sweep: boolean,
  map: Affine,
  tolerance: number,
): Generator<Point> {
  const shape = arcCentre(from, to, radiusX, radiusY, degrees, large, sweep)
  if (shape === undefined) {
    if (from.x !== to.x || from.y !== to.y) yield apply(map, to)
    return
  }
  const { centre, rx, ry, start, turn, cos, sin } = shape
  const radius = Math.max(rx, ry) * stretch(map).most
  const step = radius <= tolerance ? Math.PI / 4 : 2 * Math.acos(1 - tolerance / radius)
  const n = steps(Math.abs(turn) / step)
  for (let i = 1; i < n; i++) {
    const angle = start + (turn * i) / n
    const x = rx * Math.cos(angle)
    const y = ry * Math.sin(angle)
    yield apply(map, { x: centre.x + cos * x - sin * y, y: centre.y + sin * x + cos * y })
  }
  yield apply(map, to)
}

/** Centre form of an arc; undefined when it is a line or nothing. Angles in radians, in the ellipse's own frame. */
export function arcCentre(
  from: Point,
  to: Point,
  radiusX: number,
  radiusY: number,
  degrees: number,
  large: boolean,
  sweep: boolean,
) {
  let rx = Math.abs(radiusX)
  let ry = Math.abs(radiusY)
  if (rx === 0 || ry === 0 || (from.x === to.x && from.y === to.y)) return undefined
  const cos = Math.cos((degrees * Math.PI) / 180)
  const sin = Math.sin((degrees * Math.PI) / 180)
  const dx = (from.x - to.x) / 2
  const dy = (from.y - to.y) / 2
  const x1 = cos * dx + sin * dy
  const y1 = -sin * dx + cos * dy
  const small = (x1 / rx) ** 2 + (y1 / ry) ** 2
  if (small > 1) {
    rx *= Math.sqrt(small)
    ry *= Math.sqrt(small)
  }
  const under = Math.max(0, 1 / ((x1 / rx) ** 2 + (y1 / ry) ** 2) - 1)
  const factor = (large === sweep ? -1 : 1) * Math.sqrt(under)
  const cx = (factor * rx * y1) / ry
  const cy = (-factor * ry * x1) / rx
  const centre = {
    x: cos * cx - sin * cy + (from.x + to.x) / 2,
    y: sin * cx + cos * cy + (from.y + to.y) / 2,
  }
  const start = Math.atan2((y1 - cy) / ry, (x1 - cx) / rx)
  const end = Math.atan2((-y1 - cy) / ry, (-x1 - cx) / rx)
  let turn = end - start
  if (sweep && turn < 0) turn += 2 * Math.PI
  if (!sweep && turn > 0) turn -= 2 * Math.PI
  return { centre, rx, ry, start, turn, cos, sin }
}

const steps = (n: number) => Math.max(1, Math.min(mostPoints, Math.ceil(Number.isFinite(n) ? n : 1)))
