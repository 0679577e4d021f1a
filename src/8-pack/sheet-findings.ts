// Findings on paper: what asks for a decision in full, what is kept with margin in one line.

import type { Finding } from "../0-ground/finding.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import { sourceNote } from "./parts-list.ts"
import { escapeXml } from "./scene.ts"
import { type Cell, right, table } from "./sheet-table.ts"

export function findingsPart(findings: readonly Finding[]): string {
  const kept = findings.filter((f) => f.severity === "green")
  return `<h2 class="page">Findings</h2>
<p>“Margin” is what is left of the limit. Sources and derivations of every number stand in <code>report.json</code>.</p>
<h3>Red and amber</h3>${findingList(findings.filter((f) => f.severity !== "green"))}
<h3>Kept, thinnest margin first</h3>${keptTable(kept)}`
}

/** Each by itself, with advice and source. */
export function findingList(findings: readonly Finding[]): string {
  if (findings.length === 0) return "<p>None.</p>"
  return findings
    .map((f) => {
      const numbers = numbersOf(f).flatMap((c, i) => {
        const text = typeof c === "string" ? c : c.text
        return text === "" ? [] : [`${["measured", "limit", "margin"][i]} ${text}`]
      })
      const advice = [f.advice, ...(f.remedies ?? []).map((r) => r.says)].filter((a) => a !== "").join(" ")
      const source = sourceNote(f.source)
      return `<div class="finding"><p><b class="${f.severity}">${f.severity}</b> <b>${escapeXml(titleOf(f))}</b></p>
<p>${escapeXml([f.where.text, ...numbers].filter((t) => t !== "").join(" · "))}</p>
${advice === "" ? "" : `<p>${escapeXml(advice)}</p>`}${source === "" ? "" : `<p class="quiet">Source: ${escapeXml(source)}</p>`}</div>`
    })
    .join("\n")
}

/** In one line each. */
export function marginTable(findings: readonly Finding[]): string {
  if (findings.length === 0) return "<p>None.</p>"
  return table(
    ["", "What", "Where", right("Measured"), right("Limit"), right("Margin")],
    findings.map((f) => [{ text: f.severity, as: f.severity }, titleOf(f), f.where.text, ...numbersOf(f)]),
    true,
  )
}

function keptTable(findings: readonly Finding[]): string {
  if (findings.length === 0) return "<p>None.</p>"
  return table(
    ["What", "Where", right("Measured"), right("Limit"), right("Margin")],
    findings.map((f) => [titleOf(f), f.where.text, ...numbersOf(f)]),
    true,
  )
}

const titleOf = (f: Finding) => `${f.title}${f.corner === undefined ? "" : ` (${f.corner})`}`

function numbersOf({ measured, limit, margin }: Finding): Cell[] {
  const sign = limit && { "at least": "≥", "at most": "≤", exactly: "=" }[limit.kind]
  const share =
    margin === undefined || limit?.kind === "exactly" || limit?.value === 0
      ? ""
      : `${showNumber(margin * 100, 2)} %`
  return [
    right(measured ? show(measured.value, measured.unit) : ""),
    right(limit ? `${sign} ${show(limit.value, limit.unit)}` : ""),
    right(share),
  ]
}
