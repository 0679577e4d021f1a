// A changed text or drawing unproves the lamp: what may be packed and called proven hangs on this alone. And what is
// found in a text leads nowhere in another.

import { beforeEach, expect, test } from "vitest"
import type { Designed, LampDesign } from "../../design-lamp.ts"
import { demo } from "./demo.ts"
import { begin } from "./history.ts"
import { isMade, page } from "./store.ts"

const made = () => isMade(page.getState())
const { edit, change, undo, redo } = page.getState()

beforeEach(() => {
  page.setState({
    draft: demo.text,
    drawings: demo.drawings,
    history: begin(),
    // Only that there is one counts here.
    design: {} as LampDesign,
    designText: demo.text,
    designDrawings: demo.drawings,
  })
})

test("a lamp is proven as it stands, and of no other text", () => {
  expect(made()).toBe(true)
  expect(isMade(page.getState(), `${demo.text} `)).toBe(false)
})

test("without a design nothing is proven, whatever the text", () => {
  page.setState({ design: undefined })
  expect(made()).toBe(false)
})

test("a changed text unproves it; undone it is the proven lamp again, redone it is not", () => {
  edit(demo.text.replace("name: ", "name: my "))
  expect(made()).toBe(false)
  undo()
  expect(made()).toBe(true)
  redo()
  expect(made()).toBe(false)
})

test("a remark unproves it, too: the design's places are those of its own text", () => {
  edit(`# a remark\n${demo.text}`)
  expect(made()).toBe(false)
})

test("a changed drawing unproves it, with the text as it was; undone it is proven again", () => {
  const [name = ""] = Object.keys(demo.drawings)
  change({ ...demo, drawings: { ...demo.drawings, [name]: "<svg/>" } }, "a drawing")
  expect(page.getState().draft).toBe(demo.text)
  expect(made()).toBe(false)
  undo()
  expect(made()).toBe(true)
})

test("a drawing that is added, or one that is gone, unproves it", () => {
  change({ ...demo, drawings: { ...demo.drawings, "more.svg": "<svg/>" } }, "a drawing")
  expect(made()).toBe(false)
  change({ ...demo, drawings: {} }, "no drawing")
  expect(made()).toBe(false)
})

test("what is applied right after typing is a step of its own", () => {
  const typed = demo.text.replace("name: ", "name: my ")
  edit(typed.slice(0, -1))
  edit(typed)
  edit(typed.replace("180 ms", "170 ms"), "sweep in 170 ms")
  undo()
  expect(page.getState().draft).toBe(typed)
  undo()
  expect(page.getState().draft).toBe(demo.text)
})

test("another lamp leaves nothing proven", () => {
  page.getState().begin({ file: "other.yaml", text: demo.text, drawings: demo.drawings }, "another lamp")
  expect(made()).toBe(false)
})

const broken = "name: [unclosed"
const fault = {
  lamp: undefined,
  findings: [{ code: "text.syntax", severity: "red", where: { text: "", line: 1, column: 7 } }],
} as unknown as Designed

test("a fault in the text leads to its line", () => {
  page.setState({ draft: broken, leftTab: "short", goTo: undefined })
  page.getState().take({ text: broken, drawings: demo.drawings }, fault, true)
  expect(page.getState()).toMatchObject({ leftTab: "text", goTo: { line: 1, column: 7 } })
})

test("a fault that is told after the text was changed leads nowhere", () => {
  page.setState({ leftTab: "short", goTo: undefined })
  page.getState().take({ text: broken, drawings: demo.drawings }, fault, true)
  expect(page.getState()).toMatchObject({ leftTab: "short", goTo: undefined })
})
