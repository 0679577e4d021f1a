// A remedy changes the values it names, all of them or none, and nothing else.

import { expect, test } from "vitest"
import { applyRemedy, type Change } from "./remedy.ts"

const text = `# mine
faces:
  front: { hole: 5.1 mm, metal: steel } # drilled on Sunday
drills: [0.8 mm, 1.0 mm]
programme:
  - { when: tail, light: a, level: 12 % }
`
const apply = (...changes: Change[]) => applyRemedy(text, { says: "", changes })

test("values, lists and keys change where they stand; comments stay", () => {
  const next = apply(
    { path: "faces.front.hole", value: "5.3 mm" },
    { path: "drills", value: ["0.8 mm", "1.2 mm"] },
    { path: "programme.0.level", value: "11 %" },
    { path: "faces.front.metal", value: null },
  )
  expect(next).toEqual({
    text: `# mine
faces:
  front: { hole: 5.3 mm } # drilled on Sunday
drills: [0.8 mm, 1.2 mm]
programme:
  - { when: tail, light: a, level: 11 % }
`,
  })
})

test("a key that was not there is added", () => {
  expect(apply({ path: "programme.0.rise", value: "20 ms" })).toEqual({
    text: text.replace("level: 12 % }", "level: 12 %, rise: 20 ms }"),
  })
})

test("a key with dots of its own is added and changed", () => {
  const pins = 'pins: { "a.b": 3 }\n'
  const to = (path: string, value: string) => applyRemedy(pins, { says: "", changes: [{ path, value }] })
  expect(to('pins."a.b"', "4")).toEqual({ text: 'pins: { "a.b": 4 }\n' })
  expect(to('pins."a.c"', "4")).toEqual({ text: 'pins: { "a.b": 3, a.c: 4 }\n' })
  expect(apply({ path: 'pins."drive.x.way"', value: "pwm" })).toEqual({
    text: `${text}pins: { drive.x.way: pwm }\n`,
  })
})

test("when one change is refused none is made", () => {
  expect(apply({ path: "faces.front.hole", value: "5.3 mm" }, { path: "faces", value: "x" })).toHaveProperty(
    "refused",
  )
})
