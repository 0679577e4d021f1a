// Texts spoiled at random, the same for the same seed: spans cut, doubled, swapped and torn off, numbers driven to
// extremes, odd characters, and the traps of the text's own language put in.

import type { Random } from "../../src/0-ground/numbers/random.ts"

/** No spoiled text grows beyond this, characters. */
const mostCharacters = 400_000

const extremes = [
  "0",
  "-0",
  "-1",
  "1e308",
  "-1e308",
  "1e-320",
  "NaN",
  "Infinity",
  "0x7fffffff",
  "4294967296",
  ".",
  "1e",
  "٣",
  "9".repeat(400),
]
const oddities = [
  "\0",
  "\uFEFF",
  "\u202E",
  "\uD800",
  "\r",
  "\t",
  "\u2028",
  "é",
  "💡",
  '"',
  "'",
  "\\",
  "<",
  "&",
  "{",
  "}",
  "[",
  "%",
  "#",
  ":",
  "\n\n",
  " ",
]

/** Spoils `text` in one to eight ways; `traps` are tokens that are awkward in its language. */
export function spoil(text: string, traps: readonly string[], chance: Random): string {
  let out = text
  for (let n = 1 + chance.below(8); n > 0; n--) out = once(out, traps, chance)
  return out.slice(0, mostCharacters)
}

function once(text: string, traps: readonly string[], { below }: Random): string {
  const at = below(text.length + 1)
  const span = 1 + below(below(10) === 0 ? 2000 : 40)
  const pick = <T>(list: readonly T[]) => list[below(list.length)]!
  const put = (what: string, instead = 0) => text.slice(0, at) + what + text.slice(at + instead)
  switch (below(11)) {
    case 0:
      return put("", span)
    case 1:
      return put(text.slice(at, at + span).repeat(1 + below(3)))
    case 2:
      return put(pick(oddities), below(2))
    case 3:
      return put(pick(traps))
    case 4:
      return text.slice(0, at)
    case 5:
      return put(String.fromCharCode(below(0x250)), 1)
    case 6:
      return withNumber(text, at, pick(extremes))
    case 7:
      return withNumber(text, at, String((below(4000) - 2000) / 10))
    case 8: {
      const lines = text.split("\n")
      const [a, b] = [below(lines.length), below(lines.length)]
      ;[lines[a], lines[b]] = [lines[b]!, lines[a]!]
      return lines.join("\n")
    }
    case 9: {
      const lines = text.split("\n")
      lines.splice(below(lines.length), 1 + below(3))
      return lines.join("\n")
    }
    default:
      return text.length < 50_000 ? put(text.slice(at, at + span).repeat(200)) : text
  }
}

/** The next number after `at` becomes `instead`. */
function withNumber(text: string, at: number, instead: string): string {
  const found = /[-+]?\d[\d.]*/.exec(text.slice(at))
  if (!found) return text + instead
  const from = at + found.index
  return text.slice(0, from) + instead + text.slice(from + found[0].length)
}
