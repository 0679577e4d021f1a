// Way in: boards → grooves that separate the nets, and the cutter programs that make each board.

import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { grooveWidth } from "../0-ground/geometry/groove.ts"
import type { Point } from "../0-ground/geometry/point.ts"
import type { Work } from "../0-ground/progress.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Board, Boards } from "../5-board/artefact.ts"
import type { BoardCopper, Copper, CutPlan, CutterProgram, Groove } from "./artefact.ts"
import type { BoardCut } from "./board-cut.ts"
import { copperAreas, grooveRoom, rasterStep } from "./copper-areas.ts"
import { copperIslands } from "./copper-islands.ts"
import { copperShapes } from "./copper-shapes.ts"
import { copperWidth } from "./copper-width.ts"
import { cutFigures, cutterFigures, totalTime } from "./cut-figures.ts"
import { drillProgram, engraveProgram, outlineProgram, type ProgramSetting } from "./cut-program.ts"
import { type BoardHole, drillPlan } from "./drill-plan.ts"
import { grooveSeparation } from "./groove-separation.ts"
import { growOutline } from "./grow-outline.ts"
import { joinStrokes } from "./join-strokes.ts"
import { judgeCut } from "./judge-cut.ts"
import { travelBound } from "./order-bound.ts"
import { orderPasses } from "./order-passes.ts"
import { insideCorner, outlinePath } from "./outline-path.ts"
import { outlineLength } from "./track-outlines.ts"

/** Cuts every board; findings are collected, none is thrown. */
export function* designCut(lamp: Lamp, boards: Boards): Work<{ copper: Copper; plan: CutPlan }> {
  const copper: BoardCopper[] = []
  const programs: CutterProgram[] = []
  const figures: Figure[] = []
  const findings: Finding[] = []
  const given = cutterFigures(lamp)
  const times: Figure[] = []
  for (const board of boards.boards) {
    yield { stage: "cut", done: copper.length / boards.boards.length, note: board.name }
    const cut = yield* cutBoard(lamp, board)
    copper.push(cut.copper)
    programs.push(...cut.programs)
    const told = cutFigures(lamp, given, cut)
    times.push(told.time)
    figures.push(...told.all)
    findings.push(...judgeCut(lamp, cut, given, told))
    yield { stage: "cut", done: copper.length / boards.boards.length, note: board.name }
  }
  if (programs.length > 0) figures.push(given.clearHeight, totalTime(programs, times))
  return { copper: { boards: copper }, plan: { programs, figures, findings } }
}

function* cutBoard(lamp: Lamp, board: Board): Work<BoardCut> {
  const { engraver, router, drills } = lamp.cutter
  const width = grooveWidth(engraver.tip, engraver.angle, engraver.depth)
  const shapes = copperShapes(board, grooveRoom(width))
  const areas = yield* copperAreas(shapes, board.outline, width)
  const strokes = joinStrokes(areas.chains, width / 4)
  const { grooves, travel, bound } = yield* orderStrokes(strokes, lamp.seed)
  yield { stage: "islands", done: 0, note: board.name }
  const islands = yield* copperIslands(shapes, board.outline, grooves, width)
  yield { stage: "islands", done: 1, note: board.name }
  // The raster must be finer than the groove, or a flood would leak through it.
  const separation = grooveSeparation(
    shapes,
    board.outline,
    grooves,
    width,
    Math.min(rasterStep, Math.max(0.02, 0.7 * width)),
  )
  yield { stage: "separation", done: 1, note: board.name }

  const holes = drillPlan(board, drills, router.diameter)
  const rings = growOutline(board.outline, router.diameter / 2)
  const path = rings[0] ? outlinePath(rounded(rings[0]), router.diameter) : undefined
  const { w, h } = lamp.copperClad.sheet
  const way = { x: 0, y: 0 }
  for (const p of rings[0] ?? []) {
    way.x = Math.max(way.x, p.x)
    way.y = Math.max(way.y, p.y)
  }
  const reach = { x: way.x + router.diameter / 2, y: way.y + router.diameter / 2 }
  const sheetTurned = !(reach.x <= w && reach.y <= h) && reach.x <= h && reach.y <= w
  const setting: ProgramSetting = {
    lamp: lamp.name,
    board: board.name,
    cutter: lamp.cutter,
    copperClad: lamp.copperClad,
    sheetTurned,
  }
  const programs: CutterProgram[] = []
  if (grooves.length > 0) programs.push(engraveProgram(setting, grooves, width))
  let place = 2
  for (const { drill, holes: drilled } of holes.drilled) {
    const ordered = yield* orderHoles(drilled, lamp.seed)
    programs.push(drillProgram(setting, Math.min(place++, 8), drill, ordered))
  }
  programs.push(outlineProgram(setting, path, yield* orderHoles(holes.milled, lamp.seed)))
  return {
    board,
    copper: { board: board.name, grooveWidth: width, depth: engraver.depth, grooves, islands },
    programs,
    shapes,
    areas,
    separation,
    copperWidth: copperWidth(board, grooves, width),
    outlined: outlineLength(shapes, width),
    holes,
    path,
    corner: insideCorner(board.outline, router.diameter),
    way,
    reach,
    sheetTurned,
    travel,
    bound,
  }
}

/** Strokes in cutting order and direction, from the origin and back to it. */
function* orderStrokes(
  strokes: readonly (readonly Point[])[],
  seed: number,
): Work<{ grooves: Groove[]; travel: number; bound: number }> {
  const xy = new Float64Array(4 * (strokes.length + 1))
  strokes.forEach((points, s) => {
    const a = points[0]!
    const b = points[points.length - 1]!
    xy.set([a.x, a.y, b.x, b.y], 4 * (s + 1))
  })
  const { order, reversed, travel } = yield* orderPasses({ xy }, seed)
  yield { stage: "cut order", done: 1 }
  const bound = yield* travelBound({ xy }, travel)
  const grooves = order
    .map((s, k) => ({ s, k }))
    .filter(({ s }) => s > 0)
    .map(({ s, k }) => ({ points: reversed[k] ? [...strokes[s - 1]!].reverse() : [...strokes[s - 1]!] }))
  return { grooves, travel, bound }
}

function* orderHoles(holes: readonly BoardHole[], seed: number): Work<BoardHole[]> {
  const xy = new Float64Array(4 * (holes.length + 1))
  holes.forEach(({ x, y }, i) => {
    xy.set([x, y, x, y], 4 * (i + 1))
  })
  const { order } = yield* orderPasses({ xy }, seed)
  return order.filter((s) => s > 0).map((s) => holes[s - 1]!)
}

/** To the micrometre, without points that fall together. */
function rounded(ring: readonly Point[]): Point[] {
  const out: Point[] = []
  for (const p of ring) {
    const q = { x: Math.round(p.x * 1000) / 1000, y: Math.round(p.y * 1000) / 1000 }
    const last = out[out.length - 1]
    if (!last || last.x !== q.x || last.y !== q.y) out.push(q)
  }
  return out
}
