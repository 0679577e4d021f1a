// A shared sheet's programs against the boards: sound ones pass, and whatever is moved, left out, exchanged or cut too
// far is found by the proof's own reading of the text.

import { beforeAll, describe, expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { CutterProgram, SheetPlan } from "../../6-copper/artefact.ts"
import { boardsOf, cutLamp } from "../../6-copper/cut-lamp.testing.ts"
import { designCut } from "../../6-copper/design-cut.ts"
import { syntheticBoard as randomBoard } from "../../6-copper/synthetic-boards.testing.ts"
import { readCutProgram } from "../cut/read-cut-program.ts"
import { drilledHoles } from "../cut/simulate-cut.ts"
import { findBoards } from "./find-boards.ts"
import { proveSheet } from "./prove-sheet.ts"

const board = (name: string, seed: number, w: number, h: number): Board => {
  const made = randomBoard({ seed, w, h, lands: 14, margin: 4 })
  const refOf = (ref: string) => `${name}${ref}`
  return {
    ...made,
    name,
    lands: made.lands.map((l) => ({ ...l, ref: refOf(l.ref) })),
    parts: made.parts.map((p) => ({ ...p, ref: refOf(p.ref) })),
  }
}
const boards = [board("front", 5, 40, 28), board("left", 6, 46, 20), board("right", 7, 30, 36)]
const cutting = {
  separate: "between",
  direction: "conventional",
  leadIn: 1,
  files: "one-per-tool",
  probes: 12,
  shared: { clampingEdge: 5, boardGap: 2 },
} as const
const lamp: Lamp = { ...cutLamp(), cutting }
// A land of a made-up board carries its own net; what its parts are does not matter here.
const wanted = {
  pins: new Map<string, ReadonlyMap<string, string>>(
    [...new Set(boards.flatMap((b) => b.lands.map((l) => l.ref)))].map((ref) => [
      ref,
      new Map(
        boards.flatMap((b) =>
          b.lands.flatMap((l) => (l.ref === ref && l.net !== undefined ? [[l.pin, l.net] as const] : [])),
        ),
      ),
    ]),
  ),
  pads: new Map<string, string>(),
  faults: [],
}
let sheet: SheetPlan
beforeAll(() => {
  const { plan } = finish(designCut(lamp, boardsOf(...boards)))
  expect(plan.sheets?.length).toBe(1)
  sheet = plan.sheets![0]!
}, 60_000)

const prove = (changed: SheetPlan = sheet) =>
  finish(proveSheet(lamp, boards, changed, wanted, () => undefined, "earth"))
const reds = (changed?: SheetPlan) =>
  prove(changed)
    .findings.filter((f) => f.severity === "red")
    .map((f) => f.code)
const edited = (purpose: CutterProgram["purpose"], edit: (text: string) => string): SheetPlan => ({
  ...sheet,
  programs: sheet.programs.map((p) => (p.purpose === purpose ? { ...p, text: edit(p.text) } : p)),
})
const shiftX = (text: string, by: number) =>
  text.replace(/X(-?[\d.]+)/g, (_, x) => `X${(Number(x) + by).toFixed(4)}`)
/** Strokes as the writer makes them: from the travel over the start to the rise. */
const strokes = (text: string) => text.split("G0 Z3\n")

test("sound programs pass: every board is found, whole, apart from the others and off the clamps", () => {
  const seen = prove()
  expect(seen.findings.filter((f) => f.severity === "red")).toEqual([])
  expect(seen.proof.boards.map((b) => b.board)).toEqual(["front", "left", "right"])
  for (const b of seen.proof.boards) {
    expect(b.shorts).toEqual([])
    expect(b.opens).toEqual([])
    expect(b.narrowestCopper).toBeGreaterThan(0)
  }
  const told = (code: string) => seen.findings.filter((f) => f.code === `proof.${code}`)
  expect(told("netlist").map((f) => [f.severity, f.where.board])).toEqual([
    ["green", "front"],
    ["green", "left"],
    ["green", "right"],
  ])
  expect(told("sheet-boards")[0]!.severity).toBe("green")
  expect(told("sheet-clamps")[0]!.measured!.value).toBeGreaterThanOrEqual(5)
  // Two kerfs and the gap lie between two edges; half of it belongs to the other kerf.
  expect(told("sheet-apart")[0]!.measured!.value).toBeGreaterThanOrEqual(2 + 1.5)
  const ids = seen.figures.map((f) => f.id)
  const own = ids.filter((id) => id.startsWith("proof."))
  expect(new Set(own).size).toBe(own.length)
  for (const f of seen.findings) if (f.figure) expect(ids).toContain(f.figure)
  for (const f of seen.findings.filter(({ code }) => code.startsWith("proof.sheet-"))) {
    const figure = seen.figures.find(({ id }) => id === f.figure)!
    expect(f.source, f.code).toBeDefined()
    expect(figure.source, f.code).toBeDefined()
    expect(figure.value).toBe(f.measured!.value)
  }
})

describe("the search for boards", () => {
  const holes = () =>
    sheet.programs
      .filter((p) => p.purpose === "drill")
      .flatMap((p) => drilledHoles(readCutProgram(p.text).moves, p.toolDiameter))

  test("finds each where the packing put it, and one hole displaced hides none", () => {
    const all = holes()
    for (const moved of [undefined, 0, 7, all.length - 1]) {
      const spoilt = all.map((h, k) => (k === moved ? { ...h, x: h.x + 0.4 } : h))
      const found = findBoards(boards, spoilt, [])
      expect(found.map((f) => f.board.name)).toEqual(["front", "left", "right"])
      for (const f of found) {
        const place = sheet.places.find((p) => p.board === f.board.name)!
        expect(f.quarters).toBe(place.turn / 90)
        expect(Math.hypot(f.x - place.x, f.y - place.y)).toBeLessThan(1e-3)
      }
    }
  })
  test("a pattern that looks the same turned is told apart by its grooves", () => {
    // Two lands and one track off the middle: the holes lie the same half a turn on, the track does not.
    const pair: Board = {
      ...boards[0]!,
      name: "pair",
      lands: [10, 30].map((x, k) => ({ ...boards[0]!.lands[0]!, ref: `P${k}`, x, y: 14 })),
      screws: [],
      tracks: [
        {
          net: "A",
          width: 1,
          points: [
            { x: 10, y: 14 },
            { x: 20, y: 22 },
            { x: 30, y: 14 },
          ],
        },
      ],
    }
    const groove = (y: number) => [
      {
        ...readCutProgram("G21 G90 G0 Z1\nG1 Z-0.1 F60\nG1 X1 F60\nM30").moves[2]!,
        x0: 20,
        x1: 20,
        y0: 0,
        y1: y,
      },
    ]
    const drilled = [
      { x: 10, y: 14 },
      { x: 30, y: 14 },
    ]
    // A groove up from the edge, short of a track above the middle, across one below it.
    expect(findBoards([pair], drilled, groove(12)).map((f) => f.quarters)).toEqual([0])
    const above = groove(12).map((m) => ({ ...m, y0: 28, y1: 16 }))
    expect(findBoards([pair], drilled, above).map((f) => f.quarters)).toEqual([2])
  })
})

describe("a sheet program that is spoilt is caught", () => {
  test("grooves half a millimetre aside end short of the edge: nets run together on every board", () => {
    const seen = prove(edited("engrave", (t) => shiftX(t, 0.5)))
    for (const b of seen.proof.boards) expect(b.shorts.length, b.board).toBeGreaterThan(0)
    // A third of a millimetre leaves a gap, a narrow one.
    const near = prove(edited("engrave", (t) => shiftX(t, 0.3))).findings
    const thin = near.filter((f) => f.code === "proof.narrowest-groove")
    expect(thin.map((f) => f.severity)).toContain("amber")
  })
  test("any groove left out: two nets of one board run together, or the groove parts nothing", () => {
    let caught = 0
    const text = sheet.programs.find((p) => p.purpose === "engrave")!.text
    const count = strokes(text).length
    for (const k of [2, Math.floor(count / 2), count - 3]) {
      const without = edited("engrave", (t) =>
        strokes(t)
          .filter((_, s) => s !== k)
          .join("G0 Z3\n"),
      )
      if (reds(without).some((c) => ["proof.short", "proof.netlist"].includes(c))) caught++
    }
    expect(caught).toBeGreaterThanOrEqual(2)
  })
  test("grooves over a land leave no copper to solder on", () => {
    const found = sheet.places.find((p) => p.board === "front")!
    const at = boards[0]!.lands[0]!
    const centre = [
      [at.x, at.y],
      [-at.y, at.x],
      [-at.x, -at.y],
      [at.y, -at.x],
    ][found.turn / 90]!
    const [x, y] = [centre[0]! + found.x, centre[1]! + found.y]
    const rings = [0.5, 0.7, 0.9, 1.1, 1.3].flatMap((r) =>
      Array.from({ length: 25 }, (_, k) => {
        const a = (k * Math.PI) / 12
        const to = `X${(x + r * Math.cos(a)).toFixed(3)} Y${(y + r * Math.sin(a)).toFixed(3)}`
        return k === 0 ? `G0 Z3\nG0 ${to}\nG1 Z-0.1 F60` : `G1 ${to} F200`
      }),
    )
    const codes = reds(edited("engrave", (t) => t.replace("M5", `${rings.join("\n")}\nG0 Z3\nM5`)))
    expect(codes).toContain("proof.land-bare")
  })
  test("a hole left out or drilled beside its place", () => {
    const text = sheet.programs.find((p) => p.purpose === "drill")!.file
    const one = (edit: (lines: string[]) => string[]) => ({
      ...sheet,
      programs: sheet.programs.map((p) =>
        p.file === text
          ? {
              ...p,
              text: strokes(p.text)
                .map((s, k) => (k === 3 ? edit([s])[0]! : s))
                .join("G0 Z3\n"),
            }
          : p,
      ),
    })
    expect(reds(one(() => [""]))).toContain("proof.hole-missing")
    expect(reds(one(([s]) => [shiftX(s!.includes("X") ? s! : `G0 X1\n${s}`, 0.2)]))).toContain(
      "proof.hole-missing",
    )
  })
  test("the router in another board", () => {
    const target = sheet.places.find((p) => p.board === "left")!
    const own = boards[1]!.outline
    const mid = { x: (own[0]!.x + own[2]!.x) / 2, y: (own[0]!.y + own[2]!.y) / 2 }
    const q = [
      [mid.x, mid.y],
      [-mid.y, mid.x],
      [-mid.x, -mid.y],
      [mid.y, -mid.x],
    ][target.turn / 90]!
    // From the last point of an outline on into the other board, without a lift.
    const into = `G1 X${(q[0]! + target.x).toFixed(3)} Y${(q[1]! + target.y).toFixed(3)} F240\nG0 Z3\nM5`
    const codes = reds(edited("outline", (t) => t.replace(/G0 Z3\nM5/, into)))
    expect(codes).toContain("proof.sheet-apart")
  })
  test("a board drilled elsewhere than it is drawn, and one that is not drilled at all", () => {
    const [first, ...rest] = sheet.places
    expect(reds({ ...sheet, places: [{ ...first!, x: first!.x + 1 }, ...rest] })).toContain(
      "proof.sheet-boards",
    )
    expect(
      reds({ ...sheet, places: [{ ...first!, turn: ((first!.turn + 180) % 360) as 0 }, ...rest] }),
    ).toContain("proof.sheet-boards")
    expect(reds({ ...sheet, programs: sheet.programs.filter((p) => p.purpose !== "drill") })).toContain(
      "proof.sheet-boards",
    )
  })
  test("a board that is not cut round, and one whose place is taken for the clamps", () => {
    const half = edited("outline", (t) => {
      const parts = strokes(t)
      return [...parts.slice(0, -2), ...parts.slice(-1)].join("G0 Z3\n")
    })
    expect(reds(half)).toContain("proof.outline")
    const wide = { ...lamp, cutting: { ...cutting, shared: { clampingEdge: 9, boardGap: 2 } } }
    const seen = finish(proveSheet(wide, boards, sheet, wanted, () => undefined, "earth"))
    expect(seen.findings.find((f) => f.code === "proof.sheet-clamps")!.severity).toBe("amber")
  })
})
