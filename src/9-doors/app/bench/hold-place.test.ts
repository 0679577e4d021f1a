import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { readLamp } from "../../../2-lamp/read-lamp.ts"
import { freePlace, holdPlace, isHeld, onGrid } from "./hold-place.ts"

const folder = join(import.meta.dirname, "../../../../examples/tern")
const tern = readFileSync(join(folder, "tern.yaml"), "utf8")
const lampOf = (text: string) => readLamp(text, (file) => readFileSync(join(folder, file), "utf8")).lamp!
const text = (e: ReturnType<typeof holdPlace>) => {
  if ("refused" in e) throw Error(e.refused)
  return e.text
}

test("a held place is one line under pins, and the lamp reads it", () => {
  const held = text(holdPlace(tern, "control", "U1", { x: 22.86, y: 20.828, rotation: 90 }))
  expect(lampOf(held).pins["boards.control.U1"]).toBe("22.86 20.828 90")
  expect(isHeld(lampOf(held), "control", "U1")).toBe(true)
  // Everything else stands as it was written.
  for (const line of tern.split("\n")) if (!line.startsWith("pins:")) expect(held).toContain(line)
})

test("moved again the line is changed, a second part gets its own, and letting go takes one out", () => {
  const once = text(holdPlace(tern, "control", "U1", { x: 10, y: 20, rotation: 0 }))
  const twice = text(holdPlace(once, "control", "U1", { x: 12, y: 20, rotation: 270 }))
  const both = text(holdPlace(twice, "crescent", "R1", { x: 81.788, y: 24.892, rotation: 15 }))
  expect(lampOf(both).pins).toEqual({
    ...lampOf(tern).pins,
    "boards.control.U1": "12 20 270",
    "boards.crescent.R1": "81.788 24.892 15",
  })
  const free = text(freePlace(both, "control", "U1"))
  expect(isHeld(lampOf(free), "control", "U1")).toBe(false)
  expect(isHeld(lampOf(free), "crescent", "R1")).toBe(true)
})

test("places fall on the grid, turns inside one circle", () => {
  expect(onGrid({ x: 10.1, y: 20, rotation: 450 })).toEqual({ x: 10.16, y: 20.066, rotation: 90 })
  expect(onGrid({ x: 0, y: -0.2, rotation: -90 })).toEqual({ x: 0, y: -0.254, rotation: 270 })
})
