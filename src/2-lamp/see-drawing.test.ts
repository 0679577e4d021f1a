import { readFileSync } from "node:fs"
import { expect, test } from "vitest"
import { seeDrawing, seeFaces } from "./see-drawing.ts"

const tern = readFileSync("examples/tern/tern-face.svg", "utf8")
const svg = (inner: string, attributes = "") =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50"${attributes}>${inner}</svg>`
const edge = '<rect width="90" height="40" x="5" y="5"/>'

test("each closed edge of a drawing of several faces is a face, with its circles counted", () => {
  const { parts, says, text } = seeDrawing(tern)
  expect(parts.map((p) => p.id)).toEqual(["crescent", "left", "right"])
  expect(parts[0]?.circles).toEqual([
    { diameter: 5.2, count: 22 },
    { diameter: 3.2, count: 3 },
  ])
  expect(says).toEqual([])
  expect(text).toContain('<svg id="')
})

test("a drawing without any id gets one, and says so", () => {
  const { parts, says, text } = seeDrawing(svg(`${edge}<circle cx="20" cy="20" r="2.6"/>`))
  expect(parts).toEqual([{ id: "face", width: 90, height: 40, circles: [{ diameter: 5.2, count: 1 }] }])
  expect(text).toContain('<svg id="face" xmlns')
  expect(says.join()).toMatch(/has the id face/)
})

test("the inner of two names for the same things is taken, and a window is no face", () => {
  const layer = `<g id="layer">${edge}<g id="cut-out"><rect x="40" y="20" width="10" height="10"/></g></g>`
  expect(seeDrawing(svg(layer, ' id="top"')).parts.map((p) => p.id)).toEqual(["layer"])
})

test("says why nothing can be used", () => {
  expect(seeDrawing("<svg").says).toHaveLength(1)
  expect(seeDrawing(svg('<path d="M0 0L10 10"/>')).says.join()).toMatch(/No element .* closed edge/)
  expect(seeDrawing('<svg id="a"><rect width="9" height="9"/></svg>').says.join()).toMatch(/viewBox/)
})

test("faces are seen before the rest of the description is there", () => {
  const text = `lampwright: 1
faces:
  wing: { drawing: "f.svg#left", metal: stainless, thickness: 2 mm, hole: 5.2 mm }
  lost: { drawing: "gone.svg#x", metal: stainless, thickness: 2 mm, hole: 5.2 mm }
`
  const faces = seeFaces(text, (file) => (file === "f.svg" ? tern : undefined))
  expect(faces.map((f) => [f.name, f.ledHoles.length, f.screwHoles.length])).toEqual([["wing", 8, 2]])
  expect(seeFaces("faces: [", () => undefined)).toEqual([])
})
