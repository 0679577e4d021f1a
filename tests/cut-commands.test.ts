// inspect and warp as a person runs them: the sound programs pass, a spoilt one is named, a bowed sheet is followed.

import { spawnSync } from "node:child_process"
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, beforeAll, expect, test } from "vitest"
import { examples } from "./tern.ts"

const script = join(import.meta.dirname, "../scripts/lampwright.mjs")
const marker = join(examples, "marker/marker.yaml")
let folder = ""
/** The engraving program of the marker's one board. */
let engrave = ""
let drill = ""
let board = ""

function lampwright(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [script, ...args], {
    encoding: "utf8",
    cwd: folder,
  })
  return { status, stdout, stderr, all: stdout + stderr }
}
const put = (name: string, text: string) => {
  writeFileSync(join(folder, name), text)
  return join(folder, name)
}
const codes = (stdout: string): string[] =>
  JSON.parse(stdout)
    .findings.filter((f: { severity: string }) => f.severity === "red")
    .map((f: { code: string }) => f.code)

/** A hollow of 0.3 mm with zero in the corner, measured at 9 × 7 places over 100 × 80 mm. */
function bowed(): string {
  const lines = ["x,y,z"]
  for (let j = 0; j <= 6; j++) {
    for (let i = 0; i <= 8; i++) {
      const [u, v] = [i / 4 - 1, j / 3 - 1]
      lines.push(`${i * 12.5},${(j * 80) / 6},${(-0.15 * (2 - u * u - v * v)).toFixed(4)}`)
    }
  }
  return lines.join("\n")
}

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "lampwright-cut-"))
  const { status, all } = lampwright("make", marker, "--out", join(folder, "pack"))
  expect(status, all).toBe(0)
  const manifest = readFileSync(join(folder, "pack/manifest.json"), "utf8")
  const files = [...new Set(manifest.match(/[\w/.-]+\.ngc/g))]
  engrave = join(folder, "pack", files.find((f) => f.includes("engrave"))!)
  drill = join(folder, "pack", files.find((f) => f.includes("drill"))!)
  const report = JSON.parse(readFileSync(join(folder, "pack/report.json"), "utf8"))
  board = report.boards[0].name
}, 120_000)
afterAll(() => rmSync(folder, { recursive: true, force: true }))

test("a program of the pack is right; the others are taken as designed", () => {
  const { status, stdout } = lampwright("inspect", marker, board, engrave)
  expect(status, stdout).toBe(0)
  expect(stdout).toContain("judged as engraver")
  expect(stdout).toMatch(/outline.*not given, taken as designed/)
  expect(stdout).toMatch(/whole and apart/)
})

test("a groove taken out is a short, named with its nets and place", () => {
  const lines = readFileSync(engrave, "utf8").split("\n")
  const from = lines.findIndex((l) => /^G1 Z-/.test(l))
  const to = lines.findIndex((l, i) => i > from && /^G0 Z/.test(l))
  const spoilt = put("edited.ngc", [...lines.slice(0, from), ...lines.slice(to)].join("\n"))
  const { status, stdout } = lampwright("inspect", marker, board, spoilt)
  expect(status).toBe(2)
  expect(stdout).toMatch(/RED.*are joined on/)
})

test("a drilling program under another drill's name is judged as what it is said to be", () => {
  const other = put("holes.ngc", readFileSync(drill, "utf8").replace(/\(tool:[^)]*\)\n/, ""))
  const unnamed = lampwright("inspect", marker, board, other)
  expect(unnamed.status).toBe(1)
  expect(unnamed.stderr).toContain("cannot tell which tool")
  const { status, stdout } = lampwright(
    "inspect",
    marker,
    board,
    other,
    "--tool",
    `${other}=drill:2.1`,
    "--json",
  )
  expect(status).toBe(2)
  expect(codes(stdout)).toContain("proof.hole-stray")
})

test("a bowed sheet: as written it does not pass, bent to the measured surface it does", () => {
  const heights = put("heights.csv", bowed())
  const flat = lampwright("inspect", marker, board, engrave, "--heights", heights, "--json")
  expect(flat.status).toBe(2)
  const out = join(folder, "bent.ngc")
  const warped = lampwright("warp", engrave, "--heights", heights, "--out", out)
  expect(warped.status, warped.all).toBe(0)
  const bent = lampwright("inspect", marker, board, out, "--heights", heights, "--json")
  expect(codes(bent.stdout)).toEqual([])
  expect(bent.status).toBe(0)
  expect(lampwright("warp", engrave, "--heights", heights).stdout).toBe(readFileSync(out, "utf8"))
})

test("a shared sheet on a measured surface: as written it does not pass, bent to the surface it does", () => {
  const lamp = put("shared.yaml", `${readFileSync(marker, "utf8")}\ncutting: { sheet: shared }\n`)
  const made = lampwright("make", lamp, "--out", join(folder, "shared"))
  expect(made.status, made.all).toBe(0)
  const programs = readdirSync(join(folder, "shared/cut/sheet-1")).map((f) =>
    join(folder, "shared/cut/sheet-1", f),
  )
  const grooves = programs.find((f) => f.includes("engrave"))!
  const flat = lampwright("inspect", lamp, "sheet-1", grooves)
  expect(flat.status, flat.all).toBe(0)
  expect(flat.stdout).toContain("surface: flat within")
  const heights = put("sheet-heights.csv", bowed())
  const low = lampwright("inspect", lamp, "sheet-1", grooves, "--heights", heights)
  expect(low.status).toBe(2)
  expect(low.stdout).toMatch(/surface: measured at 63 places/)
  const red = JSON.parse(
    lampwright("inspect", lamp, "sheet-1", grooves, "--heights", heights, "--json").stdout,
  ).findings.filter((f: { severity: string }) => f.severity === "red")
  // Where the surface lies lower than the groove is deep nothing is parted; told of the board as it lies on the sheet.
  expect(red.map((f: { where: { board?: string } }) => f.where.board)).toContain(board)
  expect(red.map((f: { code: string }) => f.code)).toContain("proof.short")
  const out = join(folder, "sheet-bent.ngc")
  expect(lampwright("warp", grooves, "--heights", heights, "--out", out).status).toBe(0)
  const bent = lampwright("inspect", lamp, "sheet-1", out, "--heights", heights, "--json")
  expect(codes(bent.stdout)).toEqual([])
  expect(bent.status).toBe(0)
}, 60_000)

test("warp refuses what it cannot bend, and a surface its rapid moves would hit", () => {
  const heights = put("heights.csv", bowed())
  const shifted = put("shifted.ngc", "G92 X0\nG21 G90\nG0 Z1\nG1 X1 F10\nM30\n")
  const refused = lampwright("warp", shifted, "--heights", heights)
  expect(refused.status).toBe(1)
  expect(refused.stdout).toBe("")
  expect(refused.stderr).toContain("line 1")
  const holed = put("holed.csv", "0,0,0\n10,0,0\n0,10,0\n")
  expect(lampwright("warp", engrave, "--heights", holed).status).toBe(1)
  const low = put("low.ngc", "G21 G90 G17\nG0 Z0.2\nG0 X50 Y40\nG1 Z-0.1 F100\nG1 X60\nG0 Z0.2\nM30\n")
  const hill = put("hill.csv", bowed().replaceAll(",-0", ",0"))
  const hits = lampwright("warp", low, "--heights", hill)
  expect(hits.status).toBe(2)
  expect(hits.stdout).toBe("")
  expect(hits.stderr).toContain("RED")
})

test("a controller's log in its own coordinates bends as the table does; surface and faults are drawn", () => {
  const table = put("table.csv", bowed())
  const rows = bowed()
    .split("\n")
    .slice(1)
    .map((l) => l.split(",").map(Number))
  const log = put(
    "log.txt",
    rows.map(([x, y, z]) => `ok\n[P:${x! - 200},${y! + 7},${(z! - 31).toFixed(4)}:1]`).join("\n"),
  )
  const drawn = join(folder, "surface.svg")
  const byTable = lampwright("warp", engrave, "--heights", table)
  const byLog = lampwright("warp", engrave, "--heights", log, "--first", "0,0,0", "--picture", drawn)
  const moves = (text: string) => text.split("\n").filter((l) => l.startsWith("G"))
  expect(moves(byLog.stdout)).toEqual(moves(byTable.stdout))
  expect(readFileSync(drawn, "utf8")).toContain("residual")
  const lines = readFileSync(engrave, "utf8").split("\n")
  const from = lines.findIndex((l) => /^G1 Z-/.test(l))
  const to = lines.findIndex((l, i) => i > from && /^G0 Z/.test(l))
  const spoilt = put("spoilt-engrave.ngc", [...lines.slice(0, from), ...lines.slice(to)].join("\n"))
  const picture = join(folder, "spoilt.svg")
  expect(lampwright("inspect", marker, board, spoilt, "--picture", picture).status).toBe(2)
  expect(readFileSync(picture, "utf8")).toMatch(/are joined on/)
})

test("a wrong call is told in one line with exit 1", () => {
  for (const args of [
    ["inspect", marker, `${board}s`, engrave],
    ["inspect", marker, board, "nowhere.ngc"],
    ["inspect", marker, board, engrave, "--heights", "nowhere.csv"],
    ["inspect", marker, board, engrave, "--tool", "other.ngc=engrave"],
    ["warp", engrave, "--heights", "nowhere.csv"],
  ]) {
    const { status, stderr } = lampwright(...args)
    expect(status).toBe(1)
    expect(stderr.trim().split("\n"), stderr).toHaveLength(1)
  }
})
