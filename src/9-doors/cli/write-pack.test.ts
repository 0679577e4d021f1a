import { spawn } from "node:child_process"
import { once } from "node:events"
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterEach, beforeEach, expect, test } from "vitest"
import { random } from "../../0-ground/numbers/random.ts"
import { somePack } from "./write-pack.testing.ts"
import { isWhole, putRight, writePack } from "./write-pack.ts"

let folder = ""
let out = ""
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "lampwright-pack-"))
  out = join(folder, "out")
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

test("a pack replaces an earlier one as a whole and leaves nothing beside it", () => {
  writePack(out, somePack("first", 9))
  writePack(out, somePack("second", 5))
  expect(readFileSync(join(out, "part-0/file-0.txt"), "utf8")).toContain("second")
  expect(existsSync(join(out, "part-3/file-7.txt"))).toBe(false)
  expect(readdirSync(folder)).toEqual(["out"])
})

test("a file that would lie outside the pack is refused, and the old pack stays", () => {
  writePack(out, somePack("first"))
  for (const path of ["../evil.txt", "a/../../evil.txt", "/tmp/evil.txt"])
    expect(() => writePack(out, [{ path, text: "x" }])).toThrow(/outside the pack/)
  expect(isWhole(out)).toBe(true)
  expect(readdirSync(folder)).toEqual(["out"])
})

test("a folder with other things in it is left alone", () => {
  mkdirSync(out)
  writeFileSync(join(out, "letter.txt"), "dear customer")
  expect(() => writePack(out, somePack("first"))).toThrow(/not a pack/)
  expect(readdirSync(out)).toEqual(["letter.txt"])
})

test("what a killed run left is put right: a whole old pack comes back, a half one goes", () => {
  const dead = 2 ** 22 + 5 // above the highest process number Linux gives
  const old = join(folder, `.out.${dead}.old`)
  writePack(old, somePack("old"))
  mkdirSync(join(folder, `.out.${dead}.new`))
  putRight(out)
  expect(readdirSync(folder)).toEqual(["out"])
  expect(isWhole(out)).toBe(true)

  writePack(old, somePack("half"))
  rmSync(join(old, "part-1"), { recursive: true })
  rmSync(out, { recursive: true })
  putRight(out)
  expect(readdirSync(folder)).toEqual([])
})

/** Replaces the pack at `out` in another process until `signal`, sent after `ms`, ends it. */
async function killedAfter(ms: number, signal: NodeJS.Signals) {
  const script = join(import.meta.dirname, "write-pack.testing.ts")
  const child = spawn(process.execPath, ["--import", "tsx", script, out])
  await once(child.stdout, "data")
  await sleep(ms)
  child.kill(signal)
  await once(child, "exit")
}

const sleep = (ms: number) => new Promise((done) => setTimeout(done, ms))

/** What stands under the pack's name once whatever was begun has ended: no process is waited for by its number. */
async function settled() {
  for (let k = 0; k < 400; k++) {
    if (isWhole(out)) return true
    await sleep(5)
  }
  return false
}

test("killed at any moment, the old pack or the new one stands whole under its name", async () => {
  const chance = random(11)
  writePack(out, somePack("first"))
  for (let round = 0; round < 15; round++) {
    await killedAfter(chance.next() * 150, "SIGKILL")
    expect(await settled()).toBe(true)
  }
  await sleep(200)
  putRight(out)
  expect(isWhole(out)).toBe(true)
  expect(readdirSync(folder)).toEqual(["out"])
})

/** Ends a process at once when it has moved a folder aside: the worst moment there is. */
const endsBetween = `data:text/javascript,${encodeURIComponent(`
import fs from "node:fs"
import { syncBuiltinESMExports } from "node:module"
const rename = fs.renameSync
fs.renameSync = (from, to) => {
  rename(from, to)
  if (String(to).endsWith(".old")) process.kill(process.pid, "SIGKILL")
}
syncBuiltinESMExports()
`)}`

test("killed between its renames, the pack is whole under its name without another run", async () => {
  writePack(out, somePack("first"))
  for (let round = 0; round < 5; round++) {
    const script = join(import.meta.dirname, "write-pack.testing.ts")
    const child = spawn(process.execPath, ["--import", "tsx", "--import", endsBetween, script, out])
    const gone = once(child, "exit")
    await once(child.stdout, "data")
    // Looked at without a pause, so that the kill comes while the old pack stands aside.
    const until = performance.now() + 3000
    while (performance.now() < until) if (readdirSync(folder).some((name) => name.endsWith(".old"))) break
    child.kill("SIGKILL")
    await gone
    expect(await settled()).toBe(true)
  }
})

test("asked to stop, a run ends with a whole pack in its place", async () => {
  const chance = random(12)
  writePack(out, somePack("first"))
  for (const signal of ["SIGTERM", "SIGINT", "SIGHUP"] as const) {
    await killedAfter(chance.next() * 60, signal)
    expect(isWhole(out)).toBe(true)
  }
})
