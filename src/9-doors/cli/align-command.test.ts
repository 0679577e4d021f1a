// The command as a person runs it: a measured face in a file, what to do on the terminal.

import { spawnSync } from "node:child_process"
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, beforeAll, expect, test } from "vitest"
import { readLamp } from "../../2-lamp/read-lamp.ts"
import { alignFace } from "../../7-proof/align-face.ts"

const root = join(import.meta.dirname, "../../..")
const marker = join(root, "examples/marker/marker.yaml")
const { lamp } = readLamp(readFileSync(marker, "utf8"), (f) =>
  readFileSync(join(root, "examples/marker", f), "utf8"),
)
const face = lamp!.faces[0]!
let folder = ""
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "lampwright-align-"))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** The face's holes shifted and turned about their middle, one of them off by `stray` mm. */
function table(dx: number, dy: number, turn: number, stray = 0): string {
  const n = face.ledHoles.length
  const mx = face.ledHoles.reduce((s, h) => s + h.x, 0) / n
  const my = face.ledHoles.reduce((s, h) => s + h.y, 0) / n
  const [c, s] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)]
  const rows = face.ledHoles.map((h, k) => {
    const x = mx + dx + c * (h.x - mx) - s * (h.y - my)
    const y = my + dy + s * (h.x - mx) + c * (h.y - my) + (k === 0 ? stray : 0)
    return `${h.id},${x.toFixed(5)},${y.toFixed(5)}`
  })
  return `hole,x,y\n${rows.join("\n")}\n`
}
function align(csv: string, name = face.name) {
  const file = join(folder, "holes.csv")
  writeFileSync(file, csv)
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [join(root, "scripts/lampwright.mjs"), "align", marker, name, file],
    { encoding: "utf8" },
  )
  return { status, stdout, stderr }
}

test("a face that sits aside and turned: the board follows and nothing binds", () => {
  const aligned = alignFace(lamp!, face.name, table(0.8, -0.3, 1.5))
  if (!aligned || "fault" in aligned) throw new Error("not aligned")
  expect(aligned.shift.x).toBeCloseTo(0.8, 4)
  expect(aligned.shift.y).toBeCloseTo(-0.3, 4)
  expect(aligned.rotation).toBeCloseTo(1.5, 3)
  expect(aligned.after).toBeLessThan(1e-3)
  const { status, stdout } = align(table(0.8, -0.3, 1.5))
  expect(status).toBe(0)
  expect(stdout).toContain("Move the board 0.80 mm right and 0.30 mm down")
  expect(stdout).toContain("turn it 1.50° counter-clockwise")
  expect(stdout).toContain("No LED binds")
})

test("a hole that strayed binds and is named", () => {
  const { status, stdout } = align(table(0, 0, 0, 1.4))
  expect(status).toBe(2)
  expect(stdout).toContain(`${face.ledHoles[0]!.id}: `)
  expect(stdout).toContain("will bind")
})

test("what cannot be read is refused with its line", () => {
  const fault = (csv: string) => {
    const aligned = alignFace(lamp!, face.name, csv)
    return aligned && "fault" in aligned ? aligned.fault : undefined
  }
  const [a, b] = face.ledHoles.map((h) => h.id)
  expect(fault("")).toMatchObject({ line: 1 })
  expect(fault("# mine\nhole;x\n")).toMatchObject({ line: 2, reason: expect.stringContaining("“y”") })
  expect(fault(`hole,x,y\n${a},1,2\n${a},1,3\n`)).toMatchObject({
    line: 3,
    reason: expect.stringContaining("twice"),
  })
  expect(fault(`hole,x,y\n${a},1,two\n`)).toMatchObject({ line: 2, reason: expect.stringContaining("no y") })
  expect(fault(`hole,x,y\n${a}9,1,2\n`)).toMatchObject({
    line: 2,
    reason: expect.stringContaining("did you mean"),
  })
  expect(fault(`hole,x,y\n${a},1,2\n`)?.reason).toContain("at least two")
  expect(fault(`hole,x,y\n${a},1,2\n${b},1,2\n`)?.reason).toContain("coincide")
  expect(fault(`hole,x,y\n${a},1e9,2\n`)).toMatchObject({ line: 2 })
  const { status, stderr } = align("hole,x,y\nnowhere,1,2\n")
  expect(status).toBe(1)
  expect(stderr).toContain("holes.csv:2:")
  expect(align("hole,x,y\n", "plat").stderr).toContain("no face plat")
})

test("semicolons with decimal commas, and rows that were not measured", () => {
  const rows = face.ledHoles.map(
    (h) => `${h.id};${String(h.x).replace(".", ",")};${String(h.y).replace(".", ",")}`,
  )
  const aligned = alignFace(lamp!, face.name, `hole;x;y\n${rows.join("\n")}\n`)
  expect(aligned).toMatchObject({ measured: face.ledHoles.length })
  const [, ...rest] = rows
  const some = alignFace(lamp!, face.name, `hole;x;y\n${face.ledHoles[0]!.id};;\n${rest.join("\n")}\n`)
  expect(some && "measured" in some ? some.measured : rest.length).toBe(rest.length)
})
