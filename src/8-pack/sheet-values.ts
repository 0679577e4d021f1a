// How the LEDs are driven and what lost against it; which resistor has which bands, and why its value.

import type { Figure } from "../0-ground/figure.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import { bandsOf, bodyOf } from "../1-stock/part-looks.ts"
import type { Candidate, Part } from "../3-drive/artefact.ts"
import type { PackInput } from "./artefact.ts"
import { escapeXml } from "./scene.ts"
import { right, table } from "./sheet-table.ts"

/** Every way that was compared, group by group, the one taken first. */
export function drivePart({ circuit }: PackInput): string {
  const groups = circuit.drives.map((d) => d.group)
  const all = circuit.candidates ?? []
  return `<h2>How the LEDs are driven</h2>
<p>Every way was designed in full, solved at the corners of supply, weather and tolerance, and charged points for what it costs; the fewest points win. Hold another with <code>pins: { drive.GROUP.way: … }</code>.</p>
${groups
  .map((group) => {
    const mine = all.filter((c) => c.group === group)
    const drive = circuit.drives.find((d) => d.group === group)!
    return `<h3>${escapeXml(group)}</h3><p>${escapeXml(capital(drive.why))}</p>
${table(
  [
    "",
    "Way",
    right("Least light"),
    right("Most current"),
    right("Levels"),
    right("Heat"),
    right("Parts"),
    right("Board"),
    right("Points"),
    "Why",
  ],
  [...mine.filter((c) => c.taken), ...mine.filter((c) => !c.taken)].map((c) => [
    c.taken ? "taken" : c.fails.length > 0 ? "fails" : "",
    c.label,
    right(`${showNumber(100 * c.weakestShare)} %`),
    right(show(c.strongest, "A")),
    right(levels(c)),
    right(show(c.heat, "W")),
    right(String(c.parts)),
    right(`${showNumber(c.area / 100)} cm²`),
    right(showNumber(c.score)),
    c.taken ? `${c.why}; controller dead: ${c.silent}` : c.why,
  ]),
  true,
)}`
  })
  .join("\n")}
<p class="quiet">Least light: share of the usual current that the dimmest LED keeps at the lowest supply. Levels: brighter against lower level, least to greatest over the corners.</p>`
}

const levels = ({ ratio }: Candidate) =>
  ratio ? `${showNumber(ratio.least)}–${showNumber(ratio.greatest)} : 1` : "–"

/** Resistors to fit, and every other value, each with its reason. */
export function valuesPart(design: PackInput): string {
  const lines = valueLines(design)
  const row = (l: ValueLine) =>
    `<tr><td>${escapeXml(l.refs.join(", "))}</td><td>${escapeXml(l.value)}</td><td>${swatches(l.bands)}${escapeXml(l.bands?.join(" ") ?? "printed on it")}</td><td>${escapeXml(l.body)}</td><td>${escapeXml(l.why)}</td></tr>`
  return `<h2>Values, and why</h2>
<table class="small"><thead><tr><th>Parts</th><th>Value</th><th>Colour bands</th><th>Body</th><th>Why</th></tr></thead><tbody>
${lines.map(row).join("\n")}
</tbody></table>
<p class="quiet">Bands as in IEC 60062, read from the end they stand nearer to; measure a resistor whose colours are hard to tell. <code>lampwright why LAMP R1</code> leads every value down to its sources.</p>`
}

export interface ValueLine {
  readonly refs: readonly string[]
  readonly value: string
  readonly bands: readonly string[] | undefined
  readonly body: string
  readonly why: string
  readonly figure: string
}

/** Equal parts with equal reasons on one line, in the order of the circuit. */
export function valueLines({ circuit, figures }: PackInput): readonly ValueLine[] {
  const known = new Map<string, Figure>()
  const visit = (f: Figure) => {
    if (known.has(f.id)) return
    known.set(f.id, f)
    f.inputs?.forEach(visit)
  }
  figures.forEach(visit)
  const lines = new Map<string, ValueLine & { refs: string[] }>()
  for (const part of circuit.parts) {
    if (part.amount === undefined) continue
    const key = JSON.stringify([part.stock, part.value, part.package, part.figure])
    const line = lines.get(key)
    if (line) line.refs.push(part.ref)
    else
      lines.set(key, {
        refs: [part.ref],
        value: part.value,
        bands: bandsOf(part),
        body: bodyOf(part),
        why: reason(known.get(part.figure ?? ""), part),
        figure: part.figure ?? "",
      })
  }
  return [...lines.values()]
}

function reason(figure: Figure | undefined, part: Part): string {
  if (!figure) return part.purpose
  const from = figure.formula ?? figure.source?.place ?? figure.source?.document ?? ""
  return `${capital(figure.name)}: ${from}`
}

/** What printed bands look like; the word beside each is what counts. */
const ink: Readonly<Record<string, string>> = {
  black: "#111",
  brown: "#7a4a21",
  red: "#c22",
  orange: "#e87511",
  yellow: "#f2d11b",
  green: "#2c8a3a",
  blue: "#2455b8",
  violet: "#7a3fa0",
  grey: "#8a8a8a",
  white: "#fff",
  gold: "#c9a227",
  silver: "#c0c0c8",
  pink: "#f4a6c0",
}

const swatches = (bands: readonly string[] | undefined) =>
  (bands ?? [])
    .map(
      (b) =>
        `<span style="display:inline-block;width:1.6mm;height:3.2mm;border:.2mm solid #555;margin-right:.6mm;vertical-align:middle;background:${ink[b] ?? "#fff"}"></span>`,
    )
    .join("")

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)
