// The board as cut, the depth window and the measured surface as pictures: what must be on them is on them.

import { expect, test } from "vitest"
import type { Finding } from "../0-ground/finding.ts"
import { finish } from "../0-ground/progress.ts"
import { boardsOf, cutLamp } from "../6-copper/cut-lamp.testing.ts"
import { designCut } from "../6-copper/design-cut.ts"
import { readHeights } from "../6-copper/height-map.ts"
import { syntheticBoard } from "../6-copper/synthetic-boards.testing.ts"
import type { DepthWindow } from "../7-proof/artefact.ts"
import { seeBoard } from "../7-proof/see-board.ts"
import { depthPlot } from "./depth-plot.ts"
import { drawAsCut } from "./draw-as-cut.ts"
import { surfaceSvg } from "./draw-surface.ts"
import { sceneSvg } from "./scene.ts"

const board = syntheticBoard({ seed: 6, w: 40, h: 30, lands: 20, margin: 4 })
const lamp = cutLamp()
const { programs } = finish(designCut(lamp, boardsOf(board))).plan
const seen = seeBoard(lamp, board, programs)
const fault = (severity: "red" | "amber" | "green", x: number, title: string): Finding => ({
  code: "proof.short",
  severity,
  title,
  where: { text: "here", board: board.name, x, y: 12, frame: "board" },
  advice: "",
})

test("every net is drawn on copper of its own, loose copper apart from it, and every hole", () => {
  const nets = new Set(board.lands.flatMap((l) => (l.net === undefined ? [] : [l.net])))
  expect(seen.pieces.every((p) => p.nets.length <= 1)).toBe(true)
  expect(new Set(seen.pieces.flatMap((p) => p.nets))).toEqual(nets)
  expect(seen.pieces.some((p) => p.nets.length === 0)).toBe(true)
  expect(seen.holes).toHaveLength(board.lands.length + board.screws.length)
  const without = seeBoard(
    lamp,
    board,
    programs.filter((p) => p.purpose !== "engrave"),
  )
  expect(without.pieces).toHaveLength(1)
  expect(without.pieces[0]!.nets).toHaveLength(nets.size)
})

test("red places are ringed and named first, cautions broken, green ones left alone, all others too", () => {
  const elsewhere = {
    ...fault("red", 9, "another board"),
    where: { text: "", board: "other", x: 9, y: 9, frame: "board" as const },
  }
  const scene = drawAsCut(board, seen, [
    fault("green", 30, "sound"),
    fault("amber", 20, "thin"),
    fault("red", 10, "A and B are joined"),
    elsewhere,
  ])
  const rings = scene.marks.filter((m) => m.kind === "disc" && (m.role === "fault" || m.role === "caution"))
  expect(rings.map((m) => [m.role, "x" in m ? m.x : 0])).toEqual([
    ["fault", 10],
    ["caution", 20],
  ])
  const svg = sceneSvg(scene)
  expect(svg).toContain("1 A and B are joined")
  expect(svg).toContain("2 thin")
  expect(svg).not.toContain("another board")
  expect(svg).not.toContain("sound")
  expect(sceneSvg(drawAsCut(board, seen, []))).toContain("No fault was found")
})

const window: DepthWindow = {
  set: 0.1,
  error: 0.03,
  least: 0.035,
  most: 0.235,
  best: 0.135,
  flatness: 0.1,
  shallowFails: { what: "A and B join", x: 1, y: 2 },
  deepFails: { what: "C gets thinner than 0.2 mm", x: 3, y: 4 },
}

test("the window's triangle stands between its ends with its point in the middle", () => {
  const svg = depthPlot("plate", window)
  const points = /points="([^"]+)"/
    .exec(svg)![1]!
    .split(" ")
    .map((p) => p.split(",").map(Number))
  expect(points).toHaveLength(3)
  const [a, top, b] = points as [number[], number[], number[]]
  expect(top[0]).toBeCloseTo((a[0]! + b[0]!) / 2, 3)
  expect(a[1]).toBe(b[1])
  expect(top[1]).toBeLessThan(a[1]!)
  expect(svg).toContain("too shallow first: A and B join")
  expect(svg).toContain("too deep first: C gets thinner")
  expect(svg).toContain("0.065 to 0.205 mm on a surface within ±0.03 mm")
  expect(svg).toContain("#2f6b45")
  // Set outside what the surface allows: marked red.
  expect(depthPlot("plate", { ...window, set: 0.05 })).toContain("#c0281c")
})

test("a window too narrow or far off still draws with numbers", () => {
  for (const w of [
    { ...window, most: 0.03 },
    { ...window, least: 0.1, most: 0.1 },
    { ...window, error: 0, flatness: 0 },
    { ...window, most: 2, set: 0.001 },
    { ...window, set: 3 },
  ])
    expect(depthPlot("plate", w)).not.toMatch(/NaN|Infinity|undefined/)
})

test("the surface's picture has every height and what straight lines do not catch", () => {
  const { map } = readHeights(
    "0,0,0\n10,0,0.01\n20,0,0\n0,10,0\n10,10,0.05\n20,10,0\n0,20,0\n10,20,0\n20,20,0\n",
  )
  const svg = surfaceSvg(map!, "sheet.csv")
  expect(svg.match(/<rect /g)).toHaveLength(1 + 2 * 9)
  expect(svg).toContain(">50<")
  expect(svg).toContain("at most 50 µm")
  expect(svg).toContain("12.5 µm")
  expect(svg).not.toMatch(/NaN|undefined/)
})
