// Way in: boards → grooves that separate the nets, and the cutter programs that make each board.

import { type Ahead, type Crew, shareOut } from "../0-ground/crew.ts"
import type { Figure } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { grooveWidth, sweptTip } from "../0-ground/geometry/groove.ts"
import type { Point } from "../0-ground/geometry/point.ts"
import type { Work } from "../0-ground/progress.ts"
import { forgetful, nameOf, type Recall } from "../0-ground/recall.ts"
import type { Cutting, Lamp } from "../2-lamp/artefact.ts"
import type { Board, Boards } from "../5-board/artefact.ts"
import { aroundPieces, edgeGroove, outlineLength } from "./around-pieces.ts"
import type { BoardCopper, Copper, CutPlan, CutterProgram, ExtraProgram } from "./artefact.ts"
import type { BoardCut } from "./board-cut.ts"
import { placeText } from "./board-text.ts"
import { clearAreas } from "./clear-areas.ts"
import { allowance, copperAreas, grooveRoom, rasterStep } from "./copper-areas.ts"
import { copperIslands } from "./copper-islands.ts"
import { copperShapes } from "./copper-shapes.ts"
import { copperWidth } from "./copper-width.ts"
import { couponProgram } from "./coupon-program.ts"
import { cutFigures, cutterFigures, totalTime } from "./cut-figures.ts"
import {
  clearProgram,
  drillProgram,
  engraveProgram,
  outlineProgram,
  type ProgramSetting,
} from "./cut-program.ts"
import { cuttingWays } from "./cutting-ways.ts"
import { drillPlan } from "./drill-plan.ts"
import { grooveSeparation } from "./groove-separation.ts"
import { growOutline } from "./grow-outline.ts"
import { joinStrokes } from "./join-strokes.ts"
import { judgeCut } from "./judge-cut.ts"
import { judgeCutter } from "./judge-cutter.ts"
import { oneFile } from "./one-file.ts"
import { orderPlaces, orderStrokes } from "./order-strokes.ts"
import { insideCorner, outlinePath } from "./outline-path.ts"
import { probeProgram } from "./probe-program.ts"
import { secondPasses } from "./second-pass.ts"
import { sharedSheets } from "./shared-sheets.ts"
import { slotFits, slotRing } from "./slot-path.ts"
import { thermalRelief } from "./thermal-relief.ts"

/** What the cut of one board is worked out from, as plain data. */
export interface BoardCutJob {
  readonly cut: Pick<Lamp, "name" | "seed" | "cutter" | "copperClad">
  /** Without the values of its parts. */
  readonly board: Board
  readonly ways: Cutting
}

/** What a hand of the crew does with a job. */
export const doCutJob = ({ cut, board, ways }: BoardCutJob): Work<BoardCut> => cutBoard(cut, board, ways)

export interface CutOptions {
  readonly crew?: Crew | undefined
  readonly recall?: Recall
  /** Told of each board as soon as it is cut, by name and with its programs. */
  readonly onCut?: (board: string, programs: readonly CutterProgram[]) => void
}

/**
 * Cuts every board; findings are collected, none is thrown. `crew` cuts some of them, where the door has one.
 * `recall`: a board that is as before is not cut again.
 */
export function* designCut(
  lamp: Lamp,
  boards: Boards,
  { crew, recall = forgetful, onCut }: CutOptions = {},
): Work<{ copper: Copper; plan: CutPlan }> {
  yield { stage: "cut", done: 0 }
  const copper: BoardCopper[] = []
  const programs: CutterProgram[] = []
  const extras: ExtraProgram[] = []
  const figures: Figure[] = []
  const findings: Finding[] = []
  const given = cutterFigures(lamp)
  // Whether boards also share a sheet changes nothing about any of them.
  const { shared, ...ways } = cuttingWays(lamp)
  const times: Figure[] = []
  const cuts = yield* cutBoards(lamp, boards.boards, ways, { crew, recall, ...(onCut ? { onCut } : {}) })
  const made: BoardCut[] = []
  for (const board of boards.boards) {
    const cut = { ...cuts.get(board.name)!, board }
    made.push(cut)
    copper.push(cut.copper)
    programs.push(...cut.programs)
    extras.push(probeProgram(lamp, board, ways.probes))
    if (ways.files === "one") extras.push(oneFile(board.name, cut.programs))
    const told = cutFigures(lamp, given, cut)
    times.push(told.time)
    figures.push(...told.all)
    findings.push(...judgeCut(lamp, cut, given, told))
    yield { stage: "cut", done: 1, note: board.name }
  }
  if (programs.length > 0) {
    const judged = judgeCutter(lamp, given)
    findings.push(...judged.findings)
    figures.push(...judged.figures, given.clearHeight, totalTime(programs, times))
    extras.push(couponProgram(lamp))
  }
  const plan = { programs, extras, figures, findings }
  if (!shared || made.length === 0) return { copper: { boards: copper }, plan }
  const together = yield* sharedSheets(lamp, made, shared, given, recall)
  extras.push(...together.extras)
  figures.push(...together.figures)
  findings.push(...together.findings)
  return { copper: { boards: copper }, plan: { ...plan, sheets: together.sheets } }
}

const what = (board: Board) => `cut ${board.name}`

const jobOf = (
  { name, seed, cutter, copperClad }: Lamp,
  board: Board,
  ways: BoardCutJob["ways"],
): BoardCutJob => ({ cut: { name, seed, cutter, copperClad }, board: bare(board), ways })

/** Begins the cut of a board that is laid, while others are not. */
export function cutAhead(lamp: Lamp, board: Board, ahead: Ahead, recall: Recall): void {
  const { shared, ...ways } = cuttingWays(lamp)
  const job = jobOf(lamp, board, ways)
  if (recall.known(what(board), [job]) === undefined)
    ahead.post(nameOf(what(board), [job]), job, () => doCutJob(job))
}

/** By name; the largest first, so that no hand is left with it at the end. `told` hears of each as it is cut. */
function* cutBoards(
  lamp: Lamp,
  boards: readonly Board[],
  ways: BoardCutJob["ways"],
  { crew, recall = forgetful, onCut }: CutOptions,
): Work<ReadonlyMap<string, BoardCut>> {
  const cuts = new Map<string, BoardCut>()
  const jobs: BoardCutJob[] = []
  for (const board of boards) {
    const job = jobOf(lamp, board, ways)
    const known = recall.known<BoardCut>(what(board), [job])
    if (known) cuts.set(board.name, known)
    else jobs.push(job)
  }
  jobs.sort((a, b) => b.board.lands.length - a.board.lands.length)
  const names = jobs.map((job) => nameOf(what(job.board), [job]))
  const told = (i: number, cut: BoardCut) => onCut?.(jobs[i]!.board.name, cut.programs)
  const done = yield* shareOut("cut", jobs, doCutJob, crew, { told, names })
  for (const [i, cut] of done.entries()) {
    recall.keep(what(jobs[i]!.board), [jobs[i]], cut)
    cuts.set(jobs[i]!.board.name, cut)
  }
  return cuts
}

/** The value of a part is of no concern to the cut. */
const bare = (board: Board): Board => ({ ...board, parts: board.parts.map((p) => ({ ...p, value: "" })) })

function* cutBoard(
  lamp: Pick<Lamp, "name" | "seed" | "cutter" | "copperClad">,
  board: Board,
  ways: Cutting,
): Work<BoardCut> {
  const { engraver, router, drills } = lamp.cutter
  const width = grooveWidth(sweptTip(engraver), engraver.angle, engraver.depth)
  const keep = width / 2 + allowance
  const climb = ways.direction === "climb"
  const shapes = copperShapes(board, grooveRoom(width))
  const areas = yield* copperAreas(shapes, board.outline, width)
  // Rings come with the copper that stays on their left, which is the conventional way.
  const facing = (ring: readonly Point[]) => (climb ? [...ring].reverse() : ring)
  const first =
    ways.separate === "around" ? aroundPieces(shapes, keep).map(facing) : joinStrokes(areas.chains, width / 4)
  const second =
    ways.secondPass === undefined
      ? undefined
      : secondPasses(first, (1 - ways.secondPass) * width, keep, areas.index)
  yield { stage: "strokes", done: 0.5, note: board.name }
  const edge =
    ways.edgeGroove === undefined ? undefined : edgeGroove(board.outline, ways.edgeGroove, keep, areas.index)
  const relieved =
    ways.thermalRelief === undefined
      ? undefined
      : thermalRelief(
          board,
          shapes,
          areas.nearest,
          [...first, ...(second?.strokes ?? []), ...(edge?.strokes ?? [])],
          width,
          keep,
        )
  const rings = (relieved ?? []).flatMap((l) => l.arcs)
  const taken = [...(board.clear ?? []), ...(board.slots ?? []).map(slotRing)]
  const texts = (board.text ?? []).map((t) =>
    placeText(t, board.outline, keep, areas.index, [...first, ...rings], taken),
  )
  const cleared = clearAreas(board.clear ?? [], board.outline, shapes, lamp.cutter.mills, width, climb)
  yield { stage: "strokes", done: 1, note: board.name }
  const strokes = [
    ...first,
    ...(second?.strokes ?? []),
    ...(edge?.strokes ?? []).map(facing),
    ...rings,
    ...texts.flatMap((t) => t.strokes),
    ...(cleared && !cleared.mill ? cleared.strokes : []),
  ]
  const { grooves, travel, bound } = yield* orderStrokes(strokes, lamp.seed)
  yield { stage: "islands", done: 0, note: board.name }
  // The many strokes that clear an area are one region here.
  const apart = cleared && !cleared.mill ? strokes.slice(0, -cleared.strokes.length || undefined) : undefined
  const islands = yield* copperIslands(
    shapes,
    board.outline,
    apart?.map((points) => ({ points })) ?? grooves,
    width,
    cleared?.covered,
  )
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
  const [rim] = growOutline(board.outline, router.diameter / 2)
  const path = rim ? outlinePath(rounded(climb ? [...rim].reverse() : rim), router.diameter) : undefined
  const { w, h } = lamp.copperClad.sheet
  const way = { x: 0, y: 0 }
  for (const p of rim ?? []) {
    way.x = Math.max(way.x, p.x)
    way.y = Math.max(way.y, p.y)
  }
  const reach = { x: way.x + router.diameter / 2, y: way.y + router.diameter / 2 }
  const sheetTurned = !(reach.x <= w && reach.y <= h) && reach.x <= h && reach.y <= w
  const setting: ProgramSetting = {
    lamp: lamp.name,
    board: board.name,
    cutter: lamp.cutter,
    ways,
    copperClad: lamp.copperClad,
    sheetTurned,
  }
  const programs: CutterProgram[] = []
  if (grooves.length > 0) programs.push(engraveProgram(setting, grooves, width))
  let place = 2
  if (cleared?.mill) {
    const { grooves: rings } = yield* orderStrokes(cleared.strokes, lamp.seed)
    programs.push(
      clearProgram(
        setting,
        cleared.mill,
        rings.map((g) => g.points),
      ),
    )
    place++
  }
  for (const { drill, holes: drilled } of holes.drilled) {
    const ordered = yield* orderPlaces(drilled, lamp.seed)
    programs.push(drillProgram(setting, Math.min(place++, 8), drill, ordered))
  }
  const slots = board.slots ?? []
  const milled = slots.filter((s) => slotFits(s, router.diameter))
  programs.push(
    outlineProgram(setting, yield* orderPlaces(holes.milled, lamp.seed), milled, path ? [path] : []),
  )
  return {
    board,
    copper: { board: board.name, grooveWidth: width, depth: engraver.depth, grooves, islands },
    programs,
    shapes,
    nearestCopper: areas.nearestCopper,
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
    first,
    second,
    edge,
    relieved,
    texts,
    cleared,
    narrowSlots: slots.filter((s) => !milled.includes(s)),
  }
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
