// Spoiled texts over every reader: nothing thrown, nothing lost without a word, no hang, under 1 GB.
// LAMPWRIGHT_FUZZ=100000 npx vitest run tests/fuzz for the long run; LAMPWRIGHT_FUZZ_SEED for another one.

import { spawn } from "node:child_process"
import { join } from "node:path"
import { expect, test } from "vitest"

const count = Number(process.env.LAMPWRIGHT_FUZZ ?? 2500)
const seed = Number(process.env.LAMPWRIGHT_FUZZ_SEED ?? 1)
/** One reading takes milliseconds; a process silent for this long hangs, ms (also on a machine with much else to do). */
const patience = 120_000

test(`${count} spoiled texts over all readers`, { timeout: 14_400_000 }, async () => {
  const told = await run(count, seed)
  const wrong = told.filter((l) => !/^(at|memory|done)\b|slowest/.test(l))
  expect(wrong).toEqual([])
  expect(told.at(-1)).toBe("done")
  const memory = Number(/^memory (\d+) MB/m.exec(told.join("\n"))?.[1])
  expect(memory).toBeLessThan(1024)
  if (process.env.LAMPWRIGHT_FUZZ) console.log(told.filter((l) => !l.startsWith("at ")).join("\n"))
})

/** What the reading process said, line by line; killed when it falls silent. */
function run(inputs: number, from: number): Promise<string[]> {
  return new Promise((done) => {
    const script = join(import.meta.dirname, "run.testing.ts")
    const node = ["--max-old-space-size=900", "--import", "tsx", script, String(inputs), String(from)]
    const child = spawn(process.execPath, node)
    let text = ""
    let watch: NodeJS.Timeout
    const stir = () => {
      clearTimeout(watch)
      watch = setTimeout(() => {
        text += `hangs after ${text.trimEnd().split("\n").at(-1)}\n`
        child.kill("SIGKILL")
      }, patience)
    }
    stir()
    for (const stream of [child.stdout, child.stderr])
      stream.setEncoding("utf8").on("data", (chunk: string) => {
        text += chunk
        stir()
      })
    child.on("close", () => {
      clearTimeout(watch)
      done(text.trimEnd().split("\n"))
    })
  })
}
