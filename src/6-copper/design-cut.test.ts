// The cut of whole boards, judged from the programs' text: grammar, safety, completeness, findings.

import { beforeAll, describe, expect, test } from "vitest"
import type { Finding } from "../0-ground/finding.ts"
import { contains, signedArea } from "../0-ground/geometry/polygon.ts"
import { pointToSegment } from "../0-ground/geometry/segment.ts"
import { finish, type Progress } from "../0-ground/progress.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Board } from "../5-board/artefact.ts"
import type { CutterProgram } from "./artefact.ts"
import type { cutFindings } from "./copper-findings.ts"
import { boardsOf, cutLamp } from "./cut-lamp.testing.ts"
import { designCut } from "./design-cut.ts"
import { drillDepth } from "./drill-plan.ts"
import { throughCut } from "./outline-path.ts"
import { type ReadMove, readProgram } from "./read-program.testing.ts"
import { syntheticBoard } from "./synthetic-boards.testing.ts"
import { unexplained } from "./unexplained.testing.ts"

const board = syntheticBoard({ seed: 7, w: 50, h: 36, lands: 40, margin: 4 })
const lamp = cutLamp()
/** Whatever is cut, every measured number can be asked why. */
function cutOf(l: Lamp, ...boards: Board[]) {
  const made = finish(designCut(l, boardsOf(...boards)))
  expect(unexplained(made.plan)).toEqual([])
  return made
}

const worst = (findings: readonly Finding[], code: keyof typeof cutFindings.entries) =>
  findings.filter((f) => f.code === `cut.${code}`).map((f) => f.severity)

describe("programs of a board", () => {
  let made: ReturnType<typeof cutOf>
  let programs: readonly CutterProgram[]
  const progress: Progress[] = []
  beforeAll(() => {
    made = finish(designCut(lamp, boardsOf(board)), (p) => progress.push(p))
    programs = made.plan.programs
  })
  const moves = (program: CutterProgram): readonly ReadMove[] => readProgram(program.text).moves

  test("one file a tool, in the order of work", () => {
    expect(programs.map((p) => p.file)).toEqual([
      "synthetic-7-1-engrave.ngc",
      "synthetic-7-2-drill-0.8.ngc",
      "synthetic-7-3-drill-1.0.ngc",
      "synthetic-7-4-drill-3.2.ngc",
      "synthetic-7-9-outline.ngc",
    ])
  })

  test("every line keeps to the grammar, and the header warns", () => {
    for (const program of programs) {
      const { comments } = readProgram(program.text)
      expect(comments.join(" ")).toMatch(/eye protection/)
      expect(comments.join(" ")).toMatch(/do not mirror/)
      expect(comments.join(" ")).toContain("synthetic-7")
      const lines = program.text.trimEnd().split("\n")
      const words = lines.filter((l) => !l.startsWith("("))
      expect(words.slice(0, 3)).toEqual(["G21 G90 G94 G17", "G54", "G0 Z3"])
      expect(lines.at(-1)).toBe("M30")
    }
  })

  test("no rapid move goes sideways or down below the clear height, and none cuts with the spindle still", () => {
    for (const program of programs) {
      for (const { kind, from, to, spindleOn } of moves(program)) {
        const sideways = from[0] !== to[0] || from[1] !== to[1]
        if (kind === "rapid") {
          if (sideways) expect([from[2], to[2]]).toEqual([3, 3])
          else expect(to[2]).toBe(3)
        } else expect(spindleOn).toBe(true)
        if (sideways && kind !== "rapid") expect(to[2]).toBeLessThanOrEqual(0)
      }
      const end = moves(program).at(-1)!.to
      expect(end[2]).toBe(3)
    }
  })

  test("the tool is up before the spindle stops", () => {
    for (const program of programs) {
      const lines = program.text.split("\n")
      expect(lines[lines.indexOf("M5") - 1]).toBe("G0 Z3")
    }
  })

  test("nothing below zero, nothing beside the sheet", () => {
    for (const program of programs) {
      for (const { to } of moves(program)) {
        expect(Math.min(to[0], to[1])).toBeGreaterThanOrEqual(0)
        expect(to[0] + program.toolDiameter / 2).toBeLessThanOrEqual(100)
        expect(to[1] + program.toolDiameter / 2).toBeLessThanOrEqual(160)
      }
    }
  })

  test("the engraver cuts every groove once, at its depth and feed", () => {
    const engrave = programs[0]!
    const cutting = moves(engrave).filter((m) => m.kind === "feed" && m.from[2] < 0)
    expect(new Set(cutting.flatMap((m) => [m.from[2], m.to[2]]))).toEqual(new Set([-0.1]))
    expect(new Set(cutting.map((m) => m.feed))).toEqual(new Set([300]))
    const drawn = made.copper.boards[0]!.grooves.flatMap(({ points }) =>
      points.slice(1).map((p, k) => [points[k]!.x, points[k]!.y, p.x, p.y]),
    )
    expect(cutting.map((m) => [m.from[0], m.from[1], m.to[0], m.to[1]])).toEqual(drawn)
    const length = cutting.reduce((s, m) => s + Math.hypot(m.to[0] - m.from[0], m.to[1] - m.from[1]), 0)
    expect(engrave.cutLength).toBeCloseTo(length, 6)
    const plunging = moves(engrave).filter((m) => m.to[2] === -0.1 && m.from[2] > 0)
    expect(plunging).toHaveLength(engrave.plunges)
    expect(new Set(plunging.map((m) => m.feed))).toEqual(new Set([100]))
  })

  test("travel as told is what the rapid moves add up to", () => {
    for (const program of programs) {
      const travel = moves(program)
        .filter((m) => m.kind === "rapid")
        .reduce((s, m) => s + Math.hypot(m.to[0] - m.from[0], m.to[1] - m.from[1]), 0)
      expect(program.travel).toBeCloseTo(travel, 6)
    }
  })

  test("every hole is drilled once, straight, right through, with its own drill", () => {
    const wanted = [
      ...board.lands.map((l) => [l.hole, l.x, l.y]),
      ...board.screws.map((s) => [s.diameter, s.x, s.y]),
    ]
    const drilled = programs
      .filter((p) => p.purpose === "drill")
      .flatMap((p) =>
        moves(p)
          .filter((m) => m.to[2] < 0)
          .map((m) => {
            expect([m.to[0], m.to[1]]).toEqual([m.from[0], m.from[1]])
            expect(m.feed).toBe(120)
            expect(m.to[2]).toBeCloseTo(-drillDepth(p.toolDiameter, 1.6), 3)
            return [p.toolDiameter, m.to[0], m.to[1]]
          }),
      )
    const key = (rows: readonly (readonly number[])[]) =>
      rows.map((r) => r.map((v) => v.toFixed(3)).join(" ")).sort()
    expect(key(drilled)).toEqual(key(wanted))
  })

  test("a drill's whole width goes through the board", () => {
    // Cone of a 118° point: 0.240 mm for 0.8 mm (check C-8), 0.961 mm for 3.2 mm.
    expect(drillDepth(0.8, 1.6)).toBeCloseTo(2.0, 12)
    expect(drillDepth(3.2, 1.6)).toBeCloseTo(1.6 + 0.961376 + 0.1, 5)
  })

  test("the outline is cut half a cutter outside, in steps, right through but for the tabs", () => {
    const outline = moves(programs.at(-1)!).filter((m) => m.kind === "feed" && m.to[2] < 0)
    const ring = board.outline
    const toOutline = (x: number, y: number) =>
      Math.min(...ring.map((a, i) => pointToSegment({ x, y }, a, ring[(i + 1) % ring.length]!)))
    for (const { to } of outline) {
      expect(toOutline(to[0], to[1])).toBeGreaterThan(0.75 - 0.002)
      expect(toOutline(to[0], to[1])).toBeLessThan(0.75 + 0.002)
      expect(contains(ring, { x: to[0], y: to[1] })).toBe(false)
    }
    // The deepest cut over every place of the path, looked at every 0.1 mm.
    const deepest = new Map<string, number>()
    for (const { from, to } of outline) {
      const n = Math.max(1, Math.ceil(Math.hypot(to[0] - from[0], to[1] - from[1]) / 0.1))
      for (let k = 0; k <= n; k++) {
        const t = k / n
        const key = `${(from[0] + t * (to[0] - from[0])).toFixed(1)} ${(from[1] + t * (to[1] - from[1])).toFixed(1)}`
        deepest.set(key, Math.min(deepest.get(key) ?? 0, from[2] + t * (to[2] - from[2])))
      }
    }
    const heights = [...deepest.values()]
    const through = heights.filter((z) => z <= -1.6 - throughCut + 1e-6).length
    const held = heights.filter((z) => Math.abs(z + 1.1) < 1e-6).length
    expect(through + held).toBeGreaterThan(heights.length * 0.98)
    // Three tabs of 2 mm and the cutter's own 1.5 mm.
    expect(held * 0.1).toBeGreaterThan(3 * 3.4 * 0.9)
    const steps = outline.map((m) => m.from[2] - m.to[2])
    expect(Math.max(...steps)).toBeLessThanOrEqual(0.75)
  })

  test("nothing is red, everything measured has its margin", () => {
    for (const f of made.plan.findings) {
      expect(f.severity, f.title).toBe("green")
      expect(f.margin).toBeGreaterThanOrEqual(0)
      expect(f.where.board).toBe(board.name)
    }
  })

  test("every figure has inputs or a source, and ids are unique", () => {
    const ids = made.plan.figures.map((f) => f.id)
    expect(new Set(ids).size).toBe(ids.length)
    for (const f of made.plan.figures) {
      expect(Number.isFinite(f.value)).toBe(true)
      expect(f.formula && f.inputs ? f.inputs.length : f.source ? 1 : 0).toBeGreaterThan(0)
    }
    expect(ids).toContain(`cut.${board.name}.cut-length`)
  })

  test("islands: one for each piece of copper, apart, and with the grooves they make up the board", () => {
    const { islands } = made.copper.boards[0]!
    const nets = board.lands.flatMap((l) => (l.net === undefined ? [] : [l.net]))
    for (const net of nets) expect(islands.some((i) => i.net === net)).toBe(true)
    for (const land of board.lands) {
      const at = islands.filter(
        ({ ring, holes }) => contains(ring, land) && !(holes ?? []).some((hole) => contains(hole, land)),
      )
      expect(at.map((i) => i.net)).toEqual([land.net])
    }
    const copper = islands.reduce(
      (sum, i) => sum + signedArea(i.ring) + (i.holes ?? []).reduce((s, h) => s + signedArea(h), 0),
      0,
    )
    expect(copper).toBeGreaterThan(50 * 36 * 0.85)
    expect(copper).toBeLessThan(50 * 36)
  })

  test("same board, same bytes", () => {
    expect(JSON.stringify(cutOf(lamp, board))).toBe(JSON.stringify(made))
  })

  test("progress is told often, within 0 and 1", () => {
    expect(progress.length).toBeGreaterThan(20)
    for (const { done } of progress) expect(done >= 0 && done <= 1).toBe(true)
  })

  test("time is more than length over feed, and less than with a stop at every point", () => {
    const { moves: all } = readProgram(programs[0]!.text)
    const plain = all.reduce(
      (s, m) =>
        s + Math.hypot(...m.to.map((v, i) => v - m.from[i]!)) / ((m.kind === "rapid" ? 1500 : m.feed) / 60),
      2,
    )
    expect(programs[0]!.time).toBeGreaterThan(plain)
    const stops = all.reduce((s, m) => s + (m.kind === "rapid" ? 25 : m.feed / 60) / 100, plain)
    expect(programs[0]!.time).toBeLessThan(stops)
  })
})

describe("findings", () => {
  test("a groove too wide for the clearance is red, and so is what it does to the copper", () => {
    const wide = cutLamp({ engraver: { ...lamp.cutter.engraver, depth: 0.2 } })
    const { findings } = cutOf(wide, board).plan
    expect(worst(findings, "groove-fits-clearance")).toEqual(["red"])
    expect(worst(findings, "groove-keeps-copper")).toEqual(["red"])
  })

  test("a clearance just as wide as the groove is a caution: the rounding of coordinates has no room", () => {
    const tight = syntheticBoard({ seed: 7, w: 50, h: 36, lands: 40, margin: 4, clearance: 0.2565 })
    const { findings } = cutOf(lamp, tight).plan
    expect(worst(findings, "groove-fits-clearance")).toEqual(["amber"])
    expect(worst(findings, "groove-keeps-copper")).not.toEqual(["red"])
  })

  test("a depth that does not reach through the copper is red", () => {
    const shallow = cutLamp({ engraver: { ...lamp.cutter.engraver, depth: 0.05 } })
    expect(worst(cutOf(shallow, board).plan.findings, "depth-through-copper")).toEqual(["red"])
  })

  test("a board larger than the sheet is red, one that fits turned is not", () => {
    expect(worst(cutOf(cutLamp({}, { w: 50, h: 50 }), board).plan.findings, "fits-sheet")).toEqual(["red"])
    const turned = cutOf(cutLamp({}, { w: 45, h: 160 }), board)
    expect(worst(turned.plan.findings, "fits-sheet")).toEqual(["green"])
    expect(turned.plan.programs[0]!.text).toContain("sheet 160 mm along X, 45 mm along Y")
  })

  test("a board at the origin would be cut below zero: red", () => {
    const atZero = syntheticBoard({ seed: 7, w: 50, h: 36, lands: 10, margin: 0 })
    expect(worst(cutOf(lamp, atZero).plan.findings, "reaches-below-zero")).toEqual(["red"])
  })

  test("a hole without a drill is red and names the nearest drill", () => {
    const few = cutLamp({ drills: [0.8, 1.3, 3.2] })
    const missing = cutOf(few, board).plan.findings.filter((f) => f.code === "cut.drill-missing")
    expect(missing.map((f) => f.severity)).toEqual(["red"])
    expect(missing[0]!.advice).toContain("0.8 mm")
    expect(missing[0]!.title).toContain("1 mm")
  })

  test("a screw hole without a drill is milled with the router", () => {
    const few = cutLamp({ drills: [0.8, 1] })
    const { plan } = cutOf(few, board)
    expect(worst(plan.findings, "drill-missing")).toEqual(["green"])
    const arcs = readProgram(plan.programs.at(-1)!.text).moves.filter((m) => m.kind === "arc")
    for (const screw of board.screws) {
      const here = arcs.filter(({ centre }) => Math.hypot(centre![0] - screw.x, centre![1] - screw.y) < 1e-6)
      // 1.8 mm in steps of at most 0.5 mm.
      expect(here.map((m) => m.to[2])).toEqual([-0.45, -0.9, -1.35, -1.8])
      for (const { to, centre } of here) {
        expect(Math.hypot(to[0] - centre![0], to[1] - centre![1])).toBeCloseTo((3.2 - 1.5) / 2, 3)
      }
    }
  })

  test("copper of two nets that touches is red and named", () => {
    const touching = {
      ...board,
      tracks: [
        ...board.tracks,
        { net: "stray", width: 0.4, points: [board.lands[0]!, { x: 20, y: 20 }, board.lands[1]!] },
      ],
    }
    const { findings } = cutOf(lamp, touching).plan
    expect(worst(findings, "copper-overlaps").length).toBeGreaterThan(0)
    expect(findings.find((f) => f.code === "cut.copper-overlaps")!.title).toContain("stray")
    expect(worst(findings, "nets-separate")).toEqual(["red"])
  })

  test("a sharp inside corner is told of", () => {
    const notched = {
      ...board,
      outline: [
        ...board.outline.slice(0, 2),
        { x: 54, y: 30 },
        { x: 44, y: 30 },
        { x: 44, y: 40 },
        board.outline[3]!,
      ],
    }
    const found = cutOf(lamp, notched).plan.findings.find((f) => f.code === "cut.inside-corner")!
    // A cutter of radius 0.75 mm leaves 0.75·(√2 − 1) = 0.3107 mm in a right angle.
    expect(found.severity).toBe("amber")
    expect(found.measured!.value).toBeCloseTo(0.3107, 2)
    expect([found.where.x, found.where.y]).toEqual([44, 30])
  })

  test("a board without an outline, without copper: findings, no crash", () => {
    const none = cutOf(lamp, { ...board, outline: [] })
    expect(worst(none.plan.findings, "outline-lost")).toEqual(["red"])
    const bare = cutOf(lamp, { ...board, lands: [], tracks: [], screws: [] })
    expect(bare.plan.programs.map((p) => p.purpose)).toEqual(["outline"])
  })
})
