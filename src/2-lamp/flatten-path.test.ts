import SVGPathCommander from "svg-path-commander"
import { describe, expect, test } from "vitest"
import type { Point } from "../0-ground/geometry/point.ts"
import { arcCentre, flattenPath } from "./flatten-path.ts"
import { type Affine, apply, compose, identity, parseTransform, stretch } from "./svg-transform.ts"

const length = (points: readonly Point[]) =>
  points.slice(1).reduce((sum, p, i) => sum + Math.hypot(p.x - points[i]!.x, p.y - points[i]!.y), 0)
const flat = (d: string, tolerance = 0.02, map: Affine = identity) => flattenPath(d, map, tolerance)
const pairs = (points: readonly Point[]) => points.map((p) => [p.x, p.y])

// SVG 2, path data grammar and error handling (read); the cases are our own. Reference checks S-1 to S-3.
describe("path data is read as the standard says", () => {
  const cases: [string, number[][], boolean?][] = [
    ["M 100-200", [[100, -200]]],
    ["M 0.6.5", [[0.6, 0.5]]],
    [
      "M10 10 20 20 30 10",
      [
        [10, 10],
        [20, 20],
        [30, 10],
      ],
    ],
    [
      "m10 10 10 10",
      [
        [10, 10],
        [20, 20],
      ],
    ],
    [
      "M0 0h10v10H0z",
      [
        [0, 0],
        [10, 0],
        [10, 10],
        [0, 10],
      ],
    ],
    [
      "M1e1-2.5E+0L.5.5",
      [
        [10, -2.5],
        [0.5, 0.5],
      ],
    ],
    [
      "M 10,10 L 20,20,30",
      [
        [10, 10],
        [20, 20],
      ],
      true,
    ],
    ["L 10 10", [], true],
    ["", []],
  ]
  for (const [d, points, error = false] of cases)
    test(d === "" ? "empty" : d, () => {
      const read = flat(d)
      expect(read.error !== undefined).toBe(error)
      const got = read.lines.flatMap((l) => pairs(l.points))
      expect(got.length).toBe(points.length)
      got.forEach(([x, y], i) => {
        expect(x).toBeCloseTo(points[i]![0]!, 9)
        expect(y).toBeCloseTo(points[i]![1]!, 9)
      })
    })
  test("packed arc flags", () => {
    const [line] = flat("M10 20a5 5 0 0110 0").lines
    expect(line!.points.at(-1)).toEqual({ x: 20, y: 20 })
  })
  test("a closed path says so, and a new subpath begins at its start", () => {
    const read = flat("M0 0h10v10z l5 5")
    expect(read.lines.map((l) => l.closed)).toEqual([true, false])
    expect(read.lines[1]!.points[0]).toEqual({ x: 0, y: 0 })
  })
})

// Centres by the implementation notes' formula (from memory), lengths computed apart from this code. S-4, S-5.
describe("arcs", () => {
  const cases: [string, number, number, number, number][] = [
    ["M125,75 a100,50 0 0,0 100,50", 225, 75, -90, 121.105603],
    ["M125,75 a100,50 0 0,1 100,50", 125, 125, 90, 121.105603],
    ["M125,75 a100,50 0 1,0 100,50", 125, 125, -270, 363.316808],
    ["M125,75 a100,50 0 1,1 100,50", 225, 75, 270, 363.316808],
    ["M0 0 A1 1 0 0 1 10 0", 5, 0, 180, 15.707963],
    ["M0 0 A10 5 30 1 0 8 3", 4.32394851, 6.595422808, -307.266208442, 39.805105516],
  ]
  for (const [d, cx, cy, sweep, long] of cases)
    test(d, () => {
      const n = d.match(/-?\d+(\.\d+)?/g)!.map(Number)
      const from = { x: n[0]!, y: n[1]! }
      const relative = d.includes("a")
      const to = { x: n[7]! + (relative ? from.x : 0), y: n[8]! + (relative ? from.y : 0) }
      const found = arcCentre(from, to, n[2]!, n[3]!, n[4]!, n[5] === 1, n[6] === 1)!
      expect(found.centre.x).toBeCloseTo(cx, 6)
      expect(found.centre.y).toBeCloseTo(cy, 6)
      expect((found.turn * 180) / Math.PI).toBeCloseTo(sweep, 6)
      const [line] = flat(d, 1e-6).lines
      expect(length(line!.points)).toBeCloseTo(long, 3)
    })
  test("a zero radius is a straight line", () => {
    expect(flat("M0 0A0 5 0 0 1 10 0").lines[0]!.points).toEqual([
      { x: 0, y: 0 },
      { x: 10, y: 0 },
    ])
  })
  test("a circle of two arcs keeps its chords within the tolerance", () => {
    for (const r of [0.5, 2.6, 40, 144.286]) {
      const [line] = flat(`M${-r} 0A${r} ${r} 0 0 1 ${r} 0A${r} ${r} 0 0 1 ${-r} 0Z`).lines
      const p = line!.points
      for (let i = 1; i < p.length; i++) {
        expect(Math.hypot(p[i]!.x, p[i]!.y)).toBeCloseTo(r, 6)
        const middle = Math.hypot((p[i]!.x + p[i - 1]!.x) / 2, (p[i]!.y + p[i - 1]!.y) / 2)
        expect(r - middle).toBeLessThanOrEqual(0.02 + 1e-9)
      }
    }
  })
})

// Exact lengths: 20 for the cubic, 14.789428575 for the parabola (computed apart from this code). S-6.
test("curve lengths", () => {
  expect(length(flat("M0 0C0 10 10 10 10 0", 1e-6).lines[0]!.points)).toBeCloseTo(20, 4)
  expect(length(flat("M0 0Q5 10 10 0", 1e-6).lines[0]!.points)).toBeCloseTo(14.789428575, 4)
})

test("lengths agree with a general-purpose path library", () => {
  for (const d of [
    "M12 8 C34 18 62 24 91 26 L91 68 C60 66 30 60 8 46 C2 42 2 12 12 8 Z",
    "M98 30 A144.286 144.286 0 0 0 222 30 L226 56 A81.059 81.059 0 0 1 94 56 Z",
    "M10 10 q20 40 40 0 t40 0 s20 -30 40 10 Z",
  ]) {
    const [line] = flat(d, 1e-4).lines
    const ring = [...line!.points, line!.points[0]!]
    // The library measures curves by sampling; it is good to about 0.1 %.
    expect(length(ring) / new SVGPathCommander(d).getTotalLength()).toBeCloseTo(1, 3)
  }
})

test("flattening stays within the tolerance after a stretch", () => {
  const grown = { ...identity, a: 25, d: 25 }
  const coarse = flat("M0 0C0 10 10 10 10 0", 0.02, grown).lines[0]!.points
  const fine = flat("M0 0C0 10 10 10 10 0", 1e-5, grown).lines[0]!.points
  const off = fine.map((p) => {
    let least = Infinity
    for (let i = 1; i < coarse.length; i++) {
      const [a, b] = [coarse[i - 1]!, coarse[i]!]
      const t = Math.max(
        0,
        Math.min(
          1,
          ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / ((b.x - a.x) ** 2 + (b.y - a.y) ** 2),
        ),
      )
      least = Math.min(least, Math.hypot(p.x - a.x - t * (b.x - a.x), p.y - a.y - t * (b.y - a.y)))
    }
    return least
  })
  expect(Math.max(...off)).toBeLessThanOrEqual(0.02)
  expect(Math.max(...off)).toBeGreaterThan(0.005)
})

describe("transforms", () => {
  const at = (text: string, x: number, y: number) => apply(parseTransform(text)!, { x, y })
  test("lists apply from right to left", () => {
    expect(at("translate(320 0) scale(-1 1)", 12, 8)).toEqual({ x: 308, y: 8 })
    expect(at("scale(2) translate(1,1)", 3, 4)).toEqual({ x: 8, y: 10 })
  })
  test("turns about a point are exact in quarters", () => {
    expect(at("rotate(90 10 10)", 20, 10)).toEqual({ x: 10, y: 20 })
    expect(at("rotate(-90)", 1, 0)).toEqual({ x: 0, y: -1 })
  })
  test("matrix, skew, and a turn by 30°", () => {
    expect(at("matrix(1 2 3 4 5 6)", 1, 1)).toEqual({ x: 9, y: 12 })
    expect(at("skewX(45)", 0, 2).x).toBeCloseTo(2, 12)
    expect(at("skewY(45)", 2, 0).y).toBeCloseTo(2, 12)
    expect(at("rotate(30)", 2, 0).x).toBeCloseTo(Math.sqrt(3), 12)
  })
  test("what cannot be read is refused", () => {
    for (const bad of [
      "spin(3)",
      "scale()",
      "rotate(1 2)",
      "translate(1) x",
      "scale(1e999)",
      "matrix(1 2 3)",
    ])
      expect(parseTransform(bad)).toBeUndefined()
    expect(parseTransform("")).toEqual(identity)
  })
  test("stretch tells how a circle is squashed", () => {
    expect(stretch(parseTransform("scale(-2 2) rotate(30)")!)).toMatchObject({ most: 2, least: 2 })
    const squashed = stretch(compose(parseTransform("scale(3 1)")!, parseTransform("rotate(20)")!))
    expect(squashed.most).toBeCloseTo(3, 12)
    expect(squashed.least).toBeCloseTo(1, 12)
  })
})
