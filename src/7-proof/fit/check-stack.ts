// Face, spacer, board, parts and solder on top of each other: worst case (tolerances added) and statistical sum
// (root of the sum of squares).

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { practice, type Source } from "../../0-ground/source.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import { given, nothingTold, readOff, type Told, tell } from "../told.ts"
import { memory } from "./fit-facts.ts"
import { fit } from "./fit-findings.ts"

export interface Link {
  /** With its sign along the chain, mm. */
  readonly size: number
  /** Either way, mm. */
  readonly tolerance: number
}

/** Nominal sum with its worst case and its statistical tolerance, mm. */
export function stackOf(links: readonly Link[]): {
  readonly nominal: number
  readonly worst: number
  readonly statistical: number
} {
  return {
    nominal: links.reduce((s, l) => s + l.size, 0),
    worst: links.reduce((s, l) => s + l.tolerance, 0),
    statistical: Math.sqrt(links.reduce((s, l) => s + l.tolerance ** 2, 0)),
  }
}

/** Linear sizes without a tolerance of their own, class m: up to and including `upTo` mm. */
const general = [
  { upTo: 6, tolerance: 0.1 },
  { upTo: 30, tolerance: 0.2 },
  { upTo: 120, tolerance: 0.3 },
  { upTo: 400, tolerance: 0.5 },
] as const
const generalSource: Source = {
  document: "ISO 2768-1, table 1, class m",
  place: "seen in a secondary copy",
  known: "read",
}
export const generalTolerance = (size: number): number =>
  general.find((g) => size <= g.upTo)?.tolerance ?? 0.8

const lift: Link = { size: 0.2, tolerance: 0.2 }
const solder: Link = { size: 1.5, tolerance: 0.5 }
const laminate = 0.1
/** Between soldered leads and metal behind them, mm. */
const coverAir = 3
const sheets = [0.8, 1, 1.2, 1.5, 1.6, 2, 2.4, 3.2] as const

/** Leads that come at a fixed short length, by the beginning of the package's name: shortest below the seat, mm. */
const shortLeads = [
  { package: "dip-", length: 2.92, source: memory("DIP outline MS-001: leads 2.92…3.81 mm below the seat") },
  { package: "sip-", length: 3.0, source: memory("single-in-line resistor arrays: leads at least 3 mm") },
  { package: "header-", length: 2.8, source: memory("pin headers: 3 mm ± 0.2 mm below the body") },
] as const
const solderable = 0.5

export function checkStack(lamp: Lamp, board: Board): Told {
  const told = nothingTold()
  tell(told, leadsThrough(lamp, board), depthAndAir(lamp, board))
  return told
}

function leadsThrough(lamp: Lamp, board: Board): Told {
  const short = shortLeads
    .flatMap((l) => {
      const part = board.parts.find((p) => p.package.startsWith(l.package))
      return part ? [{ ...l, part }] : []
    })
    .sort((a, b) => a.length - b.length)[0]
  if (!short) return nothingTold()
  const { thickness } = lamp.copperClad
  const id = `fit.${board.name}.lead-through`
  const through = result(
    id,
    `leads of ${short.part.ref} out of the ${thickness} mm board`,
    short.length - thickness,
    "mm",
    "shortest lead below the seat − thickness of the board",
    [
      fact(`${id}.lead`, `shortest lead of package ${short.part.package}`, short.length, "mm", short.source),
      given("copper-clad.thickness", "thickness of the board", thickness, "mm"),
    ],
  )
  const thin = sheets.filter((s) => short.length - s >= solderable).at(-1)!
  const finding = fit.judge("lead-through", {
    title: `Leads of ${short.part.ref} out of the ${thickness} mm board ${board.name}`,
    where: {
      text: `${board.name}, ${short.part.ref}`,
      board: board.name,
      part: short.part.ref,
      path: "copper-clad.thickness",
    },
    ...measuredBy(through),
    limit: { value: solderable, unit: "mm", kind: "at least" },
    amberBelow: 0,
    atWorst: "amber",
    source: practice(`${solderable} mm of lead to solder: common practice, no source`),
    ...(through.value < solderable
      ? {
          advice: `Set \`copper-clad.thickness\` to \`${thin} mm\`, the thickest usual sheet these leads reach through. Or solder ${short.part.ref} into a socket with longer pins.`,
          remedies: [
            {
              says: `Make the boards from ${thin} mm copper-clad.`,
              changes: [{ path: "copper-clad.thickness", value: `${thin} mm` }],
              gives: { value: short.length - thin, unit: "mm" },
            },
          ],
        }
      : {}),
  })
  return { findings: [finding], figures: [through] }
}

function depthAndAir(lamp: Lamp, board: Board): Told {
  const request = lamp.boards.find((b) => b.name === board.name)
  if (!request) return nothingTold()
  const id = (name: string) => `fit.${board.name}.${name}`
  const where = { text: board.name, board: board.name, path: `boards.${board.name}.height` }
  const spacer: Link = { size: request.height, tolerance: generalTolerance(request.height) }
  const height = given(
    `boards.${board.name}.height`,
    `room between ${board.name} and what is above it`,
    request.height,
    "mm",
  )
  const tolerance = (name: string, title: string, value: number, source: Source): Figure =>
    fact(id(`tolerance.${name}`), `${title}, either way`, value, "mm", source)
  const spacerTolerance = tolerance("spacer", "spacer", spacer.tolerance, generalSource)
  const told = nothingTold()

  const others = board.parts.filter((p) => p.kind !== "led")
  const tallest = others.reduce<(typeof others)[number] | undefined>(
    (a, b) => (a && a.height >= b.height ? a : b),
    undefined,
  )
  if (tallest) {
    const part: Link = { size: -tallest.height, tolerance: generalTolerance(tallest.height) }
    const chain = stackOf([spacer, part, { size: -lift.size, tolerance: lift.tolerance }])
    const inputs = [
      height,
      spacerTolerance,
      fact(
        id("tallest-part"),
        `height of ${tallest.ref}`,
        tallest.height,
        "mm",
        readOff(`board ${board.name}`, `${tallest.ref}, package ${tallest.package}`),
      ),
      tolerance("part", `height of ${tallest.ref}`, part.tolerance, generalSource),
      fact("fit.seating", "a part sits above the board by", lift.size, "mm", practice()),
      fact("fit.seating-tolerance", "seating of a part, either way", lift.tolerance, "mm", practice()),
    ]
    const least = result(
      id("stack-air.worst"),
      `least air over ${tallest.ref}, all tolerances the wrong way`,
      chain.nominal - chain.worst,
      "mm",
      "spacer − part − seating − sum of the tolerances",
      inputs,
    )
    const likely = result(
      id("stack-air.statistical"),
      `least air over ${tallest.ref}, statistical sum`,
      chain.nominal - chain.statistical,
      "mm",
      "spacer − part − seating − root of the sum of the tolerances squared",
      inputs,
    )
    told.figures.push(least, likely)
    // In half millimetres, as spacers are sold.
    let longer = request.height
    while (
      longer - tallest.height - lift.size - generalTolerance(longer) - part.tolerance - lift.tolerance <
      0
    )
      longer = Math.floor(longer * 2 + 1e-9) / 2 + 0.5
    told.findings.push(
      fit.judge("stack-air", {
        title: `Air over ${tallest.ref} of ${board.name}, tolerances added up (statistical sum ${likely.value.toFixed(2)} mm)`,
        where: { ...where, part: tallest.ref },
        ...measuredBy(least),
        limit: { value: 0, unit: "mm", kind: "at least" },
        amberBelow: 0,
        atWorst: "amber",
        corner: "worst case",
        source: practice("chain of spacer, part and seating: common practice, no source"),
        ...(least.value < 0
          ? {
              advice: `Set \`boards.${board.name}.height\` to \`${longer} mm\` and use spacers of that length.`,
              remedies: [
                {
                  says: `Use spacers of ${longer} mm for ${board.name}.`,
                  changes: [{ path: `boards.${board.name}.height`, value: `${longer} mm` }],
                  gives: { value: least.value + longer - request.height, unit: "mm" },
                },
              ],
            }
          : {}),
      }),
    )
  }

  const { thickness } = lamp.copperClad
  const sheet: Link = { size: thickness, tolerance: laminate * thickness }
  const deep = stackOf([spacer, sheet, solder])
  const inputs = [
    height,
    spacerTolerance,
    given("copper-clad.thickness", "thickness of the board", thickness, "mm"),
    tolerance(
      "board",
      "thickness of the board",
      sheet.tolerance,
      memory("copper-clad laminate: thickness ± 10 %"),
    ),
    fact("fit.solder-height", "soldered lead behind the board", solder.size, "mm", practice()),
    fact(
      "fit.solder-tolerance",
      "soldered lead behind the board, either way",
      solder.tolerance,
      "mm",
      practice(),
    ),
  ]
  const deepest = result(
    id("stack-depth"),
    `${board.name}: from what is above it to the tips of its leads, at most`,
    deep.nominal + deep.worst,
    "mm",
    "spacer + board + soldered lead + sum of the tolerances",
    inputs,
  )
  const likely = result(
    id("stack-depth.statistical"),
    `${board.name}: from what is above it to the tips of its leads, statistical sum`,
    deep.nominal + deep.statistical,
    "mm",
    "spacer + board + soldered lead + root of the sum of the tolerances squared",
    inputs,
  )
  told.figures.push(deepest, likely)
  told.findings.push(
    fit.state("stack-depth", {
      severity: "green",
      title: `${board.name} takes up to this much behind its face, tips of the leads included (statistical sum ${likely.value.toFixed(1)} mm)`,
      where,
      ...measuredBy(deepest),
      corner: "worst case",
      advice: `Metal behind it no nearer than ${(deepest.value + 3).toFixed(1)} mm from the face: 3 mm of air keep the copper from a short to the housing.`,
    }),
  )
  if (request.depth === undefined) return told
  const depth = given(
    `boards.${board.name}.depth`,
    `depth behind the face at ${board.name}`,
    request.depth,
    "mm",
  )
  const air = result(
    id("cover-air"),
    `${board.name}: from the tips of its leads to the cover, all tolerances the wrong way`,
    request.depth - deepest.value,
    "mm",
    "depth − (spacer + board + soldered lead + sum of the tolerances)",
    [depth, deepest],
  )
  const deeper = Math.ceil(2 * (deepest.value + coverAir)) / 2
  told.figures.push(air)
  told.findings.push(
    fit.judge("cover-air", {
      title: `Leads of ${board.name} against the cover, tolerances added up (statistical sum ${(request.depth - likely.value).toFixed(1)} mm)`,
      where: { ...where, path: `boards.${board.name}.depth` },
      ...measuredBy(air),
      limit: { value: coverAir, unit: "mm", kind: "at least" },
      amberBelow: 0,
      atWorst: air.value < 0 ? "red" : "amber",
      corner: "worst case",
      source: practice(`${coverAir} mm between soldered leads and metal: common practice, no source`),
      remedies:
        air.value < coverAir
          ? [
              {
                says: `Make the housing ${deeper} mm deep at ${board.name}.`,
                changes: [{ path: `boards.${board.name}.depth`, value: `${deeper} mm` }],
                gives: { value: deeper - deepest.value, unit: "mm" },
              },
            ]
          : [],
    }),
  )
  return told
}
