// Wires from a value change dump (IEEE 1364): one-bit variables named like the lamp's wires become its stimulus.

import { type Stimulus, tidy, type WireEdge } from "./wires.ts"

export type ReadVcd =
  | { readonly stimulus: Stimulus; readonly seconds: number; readonly ignored: readonly string[] }
  | { readonly fault: { readonly line: number; readonly reason: string } }

const units: Readonly<Record<string, number>> = { s: 1, ms: 1e-3, us: 1e-6, ns: 1e-9, ps: 1e-12, fs: 1e-15 }

interface Token {
  readonly text: string
  readonly line: number
}

/** `wires`: names to look for. Values x and z count as dead, as an open wire would. */
export function readWiresVcd(text: string, wires: readonly string[]): ReadVcd {
  const tokens: Token[] = text
    .split("\n")
    .flatMap((content, i) => (content.match(/\S+/g) ?? []).map((t) => ({ text: t, line: i + 1 })))
  const edges = new Map<string, WireEdge[]>()
  const nameOf = new Map<string, string>()
  const ignored: string[] = []
  const fault = (token: Token | undefined, reason: string): ReadVcd => ({
    fault: { line: token?.line ?? text.split("\n").length, reason },
  })
  let scale: number | undefined
  let time = 0
  let defined = false
  for (let i = 0; i < tokens.length; i++) {
    const token = tokens[i]!
    const word = token.text
    if (word.startsWith("$") && !/^\$(dumpvars|dumpall|dumpon|dumpoff|end)$/.test(word)) {
      let end = i + 1
      while (end < tokens.length && tokens[end]!.text !== "$end") end++
      if (end === tokens.length) return fault(token, `${word} has no $end`)
      const body = tokens.slice(i + 1, end).map((t) => t.text)
      if (word === "$timescale") {
        const match = /^(1|10|100)(s|ms|us|ns|ps|fs)$/.exec(body.join(""))
        if (!match) return fault(token, `the time scale "${body.join(" ")}" is not known`)
        scale = Number(match[1]) * units[match[2]!]!
      } else if (word === "$var") {
        const [, width, id, name] = body
        if (id === undefined || name === undefined) return fault(token, "a variable without name")
        if (width === "1" && wires.includes(name)) {
          nameOf.set(id, name)
          edges.set(name, [])
        } else ignored.push(name)
      } else if (word === "$enddefinitions") defined = true
      i = end
      continue
    }
    if (word.startsWith("$")) continue
    if (!defined) return fault(token, `"${word}" stands before $enddefinitions`)
    if (word.startsWith("#")) {
      const next = Number(word.slice(1))
      if (!/^#\d+$/.test(word) || next < time) return fault(token, `time ${word} is no later time`)
      time = next
    } else if (/^[bBrR]/.test(word)) i++
    else if (/^[01xXzZ]/.test(word)) {
      const name = nameOf.get(word.slice(1))
      if (name) edges.get(name)!.push({ t: time * (scale ?? 1e-9), live: word[0] === "1" })
    } else return fault(token, `"${word}" is no value change`)
  }
  if (scale === undefined) return fault(undefined, "no time scale is given")
  if (edges.size === 0) return fault(undefined, `none of the wires ${wires.join(", ")} is in the file`)
  return {
    stimulus: { wires: Object.fromEntries([...edges].map(([name, list]) => [name, tidy(list)])) },
    seconds: time * scale,
    ignored,
  }
}
