// The window told is the one a direct simulation over depth and height error finds; each end names what fails there.

import { expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import { wantedOfLands } from "./compare-netlists.ts"
import { apartAt, sweepDepth, wholeAt } from "./depth-window.ts"
import { engraverWithRoom } from "./judge-window.ts"
import { proveCut } from "./prove-cut.ts"
import { readCutProgram } from "./read-cut-program.ts"
import { blankBoard, drilledHoles } from "./simulate-cut.ts"
import {
  drillText,
  engraveText,
  type Stroke,
  strokes,
  syntheticBoard,
  syntheticBoards,
  syntheticCircuit,
  syntheticLamp,
  syntheticPrograms,
} from "./synthetic-board.testing.ts"
import { wantedNetlist } from "./wanted-netlist.ts"

const board = syntheticBoard()
const wanted = wantedNetlist(syntheticCircuit(), syntheticBoards(board))
const pixel = 0.02
/** A cut from the board's edge that leaves A a neck of about 0.6 mm less half of two grooves. */
const slit: Stroke = { nets: ["A", "A"], from: [10, 0], to: [10, 9.4] }

function prove(engrave: string, change: { angle?: number; flatness?: number; tip?: number } = {}) {
  const { engraver, machine } = syntheticLamp.cutter
  const lamp = {
    ...syntheticLamp,
    cutter: {
      ...syntheticLamp.cutter,
      engraver: { ...engraver, angle: change.angle ?? engraver.angle, tip: change.tip ?? engraver.tip },
      machine: { ...machine, flatness: change.flatness ?? machine.flatness },
    },
  }
  const programs = syntheticPrograms({ engrave })
  const seen = finish(proveCut(lamp, board, wanted, programs, () => undefined, "A"))
  expect(unexplained(seen)).toEqual([])
  const job = {
    outline: board.outline,
    engraver: lamp.cutter.engraver,
    engraving: readCutProgram(engrave).moves,
    holes: drilledHoles(readCutProgram(drillText()).moves, 0.8),
    foil: lamp.copperClad.copper,
  }
  const blank = blankBoard(job, pixel)
  const right = (depth: number, error: number) => {
    const nets = wantedOfLands(board, wanted)
    const offset = depth - seen.proof.depthWindow!.set
    return (
      apartAt(board, nets, job, blank, offset - error) && wholeAt(board, nets, job, blank, offset + error)
    )
  }
  const finding = (code: string) => seen.findings.find((f) => f.code === `proof.${code}`)
  return { lamp, programs, window: seen.proof.depthWindow!, right, finding }
}

test.each([30, 60, 90])(
  "at %d° depth and height error that are told right are right, others are not",
  (angle) => {
    const { window, right } = prove(engraveText([...strokes(), slit]), { angle })
    expect(window.least).toBeCloseTo(0.035, 9)
    // A neck measured on a grid is good to a cell; in depth that is a cell ÷ growth.
    const cell = pixel / (2 * Math.tan((angle * Math.PI) / 360))
    expect(window.most).toBeLessThan(0.8)
    for (const error of [0, 0.02, 0.05, 0.1]) {
      const [from, to] = [window.least + error, window.most - error]
      if (to < from) continue
      expect(right(from + 0.001, error), `${from} ± ${error}`).toBe(true)
      expect(right(from - 0.001, error), `${from} ± ${error}`).toBe(false)
      expect(right(to - 0.001, error), `${to} ± ${error}`).toBe(true)
      expect(right(to + 1.5 * cell, error), `${to} ± ${error}`).toBe(false)
    }
    expect(window.deepFails.what).toContain("A gets thinner")
    expect(Math.hypot(window.deepFails.x - 10, window.deepFails.y - 9.6)).toBeLessThan(0.5)
  },
)

test("best depth is inside, and a surface as flat as told is still right there, one worse is not", () => {
  const { window, right } = prove(engraveText([...strokes(), slit]), { angle: 60 })
  expect(window.best).toBeGreaterThan(window.least)
  expect(right(window.best, window.flatness - 0.002)).toBe(true)
  expect(right(window.best, window.flatness + 0.05)).toBe(false)
})

test("one groove shallower than the others is the first to join two nets, at its place", () => {
  const [odd, ...rest] = strokes()
  const [head, tail] = [engraveText([odd!], 0.09), engraveText(rest, 0.15)]
  const both = head.slice(0, head.lastIndexOf("M5")) + tail.slice(tail.indexOf("\nG0 X") + 1)
  const { window, right, finding } = prove(both)
  expect(window.set).toBe(0.15)
  // The shallow one must go through: everything 0.055 mm less deep, so the deep ones at 0.095.
  expect(window.least).toBeCloseTo(0.035 + 0.06, 3)
  expect(right(window.least + 0.003, 0)).toBe(true)
  expect(right(window.least - 0.003, 0)).toBe(false)
  expect(window.shallowFails.what).toMatch(new RegExp(`(${odd!.nets.join("|")}) and .* join`))
  expect(Math.abs(window.shallowFails.x - (odd!.from[0] + odd!.to[0]) / 2)).toBeLessThan(8)
  expect(finding("depth-shallow-end")!.where.net).toBeDefined()
})

test("wide copper everywhere: half of the sheet is the end", () => {
  const { window, finding } = prove(engraveText())
  expect(window.most).toBe(0.8)
  expect(finding("depth-deep-end")!.title).toContain("half of the sheet")
})

test("a surface worse than the window: amber, and another engraver that would do", () => {
  const { finding, window } = prove(engraveText([...strokes(), slit], 0.1), { angle: 90, flatness: 0.05 })
  expect(window.most).toBeLessThan(0.3)
  const tight = finding("depth-window")!
  expect(tight.severity).toBe("amber")
  expect(tight.advice).toMatch(/engraver with a tip|Set `cutter.engraver.depth`/)
  // The same as data: what to set, and the remedy that sets it.
  const { suggestion } = window
  expect(suggestion!.to - suggestion!.from).toBeGreaterThan(0.039)
  expect(suggestion!.depth).toBeGreaterThan(suggestion!.from)
  expect(suggestion!.depth).toBeLessThan(suggestion!.to)
  const [remedy] = tight.remedies!
  expect(remedy!.changes.map((c) => c.path)).toContain("cutter.engraver.depth")
  // With it the window is wide enough.
  if (suggestion!.tip === undefined) return
  const { tip, angle, depth } = suggestion!
  const again = prove(engraveText([...strokes(), slit], depth), { tip, angle: angle!, flatness: 0.05 })
  expect(again.finding("depth-window")!.severity).toBe("green")
})

test("a suggested engraver keeps the widest groove allowed and gives room on both sides", () => {
  const now = { tip: 0.2, angle: 90 }
  const most = 0.12
  const found = engraverWithRoom(now, { most, least: 0.035, error: 0.05, foil: 0.035 })!
  const width = (e: { tip: number; angle: number }, depth: number) =>
    e.tip + 2 * depth * Math.tan((e.angle * Math.PI) / 360)
  expect(width(found, found.to + 0.05)).toBeCloseTo(width(now, most), 9)
  expect(found.to - found.from).toBeGreaterThanOrEqual(0.04)
  expect(engraverWithRoom(now, { most: 0.04, least: 0.035, error: 0.2, foil: 0.035 })).toBeUndefined()
})

test("the sweep for the plot agrees with the window", () => {
  const { lamp, programs, window } = prove(engraveText([...strokes(), slit]), { angle: 60 })
  const points = finish(sweepDepth(lamp, board, wanted, programs, 21))
  expect(points).toHaveLength(21)
  expect(points[0]!.depth).toBe(0)
  expect(points[20]!.depth).toBeCloseTo(0.2, 9)
  for (const { depth, apart, whole } of points) {
    expect(apart, `${depth}`).toBe(depth - 0.03 >= window.least - 1e-9)
    if (Math.abs(depth + 0.03 - window.most) > 0.04)
      expect(whole, `${depth}`).toBe(depth + 0.03 < window.most)
  }
})
