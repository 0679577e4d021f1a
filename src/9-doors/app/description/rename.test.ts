// A name is changed everywhere it is called, and nothing else: the lamp that is read differs by the name alone.

import { readFileSync } from "node:fs"
import { expect, test } from "vitest"
import { readDoc } from "../../../0-ground/text/edit-text.ts"
import { renaming } from "./rename.ts"

const tern = `${readFileSync("examples/tern/tern.yaml", "utf8")}
pins:
  drive.tail-stop.way: two-feeds # as it was
  "boards.control.U1": 10 20 0
`
const renamed = (text: string, path: string, to: string) => {
  let now = text
  for (const step of renaming(readDoc(text)!, path, to)) {
    const next = step(now)
    if ("refused" in next) throw new Error(next.refused)
    now = next.text
  }
  return now
}
const data = (text: string) => JSON.stringify(readDoc(text)!.toJS())

test.each([
  ["vehicle.wires.brake", "stop-wire", /"brake"/g, '"stop-wire"'],
  ["faces.left-wing", "port", undefined, ""],
  ["groups.tail-stop", "crescent-red", /tail-stop/g, "crescent-red"],
  ["boards.control", "brain", undefined, ""],
] as const)("%s", (path, to, calls, by) => {
  const now = renamed(tern, path, to)
  // Faces and boards share names on Tern: only the right ones change.
  if (calls) expect(data(now)).toBe(data(tern).replace(calls, by))
  expect(now.match(/#.*/g)).toEqual(tern.match(/#.*/g))
  const from = path.split(".").at(-1)!
  expect(renamed(now, path.replace(from, to), from)).toBe(tern)
})

test("a face renamed leaves the board of the same name alone", () => {
  const now = readDoc(renamed(tern, "faces.left-wing", "port"))!.toJS() as {
    boards: Record<string, { behind?: string }>
    groups: Record<string, { face: string }>
  }
  expect(now.boards["left-wing"]?.behind).toBe("port")
  expect(now.groups["sweep-left"]?.face).toBe("port")
})

test("a name that is taken is refused", () => {
  expect(() => renamed(tern, "faces.left-wing", "right-wing")).toThrow("right-wing is there already.")
})
