// The command as a person runs it: a chip's flash read back, held against packs.

import { spawnSync } from "node:child_process"
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, beforeAll, expect, test } from "vitest"
import { designBehaviour } from "../../4-behaviour/design-behaviour.ts"
import { makeFirmware } from "../../4-behaviour/make-firmware.ts"
import { circuit, pinsInOrder, wings } from "../../4-behaviour/wings.testing.ts"

const made = circuit(wings)
const { hex, buildId } = makeFirmware(made, designBehaviour(wings, made), pinsInOrder(made))!
let folder = ""
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "lampwright-identify-"))
  for (const [name, id] of [
    ["this", buildId],
    ["other", "LW1 0000000000000000"],
  ] as const) {
    mkdirSync(join(folder, name))
    writeFileSync(
      join(folder, name, "report.json"),
      JSON.stringify({ lamp: `Lamp ${name}`, firmware: { buildId: id } }),
    )
  }
  writeFileSync(join(folder, "chip.hex"), hex)
  writeFileSync(join(folder, "empty.hex"), ":00000001FF\n")
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function identify(...args: string[]) {
  const script = join(import.meta.dirname, "../../../scripts/lampwright.mjs")
  const all = [script, "identify", ...args.map((a) => join(folder, a))]
  const { status, stdout, stderr } = spawnSync(process.execPath, all, { encoding: "utf8" })
  return { status, stdout, stderr }
}

test("tells the build and the pack it comes from", () => {
  const { status, stdout } = identify("chip.hex", "other", "this")
  expect(stdout).toContain(`Build ${buildId}, for the ATmega328P.`)
  expect(stdout).toContain("Every byte is as it was built.")
  expect(stdout).toMatch(/It is not the build of Lamp other/)
  expect(stdout).toMatch(/It is the build of Lamp this/)
  expect(status).toBe(0)
})

test("a build of none of the packs, an empty chip and a missing file are told apart", () => {
  expect(identify("chip.hex", "other").status).toBe(2)
  expect(identify("empty.hex")).toMatchObject({ status: 2, stdout: expect.stringContaining("erased") })
  expect(identify("nothing.hex")).toMatchObject({
    status: 1,
    stderr: expect.stringContaining("no such file"),
  })
})
