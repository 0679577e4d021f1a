// Vehicle wires over time from a value change dump (VCD, IEEE 1364): one-bit variables named like the lamp's wires.
// Never throws on bad input: what cannot be understood comes back as a sentence with its line.

import { nearMatch } from "../../0-ground/text/near-match.ts"

export interface RecordedWires {
  /** Wire name → changes in time order; before the first change the wire is dead. Seconds. */
  readonly wires: Readonly<Record<string, readonly { readonly t: number; readonly live: boolean }[]>>
  /** Time of the last change or time mark, seconds. */
  readonly end: number
  /** Variables that are no wire of this lamp, with the nearest wire's name where there is one. */
  readonly ignored: readonly string[]
}

export type ReadVcd = { readonly recorded: RecordedWires } | { readonly fault: string; readonly line: number }

const scales: Readonly<Record<string, number>> = { s: 1, ms: 1e-3, us: 1e-6, ns: 1e-9, ps: 1e-12, fs: 1e-15 }
const headers = new Set([
  "$date",
  "$version",
  "$comment",
  "$timescale",
  "$scope",
  "$upscope",
  "$var",
  "$enddefinitions",
])
const dumps = new Set(["$dumpvars", "$dumpall", "$dumpon", "$dumpoff", "$end"])

export function readVcd(text: string, wireNames: readonly string[]): ReadVcd {
  const wires: Record<string, { t: number; live: boolean }[]> = Object.create(null)
  const wireOf = new Map<string, string>()
  const ignored: string[] = []
  let scale: number | undefined
  let now = 0
  let end = 0
  let section: { readonly word: string; readonly words: string[]; readonly line: number } | undefined
  let vector = false

  for (const { word, line } of tokens(text)) {
    const fault = (why: string): ReadVcd => ({ fault: why, line })
    if (section) {
      if (word !== "$end") {
        section.words.push(word)
        continue
      }
      const { word: head, words } = section
      section = undefined
      if (head === "$timescale") {
        const [, n, unit] = /^(1|10|100)\s*(s|ms|us|ns|ps|fs)$/.exec(words.join(" ")) ?? []
        if (!n || !unit)
          return fault(`$timescale ${words.join(" ")} is not 1, 10 or 100 of s, ms, us, ns, ps or fs`)
        scale = Number(n) * scales[unit]!
      } else if (head === "$var") {
        const [, size, code, name] = words
        if (!code || !name) return fault("$var needs a type, a size, a code and a name")
        if (size === "1" && wireNames.includes(name)) {
          wireOf.set(code, name)
          wires[name] ??= []
        } else {
          const near = size === "1" ? nearMatch(name, wireNames) : undefined
          ignored.push(near ? `${name} (did you mean ${near}?)` : name)
        }
      }
      continue
    }
    if (vector) vector = false
    else if (headers.has(word)) section = { word, words: [], line }
    else if (dumps.has(word)) continue
    else if (word.startsWith("#")) {
      if (scale === undefined) return fault("a time stands before $timescale")
      const ticks = Number(word.slice(1))
      if (!/^#\d+$/.test(word) || !Number.isSafeInteger(ticks)) return fault(`${shown(word)} is not a time`)
      if (ticks * scale < now) return fault("time runs backwards")
      now = ticks * scale
      end = now
    } else if (/^[01xXzZ]./.test(word)) {
      const name = wireOf.get(word.slice(1))
      if (name) wires[name]!.push({ t: now, live: word[0] === "1" })
    } else if (/^[bBrR]./.test(word)) vector = true
    else return fault(`${shown(word)} is not a value change`)
  }
  if (section) return { fault: `${section.word} has no $end`, line: section.line }
  if (scale === undefined) return { fault: "there is no $timescale: is this a VCD file?", line: 1 }
  if (wireOf.size === 0) {
    const seen =
      ignored.length > 0 ? `it has ${ignored.slice(0, 8).map(shown).join(", ")}` : "it has no variable at all"
    return {
      fault: `none of its variables is a wire of this lamp (${wireNames.join(", ")}); ${seen}`,
      line: 1,
    }
  }
  return { recorded: { wires: { ...wires }, end, ignored } }
}

function* tokens(text: string): Generator<{ readonly word: string; readonly line: number }> {
  let line = 1
  for (const [piece] of text.matchAll(/\n|[^\s]+/g)) {
    if (piece === "\n") line++
    else yield { word: piece, line }
  }
}

const shown = (word: string) => (word.length > 40 ? `${word.slice(0, 40)}…` : word)
