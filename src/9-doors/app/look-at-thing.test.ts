import { expect, test } from "vitest"
import type { LampDesign } from "../../design-lamp.ts"
import { lookAtThing } from "./look-at-thing.ts"

const led = (ref: string, a: string, k: string) => ({ ref, kind: "led", x: 5, y: 6, pins: { A: a, K: k } })
const design = {
  lamp: {
    vehicle: { wires: [{ name: "brake" }, { name: "earth" }] },
    groups: [
      {
        name: "stop",
        functions: ["stop"],
        leds: ["stop-1", "stop-2", "stop-3"].map((ref, i) => ({ ref, hole: { x: 10 * i, y: 1 } })),
      },
    ],
    programme: [{ when: ["brake"], light: "stop" }],
  },
  circuit: {
    nets: [
      { name: "earth", kind: "earth" },
      { name: "brake", kind: "wire" },
    ],
    parts: [],
    strings: [
      {
        name: "stop-string-1",
        group: "stop",
        leds: ["stop-1", "stop-2"],
        nets: ["s1", "m1", "earth"],
        resistors: ["R1"],
      },
      { name: "stop-string-2", group: "stop", leds: ["stop-3"], nets: ["s2", "earth"], resistors: ["R2"] },
    ],
  },
  boards: {
    boards: [
      {
        name: "front",
        parts: [
          // The board has put the two LEDs of the string the other way round.
          led("stop-2", "s1", "m1"),
          led("stop-1", "m1", "earth"),
          led("stop-3", "s2", "earth"),
          { ref: "R1", kind: "resistor", x: 1, y: 2, pins: { 1: "brake", 2: "s1" } },
          { ref: "X-brake", kind: "pad", x: 0, y: 0, pins: { 1: "brake" } },
        ],
        lands: [{ ref: "R1", pin: "2", net: "s1", x: 1, y: 3 }],
      },
    ],
    harness: [
      { name: "brake", net: "brake", from: { vehicle: "brake" }, to: { board: "front", ref: "X-brake" } },
      {
        name: "earth to front",
        net: "earth",
        from: { vehicle: "earth" },
        to: { board: "front", ref: "X-earth" },
      },
    ],
  },
} as unknown as LampDesign

test("an LED brings its string, its own nets as the board has them, its place, its wire", () => {
  const look = lookAtThing({ kind: "led", name: "stop-1" }, design)!
  expect(look).toMatchObject({
    leds: ["stop-1"],
    mates: ["stop-2"],
    strings: ["stop-string-1"],
    groups: ["stop"],
    board: "front",
    boardPoint: { x: 5, y: 6 },
    facePoint: { x: 0, y: 1 },
    wire: "brake",
    harness: ["brake"],
  })
  expect(look.nets).toEqual(["m1", "earth"])
  expect(look.parts).toEqual(["stop-1", "R1"])
  expect(look.says).toBe("LED stop-1 · stop string 1 · board front · nets m1, earth · wire brake")
})

test("a resistor, a net and a wire find their LEDs again", () => {
  expect(lookAtThing({ kind: "part", name: "R1" }, design)!.leds).toEqual(["stop-1", "stop-2"])
  expect(lookAtThing({ kind: "net", name: "s1" }, design)!.leds).toEqual(["stop-1", "stop-2"])
  expect(lookAtThing({ kind: "wire", name: "brake" }, design)!.leds).toEqual(["stop-1", "stop-2", "stop-3"])
  expect(lookAtThing({ kind: "string", name: "stop-string-2" }, design)!.leds).toEqual(["stop-3"])
})

test("earth touches everything and rings nothing", () => {
  expect(lookAtThing({ kind: "wire", name: "earth to front" }, design)!.leds).toEqual([])
  const net = lookAtThing({ kind: "net", name: "s2" }, design)
  // No land carries it here.
  expect(net).toBeUndefined()
})

test("what the design does not have cannot be picked", () => {
  expect(lookAtThing({ kind: "led", name: "stop-9" }, design)).toBeUndefined()
  expect(lookAtThing({ kind: "part", name: "R9" }, design)).toBeUndefined()
  expect(lookAtThing({ kind: "wire", name: "tail" }, design)).toBeUndefined()
})
