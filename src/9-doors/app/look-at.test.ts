import { expect, test } from "vitest"
import type { Finding, Where } from "../../0-ground/finding.ts"
import type { LampDesign } from "../../design-lamp.ts"
import { lookAt } from "./look-at.ts"

const design = {
  lamp: { groups: [{ name: "tail", leds: [{ ref: "tail-1" }, { ref: "tail-2" }] }] },
  boards: { boards: [{ name: "front", parts: [{ ref: "tail-1" }, { ref: "R1" }] }] },
} as unknown as LampDesign

const look = (code: string, where: Omit<Where, "text">) =>
  lookAt({ code, where: { text: "", ...where }, severity: "green", title: "", advice: "" } as Finding, design)

test("each room's findings are seen in that room's view", () => {
  expect(look("drive.led-current", { part: "R1" }).view).toBe("drive")
  expect(look("board.body-gap", { board: "front" }).view).toBe("board")
  expect(look("cut.tabs", { board: "front" }).view).toBe("cut")
  expect(look("behaviour.sweep-end", { group: "tail" }).view).toBe("face")
})

test("what the proof found in copper is seen in the cut, with its place", () => {
  const seen = look("proof.narrowest-copper", { board: "front", x: 3, y: 4, frame: "board", net: "a" })
  expect(seen).toMatchObject({ view: "cut", board: "front", boardPoint: { x: 3, y: 4 }, nets: ["a"] })
})

test("a place on the face is seen on the face", () => {
  expect(look("lamp.led-spacing", { x: 1, y: 2, frame: "face" })).toMatchObject({
    view: "face",
    facePoint: { x: 1, y: 2 },
    boardPoint: undefined,
  })
})

test("a group rings all its LEDs, a part is found on its board", () => {
  expect(look("light.least", { group: "tail" }).leds).toEqual(["tail-1", "tail-2"])
  expect(look("fit.gap", { part: "tail-1" })).toMatchObject({ leds: ["tail-1"], board: "front" })
})

test("a mistake in the description leaves the view as it is", () => {
  expect(look("lamp.unknown-key", { path: "vehicle.x" }).view).toBeUndefined()
})
