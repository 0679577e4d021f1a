// What is told of sheets that several boards share: how many, how far they are used, time, travel, what found no room.

import { type Figure, fact, measuredBy, result } from "../0-ground/figure.ts"
import type { Finding, Where } from "../0-ground/finding.ts"
import { boundingBox, signedArea } from "../0-ground/geometry/polygon.ts"
import { placed } from "../0-ground/geometry/quarter-turn.ts"
import { computed, described } from "../0-ground/source.ts"
import { showNumber } from "../0-ground/text/show.ts"
import type { Lamp, SharedSheet } from "../2-lamp/artefact.ts"
import type { BoardCut } from "./board-cut.ts"
import { cutFindings as report } from "./copper-findings.ts"
import { type CutterFigures, measured, programTimes } from "./cut-figures.ts"
import type { MadeSheet } from "./shared-sheets.ts"

export function judgeSheets(
  lamp: Lamp,
  cuts: readonly BoardCut[],
  shared: SharedSheet,
  sheets: readonly MadeSheet[],
  left: readonly string[],
  given: CutterFigures,
): { readonly figures: readonly Figure[]; readonly findings: readonly Finding[] } {
  const { w, h } = lamp.copperClad.sheet
  const [width, height] = (["w", "h"] as const).map((side, k) =>
    fact(
      `description.copper-clad.sheet.${side}`,
      k === 0 ? "sheet along X" : "sheet along Y",
      lamp.copperClad.sheet[side],
      "mm",
      described("copper-clad.sheet"),
    ),
  ) as [Figure, Figure]
  const edge = fact(
    "description.cutting.clamping-edge",
    "edge left to the clamps",
    shared.clampingEdge,
    "mm",
    described("cutting.clamping-edge"),
  )
  const figures: Figure[] = []
  const findings: Finding[] = []
  const areas = new Map(
    cuts.map(({ board }) => [
      board.name,
      fact(
        `cut.${board.name}.area`,
        `area of ${board.name}`,
        round(Math.abs(signedArea(board.outline)) / 100),
        "cm²",
        measured(`outline of board ${board.name}`, "area inside it"),
      ),
    ]),
  )
  const areaOf = (names: readonly string[]) => names.map((n) => areas.get(n)!)
  const times: Figure[] = []
  for (const sheet of sheets) {
    const told = tellSheet(sheet, cuts, given, { width, height, edge }, areaOf)
    times.push(told.time)
    figures.push(...told.figures)
    findings.push(...told.findings)
  }
  const laid = sheets.flatMap((s) => s.places.map((p) => p.board))
  if (sheets.length > 0) {
    const inner = (w - 2 * shared.clampingEdge) * (h - 2 * shared.clampingEdge)
    const area = areaOf(laid).reduce((sum, f) => sum + f.value, 0)
    const least = result(
      "cut.sheets.least",
      "sheets that the boards need by their area alone",
      Math.max(1, Math.ceil((100 * area) / inner - 1e-9)),
      "",
      "area of the boards ÷ area inside the clamping edge, rounded up",
      [...areaOf(laid), width, height, edge],
    )
    const count = fact(
      "cut.sheets.count",
      "sheets that the boards are cut from",
      sheets.length,
      "",
      measured("places of the boards", "sheets with a board on them"),
    )
    const own = cuts.filter((c) => laid.includes(c.board.name)).flatMap((c) => c.programs)
    const together = sheets.flatMap((s) => s.programs)
    const runs = result(
      "cut.sheets.tools",
      "tools put in for the shared sheets",
      together.length,
      "",
      "one for each program of a sheet",
      [
        fact(
          "cut.sheets.tools-alone",
          "tools put in for the same boards one by one",
          own.length,
          "",
          measured("programs of the boards", "one for each"),
        ),
      ],
    )
    const time = result(
      "cut.sheets.time",
      "time for all programs of the shared sheets, without changing tools",
      together.reduce((sum, p) => sum + p.time, 0),
      "s",
      "sum over the sheets",
      times,
    )
    figures.push(least, count, runs, time)
    findings.push(
      report.state("sheets", {
        severity: "green",
        title: `${laid.length} boards lie on ${sheets.length} ${sheets.length === 1 ? "sheet" : "sheets"} of ${showNumber(w)} × ${showNumber(h)} mm (at least ${least.value} by area); ${together.length} tools are put in instead of ${own.length}`,
        where: { text: "shared sheets", path: "cutting.sheet" },
        ...measuredBy(count),
        source: computed(
          "area of the boards ÷ area inside the clamping edge, rounded up; no packing takes fewer",
        ),
        advice: "Nothing to do. The programs of each board stand beside, for a board that is cut again.",
      }),
    )
  }
  for (const name of left) {
    const told = leftOut(lamp, cuts.find((c) => c.board.name === name)!, shared, [
      width,
      height,
      given.router,
    ])
    figures.push(...told.figures)
    findings.push(...told.findings)
  }
  return { figures, findings }
}

function tellSheet(
  sheet: MadeSheet,
  cuts: readonly BoardCut[],
  given: CutterFigures,
  { width, height, edge }: { readonly width: Figure; readonly height: Figure; readonly edge: Figure },
  areaOf: (names: readonly string[]) => Figure[],
) {
  const id = (name: string) => `cut.${sheet.name}.${name}`
  const names = sheet.places.map((p) => p.board)
  const boards = areaOf(names)
  const used = result(
    id("used"),
    `share of ${sheet.name} that becomes boards`,
    round((100 * 100 * boards.reduce((sum, f) => sum + f.value, 0)) / (width.value * height.value)),
    "%",
    "area of the boards ÷ area of the sheet",
    [...boards, width, height],
  )
  const box = boundingBox(
    sheet.places.flatMap((place) =>
      cuts.find((c) => c.board.name === place.board)!.board.outline.map((p) => placed(p, place)),
    ),
  )
  const alongX = sheet.size.w >= sheet.size.h
  const long = alongX ? width : height
  const reach = result(
    id("reach"),
    `length of ${sheet.name} that is used`,
    round((alongX ? box.maxX : box.maxY) + given.router.value),
    "mm",
    "furthest edge of a board along the sheet's longer side + diameter of the router",
    [
      fact(
        id("edge"),
        `furthest edge of a board on ${sheet.name}`,
        round(alongX ? box.maxX : box.maxY),
        "mm",
        measured(`places of the boards on ${sheet.name}`, "outlines as turned and moved"),
      ),
      given.router,
    ],
  )
  const most = result(
    id("inside"),
    `length of ${sheet.name} up to the clamps`,
    long.value - edge.value,
    "mm",
    "longer side − edge left to the clamps",
    [long, edge],
  )
  const travel = fact(
    id("travel"),
    `travel between the grooves of ${sheet.name}`,
    sheet.travel,
    "mm",
    measured("the engraving program", "from the origin through all strokes and back"),
  )
  const bound = fact(
    id("travel-bound"),
    "travel that no order of the strokes can go below",
    sheet.bound,
    "mm",
    computed("1-tree with the strokes held fixed, improved by node weights (Held & Karp 1971, from memory)"),
  )
  const times = programTimes(`cut.${sheet.name}`, sheet.programs, given)
  const time = result(
    id("time"),
    `time for all programs of ${sheet.name}, without changing tools`,
    sheet.programs.reduce((sum, p) => sum + p.time, 0),
    "s",
    "sum over the programs",
    times,
  )
  const share =
    sheet.bound > 0
      ? result(
          id("travel-share"),
          `travel between the grooves of ${sheet.name} against its bound`,
          (100 * sheet.travel) / sheet.bound,
          "%",
          "travel ÷ travel that no order can go below",
          [travel, bound],
        )
      : undefined
  const where: Where = { text: sheet.name, path: "cutting.sheet" }
  const findings = [
    report.judge("sheet-used", {
      title: `${sheet.name} holds ${names.join(", ")} (${showNumber(used.value)} % of it); length used, up to the clamps`,
      where,
      ...measuredBy(reach),
      limit: { kind: "at most", value: most.value, unit: "mm" },
      amberBelow: 0,
      source: described("cutting.clamping-edge"),
    }),
    ...(share
      ? [
          report.judge("travel-near-bound", {
            title: `${sheet.name}: travel between grooves ${showNumber(sheet.travel)} mm, at least ${showNumber(sheet.bound)} mm in any order`,
            where,
            ...measuredBy(share),
            limit: { kind: "at most" as const, value: 125, unit: "%" },
            amberBelow: 0,
            atWorst: "amber" as const,
            source: {
              document: "a quarter above what no order can go below",
              place: "more travel costs time, never copper",
              known: "chosen" as const,
            },
          }),
        ]
      : []),
  ]
  const all = [used, reach, most, travel, bound, ...(share ? [share] : []), time, ...times]
  return { time, figures: all, findings }
}

/** Its own programs need no clamping edge; so this is never more than a caution. */
function leftOut(
  lamp: Lamp,
  { board }: BoardCut,
  { clampingEdge }: SharedSheet,
  given: readonly Figure[],
): { readonly figures: readonly Figure[]; readonly findings: readonly Finding[] } {
  const { w, h } = lamp.copperClad.sheet
  const kerf = lamp.cutter.router.diameter
  const box = boundingBox(board.outline)
  const needs = { w: box.maxX - box.minX + 2 * kerf, h: box.maxY - box.minY + 2 * kerf }
  // What remains for the clamps on the tighter of the two sides, lying the better way.
  const room = Math.max(Math.min(w - needs.w, h - needs.h) / 2, Math.min(w - needs.h, h - needs.w) / 2)
  // An outline that is no area has no room anywhere; that is told where it stands.
  if (room >= clampingEdge) return { figures: [], findings: [] }
  const fits = Math.floor(room * 10) / 10
  const side = (name: string, words: string, value: number) =>
    fact(
      `cut.${board.name}.${name}`,
      `${board.name} ${words}`,
      round(value),
      "mm",
      measured(`outline of board ${board.name}`, "the box round it"),
    )
  const left = result(
    `cut.${board.name}.clamping-room`,
    `what the sheet leaves to the clamps beside ${board.name}`,
    round(room),
    "mm",
    "(side of the sheet − side of the board − 2 · diameter of the router) ÷ 2, on the tighter side, lying the better way",
    [side("width", "along X", box.maxX - box.minX), side("height", "along Y", box.maxY - box.minY), ...given],
  )
  const finding = report.state("sheet-left-out", {
    severity: "amber",
    title: `${board.name} and the router round it need ${showNumber(needs.w, 4)} × ${showNumber(needs.h, 4)} mm: no room inside the clamping edge of a ${showNumber(w)} × ${showNumber(h)} mm sheet`,
    where: { text: `board ${board.name}`, board: board.name, path: "cutting.clamping-edge" },
    ...measuredBy(left),
    limit: { kind: "at least", value: clampingEdge, unit: "mm" },
    source: described("cutting.clamping-edge"),
    margin: clampingEdge > 0 ? (room - clampingEdge) / clampingEdge : room,
    remedies:
      fits >= 0
        ? [
            {
              says: `Leave ${showNumber(fits)} mm to the clamps: ${board.name} then fits.`,
              changes: [{ path: "cutting.clamping-edge", value: `${fits} mm` }],
              gives: { value: fits, unit: "mm" },
            },
          ]
        : [],
  })
  return { figures: [left], findings: [finding] }
}

const round = (v: number): number => Math.round(v * 1000) / 1000
