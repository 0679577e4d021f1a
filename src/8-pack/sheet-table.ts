// Tables of the build sheet. Every cell is plain text here and is escaped here.

import type { Finding } from "../0-ground/finding.ts"
import { escapeXml } from "./scene.ts"

export interface Marked {
  readonly text: string
  readonly as: "n" | "code" | Finding["severity"]
}
export type Cell = string | Marked
/** A number, set to the right. */
export const right = (text: string): Marked => ({ text, as: "n" })
export const code = (text: string): Marked => ({ text, as: "code" })

/** All text is escaped here. */
export function table(header: readonly Cell[], rows: readonly (readonly Cell[])[], small = false): string {
  const cell = (c: Cell, tag: "th" | "td") => {
    if (typeof c === "string") return `<${tag}>${escapeXml(c)}</${tag}>`
    if (c.as === "code") return `<${tag}><code>${escapeXml(c.text)}</code></${tag}>`
    return `<${tag} class="${c.as}">${escapeXml(c.text)}</${tag}>`
  }
  const row = (cells: readonly Cell[], tag: "th" | "td") =>
    `<tr>${cells.map((c) => cell(c, tag)).join("")}</tr>`
  return `<table${small ? ' class="small"' : ""}><thead>${row(header, "th")}</thead><tbody>\n${rows.map((r) => row(r, "td")).join("\n")}\n</tbody></table>`
}
