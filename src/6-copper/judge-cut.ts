// What is claimed about a board's cut, each claim measured against its limit.

import { measuredBy } from "../0-ground/figure.ts"
import type { Finding, Where } from "../0-ground/finding.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Board } from "../5-board/artefact.ts"
import type { BoardCut } from "./board-cut.ts"
import { allowance } from "./copper-areas.ts"
import { cutFindings as report } from "./copper-findings.ts"
import type { CutFigures, CutterFigures } from "./cut-figures.ts"

/** Beyond foil and flatness, mm. */
const depthToSpare = 0.01
/** Share of a track's width that must be left by the deepest groove. */
const trackLeft = 0.9
/** Gap that solder does not bridge easily, mm (common practice, no source). */
const leastGap = 0.15
/** mm (common practice, no source). */
const leastClearHeight = 1
/** Material in an inside corner that nobody minds, mm. */
const cornerLeft = 0.3

/** `given` and `figures` are those of this board: every number told here is one of theirs. */
export function judgeCut(lamp: Lamp, cut: BoardCut, given: CutterFigures, figures: CutFigures): Finding[] {
  return [
    ...judgeGrooves(cut, figures),
    ...judgeSeparation(cut),
    ...judgeDepth(lamp, cut, given, figures),
    ...judgeSheet(lamp, cut, figures),
    ...judgeDrills(cut),
    ...judgeOutline(cut, figures),
    ...judgeTravel(cut, figures),
    ...judgeBesides(lamp, cut, figures),
  ]
}

const at = (board: Board, text: string, x?: number, y?: number): Where => ({
  text: `board ${board.name}: ${text}`,
  board: board.name,
  ...(x === undefined || y === undefined ? {} : { x, y, frame: "board" as const }),
})

function judgeGrooves({ board, copper, nearestCopper, shapes }: BoardCut, figures: CutFigures): Finding[] {
  const found = [
    report.judge("groove-fits-clearance", {
      title: `groove of ${show(copper.grooveWidth, "mm")} in a clearance of ${show(board.clearance, "mm")}`,
      where: at(board, "between neighbouring nets"),
      ...measuredBy(figures.width),
      limit: { kind: "at most", value: board.clearance, unit: "mm" },
      amberBelow: (2 * allowance) / board.clearance,
    }),
  ]
  const { distance, x, y, piece } = nearestCopper
  if (piece >= 0 && figures.toCopper) {
    found.push(
      report.judge("groove-keeps-copper", {
        title: `grooves keep ${showNumber(distance, 4)} mm from copper as designed, nearest to ${shapes.pieces[piece]!.name}`,
        where: at(board, `near ${shapes.pieces[piece]!.name}`, x, y),
        ...measuredBy(figures.toCopper),
        limit: { kind: "at least", value: copper.grooveWidth / 2, unit: "mm" },
        amberBelow: 0.01,
      }),
    )
  }
  return found
}

function judgeSeparation({ board, separation, shapes }: BoardCut): Finding[] {
  const faults = separation.joined.length + separation.broken.length
  const name = (p: number) => shapes.pieces[p]!.name
  const found: Finding[] = separation.overlaps.map(([p, q, x, y]) =>
    report.state("copper-overlaps", {
      severity: "red",
      title: `${name(p)} and ${name(q)} touch as designed`,
      where: at(board, `${name(p)} against ${name(q)}`, x, y),
    }),
  )
  const words = [
    ...separation.joined.map(([p, q]) => `${name(p)} joined with ${name(q)}`),
    ...separation.broken.map((p) => `${name(p)} cut in two`),
  ]
  const first = separation.joined[0]?.[0] ?? separation.broken[0]
  found.push(
    report.judge("nets-separate", {
      title:
        faults === 0
          ? `grooves part all ${shapes.pieces.length} pieces of copper and leave each in one`
          : `grooves: ${words.slice(0, 4).join("; ")}${words.length > 4 ? ` and ${words.length - 4} more` : ""}`,
      where:
        first === undefined
          ? at(board, "all grooves")
          : at(board, name(first), shapes.pieces[first]!.x, shapes.pieces[first]!.y),
      measured: { value: faults, unit: "" },
      limit: { kind: "exactly", value: 0, unit: "" },
    }),
  )
  return found
}

function judgeDepth(
  lamp: Lamp,
  { board }: BoardCut,
  given: CutterFigures,
  { left, deepest, shallowest }: CutFigures,
): Finding[] {
  const { engraver, machine } = lamp.cutter
  const least = lamp.copperClad.copper + machine.flatness + depthToSpare
  const narrowest = board.tracks.reduce((a, t) => Math.min(a, t.width), board.trackWidth)
  return [
    report.judge("depth-through-copper", {
      title: `grooves ${show(engraver.depth, "mm")} deep in ${show(lamp.copperClad.copper, "mm")} of copper`,
      where: { ...at(board, "engraver depth"), path: "cutter.engraver.depth" },
      ...measuredBy(given.depth),
      limit: { kind: "at least", value: least, unit: "mm" },
      corner: `surface ${show(machine.flatness, "mm")} low`,
    }),
    report.judge("deepest-groove", {
      title: `narrowest track left where the surface is ${show(machine.flatness, "mm")} high`,
      where: { ...at(board, "narrowest track"), path: "cutter.machine.flatness" },
      ...measuredBy(left),
      limit: { kind: "at least", value: trackLeft * narrowest, unit: "mm" },
      corner: `groove ${showNumber(deepest.value, 4)} mm wide`,
      atWorst: "amber",
    }),
    report.judge("isolation-gap", {
      title: `gap between nets where the surface is ${show(machine.flatness, "mm")} low`,
      where: { ...at(board, "narrowest groove"), path: "cutter.engraver" },
      ...measuredBy(shallowest),
      limit: { kind: "at least", value: leastGap, unit: "mm" },
      atWorst: "amber",
    }),
    report.judge("flatness", {
      title: `flatness against the depth of ${show(engraver.depth, "mm")}`,
      where: { ...at(board, "surface"), path: "cutter.machine.flatness" },
      ...measuredBy(given.flatness),
      limit: { kind: "at most", value: engraver.depth / 3, unit: "mm" },
      atWorst: "amber",
    }),
    report.judge("clear-height", {
      title: "height at which the tool crosses the board",
      where: { ...at(board, "all programs"), path: "cutter.machine.clear-height" },
      ...measuredBy(given.clearHeight),
      limit: { kind: "at least", value: leastClearHeight, unit: "mm" },
      atWorst: machine.clearHeight > machine.flatness ? "amber" : "red",
    }),
  ]
}

function judgeSheet(lamp: Lamp, { board, reach, sheetTurned }: BoardCut, figures: CutFigures): Finding[] {
  const { w, h } = lamp.copperClad.sheet
  const [alongX, alongY] = sheetTurned ? [h, w] : [w, h]
  const tightX = alongX - reach.x <= alongY - reach.y
  const found = [
    report.judge("fits-sheet", {
      title: `board and router need ${showNumber(reach.x, 4)} × ${showNumber(reach.y, 4)} mm of a ${showNumber(alongX)} × ${showNumber(alongY)} mm sheet`,
      where: { ...at(board, tightX ? "along X" : "along Y"), path: "copper-clad.sheet" },
      ...measuredBy(tightX ? figures.reachX : figures.reachY),
      limit: { kind: "at most", value: tightX ? alongX : alongY, unit: "mm" },
      amberBelow: 0,
    }),
  ]
  if (figures.lowestPlace && figures.lowestPlace.value < 0) {
    found.push(
      report.judge("reaches-below-zero", {
        title: "the cutter would go below zero",
        where: at(board, "outline"),
        ...measuredBy(figures.lowestPlace),
        limit: { kind: "at least", value: 0, unit: "mm" },
      }),
    )
  }
  return found
}

function judgeDrills({ board, holes }: BoardCut): Finding[] {
  if (holes.missing.length === 0) {
    const sizes = holes.drilled.map(({ drill }) => showNumber(drill)).join(", ")
    return [
      report.judge("drill-missing", {
        title: `every hole has a tool${sizes === "" ? "" : `: drills ${sizes} mm`}${
          holes.milled.length > 0 ? `, ${holes.milled.length} milled with the router` : ""
        }`,
        where: at(board, "holes"),
        measured: { value: 0, unit: "" },
        limit: { kind: "exactly", value: 0, unit: "" },
      }),
    ]
  }
  const sizes = new Map<number, (typeof holes.missing)[number][]>()
  for (const m of holes.missing) sizes.set(m.hole.diameter, [...(sizes.get(m.hole.diameter) ?? []), m])
  return [...sizes].map(([diameter, all]) => {
    const { hole, nearest } = all[0]!
    return report.state("drill-missing", {
      severity: "red",
      title: `no drill for ${all.length} hole${all.length > 1 ? "s" : ""} of ${showNumber(diameter)} mm`,
      where: { ...at(board, hole.name, hole.x, hole.y), path: "cutter.drills" },
      measured: { value: nearest ?? 0, unit: "mm" },
      limit: { kind: "exactly", value: diameter, unit: "mm" },
      advice:
        nearest === undefined
          ? "List the drills you have in `cutter.drills`."
          : `The nearest drill listed is ${showNumber(nearest)} mm: add a ${showNumber(diameter)} mm drill to \`cutter.drills\`, or choose a hole for which there is a drill.`,
    })
  })
}

function judgeOutline({ board, path, corner }: BoardCut, { tabs, inside }: CutFigures): Finding[] {
  if (!path || !tabs || !inside) {
    return [
      report.state("outline-lost", {
        severity: "red",
        title: "the outline leaves no path for the router",
        where: at(board, "outline"),
      }),
    ]
  }
  return [
    report.judge("tabs", {
      title: `${path.tabs.length} holding tabs`,
      where: at(board, "outline"),
      ...measuredBy(tabs),
      limit: { kind: "at least", value: 3, unit: "" },
      amberBelow: 0,
      atWorst: "amber",
    }),
    report.judge("inside-corner", {
      title: `router leaves ${showNumber(corner.left)} mm in the tightest inside corner`,
      where: at(board, "outline", corner.x, corner.y),
      ...measuredBy(inside),
      limit: { kind: "at most", value: cornerLeft, unit: "mm" },
      atWorst: "amber",
    }),
  ]
}

function judgeTravel({ board, travel, bound }: BoardCut, { travelShare }: CutFigures): Finding[] {
  if (!travelShare) return []
  return [
    report.judge("travel-near-bound", {
      title: `travel between grooves ${showNumber(travel)} mm, at least ${showNumber(bound)} mm in any order`,
      where: at(board, "engraving program"),
      ...measuredBy(travelShare),
      limit: { kind: "at most", value: 125, unit: "%" },
      amberBelow: 0,
      atWorst: "amber",
    }),
  ]
}

/** What the description asks for besides. */
function judgeBesides(
  lamp: Lamp,
  { board, relieved, texts, cleared, narrowSlots }: BoardCut,
  { secondShare, edgeShare, spokeWidth, textMoved, clearedLength }: CutFigures,
): Finding[] {
  const found: Finding[] = []
  const asked = (path: string, text: string) => ({ ...at(board, text), path })
  if (secondShare) {
    found.push(
      report.judge("second-pass", {
        title: `second pass beside ${showNumber(secondShare.value)} % of the grooves`,
        where: asked("cutting.second-pass", "grooves"),
        ...measuredBy(secondShare),
        limit: { kind: "at least", value: 25, unit: "%" },
        amberBelow: 0,
        atWorst: "amber",
      }),
    )
  }
  if (edgeShare) {
    found.push(
      report.judge("edge-groove", {
        title: "groove inside the edge, share of the way round that keeps off copper",
        where: asked("cutting.edge-groove", "edge"),
        ...measuredBy(edgeShare),
        limit: { kind: "at least", value: 99, unit: "%" },
        amberBelow: 0,
        atWorst: "amber",
      }),
    )
  }
  if (relieved && spokeWidth) {
    const least = relieved.reduce((m, l) => (l.narrowest < m.narrowest ? l : m)).land
    found.push(
      report.judge("thermal-relief", {
        title: `${board.name}: ${relieved.length} of ${board.lands.length} lands stand in wide copper and hang on spokes, the narrowest ${showNumber(spokeWidth.value)} mm (${least.ref} pin ${least.pin})`,
        where: {
          ...at(board, `part ${least.ref}`, least.x, least.y),
          path: "cutting.thermal-relief",
          part: least.ref,
        },
        ...measuredBy(spokeWidth),
        limit: { kind: "at least", value: board.trackWidth, unit: "mm" },
        amberBelow: 0,
      }),
    )
  } else if (relieved)
    found.push(
      report.state("thermal-relief", {
        severity: "green",
        title: `${board.name}: no land stands in copper so wide that it needs spokes`,
        where: asked("cutting.thermal-relief", "lands"),
      }),
    )
  for (const slot of narrowSlots) {
    found.push(
      report.state("slot-narrow", {
        severity: "red",
        title: `a slot of ${showNumber(slot.width)} mm and a router of ${showNumber(lamp.cutter.router.diameter)} mm`,
        where: { ...at(board, "slot", slot.from.x, slot.from.y), path: `boards.${board.name}.slots` },
        measured: { value: lamp.cutter.router.diameter, unit: "mm" },
        limit: { value: slot.width, unit: "mm", kind: "at most" },
        figure: "description.cutter.router.diameter",
      }),
    )
  }
  for (const { text, strokes } of texts) {
    if (strokes.length > 0) continue
    found.push(
      report.state("text-placed", {
        severity: "amber",
        title: `no room for the text "${text.says}": it is left out`,
        where: { ...at(board, "text", text.x, text.y), path: `boards.${board.name}.text` },
      }),
    )
  }
  const missing = texts.some((t) => t.strokes.length === 0)
  if (textMoved && !missing) {
    found.push(
      report.judge("text-placed", {
        title: "engraved text, furthest from where it was asked for",
        where: asked(`boards.${board.name}.text`, "text"),
        ...measuredBy(textMoved),
        limit: { kind: "at most", value: 5, unit: "mm" },
        amberBelow: 0,
        atWorst: "amber",
      }),
    )
  }
  if (cleared && clearedLength) {
    found.push(
      report.judge("area-cleared", {
        title: `areas cleared with ${cleared.mill ? `an end mill of ${showNumber(cleared.mill.diameter)} mm` : "the engraver"}, length of its cuts`,
        where: asked(`boards.${board.name}.clear`, "cleared areas"),
        ...measuredBy(clearedLength),
        limit: { kind: "at least", value: 0.1, unit: "mm" },
        amberBelow: 0,
        atWorst: "amber",
      }),
    )
  }
  return found
}
