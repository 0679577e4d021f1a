// Every form a key can be written in is known by name, has fields of its own, and what it begins as is read without a
// fault by the reader of descriptions.

import { readFileSync } from "node:fs"
import { expect, test } from "vitest"
import { nodeAt, readDoc, setForm } from "../../../0-ground/text/edit-text.ts"
import { readLamp } from "../../../2-lamp/read-lamp.ts"
import { fieldsAt } from "./fields.ts"
import { formsFor } from "./forms.ts"

const marker = readFileSync("examples/marker/marker.yaml", "utf8")
const tern = readFileSync("examples/tern/tern.yaml", "utf8")
const drawing = readFileSync("examples/tern/tern-face.svg", "utf8")
const there = { holes: ["hole-1", "hole-2", "hole-3", "hole-4"], drawing: "tern-face.svg" }
const written = (text: string, path: string, name: string) => {
  const form = formsFor(path)!.find((f) => f.name === name)!
  const edited = setForm(text, path, form.begins(nodeAt(readDoc(text)!, path)?.toJS(readDoc(text)!), there))
  if ("refused" in edited) throw new Error(`${path}, ${name}: ${edited.refused}`)
  return edited.text
}
const fields = (text: string, path: string) =>
  fieldsAt(readDoc(text)!, path).map((f) => [f.label, f.kind, f.written])

test("every form of every key is known again once it is written, and reads without a fault in its form", () => {
  for (const [text, path] of [
    [marker, "faces.plate.outline"],
    [marker, "faces.plate.holes"],
    [marker, "faces.plate.screws"],
    [marker, "groups.marker.order"],
    [tern, "boards.control.outline"],
    [tern, "boards.control.screws"],
  ] as const)
    for (const form of formsFor(path)!) {
      const now = written(text, path, form.name)
      const which = fieldsAt(readDoc(now)!, path)
      expect(which[0]).toMatchObject({ kind: "form", written: form.name })
      expect(which.length, `${path}, ${form.name}`).toBeGreaterThan(1)
      const found = readLamp(now, () => drawing)
      // A drawing's element is named by the builder.
      if (!form.name.includes("drawing"))
        expect(
          found.findings
            .filter(
              (f) => f.code.startsWith("lamp.") && f.severity === "red" && f.where.path?.startsWith(path),
            )
            .map((f) => f.title),
          `${path}, ${form.name}`,
        ).toEqual([])
    }
})

test("a size is taken along from form to form, and back", () => {
  const disc = written(marker, "faces.plate.outline", "a disc")
  expect(fields(disc, "faces.plate.outline")).toEqual([
    ["form", "form", "a disc"],
    ["circle", "quantity", "24 mm"],
  ])
  const polygon = written(disc, "faces.plate.outline", "a polygon")
  expect(fieldsAt(readDoc(polygon)!, "faces.plate.outline").map((f) => f.kind)).toEqual(["form", "points"])
  expect(written(polygon, "faces.plate.outline", "a rectangle")).toContain("{ rectangle: 24 × 24 mm }")
})

test("rows of holes and cleared areas have fields one by one", () => {
  const rows = written(marker, "faces.plate.holes", "several rows")
  expect(fieldsAt(readDoc(rows)!, "faces.plate.holes").map((f) => f.kind)).toEqual(["form", "entries"])
  const row = fieldsAt(readDoc(rows)!, "faces.plate.holes.0")
  expect(row[0]).toMatchObject({ label: "form", written: "along a line" })
  expect(row.map((f) => f.label)).toEqual(["form", "from", "to", "count", "name"])
})

test("one word where several may stand is ticked as a list of one", () => {
  const when = fieldsAt(readDoc(tern)!, "programme.2").find((f) => f.path.endsWith("when"))
  expect(when).toMatchObject({ kind: "ticks", written: "left" })
  expect(when?.options).toContain("brake")
})

test("a row of holes keeps its holes from form to form: a line, an arc over its ends, points, a line again", () => {
  const arc = written(marker, "faces.plate.holes", "along an arc")
  const points = written(arc, "faces.plate.holes", "at points")
  const holes = readLamp(points, () => undefined).lamp?.faces[0]?.ledHoles.map((h) => [h.x, h.y])
  const outer = readLamp(marker, () => undefined).lamp?.faces[0]?.ledHoles.map((h) => [h.x, h.y])
  expect(holes).toHaveLength(4)
  // The ends stay; the middle rises by the sagitta of a sixth of a circle.
  expect(holes![0]![0]).toBeCloseTo(outer![0]![0]!, 2)
  expect(holes![3]![1]).toBeCloseTo(outer![3]![1]!, 2)
  expect(holes![1]![1]! - outer![1]![1]!).toBeCloseTo(
    36 * (Math.cos(Math.PI / 18) - Math.cos(Math.PI / 6)),
    2,
  )
  const line = written(points, "faces.plate.holes", "along a line")
  expect(line).toContain("{ along: line, from: [12 mm, 12 mm], to: [48 mm, 12 mm], count: 4 }")
})
