// The command as a person runs it: a process with arguments, output and an exit code.

import { spawnSync } from "node:child_process"
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, beforeAll, describe, expect, test } from "vitest"
import { packLamp } from "../src/8-pack/pack-lamp.ts"
import { designMarker, examples } from "./tern.ts"

const script = join(import.meta.dirname, "../scripts/lampwright.mjs")
let folder = ""
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "lampwright-"))
  lampwright("--version")
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function lampwright(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [script, ...args], {
    encoding: "utf8",
    cwd: folder,
  })
  return { status, stdout, stderr, all: stdout + stderr }
}

const marker = join(examples, "marker/marker.yaml")

test("help names the commands and the cautions", () => {
  const { status, all } = lampwright("--help")
  expect(status).toBe(0)
  for (const command of ["new", "check", "make", "why", "play", "app"]) expect(all).toContain(command)
  expect(all).toContain("not type-approved")
})

test("a misspelt command gets a suggestion and exit 1", () => {
  const { status, all } = lampwright("chekc", marker)
  expect(status).toBe(1)
  expect(all).toMatch(/check/)
})

test("new starts a lamp that check accepts, and overwrites nothing", () => {
  const dir = join(folder, "fresh")
  expect(lampwright("new", dir, "--from", "marker").status).toBe(0)
  expect(readFileSync(join(dir, "marker.yaml"), "utf8")).toBe(readFileSync(marker, "utf8"))
  expect(lampwright("check", join(dir, "marker.yaml")).status).toBe(0)
  writeFileSync(join(dir, "marker.yaml"), "mine")
  const again = lampwright("new", dir, "--from", "marker")
  expect(again.status).toBe(1)
  expect(again.all).toContain("already has marker.yaml")
  expect(readFileSync(join(dir, "marker.yaml"), "utf8")).toBe("mine")
})

test("check --json prints a report with stage times", () => {
  const { status, stdout } = lampwright("check", marker, "--json")
  expect(status).toBe(0)
  const report = JSON.parse(stdout)
  expect(report.verdict).not.toBe("do not cut")
  expect(report.stages.boards).toBeGreaterThan(0)
  expect(report.boards).toHaveLength(1)
})

describe("make", () => {
  test("writes the same pack twice, byte for byte, and replaces an earlier one as a whole", () => {
    const [a, b] = [join(folder, "a"), join(folder, "b")]
    expect(lampwright("make", marker, "--out", a).status).toBe(0)
    expect(lampwright("make", marker, "--out", b).status).toBe(0)
    const list = (dir: string) =>
      (readdirSync(dir, { recursive: true, withFileTypes: true }) ?? [])
        .filter((e) => e.isFile())
        .map((e) => join(e.parentPath, e.name))
        .sort()
    expect(list(a).map((f) => f.slice(a.length))).toEqual(list(b).map((f) => f.slice(b.length)))
    for (const file of list(a)) expect(readFileSync(file)).toEqual(readFileSync(b + file.slice(a.length)))
    // The command shares the board search with worker threads; without them the bytes are the same.
    const alone = packLamp(designMarker()).files.find((f) => f.path === "manifest.json")!.text
    expect(readFileSync(join(a, "manifest.json"), "utf8")).toBe(alone)
    writeFileSync(join(a, "stale.txt"), "from an earlier pack")
    expect(lampwright("make", marker, "--out", a).status).toBe(0)
    expect(list(a).some((f) => f.endsWith("stale.txt"))).toBe(false)
    expect(readdirSync(folder).filter((f) => f.startsWith("."))).toEqual([])
  })

  test("refuses a folder that holds something else", () => {
    writeFileSync(join(folder, "letter.txt"), "dear customer")
    const { status, all } = lampwright("make", marker, "--out", folder)
    expect(status).toBe(1)
    expect(all).toContain("not a pack")
    expect(readFileSync(join(folder, "letter.txt"), "utf8")).toBe("dear customer")
  })

  test("a red finding exits 2, marks the pack and holds back what could be cut", () => {
    const text = readFileSync(marker, "utf8").replace(
      "angle: 30°, depth: 0.1 mm",
      "angle: 30°, depth: 0.02 mm",
    )
    const path = join(folder, "shallow.yaml")
    writeFileSync(path, text)
    const out = join(folder, "shallow")
    const held = lampwright("make", path, "--out", out)
    expect(held.status).toBe(2)
    expect(held.stdout).toContain("held back")
    expect(readdirSync(out)).not.toContain("cut")
    expect(readFileSync(join(out, "build-sheet.html"), "utf8")).toContain("DO NOT CUT")
    expect(JSON.parse(readFileSync(join(out, "report.json"), "utf8")).verdict).toBe("do not cut")
    expect(lampwright("make", path, "--out", out, "--keep-going").status).toBe(2)
    expect(readdirSync(out)).toContain("cut")
  })
})

describe("why", () => {
  test("tells a figure down to its sources, and lists them all", () => {
    const { stdout } = lampwright("why", marker)
    const id = stdout
      .split("\n")
      .find((l) => l.startsWith("drive."))!
      .split(" ")[0]!
    const { status, stdout: told } = lampwright("why", marker, id)
    expect(status).toBe(0)
    expect(told).toContain(id)
    expect(told).toMatch(/source:/)
    const wrong = lampwright("why", marker, `${id}x`)
    expect(wrong.status).toBe(1)
    expect(wrong.all).toContain(`did you mean ${id}`)
  })
})

describe("play", () => {
  test("shows light over time and writes VCD", () => {
    const vcd = join(folder, "play.vcd")
    const csv = join(folder, "play.csv")
    const { status, stdout } = lampwright("play", marker, "--vcd", vcd, "--csv", csv, "--seconds", "1")
    expect(status).toBe(0)
    const [head, ...rows] = readFileSync(csv, "utf8").trim().split("\n")
    expect(head).toMatch(/^seconds,tail,marker-1,/)
    expect(rows.length).toBe(500)
    expect(rows.at(-1)).toMatch(/^0\.998,1,1,/)
    expect(stdout).toContain("marker-1")
    expect(readFileSync(vcd, "utf8")).toMatch(/\$timescale/)
  })

  test("takes recorded wires and refuses a broken recording with its line", () => {
    const wires = join(folder, "wires.vcd")
    writeFileSync(
      wires,
      "$timescale 1 ms $end\n$var wire 1 ! tail $end\n$enddefinitions $end\n#0 0!\n#200 1!\n#400 0!\n#500\n",
    )
    expect(lampwright("play", marker, "--wires", wires).status).toBe(0)
    writeFileSync(
      wires,
      "$timescale 1 ms $end\n$var wire 1 ! tail $end\n$enddefinitions $end\n#0 0!\nhello\n",
    )
    const { status, all } = lampwright("play", marker, "--wires", wires)
    expect(status).toBe(1)
    expect(all).toContain("wires.vcd:5:1")
  })
})

describe("bad input ends with a located finding, exit 1 and no stack", () => {
  const text = readFileSync(marker, "utf8")
  const bomb = `a: &a [x,x,x,x,x,x,x,x,x]\n${[..."bcdefghi"].map((c, i) => `${c}: &${c} [${`*${"abcdefgh"[i]},`.repeat(9)}]`).join("\n")}\n`
  const cases: readonly (readonly [string, string])[] = [
    ["unknown key", text.replace("metal:", "metla:")],
    ["wrong unit", text.replace("thickness: 2 mm", "thickness: 2 V")],
    ["hole outside outline", text.replace("from: [12 mm, 12 mm]", "from: [-12 mm, 12 mm]")],
    ["overlapping LEDs", text.replace("to: [48 mm, 12 mm]", "to: [20 mm, 12 mm]")],
    ["impossible voltage", text.replace("highest: 16 V", "highest: 230 V")],
    ["empty file", ""],
    ["10 MB file", `${text}\n# ${"x".repeat(10 * 1024 * 1024)}\n`],
    ["YAML alias bomb", bomb],
    [
      "broken SVG",
      text
        .replace("outline: { rectangle: 60 × 24 mm, corner: 4 mm }", 'drawing: "broken.svg#face"')
        .replace(/\n {4}holes:.*\n/, "\n"),
    ],
    ["duplicate names", text.replace(/( {4}tail:.*\n)/, "$1$1")],
  ]
  test.each(cases)("%s", (name, lamp) => {
    writeFileSync(
      join(folder, "broken.svg"),
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><g id="face"><circle r="1"',
    )
    const path = join(folder, `${name.replaceAll(" ", "-")}.yaml`)
    writeFileSync(path, lamp)
    expect(lamp).not.toBe(text)
    for (const args of [
      ["check", path],
      ["make", path, "--out", join(folder, "none")],
    ]) {
      const { status, all } = lampwright(...args)
      expect(status, all).toBe(1)
      expect(all).toMatch(/^RED {4}\S/m)
      expect(all).toMatch(/\.(yaml|svg):\d+:\d+ /)
      expect(all).toMatch(/→ \S/)
      expect(all).not.toMatch(/^\s+at .*:\d+:\d+\)?$/m)
      expect(all).not.toContain("should not happen")
      expect(all.length).toBeLessThan(20_000)
    }
  })

  test("a file that is not there is one line", () => {
    const { status, all } = lampwright("check", "nowhere.yaml")
    expect(status).toBe(1)
    expect(all.trim().split("\n")).toHaveLength(1)
  })
})

describe("compare", () => {
  test("a pack and a later description: what changed, and a history that grows at its head", () => {
    const pack = join(folder, "rev-a")
    expect(lampwright("make", marker, "--out", pack).status).toBe(0)
    const later = join(folder, "later.yaml")
    writeFileSync(later, readFileSync(marker, "utf8").replace("highest: 50 °C", "highest: 60 °C"))
    const history = join(folder, "history.md")
    const b = lampwright("compare", pack, later, "--history", history, "--title", "B, warmer")
    expect(b.status).toBe(0)
    expect(b.stdout).toContain("vehicle.ambient.highest: 50 °C → 60 °C")
    const back = lampwright("compare", later, pack, "--history", history, "--title", "C, as it was")
    expect(back.status).toBe(0)
    const kept = readFileSync(history, "utf8")
    expect(kept).toMatch(
      /^# Tern side marker: revisions, newest first\n\n## C, as it was\n[\s\S]*\n## B, warmer\n/,
    )
    const same = lampwright("compare", pack, marker, "--history", history)
    expect(same.stdout).toContain("Nothing changed")
    expect(readFileSync(history, "utf8")).toBe(kept)
  })

  test("a folder that is no pack is refused in one line", () => {
    const { status, all } = lampwright("compare", folder, marker)
    expect(status).toBe(1)
    expect(all).toContain("report.json is missing")
  })
})

test("make --pdf writes the sheet as a PDF; an unknown paper is refused before the work", () => {
  const out = join(folder, "with-pdf")
  expect(lampwright("make", marker, "--out", out, "--pdf", "letter").status).toBe(0)
  expect(readFileSync(join(out, "build-sheet.pdf")).subarray(0, 5).toString()).toBe("%PDF-")
  const refused = lampwright("make", marker, "--out", out, "--pdf", "a5")
  expect(refused.status).toBe(1)
  expect(refused.all).toContain("a4 or letter")
})
