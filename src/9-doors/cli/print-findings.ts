// Findings as a person reads them: what, where, measured against limit, what is left, what to do.

import type { Finding } from "../../0-ground/finding.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { show } from "../../0-ground/text/show.ts"

/** One finding; with `text` its line of the description is shown with a caret. */
export function findingLines(finding: Finding, lampPath: string, text?: string): string[] {
  const { severity, title, where, advice, code } = finding
  const lines = [`${severity.toUpperCase().padEnd(5)}  ${title}`]
  lines.push(`       ${[where.text, measure(finding)].filter(Boolean).join(" · ")}`)
  if (where.line !== undefined) {
    lines.push(`       ${where.file ?? lampPath}:${where.line}:${where.column ?? 1}  [${code}]`)
    if (text !== undefined && where.file === undefined)
      lines.push(...caret(text, where.line, where.column ?? 1))
  } else lines.push(`       [${code}]`)
  if (severity !== "green") lines.push(`       → ${advice}`)
  for (const remedy of finding.remedies ?? []) lines.push(...remedyLines(remedy))
  return lines
}

/** What would clear it, and the change as it stands in the description. */
function remedyLines({ says, changes }: Remedy): string[] {
  return [
    `       + ${says}`,
    ...changes.map(({ path, value }) =>
      value === null
        ? `         ${path}: taken out`
        : `         ${path}: ${typeof value === "string" ? value : `[${value.join(", ")}]`}`,
    ),
  ]
}

/** `21.8 mA, at most 25 mA, 13 % to spare`, or nothing where nothing was measured. */
export function measure({ measured, limit, margin, corner }: Finding): string {
  if (!measured) return ""
  const parts = [show(measured.value, measured.unit)]
  if (limit) parts.push(`${limit.kind} ${show(limit.value, limit.unit)}`)
  if (limit && limit.kind !== "exactly" && margin !== undefined)
    parts.push(spare(margin, limit.value, limit.unit))
  return parts.join(", ") + (corner ? ` (${corner})` : "")
}

function spare(margin: number, limit: number, unit: string): string {
  const size =
    limit === 0
      ? show(Math.abs(margin), unit)
      : `${(Math.abs(margin) * 100).toFixed(Math.abs(margin) < 0.1 ? 1 : 0)} %`
  return margin < 0 ? `missed by ${size}` : `${size} to spare`
}

function caret(text: string, line: number, column: number): string[] {
  const source = text.split(/\r?\n/, line)[line - 1]
  if (source === undefined) return []
  const from = Math.max(0, column - 1 - 60)
  const piece = source.slice(from, from + 100).replaceAll("\t", " ")
  // Control characters in a broken file must not reach the terminal.
  // biome-ignore lint/suspicious/noControlCharactersInRegex: that is what is taken out
  const clean = piece.replace(/[\u0000-\u001f\u007f-\u009f]/g, "·")
  return [`       | ${clean}`, `       | ${" ".repeat(Math.max(0, column - 1 - from))}^`]
}
