import { expect, test, vi } from "vitest"
import { readDoc } from "../../../0-ground/text/edit-text.ts"
import { seeFaces } from "../../../2-lamp/see-drawing.ts"

// The page's store and worker are not asked here.
vi.mock("../quick.ts", () => ({ seeFaces: async () => [] }))
const { giveHoles, ownersOf } = await import("./picking.ts")

const begun = `lampwright: 1
faces:
  wing: { outline: { rectangle: 80 × 30 mm }, holes: { along: line, from: [10 mm, 15 mm], to: [70 mm, 15 mm], count: 4 }, metal: steel, thickness: 2 mm, hole: 5.2 mm }
groups: {}
boards: {}
`
const face = seeFaces(begun, () => undefined)[0]!
const group = { name: "low", face: "wing", begins: { led: "amber-5mm", functions: ["direction-indicator"] } }
const text = (e: ReturnType<typeof giveHoles>) => ("text" in e ? e.text : `refused: ${e.refused}`)
const owned = (of: string) => Object.fromEntries(ownersOf(readDoc(of)!, face))

test("the first hole begins the group and its board", () => {
  const one = text(giveHoles(begun, face, group, ["hole-2"], true))
  expect(one).toContain(
    "  low: { face: wing, led: amber-5mm, functions: [direction-indicator], order: left-to-right, holes: [hole-2] }",
  )
  expect(one).toContain("  wing: { carries: [low], behind: wing, inset: 3 mm, height: 11 mm }")
  expect(owned(one)).toEqual({ "hole-2": "low" })
})

test("holes are given and taken one by one, in the face's order", () => {
  let now = text(giveHoles(begun, face, group, ["hole-3"], true))
  now = text(giveHoles(now, face, group, ["hole-1", "hole-2"], true))
  expect(now).toContain("holes: [hole-1, hole-2, hole-3]")
  now = text(giveHoles(now, face, group, ["hole-2"], false))
  expect(now).toContain("holes: [hole-1, hole-3]")
  expect(text(giveHoles(now, face, group, ["hole-1", "hole-3"], false))).toMatch(/^refused: low needs/)
})

test("a group that had every hole keeps the rest, written out; a second shares its board", () => {
  const all = text(
    giveHoles(
      begun,
      face,
      group,
      face.ledHoles.map((h) => h.id),
      true,
    ),
  )
  expect(all).not.toContain("holes: [hole")
  const two = text(giveHoles(all, face, { ...group, name: "high" }, ["hole-4"], true))
  expect(owned(two)).toEqual({ "hole-1": "low", "hole-2": "low", "hole-3": "low", "hole-4": "high" })
  expect(two).toContain("carries: [low, high]")
  const rest = giveHoles(two, face, { ...group, name: "high" }, ["hole-1", "hole-2", "hole-3"], true)
  expect(text(rest)).toMatch(/^refused: That would leave low/)
})
