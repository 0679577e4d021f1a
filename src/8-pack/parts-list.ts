// What to buy and where it goes: one line for equal parts of a board.

import type { Source } from "../0-ground/source.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import { leds } from "../1-stock/leds.ts"
import { bandsOf, bodyOf } from "../1-stock/part-looks.ts"
import { parts } from "../1-stock/parts.ts"
import type { Part } from "../3-drive/artefact.ts"
import type { PackInput } from "./artefact.ts"
import { csv } from "./csv.ts"

export interface PartLine {
  readonly refs: readonly string[]
  readonly value: string
  readonly rating: string
  readonly package: string
  readonly board: string
  readonly purpose: string
  readonly label: string
  readonly source: string
  /** Colour bands of a leaded resistor, else empty. */
  readonly bands: string
  readonly body: string
}

export function partLines({ lamp, circuit, boards }: PackInput): PartLine[] {
  const boardOf = new Map(boards.boards.flatMap((b) => b.parts.map((p) => [p.ref, b.name] as const)))
  const lines = new Map<string, { part: Part; board: string; refs: string[]; purposes: string[] }>()
  for (const part of circuit.parts) {
    const board = boardOf.get(part.ref) ?? ""
    const key = JSON.stringify([board, part.stock, part.value, part.package])
    const line = lines.get(key) ?? { part, board, refs: [], purposes: [] }
    line.refs.push(part.ref)
    if (part.purpose !== "" && !line.purposes.includes(part.purpose)) line.purposes.push(part.purpose)
    lines.set(key, line)
  }
  const listed = [...lines.values()].map(
    ({ part, board, refs, purposes }): PartLine => ({
      refs,
      value: part.value,
      rating: ratingOf(part.stock),
      package: part.package,
      bands: bandsOf(part)?.join(" ") ?? "",
      body: bodyOf(part),
      board,
      purpose:
        purposes.slice(0, 3).join("; ") + (purposes.length > 3 ? `; and ${purposes.length - 3} more` : ""),
      label: leds.find(part.stock)?.label ?? parts.find(part.stock)?.label ?? part.stock,
      source: sourceNote((leds.find(part.stock) ?? parts.find(part.stock))?.source),
    }),
  )
  return [...listed, ...heatSinks(lamp, circuit.parts, boardOf)]
}

/** The heat sink that the description gives the 5 V regulator. */
function heatSinks(
  lamp: PackInput["lamp"],
  all: readonly Part[],
  boardOf: ReadonlyMap<string, string>,
): PartLine[] {
  const value = lamp.pins["drive.regulator.heat-sink"]
  const regulator = all.find((p) => p.kind === "regulator")
  if (value === undefined || !regulator) return []
  return [
    {
      refs: [`heat sink of ${regulator.ref}`],
      value: String(value),
      rating: `${value} or less`,
      package: "TO-220",
      board: boardOf.get(regulator.ref) ?? "",
      purpose: `cools ${regulator.ref}: screw, washer and heat-conducting paste with it; its tab is earth`,
      label: "heat sink for TO-220",
      source: "from the description; pins",
      bands: "",
      body: "",
    },
  ]
}

export function partsCsv(design: PackInput): string {
  return csv(
    [
      "refs",
      "quantity",
      "value",
      "rating",
      "package",
      "board",
      "purpose",
      "stock label",
      "source",
      "bands",
      "body",
    ],
    partLines(design).map((l) => [
      l.refs.join(" "),
      l.refs.length,
      l.value,
      l.rating,
      l.package,
      l.board,
      l.purpose,
      l.label,
      l.source,
      l.bands,
      l.body,
    ]),
  )
}

/** What the part must stand, in one short note. */
export function ratingOf(stock: string): string {
  const led = leds.find(stock)
  if (led)
    return `${show(led.maximumCurrent, "A")} at most, ${showNumber(led.forwardVoltage.low)}–${showNumber(led.forwardVoltage.high)} V at ${show(led.testCurrent, "A")}`
  const model = parts.find(stock)?.model
  switch (model?.kind) {
    case "resistor":
      return `${showNumber(model.rated)} W, ${showNumber(model.tolerance * 100)} %`
    case "diode":
      return `${show(model.reverse, "V")}, ${show(model.average, "A")}`
    case "clamp":
      return `stand-off ${showNumber(model.standOff)} V, clamps at ${showNumber(model.clampAt)} V`
    case "zener":
      return `${showNumber(model.low)}–${showNumber(model.high)} V, ${showNumber(model.rated)} W`
    case "capacitor":
      return `${showNumber(model.working)} V ${model.dielectric}`
    case "low-side-array":
      return `${model.sections} sections, ${show(model.maximumCurrent, "A")} each, ${showNumber(model.maximumVoltage)} V`
    case "regulator":
      return `${showNumber(model.out.usual)} V, ${show(model.maximumCurrent, "A")}, input to ${showNumber(model.maximumInput)} V`
    case "adjustable-regulator":
      return `${show(model.maximumCurrent, "A")}, ${showNumber(model.maximumAcross)} V between in and out`
    case "relay":
      return `pulls in at ${showNumber(model.pullIn)} V or less, coil ${showNumber(model.coil)} Ω or more, change-over`
    case "npn":
      return `${showNumber(model.maximumVoltage)} V, ${show(model.maximumCurrent, "A")}`
    case "controller":
      return `${showNumber(model.supply.low)}–${showNumber(model.supply.high)} V`
    case "resonator":
      return `${show(model.frequency, "Hz")}, ${showNumber(model.tolerance * 100)} %`
    case "resistor-array":
      return `${model.sections} × ${show(model.resistance, "Ω")}, ${showNumber(model.rated)} W each`
    default:
      return ""
  }
}

/** Where a fact comes from and how it is known, as the user is shown it. */
export function sourceNote(source: Source | undefined): string {
  if (source === undefined) return ""
  const known = {
    read: "read",
    memory: `from memory${source.confidence === undefined ? "" : `, confidence ${{ H: "high", M: "medium", L: "low" }[source.confidence]}`}`,
    practice: "common practice, no source",
    computed: "computed",
    description: "from the description",
    chosen: "chosen by the tool",
  }[source.known]
  const place = [source.place, source.edition].filter((s) => s !== undefined && s !== "").join(", ")
  const document = source.document.includes(known) ? source.document : `${source.document} (${known})`
  return place === "" ? document : `${document}; ${place}`
}
