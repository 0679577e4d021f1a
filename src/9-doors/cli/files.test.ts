import {
  lstatSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterEach, beforeEach, expect, test } from "vitest"
import { readLampSource, writeText } from "./files.ts"

let folder = ""
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "lampwright-files-"))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

test("a file is replaced as a whole and nothing stays beside it", () => {
  const path = join(folder, "bent.ngc")
  for (const text of ["first", "second"]) {
    writeText(path, text)
    expect(readFileSync(path, "utf8")).toBe(text)
  }
  expect(readdirSync(folder)).toEqual(["bent.ngc"])
})

test("a link stays one, and a folder is refused in words", () => {
  writeFileSync(join(folder, "real"), "")
  symlinkSync("real", join(folder, "link"))
  writeText(join(folder, "link"), "text")
  expect(lstatSync(join(folder, "link")).isSymbolicLink()).toBe(true)
  expect(readFileSync(join(folder, "real"), "utf8")).toBe("text")
  expect(() => writeText(folder, "text")).toThrow(/cannot write/)
  expect(() => writeText(join(folder, "none", "file"), "text")).toThrow(/cannot write/)
})

test("a drawing is read from beside the description only", () => {
  writeFileSync(join(folder, "lamp.yaml"), "lampwright: 1")
  writeFileSync(join(folder, "face.svg"), "<svg/>")
  symlinkSync("/etc/hostname", join(folder, "linked.svg"))
  const { drawing } = readLampSource(join(folder, "lamp.yaml"))
  expect(drawing("face.svg")).toBe("<svg/>")
  for (const outside of ["linked.svg", "../face.svg", "/etc/hostname", "", ".", "a/../../x", "\0"])
    expect(drawing(outside)).toBeUndefined()
})
