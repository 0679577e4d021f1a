import { expect, test } from "vitest"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import type { LightTrace } from "../../../7-proof/artefact.ts"
import { layOutRows } from "./rows.ts"
import { within } from "./span.ts"

const group = (name: string, count: number) => ({
  name,
  led: "red-5mm",
  leds: Array.from({ length: count }, (_, i) => ({ ref: `${name}-${i + 1}` })),
})
const lamp = {
  vehicle: { wires: [{ name: "tail" }, { name: "plus" }] },
  groups: [group("stop", 22), group("sweep", 8)],
} as unknown as Lamp
const refs = lamp.groups.flatMap((g) => g.leds.map((l) => l.ref))
const trace: LightTrace = {
  step: 0.01,
  samples: 2,
  wires: { tail: [0, 1] },
  leds: Object.fromEntries(refs.map((r) => [r, [0, 255]])),
}

test("only wires that were played have a row", () => {
  expect(layOutRows(lamp, trace, 240).wires.map((w) => w.name)).toEqual(["tail"])
})

test("rows follow each other without overlap and fit the room when they can", () => {
  for (const room of [180, 240, 420]) {
    const rows = layOutRows(lamp, trace, room)
    let y = 0
    for (const g of rows.groups) {
      expect(g.y).toBeGreaterThanOrEqual(y)
      y = g.y + g.rowHeight * g.leds.length
    }
    expect(rows.height).toBeGreaterThanOrEqual(y)
    expect(y).toBeLessThanOrEqual(room)
  }
})

test("where the room is too low, rows keep two pixels and the score grows", () => {
  const rows = layOutRows(lamp, trace, 60)
  expect(rows.groups.every((g) => g.rowHeight >= 2)).toBe(true)
  expect(rows.height).toBeGreaterThan(60)
})

test("a span stays inside the trace and keeps its width", () => {
  expect(within(-3, 2, 8)).toEqual({ from: 0, to: 2 })
  expect(within(7.5, 2, 8)).toEqual({ from: 6, to: 8 })
  expect(within(1, 8, 8)).toEqual({ from: 0, to: 8 })
})
