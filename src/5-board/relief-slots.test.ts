// Strain relief: on shapes drawn by hand, and on the marker lamp from its text to its outline program.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { finish } from "../0-ground/progress.ts"
import { readLamp } from "../2-lamp/read-lamp.ts"
import { designDrive } from "../3-drive/design-drive.ts"
import { designBoards } from "./design-boards.ts"
import { reliefSlots } from "./relief-slots.ts"

const ring = [
  { x: 0, y: 0 },
  { x: 60, y: 0 },
  { x: 60, y: 30 },
  { x: 0, y: 30 },
]
const ask = { ring, at: { x: 30, y: 0 }, taken: [], wires: 4, router: 1.5 }

describe("two slots", () => {
  test("stand on either side of the marked place, upright to its edge, with board left to the edge", () => {
    const [a, b] = reliefSlots(ask)!
    expect((a.from.x + b.from.x) / 2).toBeCloseTo(30, 6)
    expect(a.from.x).toBe(a.to.x)
    for (const s of [a, b]) {
      expect(Math.min(s.from.y, s.to.y) - s.width / 2).toBeGreaterThanOrEqual(2.5 - 1e-6)
      // A tie 2.5 mm wide goes through.
      expect(Math.abs(s.to.y - s.from.y) + s.width).toBeGreaterThanOrEqual(2.5)
      expect(s.width).toBeGreaterThanOrEqual(1.5)
    }
    // Four wires of 2 mm bundle to about 5 mm.
    expect(Math.abs(a.from.x - b.from.x) - a.width).toBeGreaterThan(4)
  })

  test("move aside from a screw, widen with the router, and are not drawn where there is no room", () => {
    const screw = { x: 27, y: 4, radius: 3.5 }
    const pair = reliefSlots({ ...ask, taken: [screw] })!
    for (const s of pair)
      for (const p of [s.from, s.to])
        expect(Math.hypot(p.x - screw.x, p.y - screw.y) - s.width / 2).toBeGreaterThanOrEqual(screw.radius)
    expect(reliefSlots({ ...ask, router: 2 })![0].width).toBeGreaterThan(2)
    const strip = ring.map((p) => ({ x: p.x, y: p.y / 6 }))
    expect(reliefSlots({ ...ask, ring: strip })).toBeUndefined()
  })
})

test("in front of a notch they stand clear of it too", () => {
  const edge = [
    { x: 0, y: 0 },
    { x: 26, y: 0 },
    { x: 26, y: 3 },
    { x: 34, y: 3 },
    { x: 34, y: 0 },
    ...ring.slice(1),
  ]
  for (const s of reliefSlots({ ...ask, edge })!)
    for (const p of [s.from, s.to]) expect(p.y - s.width / 2).toBeGreaterThanOrEqual(3 + 2.5 - 1e-6)
})

describe("the marker lamp with a place for its wires", () => {
  const at = join(import.meta.dirname, "../../examples/marker")
  const text = readFileSync(join(at, "marker.yaml"), "utf8")
  const made = (more: string) => {
    const changed = text.replace("inset: 2 mm, height: 11 mm", `inset: 2 mm, height: 11 mm, ${more}`)
    expect(changed).not.toBe(text)
    const { lamp } = readLamp(changed, (f) => readFileSync(join(at, f), "utf8"))
    const boards = finish(designBoards(lamp!, designDrive(lamp!)))
    return { lamp: lamp!, board: boards.boards[0]!, findings: boards.findings }
  }

  test("has two slots that copper and parts keep clear of, pads beside them, and says so", () => {
    const { lamp, board, findings } = made("wires-at: [2 mm, 10 mm]")
    expect(lamp.boards[0]!.wiresAt).toEqual({ x: 2, y: 10 })
    expect(board.slots?.length).toBe(2)
    expect(findings.filter((f) => f.severity === "red")).toEqual([])
    expect(findings.find((f) => f.code === "board.strain-relief")?.severity).toBe("green")
    for (const s of board.slots!)
      for (const l of board.lands)
        for (const p of [s.from, s.to])
          expect(Math.hypot(p.x - l.x, p.y - l.y)).toBeGreaterThan(s.width / 2 + Math.min(l.w, l.h) / 2)
  })

  test("has none when the description wants none, or marks no place", () => {
    expect(made("wires-at: [2 mm, 10 mm], relief: none").board.slots).toBeUndefined()
    expect(made("depth: 30 mm").board.slots).toBeUndefined()
  })
})
