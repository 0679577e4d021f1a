// Changing a value leaves every other character of the description where it was.

import { readFileSync } from "node:fs"
import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { isMap, isScalar, isSeq } from "yaml"
import {
  type Doc,
  listAt,
  nodeAt,
  readDoc,
  removeKey,
  setForm,
  setList,
  setValue,
  writtenAt,
} from "./edit-text.ts"

const tern = readFileSync("examples/tern/tern.yaml", "utf8")
const made = (e: ReturnType<typeof setValue>) => ("text" in e ? e.text : `refused: ${e.refused}`)

function leaves(doc: Doc, path = ""): string[] {
  const node = nodeAt(doc, path)
  const inner = (k: string) => leaves(doc, path === "" ? k : `${path}.${k}`)
  if (isMap(node)) return node.items.flatMap((p) => inner(String(isScalar(p.key) ? p.key.value : p.key)))
  if (isSeq(node)) return node.items.flatMap((_, i) => inner(String(i)))
  return [path]
}

describe("setValue", () => {
  test("changes the sweep's time and nothing else", () => {
    expect(made(setValue(tern, "programme.2.sweep.within", "150 ms"))).toBe(
      tern.replace("within: 180 ms", "within: 150 ms"),
    )
  })

  test("any value of the Tern takes any words, and every other character stays", () => {
    const doc = readDoc(tern)
    if (!doc) throw new Error("the Tern cannot be read")
    const all = leaves(doc)
    expect(all.length).toBeGreaterThan(100)
    fc.assert(
      fc.property(fc.constantFrom(...all), fc.string({ maxLength: 30 }), (path, value) => {
        const range = nodeAt(doc, path)?.range
        if (!range) return
        const next = setValue(tern, path, value)
        if (!("text" in next)) throw new Error(`${path} refused ${JSON.stringify(value)}`)
        expect(next.text.startsWith(tern.slice(0, range[0]))).toBe(true)
        expect(next.text.endsWith(tern.slice(range[1]))).toBe(true)
        const again = readDoc(next.text)
        expect(again && writtenAt(again, path)).toBe(value)
        expect(again && leaves(again)).toEqual(all)
      }),
      { numRuns: 150, seed: 8 },
    )
  })

  test("keeps the builder's quotes, and adds quotes only where the value needs them", () => {
    expect(made(setValue("name: 'a' # mine\n", "name", "it's"))).toBe("name: 'it''s' # mine\n")
    expect(made(setValue('name: "a"\n', "name", "b"))).toBe('name: "b"\n')
    expect(made(setValue("w: { colour: red }\n", "w.colour", "red, black"))).toBe(
      'w: { colour: "red, black" }\n',
    )
    expect(made(setValue("name: a\n", "name", "b # c"))).toBe('name: "b # c"\n')
  })

  test("adds a key that was not there, in either form of mapping, before comments that follow", () => {
    expect(made(setValue("a: { b: 1 mm } # why\n", "a.c", "2 mm"))).toBe("a: { b: 1 mm, c: 2 mm } # why\n")
    expect(made(setValue("a: {}\n", "a.c", "2 mm"))).toBe("a: { c: 2 mm }\n")
    expect(made(setValue("a:\n  b: 1 mm # one\n# about d\nd: 3\n", "a.c", "2 mm"))).toBe(
      "a:\n  b: 1 mm # one\n  c: 2 mm\n# about d\nd: 3\n",
    )
    expect(made(setValue("a: { b: 1 }\n", "a.sweep.within", "9 ms"))).toBe(
      "a: { b: 1, sweep: { within: 9 ms } }\n",
    )
    expect(made(setValue("p:\n  - when: tail\n    light: x\n", "p.0.level", "5 %"))).toBe(
      "p:\n  - when: tail\n    light: x\n    level: 5 %\n",
    )
  })

  test("a value shared through an anchor, and a text with a fault, are left alone", () => {
    expect(setValue("a: &x 1 mm\nb: *x\n", "b", "2 mm")).toHaveProperty("refused")
    expect(setValue("a: &x 1 mm\nb: *x\n", "a", "2 mm")).toHaveProperty("refused")
    expect(setValue("a: [1\n", "a", "2")).toHaveProperty("refused")
  })
})

test("setList gives a list written in one line, and leaves one with comments alone", () => {
  const next = made(setList(tern, "cutter.drills", ["0.7 mm", "1.0 mm"]))
  expect(next).toBe(tern.replace("[0.8 mm, 1.0 mm, 1.3 mm, 3.2 mm]", "[0.7 mm, 1.0 mm]"))
  const doc = readDoc(tern)
  expect(doc && listAt(doc, "groups.tail-stop.functions")).toEqual(["rear-position", "stop"])
  expect(made(setList("when: tail\n", "when", ["brake"]))).toBe("when: brake\n")
  expect(made(setList("when: tail\n", "when", ["tail", "brake"]))).toBe("when: [tail, brake]\n")
  expect(setList("d:\n  - 1 mm # worn\n  - 2 mm\n", "d", ["3 mm"])).toHaveProperty("refused")
})

test("removeKey takes a key out, first, middle or last, but no comment with it", () => {
  const flow = "a: { b: 1, c: 2, d: 3 } # kept\n"
  expect(made(removeKey(flow, "a.b"))).toBe("a: { c: 2, d: 3 } # kept\n")
  expect(made(removeKey(flow, "a.c"))).toBe("a: { b: 1, d: 3 } # kept\n")
  expect(made(removeKey(flow, "a.d"))).toBe("a: { b: 1, c: 2 } # kept\n")
  expect(made(removeKey("a:\n  b: 1\n  c: 2\nd: 3\n", "a.b"))).toBe("a:\n  c: 2\nd: 3\n")
  expect(removeKey("a:\n  b: 1 # mine\n  c: 2\n", "a.b")).toHaveProperty("refused")
})

test("a value is written anew in another form, in one line, and everything else stays", () => {
  const lamp = `faces: # the metal
  plate: { outline: { rectangle: 60 × 24 mm, corner: 4 mm }, metal: steel } # 2 mm
  disc:
    outline:
      rectangle: 60 × 24 mm
      corner: 4 mm
    metal: steel
  kept:
    outline:
      rectangle: 60 × 24 mm # as the old one
`
  const to = (path: string, written: string) => {
    const e = setForm(lamp, path, written)
    return "text" in e ? e.text : `refused: ${e.refused}`
  }
  expect(to("faces.plate.outline", "{ circle: 24 mm }")).toBe(
    lamp.replace("{ rectangle: 60 × 24 mm, corner: 4 mm }", "{ circle: 24 mm }"),
  )
  expect(to("faces.disc.outline", "{ circle: 24 mm }")).toBe(
    lamp.replace(
      "    outline:\n      rectangle: 60 × 24 mm\n      corner: 4 mm\n    metal",
      "    outline: { circle: 24 mm }\n    metal",
    ),
  )
  expect(to("faces.plate.screws", "{ diameter: 3.2 mm, corners: 4 mm }")).toContain(
    "metal: steel, screws: { diameter: 3.2 mm, corners: 4 mm } } # 2 mm",
  )
  expect(to("faces.plate.metal", "{ of: two, sheets: [1, 2] }")).toContain(
    "metal: { of: two, sheets: [1, 2] }",
  )
  expect(to("faces.kept.outline", "{ circle: 24 mm }")).toMatch(/^refused/)
})
