import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import { readLamp } from "../../../2-lamp/read-lamp.ts"
import { layOutFaces } from "./lay-out-faces.ts"

const tern = join(import.meta.dirname, "../../../../examples/tern")
const text = readFileSync(join(tern, "tern.yaml"), "utf8")
const lamp = readLamp(text, (file) => readFileSync(join(tern, file), "utf8")).lamp

test("faces of one drawing lie as drawn, y turned down", () => {
  if (!lamp) return expect.fail("the demo lamp could not be read")
  const layout = layOutFaces(lamp)
  expect(layout.sideBySide).toBe(false)
  expect(layout.leds.length).toBe(38)
  const inside = layout.leds.every(
    (l) => l.x > layout.box.minX && l.x < layout.box.maxX && l.y > layout.box.minY && l.y < layout.box.maxY,
  )
  expect(inside).toBe(true)
})

test("faces that would cover each other are laid side by side with their LEDs", () => {
  if (!lamp) return expect.fail("the demo lamp could not be read")
  const [face] = lamp.faces
  const group = lamp.groups.find((g) => g.face === face?.name)
  if (!face || !group) return expect.fail("no face with LEDs")
  const twice = {
    ...lamp,
    faces: [face, { ...face, name: "second" }],
    groups: [group, { ...group, name: "second", face: "second" }],
  }
  const layout = layOutFaces(twice)
  expect(layout.sideBySide).toBe(true)
  const [a, b] = [layout.leds[0], layout.leds[group.leds.length]]
  const width = Math.max(...face.outline.map((p) => p.x)) - Math.min(...face.outline.map((p) => p.x))
  expect((b?.x ?? 0) - (a?.x ?? 0)).toBeGreaterThan(width)
})
