// The third example through the whole chain: two boards alike, cut from one sheet, their wires tied down at a notch.

import { beforeAll, expect, test } from "vitest"
import type { Figure } from "../src/0-ground/figure.ts"
import { packLamp } from "../src/8-pack/pack-lamp.ts"
import type { LampDesign } from "../src/design-lamp.ts"
import { designExample } from "./tern.ts"

let front: LampDesign
beforeAll(() => {
  front = designExample("front", "front.yaml")
}, 300_000)

test("nothing is red; both boards are found, whole and apart on one sheet", () => {
  expect(front.findings.filter((f) => f.severity === "red")).toEqual([])
  expect(front.plan.sheets?.map((s) => s.places.map((p) => p.board).sort())).toEqual([["left", "right"]])
  expect(front.proof.sheets?.map((s) => s.boards.map((b) => [b.board, b.shorts, b.opens]))).toEqual([
    [
      ["left", [], []],
      ["right", [], []],
    ],
  ])
  const ids = new Map<string, Figure>()
  const visit = (f: Figure) => {
    const known = ids.get(f.id)
    if (known) expect([f.value, f.unit], f.id).toEqual([known.value, known.unit])
    ids.set(f.id, f)
    f.inputs?.forEach(visit)
  }
  front.figures.forEach(visit)
  for (const f of front.findings)
    if (f.figure !== undefined) expect(ids.get(f.figure)?.value, f.title).toBe(f.measured?.value)
})

test("the pack has the sheet's programs, probing and drawing beside those of the boards", () => {
  const { files } = packLamp(front)
  const paths = files.map((f) => f.path)
  for (const path of [
    "cut/sheet-1/sheet-1-1-engrave.ngc",
    "cut/sheet-1/sheet-1-9-outline.ngc",
    "cut/sheet-1/sheet-1-0-probe.ngc",
    "cut/left/left-1-engrave.ngc",
    "cut/right/right-0-probe.ngc",
    "drawings/sheet-1.svg",
  ])
    expect(paths).toContain(path)
  const page = files.find((f) => f.path === "build-sheet.html")!.text
  expect(page).toContain("Boards from one sheet")
  expect(page).toContain("2 right, turned")
})

test("wire pads lie by the notch with slots for a tie beside it", () => {
  for (const board of front.boards.boards) {
    expect(board.slots?.length).toBe(2)
    const about = (code: string) =>
      front.findings.find((f) => f.code === `board.${code}` && f.where.board === board.name)!
    expect(about("wires-place").measured!.value).toBeLessThan(12)
    expect(about("strain-relief").severity).toBe("green")
  }
})
