// The copper partition against brute force: exact distances to every track and land, and a flood on a finer raster.

import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { grooveWidth } from "../0-ground/geometry/groove.ts"
import type { Point } from "../0-ground/geometry/point.ts"
import { pointToSegment, segmentToSegment } from "../0-ground/geometry/segment.ts"
import { finish } from "../0-ground/progress.ts"
import type { Board, Land } from "../5-board/artefact.ts"
import { outlineLength } from "./around-pieces.ts"
import { allowance, copperAreas, grooveRoom, maskedRaster, runOut } from "./copper-areas.ts"
import { type CopperShapes, copperShapes } from "./copper-shapes.ts"
import { grooveChains } from "./groove-chains.ts"
import { grooveSeparation } from "./groove-separation.ts"
import { joinStrokes, polylineLength } from "./join-strokes.ts"
import { nearestPiece } from "./nearest-piece.ts"
import { syntheticBoard } from "./synthetic-boards.testing.ts"

const width = grooveWidth(0.2, 30, 0.1)

const core = (shapes: CopperShapes, s: number): [Point, Point] => [
  { x: shapes.ax[s]!, y: shapes.ay[s]! },
  { x: shapes.bx[s]!, y: shapes.by[s]! },
]

/** Distance of every piece from a point, by the plain formula. */
function pieceDistances(shapes: CopperShapes, p: Point): number[] {
  const least = shapes.pieces.map(() => Number.POSITIVE_INFINITY)
  for (let s = 0; s < shapes.count; s++) {
    const [a, b] = core(shapes, s)
    const d = pointToSegment(p, a, b) - shapes.radius[s]!
    const piece = shapes.piece[s]!
    if (d < least[piece]!) least[piece] = d
  }
  return least
}

const small = (seed: number, lands = 14, clearance = 0.27) =>
  syntheticBoard({ seed, w: 22, h: 16, lands, clearance })

const cut = (board: Board, w = width) => {
  const shapes = copperShapes(board, grooveRoom(w))
  const areas = finish(copperAreas(shapes, board.outline, w))
  return { shapes, areas, grooves: joinStrokes(areas.chains, w / 4).map((points) => ({ points })) }
}

/** Pads alone, for hand-made cases. */
function padBoard(pads: readonly (Partial<Land> & { x: number; y: number })[], w = 20, h = 20): Board {
  return {
    ...syntheticBoard({ seed: 1, w, h, lands: 0 }),
    screws: [],
    lands: pads.map((pad, i) => ({
      ref: `P${i}`,
      pin: "1",
      net: `N${i}`,
      shape: "round",
      w: 1.6,
      h: 1.6,
      rotation: 0,
      hole: 0.8,
      ...pad,
    })),
  }
}

test.each([1, 2, 3, 4, 5, 6])(
  "board %i: every sample belongs to the piece that brute force finds nearest",
  (seed) => {
    const board = small(seed)
    const shapes = copperShapes(board, grooveRoom(width))
    const { raster, mask } = maskedRaster(board.outline, runOut(width), 0.1)
    const { labels } = finish(nearestPiece(shapes, raster, mask))
    let wrong = 0
    for (let j = 0; j < raster.ny; j++) {
      for (let i = 0; i < raster.nx; i++) {
        const label = labels[j * raster.nx + i]!
        expect(label >= 0).toBe(mask[j * raster.nx + i] === 1)
        if (label < 0) continue
        const all = pieceDistances(shapes, { x: raster.x0 + i * raster.step, y: raster.y0 + j * raster.step })
        if (all[label]! > Math.min(...all) + 1e-9) wrong++
      }
    }
    expect(wrong).toBe(0)
  },
)

test("copper within 0.2 mm of what was drawn, or half way to the neighbour, stays with its piece", () => {
  for (let seed = 10; seed < 15; seed++) {
    const board = small(seed)
    const { shapes, grooves } = cut(board)
    const { basins, raster } = flood(board, grooves, width, 0.04)
    const owner = new Map<number, number>()
    shapes.pieces.forEach((piece, p) => {
      const at = sampleAt(raster, piece)
      owner.set(basins[at]!, p)
    })
    expect(owner.size).toBe(shapes.pieces.length)
    let wrong = 0
    let seen = 0
    for (let k = 0; k < basins.length; k += 13) {
      if (basins[k]! < 0) continue
      const i = k % raster.nx
      const all = pieceDistances(shapes, {
        x: raster.x0 + i * raster.step,
        y: raster.y0 + ((k - i) / raster.nx) * raster.step,
      })
      const piece = owner.get(basins[k]!)
      const nearest = Math.min(...all)
      // Straight pieces of a cut may stray from the middle by 0.02 mm.
      if (piece === undefined || nearest > 0.2 - 0.02) continue
      seen++
      if (all[piece]! > nearest + 0.05) wrong++
    }
    expect(seen).toBeGreaterThan(100)
    expect(wrong).toBe(0)
  }
})

test("pulled taut, grooves are shorter than the lines where two pieces are equally far, and part the same pieces", () => {
  for (let seed = 90; seed < 96; seed++) {
    const board = small(seed, 20)
    const { shapes, areas, grooves } = cut(board)
    const middles = finish(grooveChains(shapes, areas.nearest))
    const length = (chains: readonly { readonly points: Float64Array }[]) =>
      chains.reduce((sum, { points: p }) => {
        let l = 0
        for (let k = 2; k < p.length; k += 2) l += Math.hypot(p[k]! - p[k - 2]!, p[k + 1]! - p[k - 1]!)
        return sum + l
      }, 0)
    expect(length(areas.chains)).toBeLessThan(0.97 * length(middles))
    const { joined, broken } = grooveSeparation(shapes, board.outline, grooves, width, 0.02)
    expect([joined, broken]).toEqual([[], []])
  }
})

test("no groove comes nearer to copper than half its width, whatever the board", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 1e6 }),
      fc.integer({ min: 2, max: 18 }),
      fc.double({ min: 0, max: 0.3, noNaN: true }),
      fc.constantFrom(grooveWidth(0.2, 30, 0.1), grooveWidth(0.1, 20, 0.08), grooveWidth(0.1, 60, 0.15)),
      (seed, lands, more, w) => {
        const board = small(seed, lands, w + 0.01 + more)
        const { shapes, grooves } = cut(board, w)
        let least = Number.POSITIVE_INFINITY
        for (const { points } of grooves) {
          for (let k = 1; k < points.length; k++) {
            for (let s = 0; s < shapes.count; s++) {
              const [a, b] = core(shapes, s)
              const d = segmentToSegment(points[k - 1]!, points[k]!, a, b) - shapes.radius[s]!
              least = Math.min(least, d)
            }
          }
        }
        expect(least).toBeGreaterThanOrEqual(w / 2 + allowance - 1e-9)
      },
    ),
    { numRuns: 40, seed: 11 },
  )
})

test("grooves alone, flooded on a finer raster, part every piece", () => {
  for (let seed = 30; seed < 42; seed++) {
    const board = small(seed, 20)
    const { shapes, grooves } = cut(board)
    const { basins, raster } = flood(board, grooves, width, 0.02)
    const found = shapes.pieces.map((piece) => basins[sampleAt(raster, piece)]!)
    expect(found.every((basin) => basin >= 0)).toBe(true)
    expect(new Set(found).size).toBe(shapes.pieces.length)
    for (let s = 0; s < shapes.count; s++) {
      const [a, b] = core(shapes, s)
      for (const p of [a, b]) expect(basins[sampleAt(raster, p)]).toBe(found[shapes.piece[s]!])
    }
  }
})

test("a groove left out is noticed by the room's own check", () => {
  const board = small(50, 16)
  const { shapes, areas } = cut(board)
  const chains = areas.chains.map(({ points }) => ({
    points: Array.from({ length: points.length / 2 }, (_, k) => ({
      x: points[2 * k]!,
      y: points[2 * k + 1]!,
    })),
  }))
  expect(grooveSeparation(shapes, board.outline, chains, width, 0.05).joined).toEqual([])
  let seen = 0
  chains.forEach((chain, c) => {
    if (polylineLength(chain.points) < 2 * width) return
    const without = chains.filter((_, k) => k !== c)
    const { joined } = grooveSeparation(shapes, board.outline, without, width, 0.05)
    expect(joined).toContainEqual([...areas.chains[c]!.pieces])
    seen++
  })
  expect(seen).toBeGreaterThan(10)
})

test("a cut across a track is noticed", () => {
  const board = padBoard([])
  const line = (...xy: number[]) =>
    Array.from({ length: xy.length / 2 }, (_, i) => ({ x: xy[2 * i]!, y: xy[2 * i + 1]! }))
  const shapes = copperShapes(
    { ...board, tracks: [{ net: "A", width: 0.4, points: line(6, 10, 16, 10) }] },
    0.3,
  )
  const across = [{ points: line(11, 0, 11, 30) }]
  expect(grooveSeparation(shapes, board.outline, across, width, 0.05).broken).toEqual([0])
})

describe("what counts as one piece", () => {
  test("two lands of one net without a track stay apart, with a track they are one", () => {
    const apart = padBoard([
      { x: 8, y: 10, net: "A" },
      { x: 14, y: 10, net: "A" },
    ])
    expect(cut(apart).shapes.pieces).toHaveLength(2)
    expect(cut(apart).areas.chains.length).toBeGreaterThan(0)
    const points = [
      { x: 8, y: 10 },
      { x: 14, y: 10 },
    ]
    const joined = { ...apart, tracks: [{ net: "A", width: 0.4, points }] }
    expect(cut(joined).shapes.pieces).toHaveLength(1)
    expect(cut(joined).areas.chains).toEqual([])
  })

  test("an unconnected land is an island of its own", () => {
    const board = padBoard([
      { x: 8, y: 10 },
      { x: 10.54, y: 10, net: undefined! },
      { x: 13.08, y: 10 },
    ])
    const { shapes } = cut(board)
    expect(shapes.pieces.map((p) => p.net)).toEqual(["N0", undefined, "N2"])
  })

  test("the metal round a screw is parted from every net by a groove outside the screw's head", () => {
    const board = {
      ...padBoard([{ x: 12.2, y: 10 }]),
      screws: [{ x: 8, y: 10, diameter: 3.2, keepOut: 3.2 }],
    }
    const { areas } = cut(board)
    const nearest = Math.min(
      ...areas.chains.flatMap(({ points }) =>
        Array.from({ length: points.length / 2 }, (_, k) =>
          Math.hypot(points[2 * k]! - 8, points[2 * k + 1]! - 10),
        ),
      ),
    )
    // The land begins 3.4 mm from the screw; an M3 pan head reaches 2.75 mm (from memory).
    expect(nearest - width / 2).toBeGreaterThan(2.75)
    expect(nearest + width / 2).toBeLessThan(3.4)
  })
})

test("equally spaced pads, where four areas meet in one point, are all parted", () => {
  for (const pitch of [2, 2.54, 3]) {
    const pads = Array.from({ length: 25 }, (_, i) => ({
      x: 5 + (i % 5) * pitch,
      y: 5 + Math.floor(i / 5) * pitch,
    }))
    const board = padBoard(pads)
    const { shapes, grooves } = cut(board)
    const { joined, broken } = grooveSeparation(shapes, board.outline, grooves, width, 0.02)
    expect(joined).toEqual([])
    expect(broken).toEqual([])
    // The hair between two junctions that are really one is not cut for itself.
    for (const { points } of grooves) expect(polylineLength(points)).toBeGreaterThan(width / 4)
  }
})

test("grooves that end, end beyond the edge by more than their width", () => {
  const board = small(60, 16)
  const { areas } = cut(board)
  const [low, , high] = board.outline
  let ends = 0
  for (const { points: p, from, to } of areas.chains) {
    if (from < 0 && to < 0 && p[0] === p[p.length - 2] && p[1] === p[p.length - 1]) continue
    for (const [end, k] of [
      [from, 0],
      [to, p.length - 2],
    ] as const) {
      if (end >= 0) continue
      const beyond = Math.max(low!.x - p[k]!, p[k]! - high!.x, low!.y - p[k + 1]!, p[k + 1]! - high!.y)
      expect(beyond).toBeGreaterThan(width)
      ends++
    }
  }
  expect(ends).toBeGreaterThan(4)
})

test("turned by a quarter the grooves are as long", () => {
  for (const seed of [70, 71]) {
    const board = small(seed)
    const turned: Board = {
      ...board,
      outline: board.outline.map(({ x, y }) => ({ x: 30 - y, y: x })),
      screws: board.screws.map((s) => ({ ...s, x: 30 - s.y, y: s.x })),
      lands: board.lands.map((l) => ({ ...l, x: 30 - l.y, y: l.x, rotation: l.rotation + 90 })),
      tracks: board.tracks.map((t) => ({ ...t, points: t.points.map(({ x, y }) => ({ x: 30 - y, y: x })) })),
    }
    const length = (b: Board) => cut(b).grooves.reduce((sum, g) => sum + polylineLength(g.points), 0)
    expect(length(turned) / length(board)).toBeCloseTo(1, 2)
  }
})

test("one groove between neighbours is at most 0.62 of the way round every net on its own", () => {
  const board = syntheticBoard({ seed: 8, w: 60, h: 45, lands: 70 })
  const { shapes, grooves } = cut(board)
  const partition = grooves.reduce((sum, g) => sum + polylineLength(g.points), 0)
  expect(partition / outlineLength(shapes, width)).toBeLessThan(0.62)
})

test("same board, same grooves", () => {
  expect(cut(small(80)).grooves).toEqual(cut(small(80)).grooves)
})

test.each([
  ["no copper", padBoard([])],
  ["one net", padBoard([{ x: 8, y: 8 }])],
  [
    "no outline",
    {
      ...padBoard([
        { x: 8, y: 8 },
        { x: 12, y: 8 },
      ]),
      outline: [],
    },
  ],
  [
    "an outline without area",
    {
      ...padBoard([]),
      outline: [
        { x: 1, y: 1 },
        { x: 5, y: 1 },
      ],
    },
  ],
])("%s: nothing to cut, no crash", (_, board) => {
  expect(cut(board as Board).grooves).toEqual([])
})

const sampleAt = (raster: { x0: number; y0: number; step: number; nx: number }, p: Point) =>
  Math.round((p.y - raster.y0) / raster.step) * raster.nx + Math.round((p.x - raster.x0) / raster.step)

/** Basins between the grooves by a plain flood: every sample tested against every groove near it. */
function flood(
  board: Board,
  grooves: readonly { readonly points: readonly Point[] }[],
  w: number,
  step: number,
) {
  const [low, , high] = board.outline
  const raster = {
    x0: low!.x,
    y0: low!.y,
    step,
    nx: Math.round((high!.x - low!.x) / step) + 1,
    ny: Math.round((high!.y - low!.y) / step) + 1,
  }
  const basins = new Int32Array(raster.nx * raster.ny)
  for (const { points } of grooves) {
    for (let k = 1; k < points.length; k++) {
      const a = points[k - 1]!
      const b = points[k]!
      const i0 = Math.max(0, Math.floor((Math.min(a.x, b.x) - w - raster.x0) / step))
      const i1 = Math.min(raster.nx - 1, Math.ceil((Math.max(a.x, b.x) + w - raster.x0) / step))
      const j0 = Math.max(0, Math.floor((Math.min(a.y, b.y) - w - raster.y0) / step))
      const j1 = Math.min(raster.ny - 1, Math.ceil((Math.max(a.y, b.y) + w - raster.y0) / step))
      for (let j = j0; j <= j1; j++) {
        for (let i = i0; i <= i1; i++) {
          const p = { x: raster.x0 + i * step, y: raster.y0 + j * step }
          if (pointToSegment(p, a, b) <= w / 2) basins[j * raster.nx + i] = -1
        }
      }
    }
  }
  let basin = 0
  const todo: number[] = []
  for (let start = 0; start < basins.length; start++) {
    if (basins[start] !== 0) continue
    basins[start] = ++basin
    todo.push(start)
    while (todo.length > 0) {
      const k = todo.pop()!
      const i = k % raster.nx
      for (const next of [i > 0 ? k - 1 : -1, i + 1 < raster.nx ? k + 1 : -1, k - raster.nx, k + raster.nx]) {
        if (next < 0 || next >= basins.length || basins[next] !== 0) continue
        basins[next] = basin
        todo.push(next)
      }
    }
  }
  return { basins, raster }
}
