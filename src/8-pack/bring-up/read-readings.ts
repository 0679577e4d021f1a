// Readings as a builder wrote them down: the pack's bring-up.csv with its column `measured` filled in.

import { scaleOf } from "./bring-up-table.ts"
import type { BringUpPlan } from "./plan-bring-up.ts"
import { open } from "./readings.ts"

export type ReadReadings =
  | { readonly values: ReadonlyMap<string, number> }
  | { readonly fault: { readonly line: number; readonly reason: string } }

/** Far more than any plan has. */
const mostLines = 20_000

/** Reads `reading` and `measured`; the unit is the plan's. `open` and `OL` mean no connection; empty means not taken. */
export function readReadings(text: string, plan: BringUpPlan): ReadReadings {
  const rows = cells(text)
  if ("fault" in rows) return rows
  const [header, ...body] = rows.rows
  const names = header?.cells.map((c) => c.trim().toLowerCase()) ?? []
  const [id, measured] = ["reading", "measured"].map((n) => names.indexOf(n)) as [number, number]
  if (id < 0 || measured < 0) return fault(1, "the first line must name the columns reading and measured")
  const known = new Map(plan.readings.map((r) => [r.id, r]))
  const values = new Map<string, number>()
  for (const { cells: row, line } of body) {
    const name = (row[id] ?? "").trim()
    const said = (row[measured] ?? "").trim()
    if (said === "") continue
    const reading = known.get(name)
    if (!reading) return fault(line, `the plan has no reading ${name.slice(0, 40)}`)
    if (values.has(name)) return fault(line, `${name} was read twice; keep the one that counts`)
    if (/^(open|ol)$/i.test(said)) {
      if (reading.how !== "resistance" && reading.how !== "diode")
        return fault(line, `${name} is no resistance: "open" has no meaning there`)
      values.set(name, reading.how === "diode" ? 3 : open)
      continue
    }
    const value = /^[+-]?\d{1,12}([.,]\d{1,12})?$/.test(said) ? Number(said.replace(",", ".")) : Number.NaN
    if (!Number.isFinite(value))
      return fault(
        line,
        `${said.slice(0, 40)} is no number in ${scaleOf(reading).unit || "counts"}, nor "open"`,
      )
    values.set(name, value * scaleOf(reading).scale)
  }
  return { values }
}

const fault = (line: number, reason: string) => ({ fault: { line, reason } })

/** RFC 4180; semicolons too, as spreadsheets of many countries write them. */
function cells(
  text: string,
): { rows: { cells: string[]; line: number }[] } | { fault: { line: number; reason: string } } {
  const plain = text.startsWith("\uFEFF") ? text.slice(1) : text
  const first = plain.slice(0, Math.max(0, plain.search(/[\r\n]|$/)))
  const mark = first.includes(";") && !first.includes(",") ? ";" : ","
  const rows: { cells: string[]; line: number }[] = []
  let row: string[] = []
  let cell = ""
  let quoted = false
  let line = 1
  let since = 1
  const endRow = () => {
    row.push(cell)
    if (row.some((c) => c !== "")) rows.push({ cells: row, line: since })
    row = []
    cell = ""
  }
  for (let k = 0; k < plain.length; k++) {
    const c = plain[k]!
    if (c === "\n") line++
    if (quoted) {
      if (c !== '"') cell += c
      else if (plain[k + 1] === '"') {
        cell += c
        k++
      } else quoted = false
    } else if (c === '"' && cell === "") quoted = true
    else if (c === mark) {
      row.push(cell)
      cell = ""
    } else if (c === "\n" || c === "\r") {
      if (c === "\r" && plain[k + 1] === "\n") continue
      endRow()
      since = line
      if (rows.length > mostLines) return fault(line, `more than ${mostLines} lines`)
    } else cell += c
  }
  if (quoted) return fault(since, "a quoted cell is not closed")
  endRow()
  return { rows }
}
