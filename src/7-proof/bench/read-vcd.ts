// Wires from a value change dump (IEEE 1364), for example recorded on a real vehicle. Variables whose names are wires
// of the lamp become stimuli: one bit wide, or real-valued volts. Everything else is left out. What is not understood
// is refused with its line and column.

import { nearMatch } from "../../0-ground/text/near-match.ts"
import { type Stimulus, tidy, type WireEdge } from "./wires.ts"

export type ReadVcd =
  | { readonly stimulus: Stimulus; readonly seconds: number; readonly ignored: readonly string[] }
  | { readonly fault: { readonly line: number; readonly column: number; readonly reason: string } }

/** Volts of a real-valued wire: live from the one on, dead from the other down, between them as it was. */
export interface WireThresholds {
  readonly liveAbove: number
  readonly deadBelow: number
}
const usualThresholds: WireThresholds = { liveAbove: 7.8, deadBelow: 3.4 }

const units: Readonly<Record<string, number>> = { s: 1, ms: 1e-3, us: 1e-6, ns: 1e-9, ps: 1e-12, fs: 1e-15 }

interface Token {
  readonly text: string
  readonly line: number
  readonly column: number
}

interface Variable {
  readonly name: string
  readonly real: boolean
}

/** `wires`: names to look for. Values x and z count as dead, as an open wire would. */
export function readWiresVcd(
  text: string,
  wires: readonly string[],
  thresholds: Readonly<Record<string, WireThresholds>> = {},
): ReadVcd {
  const tokens = tokensOf(text)
  const edges = new Map<string, WireEdge[]>()
  const variables = new Map<string, Variable>()
  const known = new Set<string>()
  const ignored: string[] = []
  const fault = (token: Token | undefined, reason: string): ReadVcd => {
    const lines = text.split("\n")
    return {
      fault: {
        line: token?.line ?? lines.length,
        column: token?.column ?? lines.at(-1)!.length + 1,
        reason,
      },
    }
  }
  let scale: number | undefined
  let time = 0
  let defined = false
  const say = (name: string, live: boolean) => edges.get(name)!.push({ t: time * scale!, live })
  for (let i = 0; i < tokens.length; i++) {
    const token = tokens[i]!
    const word = token.text
    if (word.startsWith("$") && !/^\$(dumpvars|dumpall|dumpon|dumpoff|end)$/.test(word)) {
      let end = i + 1
      while (end < tokens.length && tokens[end]!.text !== "$end") end++
      if (end === tokens.length) return fault(token, `${word} has no $end`)
      const body = tokens.slice(i + 1, end)
      const words = body.map((t) => t.text)
      if (word === "$timescale") {
        const match = /^(1|10|100)(s|ms|us|ns|ps|fs)$/.exec(words.join(""))
        if (!match)
          return fault(
            body[0] ?? token,
            `the time scale "${words.join(" ")}" is not 1, 10 or 100 of s, ms, us, ns, ps or fs`,
          )
        scale = Number(match[1]) * units[match[2]!]!
      } else if (word === "$var") {
        const [type, width, id, name] = words
        if (id === undefined || name === undefined) return fault(token, "a variable without name")
        known.add(id)
        if (!wires.includes(name)) ignored.push(name)
        else {
          const real = /^(real|realtime)$/.test(type!)
          if (!real && width !== "1")
            return fault(body[1]!, `${name} is ${width} bits wide: a wire is one bit, or real in volts`)
          const other = [...variables].find(([k, v]) => v.name === name && k !== id)
          if (other) return fault(body[3]!, `${name} stands twice in the file, with different values`)
          variables.set(id, { name, real })
          edges.set(name, [])
        }
      } else if (word === "$enddefinitions") defined = true
      i = end
      continue
    }
    if (word.startsWith("$")) continue
    if (!defined) return fault(token, `"${word}" stands before $enddefinitions`)
    if (word.startsWith("#")) {
      const next = Number(word.slice(1))
      if (!/^#\d+$/.test(word)) return fault(token, `time ${word} is no whole number`)
      if (next < time) return fault(token, `time ${word} is earlier than #${time} before it`)
      time = next
      continue
    }
    if (scale === undefined) return fault(token, "no time scale is given before the first value")
    const vector = /^[bBrR]/.test(word)
    const id = vector ? tokens[i + 1]?.text : word.slice(1)
    if (!vector && !/^[01xXzZ]/.test(word)) return fault(token, `"${word}" is no value change`)
    if (id === undefined || id === "") return fault(token, `"${word}" says not whose value it is`)
    if (!known.has(id)) return fault(vector ? tokens[i + 1] : token, `"${id}" was not declared`)
    if (vector) i++
    const variable = variables.get(id)
    if (!variable) continue
    const { name } = variable
    if (variable.real) {
      const volt = Number(word.slice(1))
      if (!/^[rR]/.test(word) || word.length < 2 || Number.isNaN(volt))
        return fault(token, `"${word}" is no voltage of ${name}`)
      const { liveAbove, deadBelow } = thresholds[name] ?? usualThresholds
      if (volt >= liveAbove) say(name, true)
      else if (volt <= deadBelow) say(name, false)
    } else if (vector) {
      if (!/^[bB][01xXzZ]$/.test(word)) return fault(token, `"${word}" is no single bit of ${name}`)
      say(name, word[1] === "1")
    } else say(name, word[0] === "1")
  }
  if (scale === undefined) return fault(undefined, "no time scale is given")
  if (edges.size === 0) return fault(undefined, noneFound(wires, ignored))
  return {
    stimulus: { wires: Object.fromEntries([...edges].map(([name, list]) => [name, tidy(list)])) },
    seconds: time * scale,
    ignored,
  }
}

/** A byte order mark at the start is none of the text. */
function tokensOf(text: string): Token[] {
  return text
    .replace(/^\uFEFF/, "")
    .split("\n")
    .flatMap((content, i) =>
      [...content.matchAll(/\S+/g)].map((m) => ({ text: m[0], line: i + 1, column: m.index + 1 })),
    )
}

function noneFound(wires: readonly string[], names: readonly string[]): string {
  const none = `none of the wires ${wires.join(", ")} is in the file`
  if (names.length === 0) return none
  const few = names.slice(0, 8).join(", ")
  const near = names.flatMap((n) => {
    const wire = nearMatch(n.toLowerCase(), wires)
    return wire === undefined ? [] : [`${n} as ${wire}`]
  })
  const advice =
    near.length > 0 ? `; name ${near.slice(0, 4).join(", ")}` : "; name its variables as the wires"
  return `${none}, which has ${few}${names.length > 8 ? " …" : ""}${advice}`
}
