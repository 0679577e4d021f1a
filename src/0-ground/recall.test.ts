import { expect, test } from "vitest"
import { finish } from "./progress.ts"
import { forgetful, type Memory, recalled, recallFrom } from "./recall.ts"

test("a thing is made again only when the content of its inputs changed", () => {
  const memory: Memory = new Map()
  let made = 0
  const make = (inputs: unknown[], recall = recallFrom(memory)) =>
    finish(recalled(recall, "thing", inputs, () => ++made))
  expect(make([{ a: 1 }, [2]])).toBe(1)
  expect(make([{ a: 1 }, [2]])).toBe(1)
  expect(make([{ a: 1 }, [3]])).toBe(2)
  expect(make([{ a: 1 }, [3]], forgetful)).toBe(3)
  expect(make([{ a: 1 }, [2]])).toBe(4)
})

test("what is deep inside counts, and how it is nested", () => {
  const long = (last: number) => Array.from({ length: 60 }, (_, i) => ({ x: i, y: [i === 59 ? last : 0] }))
  const differ = [
    { a: { b: long(1) } },
    { a: { b: long(2) } },
    { a: [{ b: long(2) }] },
    [[1], [2]],
    [[1, 2]],
    [[1], ["2"]],
    { a: 1, b: { c: 2 } },
    { a: 1, b: { d: 2 } },
    Float64Array.of(1, 2),
  ]
  const memory: Memory = new Map()
  let made = 0
  const make = (input: unknown) => finish(recalled(recallFrom(memory), "x", [input], () => ++made))
  for (const [i, input] of differ.entries()) {
    expect(make(input)).toBe(i + 1)
    expect(make(structuredClone(input))).toBe(i + 1)
  }
})

test("nothing and false are remembered too", () => {
  const memory: Memory = new Map()
  let made = 0
  const make = (what: string, value: unknown) =>
    finish(
      recalled(recallFrom(memory), what, [1], () => {
        made++
        return value
      }),
    )
  for (const value of [undefined, false, 0]) {
    make(String(value), value)
    expect(make(String(value), "else")).toBe(value)
  }
  expect(made).toBe(3)
})

test("where a value stands and the lamp as built change nothing", () => {
  const memory: Memory = new Map()
  let made = 0
  const make = (input: unknown) => finish(recalled(recallFrom(memory), "x", [input], () => ++made))
  make({ a: 1, places: { a: 3 }, built: [] })
  expect(make({ a: 1, places: { a: 4 }, built: [1] })).toBe(1)
})

test("work that yields tells its progress on the first time only", () => {
  const memory: Memory = new Map()
  const run = () => {
    const notes: number[] = []
    const made = finish(
      recalled(recallFrom(memory), "x", [1], function* () {
        yield { stage: "x", done: 0.5 }
        return 7
      }),
      (p) => notes.push(p.done),
    )
    return [made, notes]
  }
  expect(run()).toEqual([7, [0.5]])
  expect(run()).toEqual([7, []])
})
