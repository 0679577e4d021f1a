// Measured heights from a table (three numbers a line) or from a controller's log of what its probe found. In a log
// every line that names a place counts: words X… Y… Z…, or three numbers in brackets, with what stands around them
// passed over. A bracket that ends in :0 tells of a probe that touched nothing.

export interface HeightRow {
  readonly x: number
  readonly y: number
  readonly z: number
  /** From 1. */
  readonly line: number
}

export type HeightRows =
  | { readonly rows: readonly HeightRow[]; readonly fault: undefined }
  | { readonly rows: undefined; readonly fault: { readonly line: number; readonly reason: string } }

const value = "([+-]?(?:\\d+\\.?\\d*|\\.\\d+))"
const words = new RegExp(`X\\s*:?\\s*${value}[\\s,;]*Y\\s*:?\\s*${value}[\\s,;]*Z\\s*:?\\s*${value}`, "i")
const bracket = new RegExp(`\\[[^\\]\\d+-]*${value}\\s*,\\s*${value}\\s*,\\s*${value}[^\\]:]*(?::(\\d+))?\\]`)
const mostRows = 250_000

/**
 * `first`: where the first place lies in the program's coordinates; all rows are moved by as much. A controller logs
 * in its own coordinates, and tells so by where it says that place was.
 */
export function heightRows(
  text: string,
  first?: { readonly x: number; readonly y: number; readonly z: number },
): HeightRows {
  const refuse = (line: number, reason: string): HeightRows => ({ rows: undefined, fault: { line, reason } })
  const lines = text.split(/\r?\n/)
  const log = lines.some((l) => words.test(l) || bracket.test(l))
  const rows: HeightRow[] = []
  for (const [i, raw] of lines.entries()) {
    const line = raw.replace(/#.*/, "").trim()
    if (line === "") continue
    if (rows.length > mostRows) return refuse(i + 1, `more than ${mostRows} places`)
    if (log) {
      const b = bracket.exec(line)
      if (b?.[4] === "0") return refuse(i + 1, "the probe touched nothing here")
      const m = b ?? words.exec(line)
      if (!m) continue
      const row = { x: Number(m[1]), y: Number(m[2]), z: Number(m[3]), line: i + 1 }
      const before = rows[rows.length - 1]
      // A controller may tell one touch twice.
      if (before && before.x === row.x && before.y === row.y && before.z === row.z) continue
      rows.push(row)
      continue
    }
    const cells = line.split(/[,;\t ]+/)
    const numbers = cells.map(Number)
    if (rows.length === 0 && numbers.every(Number.isNaN)) continue
    if (cells.length !== 3 || !numbers.every(Number.isFinite))
      return refuse(i + 1, `"${line.slice(0, 40)}" is not three numbers x, y, z in mm`)
    rows.push({ x: numbers[0]!, y: numbers[1]!, z: numbers[2]!, line: i + 1 })
  }
  const start = rows[0]
  if (!first || !start) return { rows, fault: undefined }
  const [dx, dy, dz] = [first.x - start.x, first.y - start.y, first.z - start.z]
  return { rows: rows.map((r) => ({ ...r, x: r.x + dx, y: r.y + dy, z: r.z + dz })), fault: undefined }
}
