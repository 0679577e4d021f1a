import { expect, test } from "vitest"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import type { LightTrace } from "../../../7-proof/artefact.ts"
import { measuredTimes, timesAt } from "./measured-times.ts"

const lamp = {
  groups: [{ name: "wing", leds: [{ ref: "w-1" }, { ref: "w-2" }] }],
  programme: [
    { when: ["left"], light: "wing" },
    { when: ["left", "brake"], light: "wing" },
  ],
} as unknown as Lamp
// 10 ms a sample: the wire is live from 20 to 80 ms; w-1 lights 10 ms, w-2 40 ms after it, both fall 20 ms after it.
const trace: LightTrace = {
  step: 0.01,
  samples: 14,
  wires: { left: [0, 0, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0], brake: new Array(14).fill(0) },
  leds: {
    "w-1": [0, 0, 0, 255, 255, 255, 255, 255, 255, 120, 0, 0, 0, 0],
    "w-2": [0, 0, 0, 0, 0, 100, 255, 255, 255, 120, 0, 0, 0, 0],
  },
}

test("times count from the wire's own edge", () => {
  const events = measuredTimes(lamp, trace)
  expect(events).toHaveLength(1)
  const [e] = events
  expect(e!.on).toBeCloseTo(0.02, 9)
  expect(e!.off).toBeCloseTo(0.08, 9)
  expect(e!.firstLight).toBeCloseTo(0.01, 9)
  expect(e!.allLit).toBeCloseTo(0.04, 9)
  expect(e!.dark).toBeCloseTo(0.02, 9)
})

test("what they say follows the head", () => {
  const events = measuredTimes(lamp, trace)
  expect(timesAt(events, 0.01)).toBe("")
  expect(timesAt(events, 0.05)).toBe("left on: first light 10 ms, all lit 40 ms")
  expect(timesAt(events, 0.1)).toBe("left off: dark after 20 ms")
})

test("a wire that changes no light claims no times", () => {
  const dark = { ...trace, leds: { "w-1": new Array(14).fill(0), "w-2": new Array(14).fill(0) } }
  const [e] = measuredTimes(lamp, dark)
  expect(e).toMatchObject({ firstLight: undefined, allLit: undefined, dark: undefined })
  expect(timesAt([e!], 0.05)).toBe("")
})

test("a second level on top of a first counts from the first", () => {
  const two = {
    ...trace,
    leds: {
      "w-1": [30, 30, 30, 255, 255, 255, 255, 255, 30, 30, 30, 30, 30, 30],
      "w-2": [30, 30, 30, 255, 255, 255, 255, 255, 30, 30, 30, 30, 30, 30],
    },
  }
  const [e] = measuredTimes(lamp, two)
  expect(e!.firstLight).toBeCloseTo(0.01, 9)
  expect(e!.dark).toBeCloseTo(0, 9)
})

test("the greater level of another wire is not waited for", () => {
  const both = {
    groups: lamp.groups,
    programme: [
      { when: ["tail"], light: "wing" },
      { when: ["brake"], light: "wing" },
    ],
  } as unknown as Lamp
  const l = [0, 0, 40, 40, 40, 40, 40, 255, 255, 255, 40, 40, 0, 0]
  const played = {
    ...trace,
    wires: {
      tail: [0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0],
      brake: [0, 0, 0, 0, 0, 0, 1, 1, 1, 0, 0, 0, 0, 0],
    },
    leds: { "w-1": l, "w-2": l },
  }
  const [tail, brake] = measuredTimes(both, played)
  expect(tail!.allLit).toBeCloseTo(0.01, 9)
  expect(brake!.allLit).toBeCloseTo(0.01, 9)
  expect(brake!.dark).toBeCloseTo(0.01, 9)
})
