// The manual's examples are run as a reader would: files written, lines changed, commands typed, output compared.
// The reference pages must be what the program says of itself today.

import { spawnSync } from "node:child_process"
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, beforeAll, expect, test } from "vitest"
import { referencePages } from "../scripts/reference-pages.ts"

const root = join(import.meta.dirname, "..")
const script = join(root, "scripts/lampwright.mjs")
const manual = readFileSync(join(root, "docs/manual.md"), "utf8")

let folder = ""
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "lampwright-manual-"))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

interface Fence {
  readonly kind: string
  readonly word: string
  readonly lines: readonly string[]
  readonly job: string
}

function fences(text: string): Fence[] {
  const out: Fence[] = []
  let job = ""
  let open: { kind: string; word: string; lines: string[]; job: string } | undefined
  for (const line of text.split("\n")) {
    if (open && line === "```") {
      out.push(open)
      open = undefined
    } else if (open) open.lines.push(line)
    else if (line.startsWith("## ")) job = line.slice(3)
    else if (line.startsWith("```")) {
      const [kind, word = ""] = line.slice(3).split(" ")
      open = { kind: kind!, word, lines: [], job }
    }
  }
  return out
}

/** Words as a shell splits them; only double quotes are needed. */
const words = (line: string) => [...line.matchAll(/"([^"]*)"|(\S+)/g)].map((m) => m[1] ?? m[2]!)

let printed = ""
function run(fence: Fence): void {
  const wanted = Number(/^exit=(\d)$/.exec(fence.word)?.[1] ?? 0)
  printed = ""
  for (const line of fence.lines) {
    const [command, ...args] = words(line)
    expect(command, line).toBe("lampwright")
    const { stdout, stderr, status } = spawnSync(process.execPath, [script, ...args], {
      encoding: "utf8",
      cwd: folder,
    })
    printed += stdout + stderr
    expect(status, `${line}\n${stdout}${stderr}`).toBe(line === fence.lines.at(-1) ? wanted : 0)
  }
}

function compare({ lines }: Fence): void {
  let from = 0
  for (const line of lines.map((l) => l.trim()).filter((l) => l !== "" && l !== "…")) {
    const at = printed.indexOf(line, from)
    expect(at, `“${line}” is not in\n${printed}`).toBeGreaterThanOrEqual(0)
    from = at + line.length
  }
}

function change({ word, lines }: Fence): void {
  const path = join(folder, word)
  const text = readFileSync(path, "utf8")
  const part = (mark: string) => lines.filter((l) => l.startsWith(mark)).map((l) => l.slice(1))
  const before = `${part("-").join("\n")}\n`
  expect(text.split(before), `“${before}” stands once in ${word}`).toHaveLength(2)
  writeFileSync(
    path,
    text.replace(before, () => `${part("+").join("\n")}\n`),
  )
}

const steps: Record<string, (fence: Fence) => void> = {
  sh: run,
  text: compare,
  diff: change,
  file: ({ word, lines }) => writeFileSync(join(folder, word), `${lines.join("\n")}\n`),
}

const all = fences(manual)
test.each([...new Set(all.map((f) => f.job))])("the manual's job: %s", { timeout: 600_000 }, (job) => {
  for (const fence of all.filter((f) => f.job === job)) {
    const step = steps[fence.kind]
    expect(step, `a block of kind ${fence.kind}`).toBeDefined()
    step!(fence)
  }
})

test("reference pages are as written by scripts/write-reference.ts", async () => {
  for (const [file, text] of await referencePages())
    expect(
      readFileSync(join(root, "docs", file), "utf8") === text,
      `docs/${file} is out of date: npx tsx scripts/write-reference.ts`,
    ).toBe(true)
})
