// Photometric files in the open form LM-63 (1986 to 2002): read whole or refused with the line that is at fault.

import type { IntensityTable } from "./intensity-table.ts"

export interface PhotometricFile {
  readonly table: IntensityTable
  /** Keyword → what stands after it; several lines are joined. */
  readonly keywords: Readonly<Record<string, string>>
  /** Lumen of all lamps together as stated; undefined for an absolute file (−1). */
  readonly lumens: number | undefined
  readonly watts: number
}

export interface IesFault {
  readonly line: number
  readonly says: string
}

const longest = 1_000_000
const mostValues = 200_000
/** More than any lamp gives, cd; what is above is a slip in a factor. */
const mostCandela = 1e9

/** Candela come out with the file's multiplier and ballast factors in them. */
export function readIes(text: string): { readonly file: PhotometricFile } | { readonly fault: IesFault } {
  if (text.length > longest) return fault(1, "the file is longer than a million characters")
  const lines = text.replace(/^\ufeff/, "").split(/\r\n|\n|\r/)
  const tiltLine = lines.findIndex((l) => /^\s*TILT\s*=/i.test(l))
  if (tiltLine < 0) return fault(1, "no line begins with TILT=, so this is no LM-63 photometric file")
  const keywords: Record<string, string> = {}
  let last = ""
  for (const line of lines.slice(0, tiltLine)) {
    const found = /^\s*\[([A-Z0-9_-]+)\]\s*(.*)$/i.exec(line)
    if (!found) continue
    const key = found[1]!.toUpperCase()
    if (key === "MORE" && last !== "") keywords[last] += ` ${found[2]!.trim()}`
    else if (!Object.hasOwn(keywords, key)) {
      keywords[key] = found[2]!.trim()
      last = key
    }
  }
  const tilt = lines[tiltLine]!.split("=")[1]!.trim().toUpperCase()
  if (tilt !== "NONE" && tilt !== "INCLUDE")
    return fault(tiltLine + 1, `TILT=${tilt.slice(0, 40)} names another file; only NONE and INCLUDE are read`)

  const numbers = reader(lines, tiltLine + 1)
  try {
    if (tilt === "INCLUDE") {
      numbers.next("lamp to luminaire geometry")
      const pairs = numbers.count("number of tilt angles", 1000)
      for (let i = 0; i < 2 * pairs; i++) numbers.next("a tilt angle or factor")
    }
    const lamps = numbers.next("number of lamps")
    const lumens = numbers.next("lumens per lamp")
    const multiplier = numbers.next("candela multiplier")
    const verticals = numbers.count("number of vertical angles", 10_000)
    const horizontals = numbers.count("number of horizontal angles", 10_000)
    if (verticals * horizontals > mostValues)
      numbers.refuse(`${verticals} × ${horizontals} values are more than are read`)
    const kind = numbers.next("photometric type")
    const type = kind === 1 ? "C" : kind === 2 ? "B" : kind === 3 ? "A" : undefined
    if (!type)
      return fault(numbers.line(), `the photometric type is ${kind}; 1 (C), 2 (B) and 3 (A) are known`)
    for (const what of ["units", "width", "length", "height"]) numbers.next(what)
    const ballast = numbers.next("ballast factor")
    const further = numbers.next("ballast–lamp factor")
    const watts = numbers.next("input watts")
    const scale = multiplier * ballast * further
    if (!(scale > 0)) numbers.refuse(`multiplier and ballast factors give ${scale}; it must be above 0`)
    const angles = (what: string, n: number) => {
      const out: number[] = []
      for (let i = 0; i < n; i++) {
        const next = numbers.next(what)
        if (i > 0 && next <= out[i - 1]!)
          numbers.refuse(`${what} ${next} does not lie above ${out[i - 1]}; angles must rise`)
        out.push(next)
      }
      return out
    }
    const vertical = angles("vertical angle", verticals)
    const horizontal = angles("horizontal angle", horizontals)
    const wrong = rangeFault(type, vertical, horizontal)
    if (wrong) numbers.refuse(wrong)
    const candela = horizontal.map((h) =>
      vertical.map((v) => {
        const value = numbers.next(`candela at vertical ${v}, horizontal ${h}`)
        if (value < 0) numbers.refuse(`${value} cd at vertical ${v}, horizontal ${h} is below zero`)
        const candela = value * scale
        if (!(candela <= mostCandela))
          numbers.refuse(
            `${value} at vertical ${v}, horizontal ${h}, times the factors ${scale}, is beyond ${mostCandela} cd`,
          )
        return candela
      }),
    )
    const rest = numbers.rest()
    if (rest) return fault(rest.line, `“${rest.word.slice(0, 20)}” stands after the last candela value`)
    return {
      file: {
        table: { type, vertical, horizontal, candela },
        keywords,
        lumens: lumens < 0 ? undefined : lumens * lamps,
        watts,
      },
    }
  } catch (error) {
    if (error instanceof Refused) return { fault: error.fault }
    throw error
  }
}

/** Which angles a file of each type may begin and end with; undefined when they are sound. */
function rangeFault(type: "A" | "B" | "C", vertical: readonly number[], horizontal: readonly number[]) {
  const [v0, v1] = [vertical[0]!, vertical[vertical.length - 1]!]
  const [h0, h1] = [horizontal[0]!, horizontal[horizontal.length - 1]!]
  if (type === "C") {
    if (v0 !== 0) return `vertical angles begin at ${v0}; the axis (0) is needed`
    if (v1 > 180) return `vertical angles reach ${v1}; 180 is the most`
    if (h0 !== 0) return `horizontal angles begin at ${h0}; 0 is asked`
    return [0, 90, 180, 360].includes(h1)
      ? undefined
      : `horizontal angles end at ${h1}; 0, 90, 180 or 360 is asked`
  }
  for (const [name, first, last] of [
    ["vertical", v0, v1],
    ["horizontal", h0, h1],
  ] as const) {
    if (first < -180 || last > 180) return `${name} angles reach beyond 180`
    if (first > 0 || last < 0) return `${name} angles ${first}…${last} do not hold the axis (0)`
  }
  return undefined
}

class Refused extends Error {
  readonly fault: IesFault
  constructor(fault: IesFault) {
    super(fault.says)
    this.fault = fault
  }
}

const fault = (line: number, says: string) => ({ fault: { line, says } })

/** Numbers one after the other over all lines, parted by blanks or commas. */
function reader(lines: readonly string[], from: number) {
  let row = from
  let words: string[] = []
  let at = 0
  const peek = (): string | undefined => {
    while (at >= words.length) {
      const line = lines[row]
      if (line === undefined) return undefined
      row++
      words = line.split(/[\s,]+/).filter((w) => w !== "")
      at = 0
    }
    return words[at]
  }
  const refuse = (says: string): never => {
    throw new Refused({ line: Math.min(row, lines.length), says })
  }
  const next = (what: string): number => {
    const word = peek()
    if (word === undefined) return refuse(`the file ends where the ${what} is asked`)
    const value = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(word) ? Number(word) : Number.NaN
    if (!Number.isFinite(value))
      return refuse(`“${word.slice(0, 20)}” is no number; the ${what} is asked here`)
    at++
    return value
  }
  return {
    next,
    refuse,
    count(what: string, most: number): number {
      const n = next(what)
      return Number.isInteger(n) && n >= 1 && n <= most
        ? n
        : refuse(`the ${what} is ${n}; 1 to ${most} is asked`)
    },
    line: () => row,
    rest() {
      const word = peek()
      return word === undefined ? undefined : { word, line: row }
    },
  }
}
