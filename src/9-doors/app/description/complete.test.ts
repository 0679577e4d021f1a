import { readFileSync } from "node:fs"
import { expect, test } from "vitest"
import { complete } from "./complete.ts"

const tern = readFileSync("examples/tern/tern.yaml", "utf8")
/** Options where `|` stands in `text`. */
const at = (text: string) => complete(text.replace("|", ""), text.indexOf("|"))?.options.map((o) => o.put)
const into = (find: string, put: string) => tern.replace(find, put)

test("keys of the whole, without those that are there", () => {
  expect(at("lampwright: 1\nna|")).toEqual(["name: "])
  expect(at(`${tern}\n|`)).toContain("cutting: ")
  expect(at(`${tern}\n|`)).not.toContain("faces: ")
})

test("keys within brackets and within indented lines", () => {
  expect(at(into("role: steady, replaces: 5 W", "ro|"))?.[0]).toBe("role: ")
  expect(at(into("led: red-5mm, functions", "led: red-5mm, be|"))?.[0]).toBe("beam: ")
  expect(at("vehicle:\n  supply:\n    low|")).toEqual(["lowest: "])
  expect(at("programme:\n  - { when: tail, lev|")).toEqual(["level: "])
  expect(at("programme:\n  - when: tail\n    sw|")).toEqual(["sweep: "])
  expect(at("cutter:\n  machine: { rapid: 1500 mm/min, acc|")).toEqual(["acceleration: "])
})

test("values: words of the schema, LEDs of the stock, names of the description", () => {
  expect(at("vehicle:\n  rules: un|")).toEqual(["un-l", "un-car"])
  expect(at(into("led: red-5mm", "led: amb|"))).toEqual(["amber-5mm", "amber-3mm"])
  expect(at(into("when: brake, light: tail-stop", "when: brake, light: sw|"))).toEqual([
    "sweep-left",
    "sweep-right",
  ])
  expect(at(into("functions: [rear-position, stop]", "functions: [rear-position, st|]"))).toEqual(["stop"])
  expect(at(into("carries: [controller, drivers, supply]", "carries: [controller, dr|"))?.[0]).toBe("drivers")
  expect(at(into("order: outward, current: 23 mA }\n\n", "order: in| }\n\n"))?.[0]).toBe("inward")
})

test("nothing where the name is the builder's own, in a comment, or behind a value", () => {
  expect(at("faces:\n  cr|")).toBeUndefined()
  expect(at("name: x # na|")).toBeUndefined()
  expect(at("vehicle:\n  rules: un-l |")).toBeUndefined()
})
