import { expect, test } from "vitest"
import { addEntry, addItem, removeEntry } from "./edit-entries.ts"

const lamp = `# a lamp
vehicle:
  wires: # as they come
    tail: { role: steady } # grey
faces: {}
groups: { a: { face: x } }
programme: []
boards:
  plate:
    carries: [a]

list:
  - { when: tail }
drills: [0.8 mm]
`
const text = (e: ReturnType<typeof addEntry>) => ("text" in e ? e.text : `refused: ${e.refused}`)

test("an entry goes under its neighbours, which keep their comments", () => {
  expect(text(addEntry(lamp, "vehicle.wires", "earth", "{ role: earth }"))).toBe(
    lamp.replace("# grey\n", "# grey\n    earth: { role: earth }\n"),
  )
  expect(text(addEntry(lamp, "boards", "control", "{ carries: [controller] }"))).toBe(
    lamp.replace("carries: [a]\n", "carries: [a]\n  control: { carries: [controller] }\n"),
  )
})

test("empty brackets open into lines, and the last entry closes them again", () => {
  const one = text(addEntry(lamp, "faces", "plate", "{ hole: 5.2 mm }"))
  expect(one).toBe(lamp.replace("faces: {}", "faces:\n  plate: { hole: 5.2 mm }"))
  expect(text(removeEntry(one, "faces.plate"))).toBe(lamp)
  const line = text(addItem(lamp, "programme", "{ when: tail, light: a }"))
  expect(line).toBe(lamp.replace("programme: []", "programme:\n  - { when: tail, light: a }"))
  expect(text(removeEntry(line, "programme.0"))).toBe(lamp)
})

test("an entry in one line stays in that line", () => {
  expect(text(addEntry(lamp, "groups", "b", "{ face: y }"))).toBe(
    lamp.replace("{ a: { face: x } }", "{ a: { face: x }, b: { face: y } }"),
  )
  expect(text(addItem(lamp, "drills", "1.0 mm"))).toBe(lamp.replace("[0.8 mm]", "[0.8 mm, 1.0 mm]"))
})

test("items are added to and taken from a list of lines", () => {
  const two = text(addItem(lamp, "list", "{ when: brake }"))
  expect(two).toBe(lamp.replace("- { when: tail }\n", "- { when: tail }\n  - { when: brake }\n"))
  expect(text(removeEntry(two, "list.1"))).toBe(lamp)
  expect(text(removeEntry(two, "list.0"))).toBe(lamp.replace("tail }\ndrills", "brake }\ndrills"))
})

test("what is missing is begun", () => {
  expect(text(addEntry(lamp, "pins", "x", "1"))).toBe(`${lamp}\npins:\n  x: 1\n`)
  expect(text(addEntry(lamp, "groups.a.aims", "u1", "{ right: 3° }"))).toBe(
    lamp.replace("{ a: { face: x } }", "{ a: { face: x, aims: { u1: { right: 3° } } } }"),
  )
  expect(text(addEntry("pins:\nname: x\n", "pins", "a", "1"))).toBe("pins:\n  a: 1\nname: x\n")
})

test("what is there already, what has a fault, and what a comment stands in is refused", () => {
  expect(text(addEntry(lamp, "vehicle.wires", "tail", "{}"))).toMatch(/^refused: tail is there already/)
  expect(text(addEntry("a: [", "faces", "x", "{}"))).toMatch(/^refused: The text has a fault/)
  expect(text(addItem(lamp, "vehicle.wires", "x"))).toMatch(/^refused/)
  expect(text(removeEntry("a:\n  b: 1 # why\n", "a.b"))).toMatch(/^refused/)
})
