import { SaxesParser } from "saxes"
import { describe, expect, test } from "vitest"
import { readLamp } from "../2-lamp/read-lamp.ts"
import { design } from "./design.testing.ts"
import {
  checkBar,
  drawComponentSide,
  drawCopperSide,
  drawCut,
  drawDrills,
  drawFace,
  drawSolderSide,
  type Scene,
  sceneSvg,
} from "./draw.ts"
import { escapeXml } from "./scene.ts"

interface Element {
  readonly name: string
  readonly attributes: Record<string, string>
}

/** Every element of a well-formed file; a fault throws. */
function elements(svg: string): Element[] {
  const out: Element[] = []
  const parser = new SaxesParser()
  parser.on("error", (e) => {
    throw e
  })
  parser.on("opentag", (t) => out.push({ name: t.name, attributes: t.attributes as Record<string, string> }))
  parser.write(svg).close()
  return out
}

const board = design.boards.boards[0]!
const copper = design.copper.boards[0]!
const face = design.lamp.faces[0]!
const numbers = (text: string) => text.match(/-?\d+(\.\d+)?/g)!.map(Number)

const scenes: [string, Scene][] = [
  ["face", drawFace(face, design.lamp.groups)],
  ["copper side", drawCopperSide(board, copper)],
  ["component side", drawComponentSide(board)],
  ["solder side", drawSolderSide(board)],
  ["drill pattern", drawDrills(board)],
  ["grooves", drawCut(board, copper)],
]

describe("every drawing", () => {
  for (const [name, scene] of scenes)
    test(`${name}: well-formed, one unit a millimetre, says its side`, () => {
      const all = elements(sceneSvg(scene, "DO NOT CUT & stop"))
      const { width, height, viewBox } = all[0]!.attributes
      expect(viewBox).toBe(`0 0 ${Number.parseFloat(width!)} ${Number.parseFloat(height!)}`)
      expect(width).toMatch(/mm$/)
      expect(sceneSvg(scene)).toMatch(/Seen from the (road|COPPER side|COMPONENT side|SOLDER side)/)
    })
})

describe("coordinates are the board's own", () => {
  test("the edge, to a tenth of a micrometre", () => {
    for (const scene of [drawCopperSide(board, copper), drawComponentSide(board), drawDrills(board)]) {
      const edge = elements(sceneSvg(scene)).find((e) => e.attributes.id === "edge")!
      expect(numbers(edge.attributes.d!)).toEqual(board.outline.flatMap((p) => [p.x, p.y]))
    }
  })
  test("every drill stands in the pattern, and nothing else", () => {
    const circles = elements(sceneSvg(drawDrills(board))).filter((e) => e.name === "circle")
    const drawn = circles.map(({ attributes: a }) => [Number(a.cx), Number(a.cy), 2 * Number(a.r)])
    const wanted = [
      ...board.lands.map((l) => [l.x, l.y, l.hole]),
      ...board.screws.map((s) => [s.x, s.y, s.diameter]),
    ]
    expect(drawn).toEqual(wanted)
  })
  test("groups flip y, and x only on the component side", () => {
    const turn = (scene: Scene) =>
      elements(sceneSvg(scene)).find((e) => e.attributes.id === "drawing")!.attributes.transform
    expect(turn(drawCopperSide(board, copper))).toMatch(/scale\(1 -1\)$/)
    expect(turn(drawComponentSide(board))).toMatch(/scale\(-1 -1\)$/)
  })
  test("all of the outline lies on the paper of both sides", () => {
    for (const scene of [drawCopperSide(board, copper), drawComponentSide(board)]) {
      const all = elements(sceneSvg(scene))
      const [, , w, h] = numbers(all[0]!.attributes.viewBox!)
      const [tx, ty, sx, sy] = numbers(all.find((e) => e.attributes.id === "drawing")!.attributes.transform!)
      for (const p of board.outline) {
        const [x, y] = [tx! + sx! * p.x, ty! + sy! * p.y]
        expect(x).toBeGreaterThan(0)
        expect(x).toBeLessThan(w!)
        expect(y).toBeGreaterThan(0)
        expect(y).toBeLessThan(h!)
      }
    }
  })
})

test("check bars measure 80 mm in x and in y", () => {
  for (const scene of [drawDrills(board), drawFace(face, design.lamp.groups)]) {
    const all = elements(sceneSvg(scene))
    const bar = (id: string) => numbers(all.find((e) => e.attributes.id === id)!.attributes.d!)
    const [x0, y0, x1, y1] = bar("bar-x")
    expect([x1! - x0!, y1! - y0!]).toEqual([checkBar, 0])
    const [u0, v0, u1, v1] = bar("bar-y")
    expect([u1! - u0!, v1! - v0!]).toEqual([0, checkBar])
  }
})

test("the flat of an LED stands on its cathode's side, the band of a diode on its", () => {
  const scene = drawComponentSide(board)
  const middle = (id: string) => {
    const mark = scene.marks.find((m) => m.kind === "line" && m.id === id)
    if (mark?.kind !== "line") throw new Error(`no ${id}`)
    const [a, b] = [mark.points[0]!, mark.points.at(-1)!]
    return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 }
  }
  for (const [id, ref] of [
    ["flat-marker-1", "marker-1"],
    ["flat-marker-2", "marker-2"],
    ["band-D1", "D1"],
  ] as const) {
    const near = (pin: string) => {
      const l = board.lands.find((x) => x.ref === ref && x.pin === pin)!
      const m = middle(id)
      return Math.hypot(l.x - m.x, l.y - m.y)
    }
    expect(near("K")).toBeLessThan(near("A"))
  }
  const letters = scene.marks.filter((m) => m.kind === "text" && (m.text === "A" || m.text === "K"))
  expect(letters).toHaveLength(6)
})

test("from both sides a cathode is solid and an anode is not, whatever the colours", () => {
  const at = (pin: string) => board.lands.filter((l) => l.pin === pin).map((l) => `${l.x} ${l.y}`)
  for (const scene of [drawComponentSide(board), drawSolderSide(board)]) {
    const solid = new Set(
      scene.marks.flatMap((m) => (m.kind === "disc" && m.role === "label" ? [`${m.x} ${m.y}`] : [])),
    )
    expect(at("K").length).toBeGreaterThan(0)
    expect([...solid].sort()).toEqual(at("K").sort())
    const letters = scene.marks.flatMap((m) =>
      m.kind === "text" && ["A", "K"].includes(m.text) ? [m.text] : [],
    )
    expect(letters.filter((t) => t === "K")).toHaveLength(at("K").length)
    expect(letters.filter((t) => t === "A")).toHaveLength(at("A").length)
  }
  // Seen from the other side: x runs the other way.
  expect([drawComponentSide(board).mirrored, drawSolderSide(board).mirrored]).toEqual([true, false])
})

test("lands are drawn at their true size and turn", () => {
  const scene = drawCopperSide(board, copper)
  const strokes = scene.marks.filter((m) => m.kind === "line" && m.role === "land")
  board.lands.forEach((l, i) => {
    const s = strokes[i]!
    if (s.kind !== "line") throw new Error("not a stroke")
    const [a, b] = [s.points[0]!, s.points[1]!]
    expect(s.width).toBeCloseTo(Math.min(l.w, l.h), 9)
    expect(Math.hypot(b.x - a.x, b.y - a.y) + s.width).toBeCloseTo(Math.max(l.w, l.h), 2)
    // Taller than wide and turned by 90°: the long way is x.
    if (l.ref === "marker-2") expect(Math.abs(b.x - a.x)).toBeCloseTo(0.6, 9)
    if (l.ref === "marker-1") expect(Math.abs(b.y - a.y)).toBeCloseTo(0.6, 9)
  })
})

test("a face drawing can be read back as a drawing: same holes, same distances", () => {
  const svg = sceneSvg(drawFace(face, design.lamp.groups))
  const text = `lampwright: 1
name: again
vehicle:
  kind: any
  rules: un-l
  supply: { lowest: 9 V, usual: 13 V, highest: 16 V }
  wires: { tail: { role: steady }, earth: { role: earth } }
faces: { plate: { drawing: "face.svg#drawing", metal: tin, thickness: 1 mm, hole: 5.2 mm } }
groups: { marker: { face: plate, led: white-5mm, functions: [marker] } }
programme: [{ when: tail, light: marker }]
boards: { plate: { carries: [marker], behind: plate, height: 11 mm } }
copper-clad: { base: FR4, thickness: 1.6 mm, copper: 35 µm, sheet: 100 × 160 mm }
cutter:
  engraver: { tip: 0.2 mm, angle: 30°, depth: 0.1 mm, feed: 300 mm/min }
  drills: [0.8 mm]
  router: { diameter: 1.5 mm }
  machine: { rapid: 1500 mm/min, flatness: 0.03 mm }
`
  const { lamp, findings } = readLamp(text, () => svg)
  expect(findings.filter((f) => f.severity === "red")).toEqual([])
  const again = lamp!.faces[0]!
  expect(again.ledHoles.map((h) => h.id)).toEqual(face.ledHoles.map((h) => h.id))
  const [a, b] = [again.ledHoles[0]!, face.ledHoles[0]!]
  for (const [i, hole] of face.ledHoles.entries()) {
    expect(again.ledHoles[i]!.x - a.x).toBeCloseTo(hole.x - b.x, 3)
    expect(again.ledHoles[i]!.y - a.y).toBeCloseTo(hole.y - b.y, 3)
    expect(again.ledHoles[i]!.diameter).toBeCloseTo(hole.diameter, 3)
  }
  expect(again.screwHoles[0]!.x - a.x).toBeCloseTo(face.screwHoles[0]!.x - b.x, 3)
})

test("text is escaped, and what XML cannot hold is replaced", () => {
  expect(escapeXml(`<a href="x">'&\u0000\ud800é😀\n`)).toBe("&lt;a href=&quot;x&quot;&gt;&#39;&amp;??é😀\n")
})
