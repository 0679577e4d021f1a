// A lamp changed step by step with a memory must come out exactly as the same description designed from nothing.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { expect, test } from "vitest"
import type { Crew } from "../src/0-ground/crew.ts"
import { finish } from "../src/0-ground/progress.ts"
import type { Memory } from "../src/0-ground/recall.ts"
import { type CrewJob, doCrewJob } from "../src/crew-job.ts"
import { type Designed, designLamp } from "../src/design-lamp.ts"
import { examples } from "./tern.ts"

const marker = readFileSync(join(examples, "marker", "marker.yaml"), "utf8")

/** The marker with a controller: its LEDs also sweep with a flasher. */
const blinking = marker
  .replace(
    "    earth:",
    "    left: { role: flashing, flasher: electronic, rate: 90 /min }\n    plus: { role: supply }\n    earth:",
  )
  .replace("led: white-5mm, functions: [front-position]", "led: amber-5mm, functions: [direction-indicator]")
  .replace(
    "- { when: tail, light: marker, level: 100 % }",
    "- { when: left, light: marker, sweep: { within: 150 ms } }",
  )
  .replace(
    "boards:",
    "boards:\n  control: { carries: [controller, drivers, supply], outline: 75 × 60 mm, height: 22 mm }",
  )

type Edit = readonly [what: string, from: string | RegExp, to: string]

const edits: readonly Edit[] = [
  ["a resistor of 5 %", /$/, "\npins: { drive.marker.resistor-part: resistor-half-watt-5 }\n"],
  ["a resistor's value", /\npins: .*\n/, "\npins: { drive.marker.resistor: 1.5 kΩ }\n"],
  ["the lamp's name", "name: Tern side marker", "name: another marker"],
  ["a wire's colour and length", "length: 2 m, colour: grey", "length: 9 m, colour: white"],
  ["hotter air", "highest: 50 °C", "highest: 60 °C"],
  ["a deeper groove", "depth: 0.1 mm, feed", "depth: 0.12 mm, feed"],
  ["a thicker face", "thickness: 2 mm", "thickness: 3 mm"],
  ["less room", "height: 11 mm", "height: 9 mm"],
]

function step(text: string, memory?: Memory): Designed {
  return finish(designLamp(text, () => undefined, memory ? { memory } : {}))
}

/** What reaches a user; work in progress inside the artefacts is the rooms' own affair. */
const told = (d: Designed) => (d.lamp ? { ...d, lamp: { ...d.lamp, places: 0 } } : d)

function walk(start: string, which: readonly Edit[]): void {
  const memory: Memory = new Map()
  let text = start
  step(text, memory)
  for (const [what, from, to] of which) {
    const next = text.replace(from, to)
    expect(next, what).not.toBe(text)
    text = next
    const again = JSON.stringify(told(step(text, memory)))
    const anew = JSON.stringify(told(step(text)))
    expect(again === anew, `${what}: the same as designed from nothing`).toBe(true)
  }
}

test("the marker, changed eight times", { timeout: 120_000 }, () => walk(marker, edits))

test("a sweeping marker with a controller, changed three times", { timeout: 240_000 }, () => {
  const memory: Memory = new Map()
  expect(step(blinking, memory)).toHaveProperty("firmware.controller")
  const slow: Edit[] = [
    ["a slower sweep", "within: 150 ms", "within: 190 ms"],
    ["another flash rate", "rate: 90 /min", "rate: 100 /min"],
    edits[0]!,
  ]
  const text = slow.reduce((t, [, from, to]) => t.replace(from, to), blinking)
  let last = blinking
  for (const [, from, to] of slow) {
    last = last.replace(from, to)
    step(last, memory)
  }
  // Compared once at the end: laying the controller's board takes seconds.
  expect(JSON.stringify(told(step(last, memory))) === JSON.stringify(told(step(text)))).toBe(true)
})

test("a resistor's tolerance leaves boards, cuts and their proofs as they are", { timeout: 60_000 }, () => {
  const memory: Memory = new Map()
  const held = (part: string) =>
    `${marker}\npins: { drive.marker.way: resistor-strings, drive.marker.resistor-part: ${part} }\n`
  step(held("resistor-half-watt"), memory)
  const before = new Map([...memory].map(([k, v]) => [k, v.made]))
  step(held("resistor-half-watt-5"), memory)
  for (const what of ["layout plate", "cut plate", "proof of plate", "bench"])
    expect(memory.get(what)?.made, what).toBe(before.get(what))
  expect(memory.get("drive")?.made).not.toBe(before.get("drive"))
})

test("every job comes out the same from another hand, which sees copies only", { timeout: 60_000 }, () => {
  const kinds = new Set<string>()
  const crew: Crew = {
    give: (job) => {
      const copy = structuredClone(job) as CrewJob
      kinds.add("lots" in copy ? "lots" : "cut" in copy ? "cut" : "prove" in copy ? copy.prove : "board")
      const result = structuredClone(finish(doCrewJob(copy)))
      return () => ({ result })
    },
    rest: () => {},
  }
  const shared = finish(designLamp(marker, () => undefined, { crew }))
  expect(JSON.stringify(told(shared)) === JSON.stringify(told(step(marker)))).toBe(true)
  expect([...kinds].sort()).toEqual(["bench", "board", "cut", "fit", "lots", "shaking"])
})
