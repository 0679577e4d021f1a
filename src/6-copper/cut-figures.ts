// The numbers of a board's cut that a user may ask the why of.

import { type Figure, fact, result } from "../0-ground/figure.ts"
import { grooveWidth, sweptTip, wornTip } from "../0-ground/geometry/groove.ts"
import type { Point } from "../0-ground/geometry/point.ts"
import { boundingBox } from "../0-ground/geometry/polygon.ts"
import { computed, described, type Source } from "../0-ground/source.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { CutterProgram } from "./artefact.ts"
import type { BoardCut } from "./board-cut.ts"
import { polylineLength } from "./join-strokes.ts"

const timeModel =
  "sum over all moves: straight speed ramps at the machine's acceleration; rapid moves start and end at rest; " +
  "corners between cutting moves at √(acceleration · radius of the arc that leaves the corner by 0.01 mm)"

export const measured = (on: string, how: string): Source => ({ document: on, place: how, known: "computed" })

/** Time of all programs of all boards. */
export const totalTime = (programs: readonly CutterProgram[], times: readonly Figure[]): Figure =>
  result(
    "cut.time",
    "time for all cutter programs, without changing tools",
    programs.reduce((sum, p) => sum + p.time, 0),
    "s",
    "sum over the boards",
    times,
  )

/** What the description says about the cutter; the same for every board. */
export type CutterFigures = ReturnType<typeof cutterFigures>

export function cutterFigures({ cutter: { engraver, drillFeed, router, machine, mills } }: Lamp) {
  const given = (path: string, name: string, value: number, unit: string) =>
    fact(`description.${path}`, name, value, unit, described(path))
  const flat = given("cutter.engraver.tip", "width of the engraver's tip", engraver.tip, "mm")
  const angle = given("cutter.engraver.angle", "full angle of the engraver", engraver.angle, "°")
  const worn =
    engraver.wear === undefined
      ? flat
      : result(
          "cut.worn-tip",
          "width of the engraver's tip as worn",
          wornTip(engraver),
          "mm",
          "tip + 2 · length worn off · tan(angle ÷ 2)",
          [flat, given("cutter.engraver.wear", "length of point worn off", engraver.wear, "mm"), angle],
        )
  const tip =
    engraver.runOut === undefined
      ? worn
      : result(
          "cutter.swept-tip",
          "width the engraver's tip sweeps",
          sweptTip(engraver),
          "mm",
          "tip + run-out: the tip's middle goes round on half the gauge's full reading",
          [worn, given("cutter.engraver.run-out", "run-out of the tip", engraver.runOut, "mm")],
        )
  return {
    /** As it sweeps: what is surely not copper. */
    tip,
    /** As it is worn, without run-out: what is surely cut. */
    worn,
    angle,
    depth: given("cutter.engraver.depth", "depth of the grooves", engraver.depth, "mm"),
    feeds: {
      engrave: given("cutter.engraver.feed", "feed of the engraver", engraver.feed, "mm/min"),
      drill: given("cutter.drill-feed", "feed of the drills", drillFeed, "mm/min"),
      outline: given("cutter.router.feed", "feed of the router", router.feed, "mm/min"),
      clear: given("cutter.mills.0.feed", "feed of the end mill", mills?.[0]?.feed ?? 0, "mm/min"),
    },
    router: given("cutter.router.diameter", "diameter of the router", router.diameter, "mm"),
    rapid: given("cutter.machine.rapid", "rapid speed", machine.rapid, "mm/min"),
    acceleration: given(
      "cutter.machine.acceleration",
      "acceleration of the machine",
      machine.acceleration,
      "mm/s²",
    ),
    flatness: given("cutter.machine.flatness", "height error of the surface", machine.flatness, "mm"),
    clearHeight: given(
      "cutter.machine.clear-height",
      "height at which the tool crosses the board",
      machine.clearHeight,
      "mm",
    ),
  }
}

/** How long each program takes. */
export const programTimes = (id: string, programs: readonly CutterProgram[], given: CutterFigures) =>
  programs.map((p) =>
    result(
      `${id}.time.${p.file}`,
      `time for ${p.file}`,
      p.time,
      "s",
      timeModel,
      [given.acceleration, given.rapid, given.feeds[p.purpose]],
      { source: measured(p.file, "its moves") },
    ),
  )

export type CutFigures = ReturnType<typeof cutFigures>

/** A board's figures by what they tell, and `all` of them in the order they are listed. */
export function cutFigures(lamp: Lamp, given: CutterFigures, cut: BoardCut) {
  const { board } = cut
  const grooves = grooveFigures(lamp, given, cut)
  const travel = travelFigures(cut)
  const copper = copperFigures(cut, grooves.width, travel.cutLength)
  const edge = edgeFigures(given, cut)
  const times = programTimes(`cut.${board.name}`, cut.programs, given)
  const time = result(
    `cut.${board.name}.time`,
    "time for all programs of the board, without changing tools",
    cut.programs.reduce((sum, p) => sum + p.time, 0),
    "s",
    "sum over the programs",
    times,
  )
  const besides = besideFigures(cut)
  const named = { ...grooves, ...travel, ...copper, ...edge, ...besides, time }
  return { ...named, all: [...Object.values(named), ...times].filter((f) => f !== undefined) }
}

function grooveFigures(lamp: Lamp, given: CutterFigures, { board, copper, nearestCopper }: BoardCut) {
  const { engraver, machine } = lamp.cutter
  const id = (name: string) => `cut.${board.name}.${name}`
  const { tip, worn, angle, depth, flatness } = given
  const width = result(
    id("groove-width"),
    "width of a groove at the copper surface",
    copper.grooveWidth,
    "mm",
    "tip + 2 · depth · tan(angle ÷ 2)",
    [tip, angle, depth],
  )
  const deepest = result(
    id("deepest-groove"),
    "width of a groove where the surface is high",
    grooveWidth(sweptTip(engraver), engraver.angle, engraver.depth + machine.flatness),
    "mm",
    "tip + 2 · (depth + height error) · tan(angle ÷ 2)",
    [tip, angle, depth, flatness],
  )
  const shallowest = result(
    id("shallowest-groove"),
    "width of a groove where the surface is low",
    grooveWidth(wornTip(engraver), engraver.angle, engraver.depth - machine.flatness),
    "mm",
    "tip + 2 · (depth − height error) · tan(angle ÷ 2)",
    [worn, angle, depth, flatness],
  )
  const onBoard = measured(`board ${board.name} as made`, "tracks and gaps")
  const narrowest = fact(
    id("narrowest-track"),
    "narrowest track as designed",
    board.tracks.reduce((least, t) => Math.min(least, t.width), board.trackWidth),
    "mm",
    onBoard,
  )
  const clearance = fact(id("clearance"), "gap kept between nets", board.clearance, "mm", onBoard)
  // Where neighbours are only the clearance apart the groove has no slack: half of what it is too wide comes off each.
  const left = result(
    id("track-left"),
    "narrowest track left where the surface is high",
    narrowest.value - Math.max(0, deepest.value - clearance.value),
    "mm",
    "narrowest track − what the deepest groove is wider than the gap (half of it from each side), at least 0",
    [narrowest, deepest, clearance],
  )
  const { distance } = nearestCopper
  const toCopper = Number.isFinite(distance)
    ? fact(
        id("groove-to-copper"),
        "least distance from a groove's middle to copper as designed",
        distance,
        "mm",
        measured("the engraving program", "exact distance of every cutting move to every track and land"),
      )
    : undefined
  return { width, deepest, shallowest, left, toCopper }
}

function travelFigures({ board, copper, programs, travel: way, bound }: BoardCut) {
  const id = (name: string) => `cut.${board.name}.${name}`
  const engrave = programs.find((p) => p.purpose === "engrave")
  const inProgram = (how: string) => measured(engrave?.file ?? "no engraving program", how)
  const cutLength = fact(
    id("cut-length"),
    "length of all grooves",
    engrave?.cutLength ?? 0,
    "mm",
    inProgram("sum of its cutting moves"),
  )
  const travel = fact(
    id("travel"),
    "travel between grooves",
    way,
    "mm",
    inProgram("way from each stroke's end to the next one's start"),
  )
  const travelBound = fact(
    id("travel-bound"),
    "travel between grooves that no order can go below",
    bound,
    "mm",
    computed("best 1-tree over the strokes' ends, every stroke a fixed edge, prices by subgradient ascent"),
  )
  const travelShare =
    bound > 0
      ? result(
          id("travel-share"),
          "travel between grooves as a share of the least possible",
          (100 * way) / bound,
          "%",
          "travel ÷ travel that no order can go below",
          [travel, travelBound],
        )
      : undefined
  const strokes = fact(
    id("strokes"),
    "grooves in one stroke each",
    copper.grooves.length,
    "",
    inProgram("strokes counted, joined through junctions"),
  )
  const plunges = fact(
    id("plunges"),
    "plunges of the engraver",
    engrave?.plunges ?? 0,
    "",
    inProgram("one for each stroke"),
  )
  return { cutLength, travelBound, travel, travelShare, strokes, plunges }
}

/** How much the copper gained over plain tracks: width across them, and cutting saved. */
function copperFigures({ board, copperWidth, outlined }: BoardCut, grooveWidth: Figure, cutLength: Figure) {
  const id = (name: string) => `cut.${board.name}.${name}`
  const across = measured(
    `board ${board.name}`,
    "way across the copper from groove to groove or edge, every 0.5 mm along all tracks",
  )
  const round = (v: number) => Math.round(v * 1000) / 1000
  const outlineCut = result(
    id("outlined-length"),
    "length of grooves that would go once round every piece of copper",
    round(outlined),
    "mm",
    "outlines of tracks, lands and screw areas at half a groove's width, summed",
    [grooveWidth],
    {
      source: measured(`board ${board.name} as made`, "tracks, lands and screw areas of each piece, joined"),
    },
  )
  const grooveShare =
    outlined > 0
      ? result(
          id("groove-share"),
          "length of all grooves as a share of outlining every track",
          (100 * cutLength.value) / outlineCut.value,
          "%",
          "length of all grooves ÷ length of grooves round every piece",
          [cutLength, outlineCut],
        )
      : undefined
  if (!copperWidth) return { grooveShare }
  const { least, median, drawnMedian, leastShare } = copperWidth
  const copperLeast = fact(
    id("copper-least"),
    "least width of copper along the tracks",
    round(least),
    "mm",
    across,
  )
  const copperMedian = fact(
    id("copper-median"),
    "median width of copper along the tracks",
    round(median),
    "mm",
    across,
  )
  const drawn = fact(
    id("drawn-median"),
    "median width of the tracks as drawn",
    drawnMedian,
    "mm",
    measured(`board ${board.name} as made`, "at the same places"),
  )
  const copperGain = result(
    id("copper-gain"),
    "median copper width against plain tracks",
    round(median / drawnMedian),
    "",
    "median width of copper ÷ median width of the tracks as drawn",
    [copperMedian, drawn],
  )
  const copperLeastShare = fact(
    id("copper-least-share"),
    "least of copper width over track width as drawn, at any place",
    round(100 * leastShare),
    "%",
    across,
  )
  return { grooveShare, copperLeast, copperLeastShare, copperMedian, copperGain }
}

function edgeFigures(given: CutterFigures, { board, path, corner, copper, way, reach }: BoardCut) {
  const id = (name: string) => `cut.${board.name}.${name}`
  const { router } = given
  const along = (axis: "x" | "y") =>
    result(
      id(`reach-${axis}`),
      `sheet needed along ${axis.toUpperCase()}`,
      reach[axis],
      "mm",
      "furthest place of the router's middle + diameter of the router ÷ 2",
      [
        fact(
          id(`way-${axis}`),
          `furthest place of the router's middle along ${axis.toUpperCase()}`,
          way[axis],
          "mm",
          measured(`outline of board ${board.name}`, "grown by the router's radius"),
        ),
        router,
      ],
    )
  const low = boundingBox([...(path?.points ?? []), ...copper.grooves.flatMap((g) => g.points)])
  const lowest = Math.min(low.minX, low.minY)
  const lowestPlace = Number.isFinite(lowest)
    ? fact(
        id("lowest-place"),
        "lowest coordinate of any cut",
        lowest,
        "mm",
        measured(`programs of board ${board.name}`, "least X or Y of all grooves and of the outline"),
      )
    : undefined
  const tabs = path
    ? fact(
        id("tabs"),
        "holding tabs",
        path.tabs.length,
        "",
        measured("the outline program", "tabs left standing on its way"),
      )
    : undefined
  const inside = path
    ? result(
        id("inside-corner"),
        "material left in the tightest inside corner",
        corner.left,
        "mm",
        "greatest distance of the outline as drawn from the outline that a round cutter of this diameter can follow",
        [router],
        {
          source: measured(`outline of board ${board.name}`, "grown by the router's radius and shrunk again"),
        },
      )
    : undefined
  return { reachX: along("x"), reachY: along("y"), lowestPlace, tabs, inside }
}

/** Figures of what the description asks for besides: second passes, a groove round the edge, text moved from its place. */
function besideFigures({ board, first, second, edge, relieved, texts, cleared }: BoardCut) {
  const id = (name: string) => `cut.${board.name}.${name}`
  const length = (strokes: readonly (readonly Point[])[]) =>
    strokes.reduce((sum, s) => sum + polylineLength(s), 0)
  const share = (name: string, title: string, part: Figure, whole: Figure, formula: string) =>
    result(id(name), title, (100 * part.value) / whole.value, "%", formula, [part, whole])
  const inProgram = measured("the engraving program", "sum over its strokes")
  const firstLength = length(first)
  const secondShare =
    second && firstLength > 0
      ? share(
          "second-pass",
          "grooves with a second pass beside them",
          fact(id("second-length"), "length of second passes", second.beside, "mm", inProgram),
          fact(id("first-length"), "length of first passes", firstLength, "mm", inProgram),
          "length of second passes ÷ length of first passes",
        )
      : undefined
  const edgeShare =
    edge && edge.asked > 0
      ? share(
          "edge-groove",
          "share of the edge with a groove inside it",
          fact(id("edge-cut"), "length of the groove inside the edge", edge.cut, "mm", inProgram),
          fact(
            id("edge-asked"),
            "length of the edge moved inward",
            edge.asked,
            "mm",
            measured(`outline of board ${board.name}`, "shrunk by what is asked"),
          ),
          "length cut ÷ length asked for",
        )
      : undefined
  const spokeWidth =
    relieved && relieved.length > 0
      ? fact(
          id("spoke"),
          `narrowest spoke of a land with thermal relief on ${board.name}`,
          Math.round(1000 * Math.min(...relieved.map((l) => l.narrowest))) / 1000,
          "mm",
          measured("the engraving program", "distance between the ends of two arcs − width of the groove"),
        )
      : undefined
  const textMoved =
    texts.length > 0
      ? fact(
          id("text-moved"),
          "engraved text moved from its place",
          Math.max(...texts.map((t) => t.moved)),
          "mm",
          inProgram,
        )
      : undefined
  const clearedLength = cleared
    ? fact(
        id("clear-length"),
        "length of the cuts that clear areas",
        length(cleared.strokes),
        "mm",
        inProgram,
      )
    : undefined
  return { secondShare, edgeShare, spokeWidth, textMoved, clearedLength }
}
