import { describe, expect, test } from "vitest"
import { boundingBox, signedArea } from "../0-ground/geometry/polygon.ts"
import { readDrawing } from "./read-drawing.ts"

const svg = (body: string, head = 'width="100mm" height="50mm" viewBox="0 0 100 50"') =>
  `<svg xmlns="http://www.w3.org/2000/svg" ${head}>${body}</svg>`
const drawn = (text: string, id = "f") => {
  const { drawing, faults } = readDrawing(text, id)
  if (!drawing) throw new Error(JSON.stringify(faults))
  return { ...drawing, faults }
}

describe("millimetres through the view box", () => {
  const circle = '<circle id="f" cx="10" cy="20" r="5"/>'
  test("one unit a millimetre, y up from the lower edge", () => {
    expect(drawn(svg(circle)).circles).toMatchObject([{ id: "f", x: 10, y: 30, diameter: 10 }])
  })
  // 1 in = 96 px = 25.4 mm = 72 pt = 6 pc (CSS Values; reference check S-7).
  for (const [unit, w, h] of [
    ["cm", 10, 5],
    ["in", 100 / 25.4, 50 / 25.4],
    ["pt", 7200 / 25.4, 3600 / 25.4],
    ["px", 9600 / 25.4, 4800 / 25.4],
    ["", 9600 / 25.4, 4800 / 25.4],
  ] as const)
    test(`sizes in ${unit || "plain numbers"}`, () => {
      const d = drawn(svg(circle, `width="${w}${unit}" height="${h}${unit}" viewBox="0 0 100 50"`))
      expect(d.circles[0]!.diameter).toBeCloseTo(10, 5)
      expect(d.circles[0]!.y).toBeCloseTo(30, 5)
      expect(d.faults.map((f) => f.finding)).toEqual(unit === "px" || unit === "" ? ["drawing-scale"] : [])
    })
  test("a view box that does not begin at zero", () => {
    const d = drawn(svg(circle, 'width="200mm" height="100mm" viewBox="-10 -20 100 50"'))
    expect(d.circles[0]).toMatchObject({ x: 40, y: 20, diameter: 20 })
  })
})

describe("shapes", () => {
  test("rectangles with round corners", () => {
    const [p] = drawn(svg('<rect id="f" x="10" y="5" width="40" height="20" rx="4"/>')).paths
    // Area of a rounded rectangle: w·h − (4 − π)·r².
    expect(signedArea(p!.ring)).toBeCloseTo(800 - (4 - Math.PI) * 16, 0)
    expect(boundingBox(p!.ring)).toMatchObject({ minX: 10, maxX: 50, minY: 25, maxY: 45 })
  })
  test("polygons and paths are counter-clockwise whichever way they were drawn", () => {
    for (const points of ["0,0 10,0 10,10 0,10", "0,0 0,10 10,10 10,0"])
      expect(signedArea(drawn(svg(`<polygon id="f" points="${points}"/>`)).paths[0]!.ring)).toBe(100)
  })
  test("nested groups, mirrored: what is left of the axis comes out right of it", () => {
    const d = drawn(
      svg(
        '<g id="f" transform="translate(100 0) scale(-1 1)"><g transform="translate(10 5)"><circle cx="1" cy="2" r="2.6"/></g></g>',
      ),
    )
    expect(d.circles[0]).toMatchObject({ x: 89, y: 43, diameter: 5.2 })
  })
  test("a circle written as a path is a circle", () => {
    const d = drawn(svg('<path id="f" d="M12.6 20a2.6 2.6 0 1 1-5.2 0 2.6 2.6 0 1 1 5.2 0Z"/>'))
    expect(d.paths).toEqual([])
    expect(d.circles[0]!.x).toBeCloseTo(10, 2)
    expect(d.circles[0]!.y).toBeCloseTo(30, 2)
    expect(d.circles[0]!.diameter).toBeCloseTo(5.2, 1)
  })
  test("an octagon is not taken for a circle", () => {
    const ring = Array.from(
      { length: 8 },
      (_, i) => `${20 + 5 * Math.cos((i * Math.PI) / 4)},${20 + 5 * Math.sin((i * Math.PI) / 4)}`,
    )
    expect(drawn(svg(`<polygon id="f" points="${ring.join(" ")}"/>`)).paths).toHaveLength(1)
  })
  test("places are those of the element in the file", () => {
    const d = drawn(svg('\n  <g id="f">\n    <circle\n      cx="1" cy="1" r="1"/>\n  </g>'))
    expect(d.circles[0]!.place).toEqual({ line: 3, column: 5 })
  })
})

describe("faults", () => {
  const fault = (text: string, id = "f") => {
    const { faults } = readDrawing(text, id)
    return faults.map((f) => `${f.severity} ${f.finding} ${f.place.line}:${f.place.column} ${f.says}`)
  }
  test("a circle under a skew", () => {
    expect(fault(svg('\n<circle id="f" transform="skewX(30)" cx="1" cy="1" r="3"/>'))[0]).toMatch(
      /^red drawing-path 2:1 .*squashed/,
    )
  })
  test("use, script, ellipse, nested drawings and pictures", () => {
    for (const [body, word] of [
      ['<use href="#x"/>', "red drawing-refused"],
      ["<script/>", "red drawing-refused"],
      ['<ellipse rx="3" ry="2"/>', "red drawing-refused"],
      ["<svg/>", "red drawing-refused"],
      ['<image href="x.png"/>', "amber drawing-ignored"],
      ['<path d="M0 0L10 0L10 10"/>', "amber drawing-ignored"],
      ['<circle style="display:none" r="2"/>', "amber drawing-ignored"],
      ['<circle r="wide"/>', "red drawing-path"],
      ['<polygon points="1 2 3"/>', "red drawing-path"],
      ['<path d="M0 0L10"/>', "red drawing-path"],
    ])
      expect(fault(svg(`<g id="f">${body}</g>`)).join()).toContain(word)
  })
  test("what stands in definitions is not part of the face", () => {
    const d = drawn(
      svg('<g id="f"><defs><circle r="2"/></defs><clipPath><rect width="3" height="3"/></clipPath></g>'),
    )
    expect([d.circles.length, d.paths.length, d.faults.length]).toEqual([0, 0, 0])
  })
  test("an outside document type is not fetched, entities are refused", () => {
    const type =
      '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">'
    expect(fault(type + svg('<circle id="f" r="3"/>'))).toEqual([])
    expect(fault(`<!DOCTYPE svg [<!ENTITY a "b">]>${svg("&a;")}`)[0]).toContain("drawing-refused")
  })
})
