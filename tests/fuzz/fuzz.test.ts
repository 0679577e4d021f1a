// Spoiled texts over every reader: nothing thrown, nothing lost without a word, no hang, under 1 GB.
// LAMPWRIGHT_FUZZ=100000 npx vitest run tests/fuzz for the long run; LAMPWRIGHT_FUZZ_SEED for another one.

import { spawn } from "node:child_process"
import { join } from "node:path"
import { expect, test } from "vitest"

const count = Number(process.env.LAMPWRIGHT_FUZZ ?? 2500)
const seed = Number(process.env.LAMPWRIGHT_FUZZ_SEED ?? 1)
/** One reading takes milliseconds; a process silent for this long hangs, ms (also on a machine with much else to do). */
const patience = 300_000

/** The long run is shared out; what is read is the same. */
const hands = count > 20_000 ? 2 : 1

test(`${count} spoiled texts over all readers`, { timeout: 14_400_000 }, async () => {
  const told = await Promise.all(Array.from({ length: hands }, (_, hand) => run(count, seed, hand)))
  for (const lines of told) {
    expect(lines.filter((l) => !/^(at|memory|done)\b|slowest/.test(l))).toEqual([])
    expect(lines.at(-1)).toBe("done")
    const memory = Number(/^memory (\d+) MB/m.exec(lines.join("\n"))?.[1])
    expect(memory).toBeLessThan(1024)
  }
})

/** What a reading process said, line by line; killed when it falls silent. */
function run(inputs: number, from: number, hand: number): Promise<string[]> {
  return new Promise((done) => {
    const script = join(import.meta.dirname, "run.testing.ts")
    const words = [inputs, from, hand, hands].map(String)
    const child = spawn(process.execPath, ["--max-old-space-size=900", "--import", "tsx", script, ...words])
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
        if (process.env.LAMPWRIGHT_FUZZ) process.stderr.write(chunk.replace(/^at \d*[1-9]\d{0,2}\n/gm, ""))
      })
    child.on("close", () => {
      clearTimeout(watch)
      done(text.trimEnd().split("\n"))
    })
  })
}
