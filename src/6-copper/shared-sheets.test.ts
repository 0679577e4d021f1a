// Boards on shared sheets: what is packed keeps its distance by arithmetic of the test's own, and the sheet's programs
// make what the boards' own programs make, in place.

import { describe, expect, test } from "vitest"
import type { Figure } from "../0-ground/figure.ts"
import type { Point } from "../0-ground/geometry/point.ts"
import { boundingBox, contains } from "../0-ground/geometry/polygon.ts"
import { segmentToSegment } from "../0-ground/geometry/segment.ts"
import { random } from "../0-ground/numbers/random.ts"
import { finish } from "../0-ground/progress.ts"
import type { Cutting } from "../2-lamp/artefact.ts"
import type { Board } from "../5-board/artefact.ts"
import type { BoardPlace, SheetPlan } from "./artefact.ts"
import { convexParts, convexSum } from "./convex-parts.ts"
import { boardsOf, cutLamp } from "./cut-lamp.testing.ts"
import { designCut } from "./design-cut.ts"
import { type PackAsk, packSheets } from "./pack-sheets.ts"
import { readProgram } from "./read-program.testing.ts"
import { syntheticBoard } from "./synthetic-boards.testing.ts"

const rect = (w: number, h: number): Point[] => [
  { x: 0, y: 0 },
  { x: w, y: 0 },
  { x: w, y: h },
  { x: 0, y: h },
]
/** Half a ring: a bounding box twice the size of what is in it. */
const crescent = (outer: number, inner: number): Point[] => {
  const arc = (r: number, k: number) => ({
    x: outer + r * Math.cos((Math.PI * k) / 24),
    y: r * Math.sin((Math.PI * k) / 24),
  })
  return [
    ...Array.from({ length: 25 }, (_, k) => arc(outer, k)),
    ...Array.from({ length: 25 }, (_, k) => arc(inner, 24 - k)),
  ]
}
const pack = (outlines: readonly Point[][], change: Partial<PackAsk> = {}) =>
  finish(
    packSheets({
      pieces: outlines.map((outline, k) => ({ name: `b${k}`, outline })),
      sheet: { w: 100, h: 160 },
      edge: 5,
      kerf: 1.5,
      gap: 2,
      seed: 1,
      ...change,
    }),
  )

/** Turned by the definition of a rotation, not by the packing's own table. */
const inPlace = (ring: readonly Point[], { turn, x, y }: BoardPlace): Point[] => {
  const a = (turn * Math.PI) / 180
  return ring.map((p) => ({
    x: p.x * Math.cos(a) - p.y * Math.sin(a) + x,
    y: p.x * Math.sin(a) + p.y * Math.cos(a) + y,
  }))
}
const apart = (a: readonly Point[], b: readonly Point[]): number => {
  if (a.some((p) => contains(b, p)) || b.some((p) => contains(a, p))) return 0
  let least = Number.POSITIVE_INFINITY
  a.forEach((p, i) => {
    b.forEach((q, j) => {
      least = Math.min(least, segmentToSegment(p, a[(i + 1) % a.length]!, q, b[(j + 1) % b.length]!))
    })
  })
  return least
}
const check = (outlines: readonly Point[][], sheet: readonly BoardPlace[], size = { w: 100, h: 160 }) => {
  const rings = sheet.map((p) => inPlace(outlines[Number(p.board.slice(1))]!, p))
  rings.forEach((ring, i) => {
    const box = boundingBox(ring)
    // The router's kerf outside the board, and the edge for the clamps.
    expect(Math.min(box.minX, box.minY)).toBeGreaterThanOrEqual(6.5 - 1e-6)
    expect(box.maxX).toBeLessThanOrEqual(size.w - 6.5 + 1e-6)
    expect(box.maxY).toBeLessThanOrEqual(size.h - 6.5 + 1e-6)
    for (const other of rings.slice(i + 1)) expect(apart(ring, other)).toBeGreaterThanOrEqual(2 * 1.5 + 2)
  })
}

describe("packing", () => {
  test("80 random sets: every board once, apart by two kerfs and the gap, off the clamps", {
    timeout: 120_000,
  }, () => {
    for (let seed = 1; seed <= 80; seed++) {
      const { next } = random(seed)
      const outlines = Array.from({ length: 2 + Math.floor(next() * 4) }, () =>
        next() < 0.4 ? crescent(14 + 16 * next(), 6 + 6 * next()) : rect(12 + 60 * next(), 10 + 40 * next()),
      )
      const { sheets, left } = pack(outlines, { seed })
      expect(left).toEqual([])
      expect(sheets.flatMap((s) => s.map((p) => p.board)).sort()).toEqual(outlines.map((_, k) => `b${k}`))
      for (const sheet of sheets) check(outlines, sheet)
    }
  })
  test("crescents nest where their boxes would not fit", () => {
    const outlines = [crescent(38, 27), crescent(38, 27), crescent(38, 27)]
    const { sheets } = pack(outlines)
    expect(sheets.length).toBe(1)
    check(outlines, sheets[0]!)
    // By boxes: 76 × 38 mm and two kerfs and the gap each; three stand 3 · 43 − 2 mm high.
    const end = Math.max(...sheets[0]!.map((p, k) => boundingBox(inPlace(outlines[k]!, p)).maxY))
    expect(end).toBeLessThan(5 + 3 * 43)
  })
  test("a board is turned where it fits no other way, to the last micrometre, and one that fits no way is left", () => {
    const exact = pack([rect(147, 87)])
    expect(exact.sheets[0]![0]!.turn % 180).toBe(90)
    check([rect(147, 87)], exact.sheets[0]!)
    expect(pack([rect(147.01, 87)]).left).toEqual(["b0"])
    const some = pack([rect(200, 20), rect(20, 20)])
    expect([some.left, some.sheets.length]).toEqual([["b0"], 1])
    expect(pack([[]]).left).toEqual(["b0"])
  })
  test("as many sheets as it takes: four that fill one each, and one more beside the smallest", () => {
    const outlines = [rect(80, 140), rect(80, 140), rect(80, 100), rect(80, 30)]
    const { sheets } = pack(outlines)
    expect(sheets.length).toBe(3)
    for (const sheet of sheets) check(outlines, sheet)
  })
  test("the same asks give the same places", () => {
    const outlines = [crescent(30, 20), rect(40, 20), rect(30, 50)]
    expect(pack(outlines)).toEqual(pack(outlines))
  })
})

test("convex parts cover a ring and their sums its Minkowski sum, by areas", () => {
  const area = (ring: readonly Point[]) =>
    ring.reduce(
      (s, p, k) => s + (p.x * ring[(k + 1) % ring.length]!.y - ring[(k + 1) % ring.length]!.x * p.y) / 2,
      0,
    )
  const ring = crescent(30, 20)
  const parts = convexParts(ring)
  expect(parts.length).toBeLessThan(30)
  expect(parts.reduce((s, p) => s + area(p), 0)).toBeCloseTo(area(ring), 6)
  for (const part of parts)
    part.forEach((p, k) => {
      const [q, r] = [part[(k + 1) % part.length]!, part[(k + 2) % part.length]!]
      expect((q.x - p.x) * (r.y - q.y) - (q.y - p.y) * (r.x - q.x)).toBeGreaterThanOrEqual(-1e-9)
    })
  // Two rectangles: sides add.
  const sum = convexSum(rect(4, 3), rect(2, 5))
  expect([area(sum), boundingBox(sum).maxX, boundingBox(sum).maxY]).toEqual([48, 6, 8])
})

describe("the programs of a sheet", () => {
  const board = (name: string, seed: number, w: number, h: number): Board => ({
    ...syntheticBoard({ seed, w, h, lands: 16, margin: 4 }),
    name,
  })
  const boards = [
    board("front", 3, 44, 30),
    { ...board("left", 4, 30, 40), slots: [{ from: { x: 14, y: 5.6 }, to: { x: 20, y: 5.6 }, width: 2 }] },
  ]
  const ways: Cutting = {
    separate: "between",
    direction: "conventional",
    leadIn: 1,
    files: "one-per-tool",
    probes: 12,
  }
  const cut = (change: Partial<Cutting> = {}, given: readonly Board[] = boards) =>
    finish(designCut({ ...cutLamp(), cutting: { ...ways, ...change } }, boardsOf(...given)))
  const own = cut()
  const shared = { clampingEdge: 5, boardGap: 2 }
  const both = cut({ shared })
  const sheet: SheetPlan = both.plan.sheets![0]!

  test("the boards' own programs are the same to the byte, and none of the old names is taken", () => {
    expect(both.plan.programs).toEqual(own.plan.programs)
    expect(own.plan.sheets).toBeUndefined()
    const names = sheet.programs.map((p) => p.file)
    expect(names[0]).toBe("sheet-1-1-engrave.ngc")
    expect(names[names.length - 1]).toBe("sheet-1-9-outline.ngc")
    expect(both.plan.extras!.map((e) => e.file)).toContain("sheet-1-0-probe.ngc")
    const odd = cut({ shared }, [{ ...boards[0]!, name: "sheet-1" }])
    expect(odd.plan.sheets!.map((s) => s.name)).toEqual(["whole-sheet-1"])
  })
  test("one run for each tool, in a single board's order; as much is cut as by the boards' own", () => {
    expect(sheet.programs.map((p) => p.purpose)).toEqual(["engrave", "drill", "drill", "drill", "outline"])
    const sizes = sheet.programs.filter((p) => p.purpose === "drill").map((p) => p.toolDiameter)
    expect(sizes).toEqual([...sizes].sort((a, b) => a - b))
    for (const purpose of ["engrave", "drill", "outline"] as const) {
      const sum = (programs: SheetPlan["programs"], of: "cutLength" | "plunges") =>
        programs.filter((p) => p.purpose === purpose).reduce((s, p) => s + p[of], 0)
      expect(sum(sheet.programs, "cutLength")).toBeCloseTo(sum(own.plan.programs, "cutLength"), 1)
      expect(sum(sheet.programs, "plunges")).toBe(sum(own.plan.programs, "plunges"))
    }
    const time = sheet.programs.reduce((s, p) => s + p.time, 0)
    expect(time).toBeLessThan(own.plan.programs.reduce((s, p) => s + p.time, 0))
  })
  test("every hole lies where its board's does, turned and moved; nothing lies below zero or beyond the clamps", () => {
    for (const p of sheet.programs) {
      const read = readProgram(p.text)
      for (const m of read.moves) {
        const [x, y] = m.to
        expect(Math.min(x, y)).toBeGreaterThanOrEqual(0)
        expect(x).toBeLessThanOrEqual(95)
        expect(y).toBeLessThanOrEqual(155)
      }
    }
    const holes = sheet.programs
      .filter((p) => p.purpose === "drill")
      .flatMap((p) => readProgram(p.text).moves.filter((m) => m.kind === "feed" && m.to[2] < 0))
    const wanted = boards.flatMap((b) => {
      const place = sheet.places.find((p) => p.board === b.name)!
      return inPlace([...b.lands, ...b.screws], place)
    })
    expect(holes.length).toBe(wanted.length)
    for (const w of wanted)
      expect(holes.some((h) => Math.hypot(h.to[0] - w.x, h.to[1] - w.y) < 1e-3)).toBe(true)
  })
  test("a board too large for the clamps is told with the change that makes it fit, which does", () => {
    const wide = cut({ shared }, [...boards, board("wide", 5, 90, 30)])
    const told = wide.plan.findings.find((f) => f.code === "cut.sheet-left-out")
    expect(told).toBeUndefined()
    const tooWide = [...boards, board("wide", 5, 152, 92)]
    const left = cut({ shared }, tooWide).plan.findings.find((f) => f.code === "cut.sheet-left-out")!
    expect(left.severity).toBe("amber")
    const fits = Number.parseFloat(String(left.remedies![0]!.changes[0]!.value))
    expect(fits).toBe(2.5)
    const mended = cut({ shared: { ...shared, clampingEdge: fits } }, tooWide)
    expect(mended.plan.findings.some((f) => f.code === "cut.sheet-left-out")).toBe(false)
    expect(mended.plan.sheets!.flatMap((s) => s.places).length).toBe(3)
  })
  test("every number told of a sheet has a figure with its inputs, and every limit its source", () => {
    const { plan } = cut({ shared }, [...boards, board("wide", 5, 152, 92)])
    const told = plan.findings.filter((f) => /^cut\.sheet/.test(f.code) || f.where.path === "cutting.sheet")
    const codes = new Set(told.map((f) => f.code))
    for (const code of ["cut.sheets", "cut.sheet-used", "cut.sheet-left-out", "cut.travel-near-bound"])
      expect(codes).toContain(code)
    const asked = (f: Figure): boolean =>
      (f.source !== undefined || (f.formula !== undefined && (f.inputs?.length ?? 0) > 0)) &&
      (f.inputs ?? []).every(asked)
    for (const f of told) {
      expect(f.source, f.code).toBeDefined()
      const figure = plan.figures.find((g) => g.id === f.figure)
      expect(figure, `${f.code}: ${f.figure}`).toBeDefined()
      expect(figure!.value).toBe(f.measured!.value)
      expect(asked(figure!), figure!.id).toBe(true)
    }
    // 160 − (152 + 2 · 1.5) leaves 2.5 mm on either side, 100 − (92 + 3) as much: worked by hand.
    const room = plan.figures.find((g) => g.id === "cut.wide.clamping-room")!
    expect(room.value).toBeCloseTo(2.5, 9)
  })
  test("one file: the sheet's programs too, with stops between", () => {
    const one = cut({ shared, files: "one" })
    expect(one.plan.extras!.filter((e) => e.kind === "one-file").map((e) => e.file)).toEqual([
      "front-all.ngc",
      "left-all.ngc",
      "sheet-1-all.ngc",
    ])
  })
})
