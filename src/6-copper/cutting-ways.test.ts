// What a description may ask for besides grooves between nets, each held against the geometry it promises.

import { describe, expect, test } from "vitest"
import type { Point } from "../0-ground/geometry/point.ts"
import { contains, signedArea } from "../0-ground/geometry/polygon.ts"
import { finish } from "../0-ground/progress.ts"
import type { Cutting, Lamp } from "../2-lamp/artefact.ts"
import type { Board } from "../5-board/artefact.ts"
import { clearanceIndex } from "./clearance-index.ts"
import { copperShapes, shapeDistance } from "./copper-shapes.ts"
import { couponProgram } from "./coupon-program.ts"
import { boardsOf, cutLamp } from "./cut-lamp.testing.ts"
import { designCut } from "./design-cut.ts"
import { probeGrid } from "./probe-program.ts"
import { readProgram } from "./read-program.testing.ts"
import { programParts } from "./recognise-program.ts"
import { secondPasses } from "./second-pass.ts"
import { letterStrokes } from "./stroke-letters.ts"
import { syntheticBoard } from "./synthetic-boards.testing.ts"

const usual: Cutting = {
  separate: "between",
  direction: "conventional",
  leadIn: 1,
  files: "one-per-tool",
  probes: 12,
}
const plain = syntheticBoard({ seed: 3, w: 44, h: 30, lands: 24, margin: 4 })
const cut = (cutting: Partial<Cutting> = {}, board: Board = plain, cutter: Partial<Lamp["cutter"]> = {}) => {
  const lamp = { ...cutLamp(cutter), cutting: { ...usual, ...cutting } }
  return finish(designCut(lamp, boardsOf(board)))
}
const file = (made: ReturnType<typeof cut>, part: string) =>
  made.plan.programs.find((p) => p.file.includes(part))!
const reds = (made: ReturnType<typeof cut>) => made.plan.findings.filter((f) => f.severity === "red")
const shapes = copperShapes(plain, 0.27)
const toCopper = (p: Point) =>
  Math.min(...Array.from({ length: shapes.count }, (_, s) => shapeDistance(shapes, s, p.x, p.y)))
const half = 0.253589838 / 2

test("grooves along outlines keep every net apart, and a groove round the edge runs all the way", () => {
  const around = cut({ separate: "around" })
  expect(reds(around)).toEqual([])
  expect(around.plan.findings.find((f) => f.code === "cut.nets-separate")!.severity).toBe("green")
  for (const g of around.copper.boards[0]!.grooves)
    for (const p of g.points) expect(toCopper(p)).toBeGreaterThan(half - 0.001)
  // A screw's metal reaches to the edge and would interrupt the groove.
  const edge = cut({ edgeGroove: 0.3 }, { ...plain, screws: [] })
  expect(reds(edge)).toEqual([])
  const ring = edge.copper.boards[0]!.grooves.find((g) => {
    const [a, b] = [g.points[0]!, g.points[g.points.length - 1]!]
    return a.x === b.x && a.y === b.y && Math.abs(Math.abs(signedArea(g.points)) - 43.4 * 29.4) < 0.01
  })
  expect(ring).toBeDefined()
})

test("a second pass widens the gap where there is room and nowhere comes nearer to copper than the first", () => {
  const index = clearanceIndex(shapes, 0.5)
  const first = cut().copper.boards[0]!.grooves.map((g) => g.points)
  const keep = half + 0.004
  const { strokes, beside } = secondPasses(first, 0.15, keep, index)
  const length = first.reduce(
    (s, g) => s + g.slice(1).reduce((t, p, k) => t + Math.hypot(p.x - g[k]!.x, p.y - g[k]!.y), 0),
    0,
  )
  expect(beside).toBeGreaterThan(0.5 * length)
  expect(beside).toBeLessThanOrEqual(length)
  for (const s of strokes)
    for (let k = 1; k < s.length; k++)
      expect(index.clearance(s[k - 1]!.x, s[k - 1]!.y, s[k]!.x, s[k]!.y, keep)).toBeGreaterThanOrEqual(
        keep - 0.0004,
      )
  expect(reds(cut({ secondPass: 0.4 }))).toEqual([])
})

test("where a groove closes the tool ramps in no faster than it may plunge, and runs over its start", () => {
  const made = cut({ edgeGroove: 0.3, leadIn: 2 }, { ...plain, screws: [] })
  const { moves } = readProgram(file(made, "engrave").text)
  const ramps = moves.filter(
    (m) => m.kind === "feed" && m.to[2] < m.from[2] && (m.from[0] !== m.to[0] || m.from[1] !== m.to[1]),
  )
  expect(ramps.length).toBeGreaterThan(0)
  for (const m of ramps) {
    const across = Math.hypot(m.to[0] - m.from[0], m.to[1] - m.from[1])
    const fall = (m.from[2] - m.to[2]) / Math.hypot(across, m.from[2] - m.to[2])
    expect(m.feed * fall).toBeLessThanOrEqual(100 + 0.1)
  }
  // The way from the ramp's start at full depth: cut again at the end of the same stroke.
  const start = ramps[0]!.from
  const after = moves.slice(moves.indexOf(ramps[0]!) + 1)
  expect(
    after.some(
      (m) =>
        m.kind === "feed" && m.to[2] === -0.1 && Math.hypot(m.to[0] - start[0], m.to[1] - start[1]) < 1e-6,
    ),
  ).toBe(true)
  const none = readProgram(
    file(cut({ edgeGroove: 0.3, leadIn: 0 }, { ...plain, screws: [] }), "engrave").text,
  ).moves
  expect(none.some((m) => m.kind === "feed" && m.to[2] < m.from[2] && m.from[0] !== m.to[0])).toBe(false)
})

test("climb goes clockwise round the board, conventional counter-clockwise", () => {
  const way = (direction: Cutting["direction"]) => {
    const { moves } = readProgram(file(cut({ direction }), "outline").text)
    return signedArea(
      moves.filter((m) => m.kind === "feed" && m.to[2] < -1).map((m) => ({ x: m.to[0], y: m.to[1] })),
    )
  }
  expect(way("conventional")).toBeGreaterThan(0)
  expect(way("climb")).toBeLessThan(0)
  // Round a piece of copper just as: it stays on the right when climbing, on the left otherwise.
  const left = (direction: Cutting["direction"]) =>
    cut({ direction, separate: "around" }).copper.boards[0]!.grooves.filter(({ points }) => {
      const [p, q] = [points[0]!, points[1]!]
      const l = Math.hypot(q.x - p.x, q.y - p.y)
      const beside = (side: number) =>
        toCopper({
          x: (p.x + q.x) / 2 - (side * 0.12 * (q.y - p.y)) / l,
          y: (p.y + q.y) / 2 + (side * 0.12 * (q.x - p.x)) / l,
        })
      return beside(1) < beside(-1)
    }).length
  const all = cut({ separate: "around" }).copper.boards[0]!.grooves.length
  expect(left("conventional")).toBe(all)
  expect(left("climb")).toBe(0)
})

describe("a board with slot, cleared area and text", () => {
  const area = [
    { x: 20, y: 14 },
    { x: 34, y: 14 },
    { x: 34, y: 24 },
    { x: 20, y: 24 },
  ]
  const board: Board = {
    ...plain,
    slots: [
      { from: { x: 12, y: 5.6 }, to: { x: 16, y: 5.6 }, width: 1.5 },
      { from: { x: 30, y: 5.6 }, to: { x: 36, y: 5.6 }, width: 2.4 },
    ],
    clear: [area],
    text: [{ says: "Tern 3", x: 26, y: 30, height: 1.2, turn: 0 }],
  }

  test.each([
    ["an end mill", [{ diameter: 0.6, feed: 200, plunge: 60 }]],
    ["the engraver", undefined],
  ])("%s takes all copper of the area that it can reach, and none that was drawn", (_, mills) => {
    const made = cut({}, board, mills ? { mills } : {})
    expect(reds(made)).toEqual([])
    const program = mills ? file(made, "clear") : file(made, "engrave")
    const radius = mills ? 0.3 : half
    const cuts = readProgram(program.text).moves.filter((m) => m.kind === "feed" && m.to[2] === -0.1)
    const covered = (p: Point) =>
      cuts.some((m) => {
        const [dx, dy] = [m.to[0] - m.from[0], m.to[1] - m.from[1]]
        const l2 = dx * dx + dy * dy
        const t =
          l2 === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - m.from[0]) * dx + (p.y - m.from[1]) * dy) / l2))
        return Math.hypot(p.x - m.from[0] - t * dx, p.y - m.from[1] - t * dy) <= radius + 1e-6
      })
    let looked = 0
    for (let x = 20.4; x < 33.6; x += 0.47)
      for (let y = 14.4; y < 23.6; y += 0.43) {
        // Next to copper a round tool leaves a rim, and in its corners a little more.
        if (toCopper({ x, y }) < 2 * radius + 0.1) continue
        looked++
        expect(covered({ x, y }), `${x} ${y}`).toBe(true)
      }
    expect(looked).toBeGreaterThan(100)
    if (!mills) return
    for (const m of cuts) expect(toCopper({ x: m.to[0], y: m.to[1] })).toBeGreaterThanOrEqual(radius + 0.015)
  })

  test("slots are milled to their width: along the middle, or round inside", () => {
    const { moves } = readProgram(file(cut({}, board), "outline").text)
    const deep = moves.filter((m) => m.kind !== "rapid" && m.to[2] <= -1.6)
    const inside = deep.filter((m) => contains(board.outline, { x: m.to[0], y: m.to[1] }))
    for (const m of inside) expect(Math.abs(m.to[1] - 5.6)).toBeLessThanOrEqual(0.45 + 1e-9)
    expect(inside.some((m) => Math.abs(m.to[1] - 5.6) < 1e-9 && m.to[0] < 17)).toBe(true)
    expect(inside.some((m) => Math.abs(Math.abs(m.to[1] - 5.6) - 0.45) < 1e-9 && m.to[0] > 29)).toBe(true)
    const narrow = cut({}, { ...board, slots: [{ ...board.slots![0]!, width: 1 }] })
    expect(reds(narrow).map((f) => f.code)).toEqual(["cut.slot-narrow"])
  })

  test("text keeps off copper, grooves and cleared areas, or is left out and told", () => {
    const made = cut({}, board)
    const before = cut({}, { ...board, text: [] })
    const known = new Set(
      before.copper.boards[0]!.grooves.map((g) => JSON.stringify([...g.points].sort(byPlace))),
    )
    const letters = made.copper.boards[0]!.grooves.filter(
      (g) => !known.has(JSON.stringify([...g.points].sort(byPlace))),
    )
    expect(letters).toHaveLength(letterStrokes("Tern 3", 1.2).length)
    for (const { points } of letters)
      for (const p of points) {
        expect(toCopper(p)).toBeGreaterThanOrEqual(half + 0.003)
        expect(contains(area, p)).toBe(false)
        expect(contains(board.outline, p)).toBe(true)
      }
    const crowded = cut(
      {},
      { ...board, text: [{ says: "far too long a text for this board", x: 26, y: 20, height: 5, turn: 0 }] },
    )
    expect(crowded.plan.findings.find((f) => f.code === "cut.text-placed")!.severity).toBe("amber")
    expect(reds(crowded)).toEqual([])
  })
})

const byPlace = (a: Point, b: Point) => a.x - b.x || a.y - b.y

test("letters stand on their middle, as high as asked, and unknown ones are boxes", () => {
  const points = letterStrokes("AÉ☂", 3).flat()
  expect(Math.max(...points.map((p) => p.y))).toBeCloseTo(1.5, 9)
  expect(Math.min(...points.map((p) => p.y))).toBeCloseTo(-1.5, 9)
  expect(Math.max(...points.map((p) => p.x)) + Math.min(...points.map((p) => p.x))).toBeCloseTo(0, 9)
  expect(letterStrokes("é", 3)).toEqual(letterStrokes("E", 3))
  expect(letterStrokes("☂", 6)).toEqual([
    [
      { x: -2, y: -3 },
      { x: -2, y: 3 },
      { x: 2, y: 3 },
      { x: 2, y: -3 },
      { x: -2, y: -3 },
    ],
  ])
})

test("run-out and wear widen the groove as trigonometry says; the gap told counts without run-out", () => {
  const engraver = { ...cutLamp().cutter.engraver, runOut: 0.02, wear: 0.05 }
  const made = cut({}, syntheticBoard({ seed: 3, w: 44, h: 30, lands: 24, margin: 4, clearance: 0.33 }), {
    engraver,
  })
  const figure = (id: string) => made.plan.figures.find((f) => f.id === `cut.synthetic-3.${id}`)!.value
  // 2 · 0.05 · tan 15° = 0.0267949 mm of flat; 0.2 + 0.0267949 + 0.02 + 2 · 0.1 · tan 15°.
  expect(figure("groove-width")).toBeCloseTo(0.3003848, 6)
  expect(figure("shallowest-groove")).toBeCloseTo(0.2267949 + 2 * 0.07 * Math.tan(Math.PI / 12), 6)
  expect(reds(made)).toEqual([])
})

test("feeds and speed are held to what the machine can, and that is told", () => {
  const machine = {
    ...cutLamp().cutter.machine,
    greatestFeed: 150,
    spindle: { lowest: 5000, highest: 10_000 },
  }
  const made = cut({}, plain, { machine })
  for (const p of made.plan.programs) {
    expect(p.text).toContain("S10000 M3")
    for (const m of readProgram(p.text).moves) if (m.kind !== "rapid") expect(m.feed).toBeLessThanOrEqual(150)
  }
  const codes = made.plan.findings.filter((f) => f.severity === "amber").map((f) => f.code)
  expect(codes).toContain("cut.feed-of-machine")
  expect(codes).toContain("cut.speed-of-spindle")
})

test("test grooves: depths round the set one, widths as C-1 and C-7 of the reference sheet have them", () => {
  const lamp = cutLamp({
    engraver: { ...cutLamp().cutter.engraver, tip: 0.1 },
    machine: { ...cutLamp().cutter.machine, flatness: 0.05 },
  })
  const { grooves, text } = couponProgram(lamp)
  const set = grooves!.find((g) => g.depth === 0.1)!
  expect(set.width).toBeCloseTo(0.153589838, 8)
  expect(set.narrow).toBeCloseTo(0.126794919, 8)
  expect(set.wide).toBeCloseTo(0.180384758, 8)
  const lines = readProgram(text).moves.filter((m) => m.kind === "feed" && m.to[0] - m.from[0] === 10)
  expect(lines.map((m) => -m.to[2])).toEqual(grooves!.map((g) => g.depth))
})

test("one file comes apart again into its tools, every line at its number", () => {
  const { plan } = cut({ files: "one" })
  const whole = plan.extras!.find((e) => e.kind === "one-file")!
  const parts = programParts(whole.text)!
  expect(parts.map((p) => p.purpose)).toEqual(plan.programs.map((p) => p.purpose))
  const lines = whole.text.split("\n")
  parts.forEach((part, k) => {
    const own = part.text.split("\n")
    own.forEach((line, at) => {
      if (line !== "" && line !== "M30") expect(line).toBe(lines[at])
    })
    const ends = (text: string) => readProgram(text).moves.map((m) => m.to)
    expect(ends(part.text.replace(/^\n+/, ""))).toEqual(ends(plan.programs[k]!.text))
  })
  for (const p of plan.programs) expect(programParts(p.text)).toBeUndefined()
})

test("the board is probed edge to edge, no two places further apart than asked", () => {
  const { xs, ys } = probeGrid(plain, 12)
  expect([xs[0], xs[xs.length - 1], ys[0], ys[ys.length - 1]]).toEqual([4, 48, 4, 34])
  for (const places of [xs, ys])
    for (let k = 1; k < places.length; k++) expect(places[k]! - places[k - 1]!).toBeLessThanOrEqual(12)
  const { extras } = cut().plan
  const probe = extras!.find((e) => e.kind === "probe")!
  expect(probe.places).toBe(xs.length * ys.length)
  expect(probe.text.match(/^G38\.2 Z-1/gm)).toHaveLength(probe.places!)
  expect(probe.text).not.toMatch(/M3\b/)
})

describe("thermal relief", () => {
  // Earth on four lands in the wide, a signal along the right edge.
  const land = (ref: string, net: string, x: number, y: number): Board["lands"][number] => ({
    ...{ ref, pin: "1", net, x, y, shape: "oval", w: 2.4, h: 1.6, rotation: 30, hole: 0.8 },
  })
  const track = (net: string, points: Point[]) => ({ net, width: 0.5, points }) as Board["tracks"][number]
  const wide: Board = {
    ...plain,
    screws: [],
    parts: [],
    links: [],
    lands: [
      land("A", "earth", 10, 10),
      land("B", "earth", 20, 10),
      land("C", "earth", 20, 20),
      land("D", "earth", 31, 15),
      land("E", "sig", 40, 5),
      land("F", "sig", 40, 25),
    ],
    tracks: [
      track("earth", [
        { x: 10, y: 10 },
        { x: 20, y: 10 },
        { x: 20, y: 20 },
        { x: 31, y: 15 },
      ]),
      track("sig", [
        { x: 40, y: 5 },
        { x: 40, y: 25 },
      ]),
    ],
  }
  const shapes = copperShapes(wide, 0.27)
  const toCopper = (p: Point) =>
    Math.min(...Array.from({ length: shapes.count }, (_, s) => shapeDistance(shapes, s, p.x, p.y)))
  const made = cut({ thermalRelief: "spokes" }, wide)
  const without = cut({}, wide)
  const strokes = (m: ReturnType<typeof cut>) => m.copper.boards[0]!.grooves.map((g) => g.points)
  const key = (line: readonly Point[]) => line.map((p) => `${p.x} ${p.y}`).join(" ")
  const known = new Set(strokes(without).flatMap((l) => [key(l), key([...l].reverse())]))
  const arcs = strokes(made).filter((l) => !known.has(key(l)))

  test("cuts arcs round lands in wide copper and nothing else, none where it is not asked for", () => {
    const lands = (arc: readonly Point[]) =>
      wide.lands.filter((l) => arc.every((p) => Math.hypot(l.x - p.x, l.y - p.y) < l.w / 2 + 0.2))
    const ringed = arcs.flatMap((arc) => lands(arc).map((l) => l.ref))
    expect(ringed.length).toBe(arcs.length)
    for (const ref of ["A", "B", "C"]) expect(ringed.filter((r) => r === ref).length, ref).toBeGreaterThan(1)
  })

  test("leaves all copper as drawn its width, and every net in one piece", () => {
    for (const arc of arcs) for (const p of arc) expect(toCopper(p)).toBeGreaterThan(half)
    expect(reds(made)).toEqual([])
    expect(made.plan.findings.find((f) => f.code === "cut.nets-separate")!.severity).toBe("green")
    const told = made.plan.findings.find((f) => f.code === "cut.thermal-relief")!
    expect(told.severity).toBe("green")
    expect(told.measured!.value).toBeGreaterThanOrEqual(told.limit!.value)
    expect(told.where.x).toBeTypeOf("number")
    expect(
      cut({ thermalRelief: "spokes", separate: "around" }, wide).plan.findings.map((f) => f.code),
    ).toContain("cut.thermal-relief")
  })

  test("leaves at least 0.3 mm of copper beside every arc but at its ends", () => {
    for (const arc of arcs)
      for (const other of strokes(made)) {
        if (other === arc) continue
        for (const p of arc)
          for (const q of other) expect(Math.hypot(p.x - q.x, p.y - q.y)).toBeGreaterThan(2 * half + 0.3)
      }
  })
})
