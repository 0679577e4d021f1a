import fc from "fast-check"
import { expect, test } from "vitest"
import { random } from "../../0-ground/numbers/random.ts"
import {
  type BitRaster,
  bitRaster,
  countBits,
  paintPolygon,
  paintRun,
  paintSweep,
  pixelAt,
} from "./bit-raster.ts"
import { labelCopper, pieceAtPixel } from "./label-copper.ts"
import { simulateCut, widthAt } from "./simulate-cut.ts"

const empty = (w: number, h: number, pixel = 1): BitRaster =>
  bitRaster({ minX: 0, minY: 0, maxX: w * pixel, maxY: h * pixel }, pixel)

/** Distance test for the hull of two discs: the least of |p − q(t)| − r(t) over the way. */
function inHull(px: number, py: number, s: readonly number[]): number {
  const [x0, y0, r0, x1, y1, r1] = s as [number, number, number, number, number, number]
  let best = Number.POSITIVE_INFINITY
  for (let k = 0; k <= 1000; k++) {
    const t = k / 1000
    const d = Math.hypot(px - x0 - (x1 - x0) * t, py - y0 - (y1 - y0) * t) - (r0 + (r1 - r0) * t)
    if (d < best) best = d
  }
  return best
}

test("a sweep paints exactly the pixels whose centres the tool covers", () => {
  const at = fc.double({ min: -2, max: 42, noNaN: true })
  const radius = fc.double({ min: 0, max: 9, noNaN: true })
  fc.assert(
    fc.property(at, at, radius, at, at, radius, (...s) => {
      const r = empty(40, 40)
      paintSweep(r, s[0], s[1], s[2], s[3], s[4], s[5], true)
      for (let j = 0; j < 40; j += 3) {
        for (let i = 0; i < 40; i++) {
          const d = inHull(i + 0.5, j + 0.5, s)
          if (Math.abs(d) < 0.05) continue
          if (pixelAt(r, i, j) !== d < 0) return false
        }
      }
      return true
    }),
    { numRuns: 40, seed: 7 },
  )
})

test("runs are clipped and never touch the spare bits of the last word", () => {
  const r = empty(37, 3)
  paintRun(r, 1, -5, 400, true)
  paintRun(r, 9, 0, 5, true)
  expect(countBits(r)).toBe(37)
  expect(r.words[2 * 1 + 1]! >>> 5).toBe(0)
  paintRun(r, 1, 3, 35, false)
  expect(countBits(r)).toBe(4)
})

test("polygons: even-odd, holes, areas", () => {
  const r = empty(200, 200, 0.1)
  const square = (a: number, b: number) => [
    { x: a, y: a },
    { x: b, y: a },
    { x: b, y: b },
    { x: a, y: b },
  ]
  paintPolygon(r, [square(2, 12), square(4, 7)], true)
  expect(countBits(r) * 0.01).toBeCloseTo(100 - 9, 9)
  const triangle = empty(200, 200, 0.1)
  paintPolygon(
    triangle,
    [
      [
        { x: 1, y: 1 },
        { x: 18.3, y: 4.1 },
        { x: 7.7, y: 17.2 },
      ],
    ],
    true,
  )
  const area = Math.abs((18.3 - 1) * (17.2 - 1) - (7.7 - 1) * (4.1 - 1)) / 2
  expect(Math.abs(countBits(triangle) * 0.01 - area) / area).toBeLessThan(0.003)
})

// Includes widths that leave spare bits in the last word: they must never count as copper.
test.each([31, 32, 33, 50, 64, 95])("labels equal a flood fill on random images, %i wide", (width) => {
  const chance = random(width)
  for (let round = 0; round < 40; round++) {
    const height = 20
    const r = empty(width, height)
    for (let j = 0; j < height; j++) {
      for (let i = 0; i < width; i++) if (chance.next() < 0.62) paintRun(r, j, i, i, true)
    }
    const labels = labelCopper(r)
    const seen = new Int32Array(width * height).fill(-1)
    let pieces = 0
    for (let s = 0; s < width * height; s++) {
      if (seen[s] !== -1 || !pixelAt(r, s % width, Math.floor(s / width))) continue
      const stack = [s]
      seen[s] = pieces
      while (stack.length > 0) {
        const p = stack.pop()!
        const i = p % width
        const j = (p - i) / width
        for (const [a, b] of [
          [i - 1, j],
          [i + 1, j],
          [i, j - 1],
          [i, j + 1],
        ] as const) {
          if (!pixelAt(r, a, b) || seen[b * width + a] !== -1) continue
          seen[b * width + a] = pieces
          stack.push(b * width + a)
        }
      }
      pieces++
    }
    expect(labels.pieces).toBe(pieces)
    for (let p = 0; p < width * height; p++) {
      expect(pieceAtPixel(labels, p % width, Math.floor(p / width))).toBe(seen[p])
    }
    let sum = 0
    for (let k = 0; k < labels.first.length; k++) sum += labels.last[k]! - labels.first[k]! + 1
    expect(sum).toBe(countBits(r))
  }
})

// Width = tip + 2·depth·tan(angle/2), trigonometry.
test("groove widths of V-shaped tips", () => {
  for (const [tip, angle, depth, width] of [
    [0.1, 30, 0.1, 0.153589838],
    [0.1, 30, 0.2, 0.207179677],
    [0.2, 30, 0.1, 0.253589838],
    [0.1, 90, 0.1, 0.3],
    [0, 60, 0.1, 0.115470054],
  ] as const) {
    expect(widthAt({ tip, angle }, -depth, 0)).toBeCloseTo(width, 9)
  }
  expect(widthAt({ tip: 0.1, angle: 30 }, -0.02, 0.035)).toBeLessThan(0)
})

const outline = [
  { x: 0, y: 0 },
  { x: 30, y: 0 },
  { x: 30, y: 15 },
  { x: 0, y: 15 },
]
const feed = (x0: number, y0: number, z0: number, x1: number, y1: number, z1: number) => ({
  line: 1,
  kind: "feed" as const,
  x0,
  y0,
  z0,
  x1,
  y1,
  z1,
  feed: 300,
  spindle: 12000,
  tool: 1,
  inOwnHole: false,
})

test("one straight pass of 20 mm removes 20·w + π·w²/4 (turning cutter, plan view)", () => {
  const job = {
    outline,
    engraver: { tip: 0.1, angle: 30 },
    engraving: [feed(5, 1, -0.1, 21, 13, -0.1)],
    holes: [],
    foil: 0.035,
  }
  const left = simulateCut(job, { pixel: 0.01, at: "top", height: 0 })
  const w = 0.153589838
  const removed = 450 - countBits(left) * 0.0001
  expect(removed).toBeGreaterThan((20 * w + (Math.PI * w * w) / 4) * 0.98)
  expect(removed).toBeLessThan((20 * w + (Math.PI * w * w) / 4) * 1.02)
})

test("a pass shallower than the foil leaves the foil's bottom whole; a ramp cuts from where it gets through", () => {
  const job = (z0: number, z1: number) => ({
    outline,
    engraver: { tip: 0.2, angle: 30 },
    engraving: [feed(5, 5, z0, 25, 5, z1)],
    holes: [],
    foil: 0.035,
  })
  const bottom = (z0: number, z1: number, height = 0) =>
    simulateCut(job(z0, z1), { pixel: 0.02, at: "bottom", height })
  expect(countBits(bottom(-0.03, -0.03)) * 0.0004).toBeCloseTo(450, 6)
  expect(countBits(bottom(-0.1, -0.1, -0.08)) * 0.0004).toBeCloseTo(450, 6)
  const ramp = bottom(0, -0.07)
  // Halfway down the ramp, at x = 15, the tip reaches the foil's bottom.
  expect(pixelAt(ramp, Math.floor(14.5 / 0.02), Math.floor(5 / 0.02))).toBe(true)
  expect(pixelAt(ramp, Math.floor(15.5 / 0.02), Math.floor(5 / 0.02))).toBe(false)
})
