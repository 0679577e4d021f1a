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

test("killed at any moment, the pack is whole: in its place, or put back by the next run", async () => {
  const chance = random(11)
  writePack(out, somePack("first"))
  for (let round = 0; round < 12; round++) {
    await killedAfter(chance.next() * 60, "SIGKILL")
    putRight(out)
    expect(isWhole(out)).toBe(true)
    expect(readdirSync(folder)).toEqual(["out"])
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
