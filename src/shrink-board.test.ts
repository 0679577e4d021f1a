// How small a board can become, on the marker lamp with its board's edge given: smaller, proven, written out, repeatable.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { boundingBox } from "./0-ground/geometry/polygon.ts"
import { finish } from "./0-ground/progress.ts"
import { readLamp } from "./2-lamp/read-lamp.ts"
import { shrinkBoard } from "./shrink-board.ts"

const folder = join(import.meta.dirname, "../examples/marker")
const drawing = (f: string) => readFileSync(join(folder, f), "utf8")
const marker = readFileSync(join(folder, "marker.yaml"), "utf8")
const own = marker.replace(
  "behind: plate, inset: 2 mm,",
  "behind: plate, outline: 60 × 26 mm, # by hand\n    ",
)

test("a smaller size is found, its lamp proven, its outline written where it stood", () => {
  expect(own).not.toBe(marker)
  const found = finish(shrinkBoard(own, drawing, "plate", { sizes: 4 }))
  expect(found.tried[0]).toMatchObject({ w: 60, h: 26, outcome: "made" })
  expect(found.tried.length).toBeLessThanOrEqual(5)
  expect(found.smallest!.area).toBeLessThan(60 * 26)
  const { lamp } = readLamp(found.text!, drawing)
  const box = boundingBox(lamp!.boards[0]!.outline!)
  expect([box.maxX - box.minX, box.maxY - box.minY]).toEqual([found.smallest!.w, found.smallest!.h])
  expect(found.text).toContain("# by hand")
  for (const t of found.tried) if (t.outcome !== "made") expect(t.why).not.toBe("")
}, 300_000)

test("what cannot shrink is refused in words", () => {
  const says = (name: string) => finish(shrinkBoard(marker, drawing, name)).refused
  expect(says("plate")).toContain("takes its edge from its face")
  expect(says("plat")).toContain("there is no board plat")
})

test("whoever has seen enough still gets the best so far, proven", () => {
  const told: number[] = []
  const found = finish(
    shrinkBoard(own, drawing, "plate", {
      enough: () => told.length >= 2,
      onTried: (t) => told.push(t.area),
    }),
  )
  expect(found.tried.map((t) => t.area)).toEqual(told)
  expect(found.tried.length).toBe(2)
  expect(found.text).toBeDefined()
  expect(found.smallest!.outcome).toBe("made")
}, 300_000)
