import { beforeAll, expect, test } from "vitest"
import type { Figure } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Boards } from "../../5-board/artefact.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import { makeLamp } from "../made-lamps.testing.ts"
import { checkFit } from "./face-fit.ts"

let lamp: Lamp
let boards: Boards
beforeAll(() => {
  ;({ lamp, boards } = makeLamp("marker"))
})

function find(code: string, change: Partial<Lamp> = {}, other = boards): Finding[] {
  const told = checkFit({ ...lamp, ...change }, other)
  expect(unexplained(told)).toEqual([])
  return told.findings.filter((f) => f.code === `fit.${code}`)
}
const one = (code: string, change: Partial<Lamp> = {}, other = boards) => find(code, change, other)[0]!
const holes = (diameter: number): Partial<Lamp> => ({
  groups: lamp.groups.map((g) => ({
    ...g,
    leds: g.leds.map((l) => ({ ...l, hole: { ...l.hole, diameter } })),
  })),
})
const height = (mm: number): Partial<Lamp> => ({ boards: lamp.boards.map((b) => ({ ...b, height: mm })) })

test("the marker fits its face", () => {
  expect(checkFit(lamp, boards).findings.filter((f) => f.severity !== "green")).toEqual([])
})

test("smaller holes let fewer builds in, and the advice names a hole that does", () => {
  const wide = one("leds-enter", holes(5.4)).measured!.value
  const usual = one("leds-enter").measured!.value
  const tight = one("leds-enter", holes(5.0))
  expect(wide).toBeGreaterThan(usual)
  expect(usual).toBeGreaterThan(tight.measured!.value)
  expect(tight.severity).toBe("amber")
  expect(tight.advice).toMatch(/5\.\d mm/)
})

test("the chance can be asked why, down to facts with sources", () => {
  const figure = checkFit(lamp, boards).figures.find((f) => f.id === one("leds-enter").figure)!
  expect(figure.value).toBe(one("leds-enter").measured!.value)
  expect(figure.inputs!.length).toBeGreaterThan(5)
  const facts = (f: Figure): Figure[] => f.inputs?.flatMap(facts) ?? [f]
  for (const input of facts(figure)) expect(input.source, input.id).toBeDefined()
})

test("a hole wider than the flange lets the LED fall through", () => {
  expect(one("flange", holes(6)).severity).toBe("red")
})

test("metal thicker than the LED is long hides it", () => {
  const faces = lamp.faces.map((f) => ({ ...f, thickness: 6 }))
  // 8.71 mm above the seat less 1.14 mm of flange less 6 mm of metal.
  expect(one("protrusion", { faces }).measured!.value).toBeCloseTo(1.57, 9)
  expect(one("protrusion", { faces }).severity).toBe("amber")
})

test("a board too far back is out of reach of the leads, one too near has no room for its parts", () => {
  expect(one("lead-length", height(30)).severity).toBe("amber")
  expect(one("part-height", height(3)).severity).toBe("red")
  expect(one("seat-height", height(1)).severity).toBe("red")
})

test("shared errors cost a little more than each LED's own, and tight holes get a size that does", () => {
  const together = one("leds-enter-together")
  expect(together.severity).toBe("green")
  expect(together.measured!.value).toBeLessThan(one("leds-enter").measured!.value + 0.1)
  const tight = one("leds-enter-together", holes(5.0))
  expect(tight.severity).toBe("amber")
  const wide = Number(/to (\d+(?:\.\d)?) mm/.exec(tight.advice)![1])
  const mended = one("leds-enter-together", holes(wide))
  expect(mended.severity).toBe("green")
  expect(mended.measured!.value).toBeGreaterThan(98.9)
  expect(one("leds-enter-together", holes(wide - 0.1)).measured!.value).toBeLessThan(99)
})

test("air over the tallest part is told at its worst, and the advised spacer keeps it", () => {
  const tallest = Math.max(...boards.boards[0]!.parts.filter((p) => p.kind !== "led").map((p) => p.height))
  const tight = one("stack-air", height(tallest + 0.4))
  expect(tight.severity).toBe("amber")
  const advised = Number(/to `([\d.]+) mm`/.exec(tight.advice)![1])
  expect(one("stack-air", height(advised)).severity).toBe("green")
  expect(one("stack-air", height(advised - 0.5)).severity).toBe("amber")
})

test("short leads do not reach through a thick board; the advised sheet lets them", () => {
  const part = { ...boards.boards[0]!.parts.find((p) => p.kind !== "led")!, ref: "U9", package: "dip-8" }
  const with9 = { ...boards, boards: boards.boards.map((b) => ({ ...b, parts: [...b.parts, part] })) }
  const sheet = (thickness: number) => ({ copperClad: { ...lamp.copperClad, thickness } })
  expect(find("lead-through", sheet(3.2))).toEqual([])
  const thick = one("lead-through", sheet(3.2), with9)
  expect(thick.severity).toBe("amber")
  const advised = Number(/to `([\d.]+) mm`/.exec(thick.advice)![1])
  expect(one("lead-through", sheet(advised), with9).severity).toBe("green")
  expect(advised).toBe(2.4)
})
