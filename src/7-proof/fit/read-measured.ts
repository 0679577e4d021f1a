// Holes of a real face as somebody measured them: a table with the columns hole, x and y.

import { nearMatch } from "../../0-ground/text/near-match.ts"

export interface Measured {
  readonly id: string
  readonly x: number
  readonly y: number
}

export type ReadMeasured =
  | { readonly holes: readonly Measured[] }
  | { readonly fault: { readonly line: number; readonly reason: string } }

const longest = 1_000_000
const beyond = 5000

/**
 * Comma or semicolon between cells (with semicolons a decimal comma is read too), millimetres in any frame of the
 * face's own hand. Rows without x and y were not measured and are passed over; so are empty lines and lines with #.
 */
export function readMeasured(text: string, known: readonly string[]): ReadMeasured {
  if (text.length > longest) return fault(1, "the file is longer than a million characters")
  const lines = text.replace(/^\ufeff/, "").split(/\r\n|\n|\r/)
  const first = lines.findIndex((l) => l.trim() !== "" && !l.trim().startsWith("#"))
  if (first < 0) return fault(1, "the file holds no table; its first line names the columns hole, x and y")
  const mark = lines[first]!.includes(";") ? ";" : ","
  const cells = (line: string) => line.split(mark).map((c) => c.trim().replace(/^"(.*)"$/, "$1"))
  const names = cells(lines[first]!).map((n) => n.toLowerCase())
  const at = { hole: names.indexOf("hole"), x: names.indexOf("x"), y: names.indexOf("y") }
  for (const name of ["hole", "x", "y"] as const)
    if (at[name] < 0)
      return fault(first + 1, `the first line names no column “${name}”; hole, x and y are asked`)
  const holes: Measured[] = []
  for (const [k, line] of lines.entries()) {
    if (k <= first || line.trim() === "" || line.trim().startsWith("#")) continue
    const row = cells(line)
    const id = row[at.hole] ?? ""
    const [x, y] = [row[at.x] ?? "", row[at.y] ?? ""]
    if (x === "" && y === "") continue
    if (!known.includes(id)) {
      const near = nearMatch(id, known)
      const words = near === undefined ? "" : `; did you mean ${near}?`
      return fault(k + 1, `the face has no LED hole “${id.slice(0, 40)}”${words}`)
    }
    if (holes.some((h) => h.id === id)) return fault(k + 1, `${id} stands twice; keep the one that counts`)
    const place = [x, y].map((n) => number(n, mark))
    const bad = place.findIndex((n) => !Number.isFinite(n))
    if (bad >= 0) return fault(k + 1, `“${[x, y][bad]!.slice(0, 20)}” is no ${"xy"[bad]} in millimetres`)
    if (place.some((n) => Math.abs(n) > beyond)) return fault(k + 1, `${id} lies beyond ${beyond} mm`)
    holes.push({ id, x: place[0]!, y: place[1]! })
  }
  if (holes.length < 2)
    return fault(
      lines.length,
      `${holes.length} measured ${holes.length === 1 ? "hole" : "holes"}; at least two are needed`,
    )
  return { holes }
}

const fault = (line: number, reason: string) => ({ fault: { line, reason } })

function number(cell: string, mark: string): number {
  const plain = mark === ";" ? cell.replace(",", ".") : cell
  return /^[+-]?(\d+\.?\d*|\.\d+)(\s*mm)?$/.test(plain) ? Number.parseFloat(plain) : Number.NaN
}
