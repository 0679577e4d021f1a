// Readers of the drill file and of the netlist test records for tests, from the rules of the formats alone.

export interface DrillRead {
  readonly holes: readonly { readonly x: number; readonly y: number; readonly diameter: number }[]
  readonly slots: readonly {
    readonly from: readonly [number, number]
    readonly to: readonly [number, number]
    readonly width: number
  }[]
  readonly attributes: readonly string[]
}

export function readDrill(text: string): DrillRead {
  const tools = new Map<string, number>()
  const holes: { x: number; y: number; diameter: number }[] = []
  const slots: { from: [number, number]; to: [number, number]; width: number }[] = []
  const attributes: string[] = []
  const lines = text.split(/\r?\n/).map((l) => l.trim())
  if (lines[0] !== "M48") throw Error("no M48 at the start")
  let header = true
  let metric = false
  let tool: number | undefined
  let drilling = false
  let down = false
  let at: [number, number] = [0, 0]
  let ended = false
  for (const line of lines.slice(1)) {
    if (line === "") continue
    if (ended) throw Error("something after M30")
    if (line.startsWith(";")) {
      if (line.startsWith("; #@! ")) attributes.push(line.slice(6))
      continue
    }
    if (header) {
      const t = /^T(\d+)C(\d*\.\d+)$/.exec(line)
      if (line === "METRIC") metric = true
      else if (t) tools.set(t[1]!, Number(t[2]))
      else if (line === "%") header = false
      else throw Error(`header: ${line}`)
      continue
    }
    if (!metric) throw Error("no METRIC")
    const t = /^T(\d+)$/.exec(line)
    const p = /^(G00|G01)?X([+-]?\d+\.\d+)Y([+-]?\d+\.\d+)$/.exec(line)
    if (t) {
      tool = tools.get(t[1]!)
      if (tool === undefined) throw Error(`tool ${t[1]} was never defined`)
    } else if (line === "G05") drilling = true
    else if (line === "M15") down = true
    else if (line === "M16") down = false
    else if (line === "M30") ended = true
    else if (p) {
      if (tool === undefined) throw Error("a point before any tool")
      const to: [number, number] = [Number(p[2]), Number(p[3])]
      if (p[1] === "G00") drilling = false
      else if (p[1] === "G01") {
        if (!down) throw Error("a routed line with the tool up")
        slots.push({ from: at, to, width: tool })
      } else if (drilling) holes.push({ x: to[0], y: to[1], diameter: tool })
      else throw Error("a hole outside drill mode")
      at = to
    } else throw Error(`cannot read ${line}`)
  }
  if (!ended) throw Error("no M30")
  return { holes, slots, attributes }
}

export interface TestRecord {
  readonly op: string
  readonly net: string
  readonly ref: string
  readonly pin: string
  readonly hole: number | undefined
  readonly plated: boolean
  readonly access: string
  readonly x: number
  readonly y: number
  readonly size: readonly [number, number]
  readonly rotation: number
}

/** By columns, from 1 as the standard counts them. */
export function readTestRecords(text: string): {
  readonly header: readonly string[]
  readonly comments: readonly string[]
  readonly records: readonly TestRecord[]
} {
  const lines = text.replace(/\n$/, "").split("\n")
  if (lines[lines.length - 1] !== "999") throw Error("the last line is not 999")
  const long = lines.find((l) => l.length > 80)
  if (long) throw Error(`a line of ${long.length} columns`)
  const header: string[] = []
  const comments: string[] = []
  const records: TestRecord[] = []
  for (const line of lines.slice(0, -1)) {
    if (line.startsWith("C  ")) comments.push(line.slice(3))
    else if (line.startsWith("P  ")) header.push(line.slice(3))
    else {
      const col = (from: number, to = from) => line.slice(from - 1, to)
      const value = (from: number, to: number) => Number(col(from, to)) / 1000
      if (col(27) !== "-") throw Error(`no - in column 27: ${line}`)
      if (col(42) !== "X" || col(50) !== "Y" || col(58) !== "X" || col(63) !== "Y" || col(68) !== "R")
        throw Error(`a field out of its column: ${line}`)
      records.push({
        op: col(1, 3),
        net: col(4, 17).trimEnd(),
        ref: col(21, 26).trimEnd(),
        pin: col(28, 31).trimEnd(),
        hole: col(33) === "D" ? value(34, 37) : undefined,
        plated: col(38) === "P",
        access: col(40, 41),
        x: value(43, 49),
        y: value(51, 57),
        size: [value(59, 62), value(64, 67)],
        rotation: Number(col(69, 71)),
      })
    }
  }
  return { header, comments, records }
}
