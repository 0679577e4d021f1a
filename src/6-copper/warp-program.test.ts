// Bent programs: the depth below the surface is what it was on a flat one.

import { describe, expect, test } from "vitest"
import { finish } from "../0-ground/progress.ts"
import { boardsOf, cutLamp } from "./cut-lamp.testing.ts"
import { designCut } from "./design-cut.ts"
import { heightAt, readHeights } from "./height-map.ts"
import { type ReadMove, readProgram } from "./read-program.testing.ts"
import { syntheticBoard } from "./synthetic-boards.testing.ts"
import { warpProgram } from "./warp-program.ts"

const csv = (surface: (x: number, y: number) => number, nx = 9, ny = 6, w = 100, h = 60) => {
  const lines = ["x,y,z"]
  for (let j = 0; j < ny; j++) {
    for (let i = 0; i < nx; i++) {
      const x = (w * i) / (nx - 1)
      const y = (h * j) / (ny - 1)
      lines.push(`${x},${y},${surface(x, y)}`)
    }
  }
  return lines.join("\n")
}
const map = (surface: (x: number, y: number) => number, nx = 9, ny = 6) =>
  readHeights(csv(surface, nx, ny)).map!

/** 0.3 mm of bow along x and y together and 0.1 mm of twist, zero at the origin. */
const bowed = (x: number, y: number) => {
  const u = x / 50 - 1
  const v = y / 30 - 1
  return 0.15 * (2 - u * u - v * v) + 0.05 * u * v - 0.05
}

const board = syntheticBoard({ seed: 9, w: 80, h: 44, lands: 40, margin: 4 })
/** Every groove at one depth: no ramps. */
const level = {
  separate: "between",
  direction: "conventional",
  leadIn: 0,
  files: "one-per-tool",
  probes: 12,
} as const
const engrave = finish(designCut({ ...cutLamp(), cutting: level }, boardsOf(board))).plan.programs[0]!.text
const cutting = (text: string): readonly ReadMove[] =>
  readProgram(text).moves.filter((m) => m.kind === "feed" && (m.from[0] !== m.to[0] || m.from[1] !== m.to[1]))

test("on a flat surface nothing is moved but points are added", () => {
  const { text, findings } = warpProgram(
    engrave,
    map(() => 0),
  )
  expect(findings.map((f) => f.severity)).toEqual(["green", "green", "green"])
  const before = cutting(engrave)
  const after = cutting(text!)
  expect(after.length).toBeGreaterThan(before.length)
  for (const m of after) expect(m.to[2]).toBe(-0.1)
  const ends = new Set(after.map((m) => `${m.to[0]} ${m.to[1]}`))
  for (const m of before) expect(ends.has(`${m.to[0]} ${m.to[1]}`)).toBe(true)
})

test("on a tilted plane the depth is kept exactly all along every move", () => {
  const plane = (x: number, y: number) => 0.004 * x - 0.003 * y
  const { text } = warpProgram(engrave, map(plane, 2, 2))
  for (const { from, to } of cutting(text!)) {
    for (const t of [0, 0.3, 0.7, 1]) {
      const [x, y, z] = [0, 1, 2].map((k) => from[k]! + t * (to[k]! - from[k]!)) as [number, number, number]
      expect(z - plane(x, y)).toBeCloseTo(-0.1, 3)
    }
  }
})

test("on a bowed sheet measured every 12 mm the depth errs by less than the curvature allows", () => {
  const { text } = warpProgram(engrave, map(bowed))
  let worst = 0
  for (const { from, to } of cutting(text!)) {
    for (let t = 0; t <= 1; t += 0.1) {
      const [x, y, z] = [0, 1, 2].map((k) => from[k]! + t * (to[k]! - from[k]!)) as [number, number, number]
      worst = Math.max(worst, Math.abs(z - bowed(x, y) + 0.1))
    }
  }
  // Straight between places h apart errs by h²/8 · curvature: 12.5²/8 · 0.3/50² + 12²/8 · 0.3/30² = 8.3 µm.
  expect(worst).toBeLessThan(0.0083 + 0.001 + 0.003)
  expect(worst).toBeGreaterThan(0.002)
})

test("rapid moves keep their height, the rest of the program its words", () => {
  const { text } = warpProgram(engrave, map(bowed))
  const { moves, comments } = readProgram(text!)
  for (const m of moves) {
    if (m.kind === "rapid" && (m.from[0] !== m.to[0] || m.from[1] !== m.to[1])) expect(m.to[2]).toBe(3)
  }
  expect(comments.some((c) => c.startsWith("bent to a measured surface"))).toBe(true)
  for (const word of ["G54", "S12000 M3", "M5", "M30"]) expect(text!.split("\n")).toContain(word)
})

test("an arc follows the surface in chords", () => {
  const program =
    "G21 G90 G94 G17\nG0 Z3\nS1000 M3\nG0 X15 Y10\nG1 Z-1 F60\nG3 X15 Y10 I-5 J0 F300\nG0 Z3\nM5\nM30\n"
  const { text } = warpProgram(
    program,
    map((x) => 0.01 * x, 2, 2),
  )
  const round = cutting(text!)
  const length = round.reduce((s, m) => s + Math.hypot(m.to[0] - m.from[0], m.to[1] - m.from[1]), 0)
  expect(length).toBeCloseTo(10 * Math.PI, 1)
  for (const { to } of round) {
    expect(Math.hypot(to[0] - 10, to[1] - 10)).toBeCloseTo(5, 3)
    expect(to[2]).toBeCloseTo(-1 + 0.01 * to[0], 3)
  }
})

test.each([
  ["G92", "G21\nG0 Z3\nG92 X0\nM30\n"],
  ["G43", "G21\nG43 H1 Z3\nM30\n"],
  ["increment", "G91\nG0 Z3\nM30\n"],
  ["before any F", "G21\nG0 Z3\nG81 X1 Y1 Z-1 R1\nM30\n"],
  ["without Z or R", "G21\nG0 Z3\nG81 X1 Y1 R1 F100\nM30\n"],
  ["ends where it began", "G21\nG0 Z3 X1 Y1\nG2 X1 Y1 R5 F100\nM30\n"],
  ["height", "G21\nG0 X3\nM30\n"],
  ["before any F", "G21\nG0 Z3\nG1 X3\nM30\n"],
  ["cannot be read", "G21\nG0 Z3\nG1 X3; fast\nM30\n"],
])("what cannot be bent is refused: %s", (word, program) => {
  const { text, findings } = warpProgram(
    program,
    map(() => 0),
  )
  expect(text).toBeUndefined()
  expect(findings[0]!.severity).toBe("red")
  expect(findings[0]!.title).toContain(word)
  expect(findings[0]!.where.line).toBeGreaterThan(0)
})

describe("what other programs use comes out as plain absolute millimetres", () => {
  const tilted = map((x) => 0.01 * x, 2, 2)
  const bentMoves = (program: string) => {
    const { text, findings } = warpProgram(program, tilted)
    expect(findings.every((f) => f.severity !== "red")).toBe(true)
    return readProgram(text!).moves.filter((m) => m.kind === "feed")
  }

  test("inches", () => {
    const [, cut] = bentMoves("G20 G90\nG0 Z0.1\nG0 X1 Y0\nG1 Z-0.004 F10\nG1 X2\nG0 Z0.1\nM30\n")
    expect(cut!.from[0]).toBeCloseTo(25.4, 6)
    const all = bentMoves("G20 G90\nG0 Z0.1\nG0 X1 Y0\nG1 Z-0.004 F10\nG1 X2\nG0 Z0.1\nM30\n")
    const last = all[all.length - 1]!
    expect(last.to[0]).toBeCloseTo(50.8, 4)
    expect(last.to[2]).toBeCloseTo(-0.1016 + 0.508, 4)
    expect(last.feed).toBeCloseTo(254, 4)
  })

  test("increments give the moves of the same program written absolutely", () => {
    const tail = "G0 Z3\nM30\n"
    const plain = bentMoves(`G21 G90\nG0 Z3\nG0 X5 Y5\nG1 Z-0.1 F60\nG1 X25 Y5\nG1 X25 Y15\n${tail}`)
    const steps = bentMoves(`G21 G90\nG0 Z3\nG0 X5 Y5\nG91\nG1 Z-3.1 F60\nG1 X20\nG1 Y10\nG90\n${tail}`)
    expect(steps.map((m) => m.to)).toEqual(plain.map((m) => m.to))
  })

  test("an arc by its radius is the arc by its centre, short and long way round", () => {
    const head = "G21 G90 G17\nG0 Z3\nG0 X20 Y10\nG1 Z-0.1 F60\n"
    for (const [r, i, j] of [
      ["R10", "I-10", "J0"],
      ["R-10", "I0", "J10"],
    ]) {
      const byRadius = bentMoves(`${head}G3 X10 Y20 ${r} F100\nG0 Z3\nM30\n`)
      const byCentre = bentMoves(`${head}G3 X10 Y20 ${i} ${j} F100\nG0 Z3\nM30\n`)
      expect(byRadius).toHaveLength(byCentre.length)
      byRadius.forEach((m, k) => {
        expect(Math.hypot(m.to[0] - byCentre[k]!.to[0], m.to[1] - byCentre[k]!.to[1])).toBeLessThan(2e-4)
      })
    }
  })

  test("drilling cycles: each hole as deep below its own surface, pecks and all", () => {
    const { text } = warpProgram(
      "G21 G90\nG0 Z3\nG99 G81 X10 Y5 Z-2 R1 F120\nX40\nG83 X50 Y5 Z-2 R1 Q1.2\nG80\nG0 Z3\nM30\n",
      tilted,
    )
    const down = readProgram(text!).moves.filter((m) => m.kind === "feed")
    expect(down.map((m) => [m.to[0], Number(m.to[2].toFixed(4))])).toEqual([
      [10, -1.9],
      [40, -1.6],
      [50, 0.3],
      [50, -0.9],
      [50, -1.5],
    ])
  })

  test("what the grid does not catch is told against a third of the depth", () => {
    const spike = readHeights("0,0,0\n10,0,0\n20,0,0\n0,10,0\n10,10,0.2\n20,10,0\n0,20,0\n10,20,0\n20,20,0\n")
      .map!
    const { findings, figures } = warpProgram("G21 G90\nG0 Z3\nG1 Z-0.1 F60\nG1 X20\nG0 Z3\nM30\n", spike)
    const told = findings.find((f) => f.code === "cut.heights-residual")!
    expect(told.severity).toBe("amber")
    expect(told.measured!.value).toBeCloseTo(0.05, 9)
    expect(figures.some((f) => f.id === told.figure && f.value === told.measured!.value)).toBe(true)
  })
})

test("a surface that rises into the rapid moves is red; cutting far off the grid is amber", () => {
  expect(
    warpProgram(
      engrave,
      map(() => 2.8),
    ).findings.map((f) => f.severity),
  ).toEqual(["red", "green", "green"])
  const small = readHeights(csv(() => 0, 3, 3, 20, 20)).map!
  expect(warpProgram(engrave, small).findings.map((f) => f.severity)).toEqual(["green", "amber", "green"])
})

describe("height maps", () => {
  test("bilinear in a cell, the edge's height outside", () => {
    const m = readHeights("0,0,0\n10,0,1\n0,10,2\n10,10,5").map!
    expect(heightAt(m, 5, 5)).toBe(2)
    expect(heightAt(m, 2.5, 0)).toBe(0.25)
    expect(heightAt(m, -4, 5)).toBe(1)
    expect(heightAt(m, 50, 50)).toBe(5)
  })
  test("any order of lines, other separators, remarks and a heading", () => {
    const m = readHeights("# probe\nX;Y;Z\n10;10;5\n0;10;2\n\n10;0;1\n0;0;0\n")
    expect(m.findings).toEqual([])
    expect(m.map).toEqual({ xs: [0, 10], ys: [0, 10], z: [0, 1, 2, 5] })
  })
  test.each([
    ["a gap", "0,0,0\n10,0,1\n0,10,2", "lacks"],
    ["a double", "0,0,0\n10,0,1\n0,10,2\n0,10,3", "twice"],
    ["a word", "0,0,0\n10,zero,1", "not three numbers"],
    ["one row", "0,0,0\n10,0,1", "at least two"],
    ["nothing", "", "at least two"],
  ])("%s is refused", (_, text, word) => {
    const { map: none, findings } = readHeights(text)
    expect(none).toBeUndefined()
    expect(findings[0]!.title).toContain(word)
  })
})

test("a place no machine reaches is refused, not split into millions of moves", () => {
  const { map } = readHeights("x,y,z\n0,0,0\n10,0,0\n0,10,0\n10,10,0\n", "h.csv")
  const bent = warpProgram("G21 G90\nF100 G1 Z-0.1\nG1 X1e9 Y0\n".replace("1e9", "9".repeat(300)), map!)
  expect(bent.text).toBeUndefined()
  expect(bent.findings[0]).toMatchObject({ severity: "red", where: { line: 3 } })
})
