// A light distribution as a photometric file, LM-63-2002: absolute candela, angles as goniophotometers for vehicle
// lamps count them (type A), lines at most 132 characters.

import type { IntensityTable } from "./intensity-table.ts"

export interface IesWords {
  /** Keyword → value, in order; control characters are taken out. */
  readonly keywords: readonly (readonly [string, string])[]
  readonly watts: number
  /** Lit box, metres: width, length (along the axis), height. */
  readonly size: readonly [number, number, number]
}

const widest = 132
const typeNumber = { C: 1, B: 2, A: 3 } as const

export function writeIes({ type, vertical, horizontal, candela }: IntensityTable, words: IesWords): string {
  const lines = [
    "IESNA:LM-63-2002",
    ...words.keywords.flatMap(([key, value]) => keyword(key, value)),
    "TILT=NONE",
    // One lamp, absolute photometry (−1), multiplier 1; metres; no ballast.
    `1 -1 1 ${vertical.length} ${horizontal.length} ${typeNumber[type]} 2 ${words.size.map((m) => short(m, 4)).join(" ")}`,
    `1 1 ${short(words.watts, 3)}`,
    ...wrapped(vertical.map((v) => short(v, 3))),
    ...wrapped(horizontal.map((h) => short(h, 3))),
    ...candela.flatMap((row) => wrapped(row.map((c) => short(c, 4)))),
  ]
  return `${lines.join("\r\n")}\r\n`
}

/** A long value goes on in [MORE] lines. */
function keyword(key: string, value: string): string[] {
  const clean = [...value].map((c) => (c < " " || c === "\u007f" ? " " : c)).join("")
  const out: string[] = []
  let left = clean.trim()
  let head = `[${key}] `
  do {
    const room = widest - head.length
    const cut = left.length <= room ? left.length : Math.max(left.lastIndexOf(" ", room), 0) || room
    out.push(head + left.slice(0, cut).trim())
    left = left.slice(cut).trim()
    head = "[MORE] "
  } while (left !== "")
  return out
}

function wrapped(words: readonly string[]): string[] {
  const out: string[] = []
  let line = ""
  for (const word of words) {
    if (line !== "" && line.length + 1 + word.length > widest) {
      out.push(line)
      line = ""
    }
    line += line === "" ? word : ` ${word}`
  }
  return [...out, line]
}

const short = (n: number, decimals: number) => Number(n.toFixed(decimals)).toString()
