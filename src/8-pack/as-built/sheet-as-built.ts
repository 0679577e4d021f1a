// The build sheet's part on lamps that were built: who, when, what was made otherwise, which readings were outside.

import { show } from "../../0-ground/text/show.ts"
import { limitWords } from "../bring-up/bring-up-table.ts"
import { escapeXml } from "../scene.ts"
import { code, right, table } from "../sheet-table.ts"
import type { BuiltLamp } from "./compare-built.ts"

export function asBuilt(lamps: readonly BuiltLamp[]): string {
  if (lamps.length === 0) return ""
  return `<h2 class="page" id="as-built">As built</h2>
${[...lamps].reverse().map(one).join("\n")}`
}

function one({ record, readings }: BuiltLamp): string {
  const { revision, date, by, photos, changes } = record
  const list = (title: string, items: readonly string[]) =>
    items.length === 0
      ? ""
      : `<p>${title}</p><ul>${items.map((i) => `<li>${escapeXml(i)}</li>`).join("\n")}</ul>`
  return `<h3>Revision ${escapeXml(revision)}, ${escapeXml(date)}${by === undefined ? "" : `, ${escapeXml(by)}`}</h3>
${list("Made otherwise than designed (not part of any margin in this sheet):", changes)}
${list("Photos:", photos)}
${readings === undefined ? "<p>No readings are recorded.</p>" : told(readings)}`
}

function told({ file, fault, taken, asked, outside, suspects }: NonNullable<BuiltLamp["readings"]>): string {
  const name = `<code>${escapeXml(file)}</code>`
  if (fault)
    return `<p class="amber">The readings in ${name} cannot be compared: line ${fault.line}: ${escapeXml(fault.reason)}.</p>`
  const count = `${taken} of ${asked} readings are in ${name}`
  if (outside.length === 0)
    return `<p>${count}; ${taken === 0 ? "none was taken yet" : "every one keeps its limits"}.</p>`
  const rows = outside.map((r) => [
    code(r.id),
    r.board,
    r.probe,
    right(show(r.measured, r.unit)),
    right(limitWords({ ...r, high: r.high ?? Number.POSITIVE_INFINITY })),
  ])
  return `<p class="red">${count}; ${outside.length} outside the limits.</p>
${table(["", "Board", "Reading", right("Measured"), right("Keep within")], rows, true)}
${suspects.length > 0 ? `<p>Likeliest single faults: ${suspects.map(escapeXml).join("; ")}. Disconnect the supply before mending.</p>` : ""}`
}
