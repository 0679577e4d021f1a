// A process that reads spoiled texts: run.testing.ts COUNT SEED [HAND HANDS]; of several hands each takes its share.
// One line per answer that is wrong, `at N` every so often, so that whoever started it can tell a hang; `done` with the
// slowest readings at the end.

import { type Random, random } from "../../src/0-ground/numbers/random.ts"
import { spoil } from "./mutate.testing.ts"
import { type Reader, readers } from "./readers.testing.ts"

const [count, seed, hand = 0, hands = 1] = process.argv.slice(2).map(Number) as [number, number]
const all = readers()
const weights = all.reduce((sum, r) => sum + r.weight, 0)
const slowest = new Map<string, { ms: number; n: number; characters: number }>()
const read = new Map<string, { count: number; ms: number }>()
/** Half spoiled, half of right syntax; some of those spoiled once more. */
function inputFor({ texts, traps, extreme, whole }: Reader, chance: Random): string {
  if (extreme && (whole || chance.below(2) === 0)) {
    const text = extreme(chance)
    return !whole && chance.below(10) === 0 ? spoil(text, traps, chance) : text
  }
  return spoil(texts[chance.below(texts.length)]!, traps, chance)
}
const say = (line: string) => process.stdout.write(`${line}\n`)

say("at 0")
for (let n = hand; n < count; n += hands) {
  // Every input can be made again from its own seed.
  const chance = random(Math.imul(seed, 1_000_003) + n)
  let place = chance.next() * weights
  const reader = all.find((r) => {
    place -= r.weight
    return place < 0
  })!
  const start = performance.now()
  let wrong: string | undefined
  let text = ""
  try {
    text = inputFor(reader, chance)
    wrong = reader.read(text)
  } catch (error) {
    wrong = `threw ${error instanceof Error ? (error.stack ?? error.message).split("\n").slice(0, 3).join(" ") : String(error)}`
  }
  const ms = performance.now() - start
  const before = read.get(reader.name) ?? { count: 0, ms: 0 }
  read.set(reader.name, { count: before.count + 1, ms: before.ms + ms })
  if (ms > (slowest.get(reader.name)?.ms ?? 0)) slowest.set(reader.name, { ms, n, characters: text.length })
  if (wrong) say(`wrong ${reader.name}, input ${n}: ${wrong}`)
  if (((n - hand) / hands) % 10 === 0) say(`at ${n}`)
}
say(`memory ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`)
for (const [name, { ms, n, characters }] of slowest)
  say(
    `${name}: ${read.get(name)!.count} read, ${(read.get(name)!.ms / read.get(name)!.count).toFixed(1)} ms each, slowest ${ms.toFixed(0)} ms (input ${n}, ${characters} characters)`,
  )
say("done")
