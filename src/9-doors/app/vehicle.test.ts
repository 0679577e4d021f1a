// Undo over what the vehicle does: flasher, wires held by hand, a recording.

import { beforeEach, expect, test } from "vitest"
import { demo } from "./demo.ts"
import { begin } from "./history.ts"
import { play } from "./play.ts"
import { page } from "./store.ts"
import { vehicle } from "./vehicle.ts"
import { asDescribed, type Recording } from "./vehicle-does.ts"

const recorded: Recording = {
  name: "ride.vcd",
  text: "",
  signals: ["left"],
  fits: { left: "left" },
  stimulus: { wires: { left: [{ t: 0.2, live: true }] } },
  seconds: 3,
  note: "",
}
const { undo, redo, letVehicle, edit } = page.getState()
const does = () => page.getState().does
const steps = () => page.getState().history.past.map((s) => s.words)
const held = () => does().held.map(({ wire, from, until }) => [wire, from, until])

beforeEach(() => {
  page.setState({ draft: demo.text, does: asDescribed, history: begin() })
  // A score of two seconds that runs already.
  play.setState({ length: 2, time: 0, playing: true })
})

test("the flasher, a recording and the text are taken back one by one, the last first", () => {
  vehicle.getState().setFlasher("thermal")
  edit(`${demo.text}# a remark\n`)
  letVehicle({ ...does(), recording: recorded }, "the recording")
  expect(steps()).toEqual(["the flasher", "typing", "the recording"])
  undo()
  expect(does()).toEqual({ ...asDescribed, flasher: "thermal" })
  expect(page.getState().draft).not.toBe(demo.text)
  undo()
  expect(page.getState().draft).toBe(demo.text)
  expect(does().flasher).toBe("thermal")
  undo()
  expect(does()).toEqual(asDescribed)
  for (let i = 0; i < 3; i++) redo()
  expect(does()).toEqual({ flasher: "thermal", recording: recorded, held: [] })
  expect(page.getState().draft).toContain("# a remark")
})

test("a wire held and let go is one step; wires held together are one, too", () => {
  const { press, release } = vehicle.getState()
  press("brake")
  play.setState({ time: 0.4 })
  press("left")
  play.setState({ time: 0.9 })
  release("brake")
  release("left")
  expect(steps()).toEqual(["holding brake"])
  const both = [
    ["brake", 0, 0.9],
    ["left", 0.4, 0.9],
  ]
  expect(held()).toEqual(both)
  undo()
  expect(held()).toEqual([])
  redo()
  expect(held()).toEqual(both)
})

test("undo under a key that is down holds nothing for ever", () => {
  const { press, release } = vehicle.getState()
  press("brake")
  undo()
  expect(held()).toEqual([])
  release("brake")
  expect(held()).toEqual([])
  redo()
  expect(held()).toEqual([["brake", 0, 2]])
})

test("back to the demonstration is a step; where nothing was changed it is none", () => {
  vehicle.getState().asDescribed()
  expect(steps()).toEqual([])
  vehicle.getState().setFlasher("fast")
  vehicle.getState().asDescribed()
  expect(steps()).toEqual(["the flasher", "the usual demonstration"])
  undo()
  expect(does().flasher).toBe("fast")
})

test("another lamp begins with the demonstration; undo brings back what was done to the one before", () => {
  vehicle.getState().setFlasher("slow")
  page.getState().begin({ file: "other.yaml", text: "name: other\n", drawings: {} }, "a new lamp")
  expect(does()).toEqual(asDescribed)
  undo()
  expect(does().flasher).toBe("slow")
  expect(page.getState().draft).toBe(demo.text)
})

test("what is only looked at stays out of it", () => {
  page.setState({ view: "cut", side: "component", leftTab: "text" })
  play.getState().setSpeed(0.1)
  play.getState().seek(1)
  vehicle.getState().setFlasher("relay")
  page.setState({ view: "board" })
  undo()
  expect(page.getState().view).toBe("board")
  expect(play.getState().speed).toBe(0.1)
  expect(play.getState().time).toBe(1)
  expect(steps()).toEqual([])
})
