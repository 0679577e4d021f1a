// Hazard lights: both wires found live by the same look light both sides in the same slot; the ports are written three
// cycles apart, so that no output is more than six cycles (0.4 µs) behind another.

import { expect, test } from "vitest"
import { startBench } from "./start-bench.ts"
import { exampleLamp, makeForBench } from "./tern.testing.ts"
import { flasher } from "./wires.ts"

test("the Tern's two sides begin and end each hazard flash within 6 cycles of each other, LED by LED", () => {
  const { bench, controller } = startBench(makeForBench(exampleLamp("tern")))
  const both = flasher({ from: 0.05, until: 1.4, rate: 2, onShare: 0.5, seed: 3 })
  const run = controller!.run({ wires: { left: both, right: both } })
  const edges: Record<string, [cycle: number, lit: boolean][][]> = { "sweep-left": [], "sweep-right": [] }
  const place = new Map<string, number>()
  const own = bench.channels.map((c) => {
    const at = place.get(c.group) ?? 0
    place.set(c.group, at + 1)
    edges[c.group]![at] = []
    return edges[c.group]![at]!
  })
  // Not the start, where pins are taken over from the pull-ups one port after the other.
  run.onPin = (cycle, channel, lit) => {
    if (cycle > 0.02 * run.clockHz) own[channel]!.push([cycle, lit])
  }
  expect(run.advance(1.5)).toBe(true)
  const [left, right] = [edges["sweep-left"]!, edges["sweep-right"]!]
  expect(left.length).toBe(8)
  let seen = 0
  left.forEach((list, i) => {
    expect(right[i]!.map(([, lit]) => lit)).toEqual(list.map(([, lit]) => lit))
    list.forEach(([cycle], n) => {
      seen++
      expect(Math.abs(right[i]![n]![0] - cycle)).toBeLessThanOrEqual(6)
    })
  })
  expect(seen).toBeGreaterThan(500)
})
