// From which depth to which a board's grooves are right, found by cutting it again and again on the grid.
// A height error only adds to the depth, so two depths on a flat surface tell all: the least at which every net is
// apart at the foil's bottom, and the most at which every net is whole with enough copper at the top. A surface that
// is off by e takes e from both ends. Depth is told as that of the deepest groove; all others move with it.

import type { Work } from "../../0-ground/progress.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { CutterProgram } from "../../6-copper/artefact.ts"
import type { DepthPoint } from "../artefact.ts"
import type { BitRaster } from "./bit-raster.ts"
import { findShorts, wantedOfLands } from "./compare-netlists.ts"
import { extractNetlist } from "./extract-netlist.ts"
import { enoughRing, leastCopper, leastRing } from "./judge-thin.ts"
import { labelCopper } from "./label-copper.ts"
import { brokenNets, erodeEdge, landRings, type Narrowest, type Ring, touches } from "./measure-copper.ts"
import { readCutProgram, type ToolMove } from "./read-cut-program.ts"
import { blankBoard, type CutJob, drilledHoles, engraverOf, simulateCut } from "./simulate-cut.ts"
import type { WantedNetlist } from "./wanted-netlist.ts"

/** What fails first beyond one end of the window, and where. */
export interface FirstToFail {
  readonly what: string
  readonly x: number
  readonly y: number
  readonly net?: string
  readonly part?: string
}

/** One end: mm of depth on a flat surface, and what fails beyond it. */
export interface WindowEnd {
  readonly depth: number
  readonly fails: FirstToFail
}

export interface WindowAsk {
  readonly board: Board
  readonly nets: readonly (string | undefined)[]
  readonly job: CutJob
  readonly pixel: number
  readonly blank: BitRaster
  /** Shallowest and deepest groove as written, mm, and a place in the shallowest. */
  readonly shallowest: number
  readonly deepest: number
  readonly shallow: ToolMove
  /** mm; the board was found without shorts with every groove this much shallower. */
  readonly error: number
}

/** Depths closer than this are not told apart, mm; 2 µm are a tenth of a cell of width at 30°. */
const fine = 0.002
/** Said where the search for narrow copper ended before any was found. */
export const nothingFound = "nothing was found up to there"
/** A tip that only just touches still counts as through, mm. */
const touch = 1e-6

/** Least depth at which all nets are apart. */
export function* leastDepth(ask: WindowAsk): Work<WindowEnd> {
  const { board, nets, job, pixel, blank, shallowest, deepest, shallow, error } = ask
  const apart = (height: number) => apartAt(board, nets, job, blank, height)
  // Every groove just through the foil, and the deepest just not.
  const through = job.foil - shallowest + touch
  const nothing = job.foil - deepest - touch
  let good = -error
  let bad = Math.min(nothing, good)
  if (through < good) {
    yield { stage: `proving ${board.name}`, done: 0.85, note: "looking for the least depth" }
    if (apart(through)) good = through
    else bad = through
  }
  while (good - bad > fine) {
    yield { stage: `proving ${board.name}`, done: 0.85, note: "looking for the least depth" }
    const middle = (good + bad) / 2
    if (apart(middle)) good = middle
    else bad = middle
  }
  if (bad <= nothing) {
    return {
      depth: deepest + good,
      fails: { what: "the groove no longer reaches through the foil", x: shallow.x1, y: shallow.y1 },
    }
  }
  const labels = labelCopper(simulateCut(job, { pixel, at: "bottom", height: bad }, blank))
  const [first] = findShorts(board, nets, extractNetlist(board, labels, "any"), labels)
  return {
    depth: deepest + good,
    fails: first
      ? { what: `${first.nets[0]} and ${first.nets[1]} join`, x: first.x, y: first.y, net: first.nets[0] }
      : { what: "two nets join", x: shallow.x1, y: shallow.y1 },
  }
}

/**
 * Greatest depth at which lands keep their rings too, up to `copper.depth`, which the narrowest copper allows
 * (`wide`: no copper was found that narrow), and to `half` the sheet's thickness.
 */
export function* mostDepth(
  ask: WindowAsk,
  copper: { readonly depth: number; readonly neck: Narrowest; readonly wide: boolean },
  half: number,
  rings: readonly Ring[],
): Work<WindowEnd> {
  const { board, job, pixel, blank, deepest, error, shallow } = ask
  const { neck } = copper
  const end: WindowEnd =
    copper.depth >= half
      ? { depth: half, fails: { what: "the groove takes half of the sheet", x: shallow.x1, y: shallow.y1 } }
      : {
          depth: copper.depth,
          fails: copper.wide
            ? { what: nothingFound, x: 0, y: 0 }
            : {
                what: `${neck.net} gets thinner than ${leastCopper} mm`,
                x: neck.x,
                y: neck.y,
                net: neck.net,
              },
        }
  const worst = (found: readonly Ring[]) =>
    found.length === 0 ? undefined : found.reduce((a, r) => (r.share < a.share ? r : a))
  const worstAt = (height: number) =>
    worst(landRings(board, simulateCut(job, { pixel, at: "top", height }, blank), enoughRing))
  const short = (ring: Ring | undefined) => ring !== undefined && ring.share < leastRing
  const byRing = (depth: number, { land }: Ring): WindowEnd => ({
    depth,
    fails: {
      what: `the ring of ${land.ref}.${land.pin} gets too thin to solder`,
      x: land.x,
      y: land.y,
      part: land.ref,
    },
  })
  const now = worst(rings)
  if (now && short(now)) return byRing(Math.min(end.depth, deepest + error), now)
  let good = error
  let bad = end.depth - deepest
  if (bad <= good) return end
  let failing = worstAt(bad)
  if (!failing || !short(failing)) return end
  while (bad - good > fine) {
    yield { stage: `proving ${board.name}`, done: 0.9, note: "looking for the greatest depth" }
    const middle = (good + bad) / 2
    const ring = worstAt(middle)
    if (ring && short(ring)) {
      bad = middle
      failing = ring
    } else good = middle
  }
  return byRing(deepest + good, failing)
}

/**
 * The board's engraving simulated at `count` depths from nothing to twice the deepest groove as written, each on a
 * surface that is off by the described flatness: what a plot of the window shows.
 */
export function* sweepDepth(
  lamp: Lamp,
  board: Board,
  wanted: WantedNetlist,
  programs: readonly CutterProgram[],
  count: number,
): Work<readonly DepthPoint[]> {
  const pixel = 0.02
  const { machine } = lamp.cutter
  const engraver = engraverOf(lamp)
  const read = programs.map((p) => ({ p, moves: readCutProgram(p.text).moves }))
  const engraving = read.filter(({ p }) => p.purpose === "engrave").flatMap(({ moves }) => moves)
  const holes = read
    .filter(({ p }) => p.purpose === "drill")
    .flatMap(({ p, moves }) => drilledHoles(moves, p.toolDiameter))
  const job: CutJob = { outline: board.outline, engraver, engraving, holes, foil: lamp.copperClad.copper }
  const blank = blankBoard(job, pixel)
  const nets = wantedOfLands(board, wanted)
  const deepest = engraving.reduce((a, m) => (m.kind === "feed" ? Math.max(a, -m.z0, -m.z1) : a), 0)
  const depthAt = (k: number) => (2 * deepest * k) / Math.max(1, count - 1)
  // A deeper groove only takes more: nets apart stay apart, a net that fell apart stays so. So the first of the
  // depths at which either changes is found by halving, and every depth between is known.
  const firstApart = yield* firstWhere(board.name, count, (k) =>
    apartAt(board, nets, job, blank, depthAt(k) - deepest - machine.flatness),
  )
  const firstBroken = yield* firstWhere(
    board.name,
    count,
    (k) => !wholeAt(board, nets, job, blank, depthAt(k) - deepest + machine.flatness),
  )
  return Array.from({ length: count }, (_, k) => ({
    depth: depthAt(k),
    apart: k >= firstApart,
    whole: k < firstBroken,
  }))
}

/** The first of 0…count−1 at which `holds`, which then holds for all after it; `count` where it never does. */
function* firstWhere(board: string, count: number, holds: (k: number) => boolean): Work<number> {
  let low = 0
  let high = count
  while (low < high) {
    const middle = (low + high) >> 1
    if (holds(middle)) high = middle
    else low = middle + 1
    yield { stage: `depth window of ${board}`, done: 1 - (high - low) / count }
  }
  return low
}

/** Whether no two nets touch at the foil's bottom with every groove `height` deeper than written. */
export function apartAt(
  board: Board,
  nets: readonly (string | undefined)[],
  job: CutJob,
  blank: BitRaster,
  height: number,
): boolean {
  const left = simulateCut(job, { pixel: blank.pixel, at: "bottom", height }, blank)
  return !touches(nets, extractNetlist(board, labelCopper(left), "any"))
}

/** Whether every net is whole with its least copper, and every ring wide enough, with grooves `height` deeper. */
export function wholeAt(
  board: Board,
  nets: readonly (string | undefined)[],
  job: CutJob,
  blank: BitRaster,
  height: number,
): boolean {
  const options = { pixel: blank.pixel, at: "top", height } as const
  const thinned = simulateCut(job, { ...options, widen: leastCopper }, blank)
  erodeEdge(thinned, job.outline, leastCopper / 2)
  if (brokenNets(nets, extractNetlist(board, labelCopper(thinned), "most")).length > 0) return false
  return landRings(board, simulateCut(job, options, blank), enoughRing).every((r) => r.share >= leastRing)
}
