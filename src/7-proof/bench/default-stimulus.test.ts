import { expect, test } from "vitest"
import { defaultStimulus } from "./default-stimulus.ts"
import { exampleLamp } from "./tern.testing.ts"
import type { WireEdge } from "./wires.ts"

const lamp = exampleLamp("tern")
const spans = (edges: readonly WireEdge[]) =>
  edges.flatMap((e, i) => (e.live && edges[i + 1] ? [edges[i + 1]!.t - e.t] : []))

test("as described the wires flash evenly: 90 /min, half on", () => {
  const on = spans(defaultStimulus(lamp).wires.left!)
  for (const s of on) expect(s).toBeCloseTo(1 / 3, 6)
})

test("on a hot-wire flasher the first flash is long, no two are alike, and contacts bounce", () => {
  const on = spans(defaultStimulus(lamp, "thermal").wires.left!)
  const flashes = on.filter((s) => s > 0.05)
  expect(flashes[0]!).toBeGreaterThan(1.3 * flashes[1]!)
  expect(new Set(flashes.map((s) => s.toFixed(4))).size).toBe(flashes.length)
  expect(on.some((s) => s < 0.002)).toBe(true)
  // Wires that do not flash do what they did.
  expect(defaultStimulus(lamp, "thermal").wires.brake).toEqual(defaultStimulus(lamp).wires.brake)
})

test("a transistor flashes clean and nearly even", () => {
  const on = spans(defaultStimulus(lamp, "electronic").wires.left!)
  for (const s of on) expect(Math.abs(s - 1 / 3)).toBeLessThan(0.003)
})
