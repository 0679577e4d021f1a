import { expect, test } from "vitest"
import { makeCircuit } from "../7-proof/made-lamps.testing.ts"
import type { PackInput } from "./artefact.ts"
import { partLines } from "./parts-list.ts"

test("a heat sink that the description gives the regulator is on the parts list, and none is without", () => {
  const { lamp, circuit } = makeCircuit("tern")
  const lines = (pins: typeof lamp.pins) =>
    partLines({ lamp: { ...lamp, pins }, circuit, boards: { boards: [] } } as unknown as PackInput)
  const sunk = lines({ ...lamp.pins, "drive.regulator.heat-sink": "20 K/W" }).filter(
    (l) => l.package === "TO-220" && l.label.includes("heat sink"),
  )
  const regulator = circuit.parts.find((p) => p.kind === "regulator")!
  expect(sunk.map((l) => [l.refs, l.value])).toEqual([[[`heat sink of ${regulator.ref}`], "20 K/W"]])
  expect(lines(lamp.pins).some((l) => l.label.includes("heat sink"))).toBe(false)
})
