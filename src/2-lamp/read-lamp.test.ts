import { readFileSync } from "node:fs"
import { join } from "node:path"
import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { alongLine } from "./order-leds.ts"
import { lampSchema, readLamp } from "./read-lamp.ts"

const examples = join(import.meta.dirname, "../../examples")
const file = (path: string) => readFileSync(join(examples, path), "utf8")
const tern = file("tern/tern.yaml")
const face = file("tern/tern-face.svg")
const marker = file("marker/marker.yaml")
const drawing = (name: string) => (name === "tern-face.svg" ? face : undefined)

describe("the Tern rear lamp", () => {
  const { lamp, findings } = readLamp(tern, drawing)
  const centre = lamp!.faces[1]!.centreLine!
  test("is read without a red or amber finding", () => {
    expect(findings.filter((f) => f.severity !== "green")).toEqual([])
    expect(lamp).toBeDefined()
  })
  test("has 22 + 8 + 8 LEDs, wings running outward from the centre line", () => {
    expect(lamp!.groups.map((g) => g.leds.length)).toEqual([22, 8, 8])
    for (const group of lamp!.groups.slice(1)) {
      const out = group.leds.map((l) => Math.abs(l.hole.x - centre))
      expect(out).toEqual([...out].sort((a, b) => a - b))
    }
    expect(lamp!.groups[1]!.leds.map((l) => l.hole.id)).toEqual([
      "l1",
      "l2",
      "l3",
      "l4",
      "l5",
      "l6",
      "l7",
      "l8",
    ])
    expect(lamp!.groups[2]!.leds[0]).toMatchObject({
      ref: "sweep-right-1",
      hole: { id: "r1", x: 270, y: 64 },
    })
  })
  test("wings mirror each other at the centre line", () => {
    const [, left, right] = lamp!.faces
    left!.ledHoles.forEach((h, i) => {
      expect(h.x + right!.ledHoles[i]!.x).toBeCloseTo(2 * centre, 9)
      expect(h.y).toBeCloseTo(right!.ledHoles[i]!.y, 9)
    })
  })
  test("values come out in SI and millimetres", () => {
    const left = lamp!.vehicle.wires.find((w) => w.name === "left")!
    expect(left).toEqual({
      name: "left",
      role: "flashing",
      flasher: "electronic",
      rate: 1.5,
      onShare: 0.5,
      replaces: 21,
      fuse: 5,
      size: 0.75,
      length: 2.4,
      colour: "green",
    })
    expect(lamp!.copperClad).toEqual({
      base: "FR4",
      thickness: 1.6,
      copper: 0.035,
      sheet: { w: 100, h: 160 },
    })
    expect(lamp!.cutter.engraver).toEqual({
      tip: 0.2,
      angle: 30,
      depth: 0.1,
      feed: 300,
      plunge: 100,
      spindle: 12000,
    })
    expect(lamp!.programme[2]).toEqual({
      when: ["left"],
      light: "sweep-left",
      level: 1,
      sweep: { within: 0.18 },
      rise: 0.02,
      fall: 0.01,
    })
    expect(lamp!.boards[0]).toMatchObject({ behind: "crescent", inset: 3, roomFor: "everything" })
    expect(lamp!.boards[0]!.screws.map((s) => s.id)).toEqual([
      "crescent-screw-1",
      "crescent-screw-2",
      "crescent-screw-3",
    ])
    expect(lamp!.boards[3]!.screws.map((s) => [s.x, s.y])).toEqual([
      [4, 4],
      [96, 4],
      [96, 68],
      [4, 68],
    ])
    expect(lamp!.seed).toBe(1)
  })
  test("every path knows its place", () => {
    const lines = tern.split("\n")
    for (const [path, { line, column }] of Object.entries(lamp!.places)) {
      const last = path.split(".").at(-1)!
      const text = lines[line - 1]!.slice(column - 1)
      expect(text.length).toBeGreaterThan(0)
      if (path === "groups.tail-stop.led") expect(text).toMatch(/^red-5mm/)
      if (path === "boards.control") expect(text).toMatch(/^control:/)
      if (last === "thickness") expect(text).toMatch(/^\d/)
    }
  })
  test("survives JSON", () => expect(JSON.parse(JSON.stringify(lamp))).toEqual(lamp))
})

describe("the marker, made of patterns", () => {
  const { lamp } = readLamp(marker, drawing)
  test("holes stand evenly on their line", () => {
    expect(lamp!.groups[0]!.leds.map((l) => [l.ref, l.hole.x, l.hole.y])).toEqual([
      ["marker-1", 12, 12],
      ["marker-2", 24, 12],
      ["marker-3", 36, 12],
      ["marker-4", 48, 12],
    ])
  })
  const holesOf = (pattern: string) => {
    const read = readLamp(
      marker.replace(/holes: .*/, `holes: ${pattern}`).replace(/outline: .*/, "outline: { circle: 100 mm }"),
      drawing,
    )
    expect(read.findings.filter((f) => f.severity === "red")).toEqual([])
    return read.lamp!.faces[0]!.ledHoles
  }
  test("an arc counts counter-clockwise from the right", () => {
    const holes = holesOf(
      "{ along: arc, centre: [50 mm, 50 mm], radius: 30 mm, from: 0°, to: 180°, count: 3 }",
    )
    expect(holes.map((h) => [h.x, h.y])).toEqual([
      [80, 50],
      [50, 80],
      [20, 50],
    ])
  })
  test("a full circle does not put its last hole onto the first", () => {
    const holes = holesOf(
      "{ along: arc, centre: [50 mm, 50 mm], radius: 30 mm, from: 0°, to: 360°, count: 4 }",
    )
    expect(holes.map((h) => [h.x, h.y])).toEqual([
      [80, 50],
      [50, 80],
      [20, 50],
      [50, 20],
    ])
  })
  test("several patterns, named", () => {
    const holes = holesOf(
      "[{ along: list, name: a, points: [[30 mm, 50 mm]] }, { along: line, from: [50 mm, 50 mm], to: [70 mm, 50 mm], count: 2 }]",
    )
    expect(holes.map((h) => h.id)).toEqual(["a-1", "hole-2", "hole-3"])
  })
})

describe("boards of their own", () => {
  const svg =
    '<svg width="80mm" height="60mm" viewBox="0 0 80 60"><g id="b"><path d="M10 10H60V40H10Z"/><circle id="s" cx="15" cy="15" r="1.6"/></g></svg>'
  const board = (text: string) => {
    const more = `boards:\n  extra: { carries: [controller, drivers, supply], height: 20 mm, ${text} }`
    const read = readLamp(marker.replace("boards:", more), () => svg)
    return {
      made: read.lamp?.boards[0],
      codes: read.findings.filter((f) => f.severity === "red").map((f) => f.code),
    }
  }
  const corners = (text: string) => board(text).made?.outline?.map((p) => [p.x, p.y])
  test("a size has its lower left corner at 0, 0", () => {
    expect(corners("outline: 40 × 2 cm")).toEqual([
      [0, 0],
      [400, 0],
      [400, 20],
      [0, 20],
    ])
  })
  test("an element of a drawing, its circles as screws", () => {
    const { made } = board('outline: "x.svg#b"')
    expect(made!.outline!.map((p) => [p.x, p.y]).sort()).toEqual([
      [10, 20],
      [10, 50],
      [60, 20],
      [60, 50],
    ])
    expect(made!.screws).toEqual([{ id: "s", x: 15, y: 45, diameter: 3.2 }])
  })
  test("a polygon comes out counter-clockwise, a disc touches both axes", () => {
    expect(corners("outline: { points: [[0 mm, 0 mm], [0 mm, 30 mm], [30 mm, 0 mm]] }")).toEqual([
      [30, 0],
      [0, 30],
      [0, 0],
    ])
    const disc = corners("outline: { circle: 50 mm }")!
    for (const [x, y] of disc) expect(Math.hypot(x! - 25, y! - 25)).toBeCloseTo(25, 5)
  })
  test("a drawn disc of any size is read or refused by its size", () => {
    for (const r of ["1e9", "1e300"]) {
      const huge = svg.replace(/<path.*?\/>/, `<circle cx="30" cy="30" r="${r}"/>`)
      const read = readLamp(
        marker.replace("boards:", 'boards:\n  extra: { carries: [], height: 20 mm, outline: "x.svg#b" }'),
        () => huge,
      )
      expect(read.findings.filter((f) => f.severity === "red").map((f) => f.code)).toContain("lamp.outline")
    }
  })
  test("screws in the corners or at points", () => {
    const at = (text: string) =>
      board(`outline: 40 × 30 mm, screws: ${text}`).made!.screws.map((s) => [s.x, s.y])
    expect(at("{ diameter: 3 mm, corners: 5 mm }")).toEqual([
      [5, 5],
      [35, 5],
      [35, 25],
      [5, 25],
    ])
    expect(at("{ diameter: 3 mm, at: [[7 mm, 8 mm]] }")).toEqual([[7, 8]])
  })
  test("a screw at the board's very edge is red, wires that leave outside it too", () => {
    expect(board("outline: 40 × 30 mm, screws: { diameter: 3 mm, at: [[1 mm, 8 mm]] }").codes).toEqual([
      "lamp.board-screw",
    ])
    expect(board("outline: 40 × 30 mm, wires-at: [50 mm, 10 mm]").codes).toEqual(["lamp.board-wires"])
    expect(board("outline: 40 × 30 mm, wires-at: [40 mm, 10 mm]").made!.wiresAt).toEqual({ x: 40, y: 10 })
  })
  test("neither face nor outline is red", () => {
    expect(board("inset: 1 mm").codes).toEqual(["lamp.board-place"])
  })
})

describe("order", () => {
  const order = (word: string, more = "") =>
    readLamp(
      marker.replace("order: left-to-right", `order: ${word}`).replace("hole: 5.2 mm", `hole: 5.2 mm${more}`),
      drawing,
    ).lamp!.groups[0]!.leds.map((l) => l.hole.x)
  test("right to left, inward and outward", () => {
    expect(order("right-to-left")).toEqual([48, 36, 24, 12])
    expect(order("outward", "\n    centre-line: 0 mm")).toEqual([12, 24, 36, 48])
    expect(order("inward", "\n    centre-line: 0 mm")).toEqual([48, 36, 24, 12])
    expect(order("outward", "\n    centre-line: 25 mm")).toEqual([24, 36, 12, 48])
    expect(order("drawn")).toEqual([12, 24, 36, 48])
  })
})

test("aliases stand for what their anchors hold", () => {
  const text = marker
    .replace("from: [12 mm, 12 mm]", "from: &a [12 mm, 12 mm]")
    .replace("hole: 5.2 mm", "hole: 5.2 mm\n    screws: { diameter: 2 mm, at: [*a] }")
  const { findings } = readLamp(text, drawing)
  expect(findings.filter((f) => f.severity === "red").map((f) => f.code)).toEqual(["lamp.hole-overlap"])
})

test("a hole dragged to the edge still gives a lamp to show, with the fault in it", () => {
  const { lamp, findings } = readLamp(marker.replace("from: [12 mm, 12 mm]", "from: [1 mm, 12 mm]"), drawing)
  expect(lamp).toBeDefined()
  expect(findings.some((f) => f.severity === "red" && f.code === "lamp.hole-outside")).toBe(true)
})

test("the published schema is what the tool reads by", () => {
  const published = JSON.parse(readFileSync(join(examples, "../schema/lampwright.schema.json"), "utf8"))
  expect(published).toEqual(JSON.parse(JSON.stringify(lampSchema())))
})

test("every value with a unit has a description in the schema", () => {
  const bare: string[] = []
  const visit = (node: unknown, path: string) => {
    if (typeof node !== "object" || node === null) return
    const map = node as Record<string, unknown>
    if (Array.isArray(map.type) && map.description === undefined) bare.push(path)
    for (const [key, value] of Object.entries(map)) visit(value, `${path}/${key}`)
  }
  visit(lampSchema(), "")
  // Choices held by hand are free.
  expect(bare.filter((p) => !p.includes("/pins/") && !p.includes("/holes/items"))).toEqual([])
})

describe("hostile texts give one clear finding", () => {
  const cases: [string, string, string][] = [
    ["10 MB", "lampwright: 1\n".repeat(740_000), "lamp.too-large"],
    ["deep brackets", "[".repeat(900_000), "lamp.too-deep"],
    ["deep braces", "{a: ".repeat(200_000), "lamp.too-deep"],
    ["deep dashes", "- ".repeat(400_000), "lamp.too-deep"],
    [
      "deep indentation",
      Array.from({ length: 1300 }, (_, i) => `${" ".repeat(i)}a:`).join("\n"),
      "lamp.too-deep",
    ],
    ["an alias within its own anchor", "a: &a [*a]", "lamp.too-deep"],
    ["many aliases", `a: &a x\nb: [${"*a,".repeat(19_000)}]`, "lamp.too-many"],
    ["many keys", Array.from({ length: 60_000 }, (_, i) => `k${i}: 1`).join("\n"), "lamp.too-many"],
    ["a second document", `${marker}\n---\n${marker}`, "lamp.syntax"],
    ["a tag", "a: !!js/function 'x'", "lamp.syntax"],
    ["nothing but spaces", "  \n\n", "lamp.empty"],
    ["one text", "hello", "lamp.not-a-mapping"],
  ]
  for (const [name, text, code] of cases)
    test(name, () => {
      const { lamp, findings } = readLamp(text, drawing)
      expect(lamp).toBeUndefined()
      expect(findings.map((f) => f.code)).toEqual([code])
      expect(findings[0]!.where.line).toBeGreaterThanOrEqual(1)
    })
})

/** A lamp, or a red finding that says where. */
function sound(text: string, svg: string | undefined = face) {
  const { lamp, findings } = readLamp(text, () => svg)
  const reds = findings.filter((f) => f.severity === "red")
  if (lamp === undefined) expect(reds.length).toBeGreaterThan(0)
  for (const f of findings) {
    expect(f.where.line).toBeGreaterThanOrEqual(1)
    expect(f.where.column).toBeGreaterThanOrEqual(1)
    // What is quoted is the user's own text.
    expect(f.title.replace(/“[^”]*”/g, "")).not.toMatch(/undefined|NaN|\[object/)
  }
}

describe("damaged files never crash the reader", () => {
  const lines = tern.split("\n")
  const place = fc.nat(tern.length - 1)
  const junk = fc.oneof(
    fc.string({ maxLength: 12 }),
    fc.constantFrom(
      "\t",
      "{",
      "[",
      ": ",
      "- ",
      "*a",
      "&a ",
      "!x ",
      "#",
      "'",
      '"',
      "|",
      ">",
      "null",
      "~",
      "__proto__: 1",
      "\u0000",
      "\ud800",
      "-.inf",
      "1e999 mm",
      "NaN V",
    ),
  )
  const runs = { numRuns: 60, seed: 20 }
  test("cut off, seed 20", () =>
    fc.assert(
      fc.property(place, (n) => sound(tern.slice(0, n))),
      runs,
    ))
  test("two letters exchanged, seed 20", () =>
    fc.assert(
      fc.property(place, place, (a, b) => {
        const [i, j] = a < b ? [a, b] : [b, a]
        if (i === j) return
        sound(tern.slice(0, i) + tern[j] + tern.slice(i + 1, j) + tern[i] + tern.slice(j + 1))
      }),
      runs,
    ))
  test("lines missing, seed 20", () =>
    fc.assert(
      fc.property(fc.uniqueArray(fc.nat(lines.length - 1), { maxLength: 5 }), (gone) =>
        sound(lines.filter((_, i) => !gone.includes(i)).join("\n")),
      ),
      runs,
    ))
  test("junk put in, seed 20", () =>
    fc.assert(
      fc.property(place, junk, (n, text) => sound(tern.slice(0, n) + text + tern.slice(n))),
      runs,
    ))
  test("values replaced, seed 20", () => {
    const values = [...tern.matchAll(/(?<=: )[^{}[\],\n]+/g)]
    fc.assert(
      fc.property(fc.nat(values.length - 1), junk, (k, text) => {
        const v = values[k]!
        sound(tern.slice(0, v.index) + text + tern.slice(v.index + v[0].length))
      }),
      runs,
    )
  })
  test("damaged drawings, seed 20", () =>
    fc.assert(
      fc.property(fc.nat(face.length - 1), fc.nat(6), junk, (n, cut, text) =>
        sound(tern, face.slice(0, n) + text + face.slice(n + cut)),
      ),
      runs,
    ))
})

describe("orders and sweeps", () => {
  const word = (order: string, programme: string) =>
    readLamp(
      marker
        .replace("order: left-to-right", `order: ${order}`)
        .replace("count: 4", "count: 6")
        .replace("[marker]", "[marker, controller, drivers, supply]")
        .replace(
          "tail: {",
          "left: { role: flashing, flasher: electronic, rate: 90 /min, on-share: 60 % }\n    tail: {",
        )
        .replace("{ when: tail, light: marker, level: 100 % }", programme),
      (file) => (file === "line.svg" ? line : undefined),
    )
  const line = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="24mm" viewBox="0 0 60 24">
    <path id="back" d="M 60 20 C 40 0 20 0 0 20"/></svg>`
  const holes = (order: string) =>
    word(order, "{ when: tail, light: marker }").lamp?.groups[0]?.leds.map((l) =>
      l.hole.id.replace("hole-", ""),
    )

  test("hole by hole, along an open path of a drawing, along points, and against the page", () => {
    expect(holes("[hole-2, hole-4, hole-6, hole-1, hole-3, hole-5]")).toEqual([..."246135"])
    expect(holes('{ along: "line.svg#back" }')).toEqual([..."654321"])
    expect(holes("{ along: [[0 mm, 12 mm], [60 mm, 12 mm]] }")).toEqual([..."123456"])
    expect(holes("right-to-left")).toEqual([..."654321"])
    // All on one height: the drawing's order stays.
    expect(holes("top-to-bottom")).toEqual([..."123456"])
  })

  test("along a bent line holes count by where the line comes nearest, not by x", () => {
    const bent = [
      { x: 0, y: 0 },
      { x: 10, y: 0 },
      { x: 10, y: 10 },
      { x: 0, y: 10 },
    ]
    expect(alongLine(bent, { x: 4, y: -1 })).toBe(4)
    expect(alongLine(bent, { x: 11, y: 5 })).toBe(15)
    expect(alongLine(bent, { x: 4, y: 11 })).toBe(26)
    expect(alongLine(bent, { x: -5, y: 10 })).toBe(30)
  })

  test("a share of the on-time becomes the time the flasher as described leaves, at most what is said", () => {
    const sweep = (text: string) =>
      word("left-to-right", `{ when: left, light: marker, sweep: ${text} }`).lamp?.programme[0]?.sweep
    expect(sweep("{ within: 180 ms, step: 2 }")).toEqual({ within: 0.18, step: 2 })
    // 90 a minute, 60 % of it: 400 ms.
    expect(sweep("{ within: 50 %, first-flash: together }")).toEqual({
      within: 0.2,
      share: 0.5,
      firstFlash: "together",
    })
    expect(sweep("{ within: 50 %, at-most: 150 ms }")).toEqual({ within: 0.15, share: 0.5, atMost: 0.15 })
  })
})
