// One board's cut proof: read its programs, cut it on the grid, follow the copper, compare, measure.

import { type Figure, fact } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import { boundingBox, contains } from "../../0-ground/geometry/polygon.ts"
import type { Work } from "../../0-ground/progress.ts"
import { computed, practice } from "../../0-ground/source.ts"
import type { PackageType } from "../../1-stock/artefact.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { CutterProgram } from "../../6-copper/artefact.ts"
import type { BoardProof, DepthWindow } from "../artefact.ts"
import { proof } from "../proof-findings.ts"
import { given, measuredOn, nothingTold, tell } from "../told.ts"
import { landPlace, mostListed, spot } from "./board-place.ts"
import { type Bench, checkPrograms } from "./check-programs.ts"
import { checkScrews } from "./check-screws.ts"
import { bareLands, findOpens, findShorts, wantedOfLands } from "./compare-netlists.ts"
import { leastDepth, mostDepth } from "./depth-window.ts"
import { type Extracted, extractNetlist, idleLinks } from "./extract-netlist.ts"
import { judgeCount } from "./judge-count.ts"
import { judgeHoles } from "./judge-holes.ts"
import { judgeOutline, judgePlaces } from "./judge-places.ts"
import { judgePosition } from "./judge-position.ts"
import { judgeSlots } from "./judge-slots.ts"
import { depthsOf, enoughRing, judgeDepth, judgeThin } from "./judge-thin.ts"
import { depthByCopper, judgeWindow } from "./judge-window.ts"
import { labelCopper } from "./label-copper.ts"
import { landRings, narrowestCopper, narrowestGroove, widestNeck } from "./measure-copper.ts"
import { type ProgramReading, readCutProgram } from "./read-cut-program.ts"
import { type Heights, onSurface } from "./read-heights.ts"
import {
  blankBoard,
  type CutJob,
  drilledHoles,
  engraverOf,
  milledHoles,
  simulateCut,
  widthAt,
} from "./simulate-cut.ts"
import type { WantedNetlist } from "./wanted-netlist.ts"

export interface BoardEvidence {
  readonly proof: BoardProof
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
  /** Lands joined in the copper with links, for following nets across boards. */
  readonly joined: Extracted
}

/** Finest raster, mm; larger boards take a coarser one so that a row of cells stays within bounds. */
const finest = 0.02
const mostPixels = 120e6
/** mm²; no hobby mill has a larger bed. */
const mostArea = 4e6
/** Height error that is left where the surface was probed, mm (repeatability of a touch probe: common practice). */
const probeError = 0.01

/** How a board's cut is looked at. */
export interface CutLook {
  /** The surface as measured. */
  readonly heights?: Heights | undefined
  /**
   * Moves of the programs that concern this board, in its own frame, on the surface where one was measured: of a sheet
   * that it shares. The programs as a whole are then judged elsewhere, and no other depths are tried.
   */
  readonly readings?: ReadonlyMap<CutterProgram, ProgramReading>
}

export function* proveCut(
  lamp: Lamp,
  board: Board,
  wanted: WantedNetlist,
  programs: readonly CutterProgram[],
  packages: (name: string) => PackageType | undefined,
  earth: string,
  look: CutLook = {},
): Work<BoardEvidence> {
  const { heights } = look
  const told = nothingTold()
  const { findings } = told
  const stage = `proving ${board.name}`
  const box = boundingBox(board.outline)
  const area = (box.maxX - box.minX) * (box.maxY - box.minY)
  if (board.outline.length < 3 || !(area > 0) || area > mostArea) {
    findings.push(
      proof.state("outline", {
        severity: "red",
        title: `${board.name} has no edge that a board could have`,
        where: { text: board.name, board: board.name },
      }),
    )
    return {
      proof: emptyProof(board.name),
      findings,
      figures: [],
      joined: { group: board.lands.map((_, i) => i), pieces: [] },
    }
  }
  const readings = look.readings ?? new Map(programs.map((p) => [p, readCutProgram(p.text)]))
  const bench = benchOf(lamp, lyingSheet(lamp.copperClad.sheet, board))
  if (!look.readings)
    tell(told, checkPrograms(board.name, [...readings], bench), judgeCount(lamp, board.name, readings))
  yield { stage, done: 0.1, note: "programs read" }

  const written = [...readings].filter(([p]) => p.purpose === "engrave").flatMap(([, r]) => r.moves)
  const bend = look.readings ? undefined : heights
  const engraving = bend ? onSurface(written, bend) : written
  const inBoard = (x: number, y: number) => contains(board.outline, { x, y })
  const holes = [...readings].flatMap(([p, r]) =>
    p.purpose === "drill"
      ? drilledHoles(r.moves, p.toolDiameter).map((h) => ({ ...h, file: p.file }))
      : p.purpose === "outline"
        ? milledHoles(r.moves, p.toolDiameter, inBoard).map((h) => ({ ...h, file: p.file }))
        : [],
  )
  const milling = [...readings].flatMap(([p, r]) =>
    p.purpose === "outline" || p.purpose === "clear"
      ? [
          {
            diameter: p.toolDiameter,
            moves: p.purpose === "clear" && bend ? onSurface(r.moves, bend) : r.moves,
          },
        ]
      : [],
  )
  for (const purpose of ["engrave", "drill", "outline"] as const) {
    if (programs.some((p) => p.purpose === purpose)) continue
    findings.push(
      proof.state("program-missing", {
        severity: "red",
        title: `${board.name} has no ${purpose} program`,
        where: { text: board.name, board: board.name },
      }),
    )
  }
  tell(
    told,
    judgeHoles(board, holes, lamp),
    judgePlaces(lamp, board, holes, packages),
    judgeOutline(lamp, board, programs, readings),
    judgeSlots(lamp, board, readings),
  )
  yield { stage, done: 0.2, note: "holes and edge compared" }

  const pixel = Math.max(finest, Math.sqrt(area / mostPixels))
  const engraver = engraverOf(lamp)
  const error = heights ? Math.max(probeError, heights.residual) : lamp.cutter.machine.flatness
  const foil = lamp.copperClad.copper
  const cuts = engraving.filter((m) => m.kind === "feed")
  const job: CutJob = { outline: board.outline, engraver, engraving, milling, holes, foil }
  const along = depthsOf(
    lamp,
    board,
    cuts,
    heights
      ? fact(
          "proof.probe-error",
          "height error left after probing",
          error,
          "mm",
          error > probeError
            ? measuredOn(
                "the measured surface",
                "a quarter of the greatest difference between a place and the mean of its neighbours",
              )
            : practice(),
        )
      : given("cutter.machine.flatness", "height error of the surface", error, "mm"),
  )
  if (along) tell(told, judgeDepth(board, along.depths, along.shallow))

  const nets = wantedOfLands(board, wanted)
  const blank = blankBoard(job, pixel)
  const bottom = simulateCut(job, { pixel, at: "bottom", height: -error }, blank)
  const bottomLabels = labelCopper(bottom)
  const forShorts = extractNetlist(board, bottomLabels, "any")
  const shorts = findShorts(board, nets, forShorts, bottomLabels)
  yield { stage, done: 0.4, note: "grooves followed" }
  const top = simulateCut(job, { pixel, at: "top", height: error }, blank)
  const topLabels = labelCopper(top)
  const forOpens = extractNetlist(board, topLabels, "most")
  const opens = findOpens(board, nets, forOpens, top)
  yield { stage, done: 0.5, note: "copper followed" }

  findings.push(...netFindings(board, nets, shorts, opens))
  for (const land of bareLands(board, forOpens).slice(0, mostListed)) {
    findings.push(
      proof.state("land-bare", {
        severity: "red",
        title: `${land.ref}.${land.pin} on ${board.name} has no copper left to solder on`,
        where: landPlace(board, land),
      }),
    )
  }

  if (opens.length === 0 && shorts.length === 0) {
    for (const ref of idleLinks(board, forOpens)) {
      const link = board.links.find((l) => l.ref === ref)!
      findings.push(
        proof.state("link-idle", {
          severity: "green",
          title: `the wire link ${ref} on ${board.name} joins copper of ${link.net} that hangs together without it`,
          where: { ...landPlace(board, { ref, pin: "1", ...link.from }), net: link.net },
        }),
      )
    }
  }
  findings.push(...checkScrews(board, nets, forShorts, bottomLabels, earth))

  // Bad boards are not measured further: their thin places are the faults already listed.
  const neck =
    opens.length === 0 && shorts.length === 0
      ? yield* narrowestCopper(board, nets, job, { pixel, height: error }, blank)
      : undefined
  yield { stage, done: 0.8, note: "narrowest copper found" }
  const groove =
    shorts.length === 0 && along
      ? yield* narrowestGroove(
          board,
          nets,
          job,
          { pixel, height: -error, most: widthAt(engraver, -along.depths.shallowest.value + error, foil) },
          blank,
        )
      : 0
  const rings = landRings(board, top, enoughRing)
  tell(told, judgeThin(board, { neck, groove, rings, pixel }, opens.length === 0))
  if (neck) tell(told, judgePosition(lamp, board, neck, pixel))
  let window: DepthWindow | undefined
  if (neck && along && shorts.length === 0 && !look.readings) {
    const { depths, shallow } = along
    const ask = {
      board,
      nets,
      job,
      pixel,
      blank,
      shallow,
      shallowest: depths.shallowest.value,
      deepest: depths.deepest.value,
      error,
    }
    const least = yield* leastDepth(ask)
    const copper = { depth: depthByCopper(lamp, depths, neck), neck, wide: neck.width >= widestNeck }
    const most = yield* mostDepth(ask, copper, lamp.copperClad.thickness / 2, rings)
    const judged = judgeWindow(lamp, board, depths, neck, { least, most }, pixel)
    tell(told, judged.told)
    window = judged.window
  }
  yield { stage, done: 1 }
  return {
    proof: {
      board: board.name,
      shorts: shorts.map((s) => ({ nets: s.nets, x: s.x, y: s.y })),
      opens,
      narrowestCopper: neck?.width ?? 0,
      narrowestAt: neck ? { x: neck.x, y: neck.y, net: neck.net } : { x: 0, y: 0, net: "" },
      narrowestGroove: Math.max(0, groove),
      raster: pixel,
      ...(window ? { depthWindow: window } : {}),
    },
    ...told,
    joined: forOpens,
  }
}

const emptyProof = (board: string): BoardProof => ({
  board,
  shorts: [],
  opens: [],
  narrowestCopper: 0,
  narrowestAt: { x: 0, y: 0, net: "" },
  narrowestGroove: 0,
  raster: finest,
})

/** What the described machine allows on a sheet that lies so. */
export const benchOf = (lamp: Lamp, sheet: Bench["sheet"]): Bench => ({
  thickness: lamp.copperClad.thickness,
  sheet,
  margin: lamp.cutter.router.diameter / 2,
  clearHeight: lamp.cutter.machine.clearHeight,
  feeds: {
    engrave: { along: lamp.cutter.engraver.feed, down: lamp.cutter.engraver.plunge },
    clear: {
      along: Math.max(0, ...(lamp.cutter.mills ?? []).map((m) => m.feed)),
      down: Math.max(0, ...(lamp.cutter.mills ?? []).map((m) => m.plunge)),
    },
    drill: { along: lamp.cutter.drillFeed, down: lamp.cutter.drillFeed },
    outline: { along: lamp.cutter.router.feed, down: lamp.cutter.router.feed },
  },
})

/** The sheet lies the way the board fits on it; lengthways along x where both ways do. */
function lyingSheet(sheet: { readonly w: number; readonly h: number }, board: Board) {
  const box = boundingBox(board.outline)
  const long = Math.max(sheet.w, sheet.h)
  const short = Math.min(sheet.w, sheet.h)
  return box.maxY > short && box.maxX <= short ? { w: short, h: long } : { w: long, h: short }
}

function netFindings(
  board: Board,
  nets: readonly (string | undefined)[],
  shorts: ReturnType<typeof findShorts>,
  opens: ReturnType<typeof findOpens>,
): Finding[] {
  const findings: Finding[] = []
  const place = (x: number, y: number, net: string) => ({ ...spot(board, x, y), net })
  for (const s of shorts.slice(0, mostListed)) {
    findings.push(
      proof.state("short", {
        severity: "red",
        title: `${s.nets[0]} and ${s.nets[1]} are joined on ${board.name}`,
        where: place(s.x, s.y, s.nets[0]),
      }),
    )
  }
  for (const o of opens.slice(0, mostListed)) {
    findings.push(
      proof.state("open", {
        severity: "red",
        title: `${o.net} is broken on ${board.name}: ${o.lands.join(", ")} cut off`,
        where: place(o.x, o.y, o.net),
      }),
    )
  }
  const count = new Set(nets.filter((n) => n !== undefined)).size
  findings.push(
    proof.state("netlist", {
      severity: shorts.length + opens.length === 0 ? "green" : "red",
      title:
        shorts.length + opens.length === 0
          ? `${board.name}: all ${count} nets are whole and apart in the copper that is left`
          : `${board.name}: ${shorts.length} shorts and ${opens.length} opens in the copper that is left`,
      where: { text: board.name, board: board.name },
      measured: { value: shorts.length + opens.length, unit: "" },
      limit: { value: 0, unit: "", kind: "exactly" },
      margin: shorts.length + opens.length === 0 ? 0 : -1,
      source: computed("cut simulated on a bit grid, shallowest for shorts, deepest for opens"),
    }),
  )
  return findings
}
