import fc from "fast-check"
import { expect, test } from "vitest"
import { begin, type History, record, redo, undo } from "./history.ts"

test("undoing everything gives what was first, redoing everything what was last", () => {
  fc.assert(
    fc.property(fc.array(fc.string(), { minLength: 1, maxLength: 40 }), (texts) => {
      let is = "first"
      let h: History<string> = begin()
      for (const t of texts) {
        h = record(h, is, `to ${t}`)
        is = t
      }
      const last = is
      for (let step = undo(h, is); step; step = undo(h, is)) [is, h] = [step.now, step.history]
      expect(is).toBe("first")
      for (let step = redo(h, is); step; step = redo(h, is)) [is, h] = [step.now, step.history]
      expect(is).toBe(last)
    }),
    { seed: 8 },
  )
})

test("typing in one go is one step; a pause, another field or an undo begins a new one", () => {
  let h = record(begin<string>(), "", "typing", "typing", 1000)
  h = record(h, "a", "typing", "typing", 1300)
  h = record(h, "ab", "typing", "typing", 1600)
  expect(h.past.map((s) => s.was)).toEqual([""])
  h = record(h, "abc", "typing", "typing", 3000)
  h = record(h, "abcd", "level", "level", 3100)
  expect(h.past.map((s) => s.was)).toEqual(["", "abc", "abcd"])
  const back = undo(h, "abcde")
  expect(back?.now).toBe("abcd")
  const again = record(back?.history ?? h, "abcd", "level", "level", 3150)
  expect(again.past.length).toBe(3)
  expect(again.future).toEqual([])
})
