import { expect, test } from "vitest"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { HarnessWire } from "./artefact.ts"
import { colouredHarness } from "./harness-colours.ts"

const lamp = {
  vehicle: {
    wires: [
      { name: "plus", role: "supply", colour: "red" },
      { name: "ground", role: "earth", colour: "Brown" },
      { name: "brake", role: "steady" },
    ],
  },
} as unknown as Lamp
const between = (net: string, to: string): HarnessWire => ({
  name: net,
  net,
  from: { board: "control", ref: `X-${net}` },
  to: { board: to, ref: `X-${net}` },
})
const fromVehicle = (wire: string): HarnessWire => ({
  name: wire,
  net: wire,
  from: { vehicle: wire },
  to: { board: "control", ref: `X-${wire}` },
})

test("vehicle wires keep the colour described, and those without one get none", () => {
  const made = colouredHarness(lamp, "earth", ["plus", "earth", "brake"].map(fromVehicle))
  expect(made.map((h) => h.colour)).toEqual(["red", "Brown", undefined])
})

test("between boards each net has a colour of its own on all its wires, none a vehicle wire has", () => {
  const nets = Array.from({ length: 21 }, (_, i) => `n${i}`)
  const made = colouredHarness(lamp, "earth", [
    ...nets.map((n) => between(n, "left")),
    between("n0", "right"),
  ])
  const of = (net: string) => new Set(made.filter((h) => h.net === net).map((h) => h.colour))
  for (const n of nets) expect(of(n).size).toBe(1)
  const all = nets.map((n) => [...of(n)][0])
  expect(new Set(all).size).toBe(nets.length)
  expect(all).not.toContain("RD")
  expect(all).not.toContain("BN")
})

test("when colours run out wires go uncoloured, never twice alike", () => {
  const made = colouredHarness(
    lamp,
    "earth",
    Array.from({ length: 40 }, (_, i) => between(`n${i}`, "left")),
  )
  const given = made.flatMap((h) => (h.colour === undefined ? [] : [h.colour]))
  expect(new Set(given).size).toBe(given.length)
  expect(given.length).toBeLessThan(40)
})
