// lampwright why: how a figure came about, down to facts and their sources.

import type { Figure } from "../../0-ground/figure.ts"
import type { Source } from "../../0-ground/source.ts"
import { nearMatch } from "../../0-ground/text/near-match.ts"
import { show } from "../../0-ground/text/show.ts"
import { bandsOf, bodyOf } from "../../1-stock/part-looks.ts"
import type { Circuit, Part } from "../../3-drive/artefact.ts"
import { solveFaults, whyReading } from "../../8-pack/pack-lamp.ts"
import type { LampDesign } from "../../design-lamp.ts"
import { listing, summary } from "./check-command.ts"
import { readLampSource } from "./files.ts"
import { Refusal } from "./refusal.ts"
import { runDesign } from "./run-design.ts"

export async function whyFigure(path: string, id: string | undefined): Promise<number> {
  const source = readLampSource(path)
  const { design } = runDesign(source)
  if (!design.lamp) {
    process.stderr.write(`${listing(design.findings, path, source.text)}${summary(design.findings)}\n`)
    return 1
  }
  const all = index(design.figures)
  if (id === undefined) {
    for (const figure of all.values())
      process.stdout.write(`${figure.id.padEnd(48)} ${show(figure.value, figure.unit)}  ${figure.name}\n`)
    return 0
  }
  const part = design.circuit.parts.find((p) => p.ref === id)
  if (part) {
    process.stdout.write(`${partLines(part).join("\n")}\n`)
    const why = all.get(part.figure ?? "")
    if (why) process.stdout.write(`${derivation(why).join("\n")}\n`)
    return 0
  }
  if (design.circuit.drives.some((d) => d.group === id)) {
    process.stdout.write(`${wayLines(design.circuit, id).join("\n")}\n`)
    return 0
  }
  if (/^B\d+$/.test(id)) {
    process.stdout.write(`${readingLines(design, id).join("\n")}\n`)
    return 0
  }
  const figure = all.get(id)
  if (!figure) {
    const near = nearMatch(id, all.keys()) ?? [...all.keys()].find((k) => k.includes(id))
    throw new Refusal(
      `there is no figure ${id}${near ? `; did you mean ${near}?` : ""} (leave it out to list all ${all.size})`,
    )
  }
  process.stdout.write(`${derivation(figure).join("\n")}\n`)
  return 0
}

/** A part by its reference: what it is, its bands and body. */
function partLines(part: Part): string[] {
  const bands = bandsOf(part)
  return [
    `${part.ref} ${part.value}: it ${part.purpose}`,
    ...(bands ? [`  colour bands: ${bands.join(" ")}`] : []),
    `  body: ${bodyOf(part)}`,
  ]
}

/** A reading of the bring-up plan by its number: what it shows, its limits, and the faults it is first to tell. */
function readingLines(design: LampDesign, id: string): string[] {
  const { plan, sound } = solveFaults(design)
  const reading = plan.readings.find((r) => r.id === id)
  if (!reading) throw new Refusal(`there is no reading ${id}; the plan has B1 to B${plan.readings.length}`)
  const finds =
    reading.finds.length > 0
      ? [`  first to tell: ${reading.finds.join("; ")}`]
      : ["  always taken: power without it would be rash"]
  return [
    `${id}, ${reading.step}, ${reading.board}`,
    ...finds,
    ...whyReading(design, reading, sound.get(id)!).flatMap((f) => derivation(f)),
  ]
}

/** A group by its name: every way to drive it that was compared, the one taken first. */
function wayLines(circuit: Circuit, group: string): string[] {
  const mine = (circuit.candidates ?? []).filter((c) => c.group === group)
  const sorted = [...mine.filter((c) => c.taken), ...mine.filter((c) => !c.taken)]
  return [
    `${group}: ${circuit.drives.find((d) => d.group === group)!.why}`,
    ...sorted.flatMap((c) => [
      `${c.taken ? "taken" : c.fails.length > 0 ? "fails" : "lost "}  ${c.label}: ${show(c.score, "")} points  [drive.${group}.way-${mine.indexOf(c) + 1}]`,
      `       at least ${show(100 * c.weakestShare, "%")} of its light, at most ${show(c.strongest, "A")}${c.ratio ? `, levels ${show(c.ratio.least, "")} to ${show(c.ratio.greatest, "")} : 1` : ""}, ${show(c.heat, "W")} of heat, ${c.parts} parts on ${show(c.area / 100, "cm²")}; controller dead: ${c.silent}`,
      ...(c.taken ? [] : [`       ${c.why}`]),
    ]),
  ]
}

/** Every figure by id, inputs included. */
function index(figures: readonly Figure[]): Map<string, Figure> {
  const all = new Map<string, Figure>()
  const add = (figure: Figure) => {
    if (all.has(figure.id)) return
    all.set(figure.id, figure)
    figure.inputs?.forEach(add)
  }
  figures.forEach(add)
  return all
}

/** The figure, its formula and its inputs as an indented tree; a figure met again is not unfolded twice. */
export function derivation(figure: Figure, indent = "", met = new Set<string>()): string[] {
  const corner = figure.corner ? ` (${figure.corner})` : ""
  const lines = [`${indent}${figure.name}${corner} = ${show(figure.value, figure.unit, 4)}  [${figure.id}]`]
  if (met.has(figure.id)) return lines
  met.add(figure.id)
  if (figure.formula) lines.push(`${indent}  = ${figure.formula}`)
  if (figure.source) lines.push(`${indent}  source: ${sourceWords(figure.source)}`)
  for (const input of figure.inputs ?? []) lines.push(...derivation(input, `${indent}    `, met))
  return lines
}

function sourceWords({ document, place, edition, known, confidence }: Source): string {
  const how = {
    read: "read",
    memory: "from memory",
    practice: "common practice",
    computed: "computed",
    description: "as described",
    chosen: "chosen here",
  }
  return [document, place, edition, how[known] + (confidence ? `, confidence ${confidence}` : "")]
    .filter(Boolean)
    .join(", ")
}
