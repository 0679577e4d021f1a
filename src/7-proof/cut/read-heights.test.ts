import { expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import { proveCut } from "./prove-cut.ts"
import { readHeights } from "./read-heights.ts"
import {
  engraveText,
  strokes,
  syntheticBoard,
  syntheticBoards,
  syntheticCircuit,
  syntheticLamp,
  syntheticPrograms,
} from "./synthetic-board.testing.ts"
import { wantedNetlist } from "./wanted-netlist.ts"

const grid = (z: (x: number, y: number) => number, heading = "x,y,z\n") => {
  let text = heading
  for (let y = 0; y <= 30; y += 10)
    for (let x = 0; x <= 40; x += 10) text += `${x}, ${y}, ${z(x, y).toFixed(4)}\n`
  return text
}
const heightsOf = (text: string) => {
  const read = readHeights(text)
  if (!read.heights) throw new Error(read.fault.reason)
  return read.heights
}

test("a plane is met exactly, also between probes; beyond the rim it goes on level", () => {
  const h = heightsOf(grid((x, y) => 0.01 * x - 0.02 * y))
  expect(h.at(13.7, 22.2)).toBeCloseTo(0.137 - 0.444, 4)
  expect(h.at(-5, 0)).toBeCloseTo(0, 9)
  expect(h.at(60, 30)).toBeCloseTo(0.4 - 0.6, 4)
  expect(h.spacing).toBe(10)
})

test("rows in any order, semicolons, comments", () => {
  const lines = grid((x, y) => x * y * 1e-4, "")
    .trim()
    .split("\n")
    .reverse()
  const h = heightsOf(`# probed today\n${lines.join("\n").replaceAll(", ", ";")}`)
  expect(h.at(20, 10)).toBeCloseTo(0.02, 9)
})

test.each([
  ["x,y,z\n0,0,0\n1,0,zero\n", 3, /three numbers/],
  ["0,0,0\n10,0,0\n0,10,0\n", 3, /hole/],
  ["0,0,0\n10,0,0\n0,10,0\n10,10,0\n0,0,0.1\n", 5, /twice/],
  ["0,0,0\n10,0,0\n", 1, /2 × 2/],
  ["0,0,0\n10,0,9\n", 2, /no flat board/],
  ["", 1, /2 × 2/],
])("refuses %j", (text, line, why) => {
  const { fault } = readHeights(text)
  expect(fault?.line).toBe(line)
  expect(fault?.reason).toMatch(why)
})

/** Zero in the middle, 0.3 mm lower at the rim. */
const bow = (x: number, y: number) => 0.3 * (1 - ((x - 20) / 20) ** 2) * (1 - ((y - 15) / 15) ** 2) - 0.3

test("on a bowed board the flat program fails and the bent program passes", () => {
  const boards = syntheticBoards()
  const wanted = wantedNetlist(syntheticCircuit(), boards)
  const heights = heightsOf(grid((x, y) => bow(x, y)))
  const prove = (engrave: string) =>
    finish(
      proveCut(
        syntheticLamp,
        syntheticBoard(),
        wanted,
        syntheticPrograms({ engrave }),
        () => undefined,
        "A",
        { heights },
      ),
    )
  const flat = prove(engraveText()).findings.filter((f) => f.severity === "red")
  expect(flat.map((f) => f.code)).toContain("proof.cut-depth")
  // Bent by the same map, split every 5 mm, depth 0.1 mm under the probed surface.
  const lines = ["G21 G90 G94 G17", "G0 Z3", "M3 S12000"]
  for (const s of strokes()) {
    const at = (t: number) => ({
      x: s.from[0] + (s.to[0] - s.from[0]) * t,
      y: s.from[1] + (s.to[1] - s.from[1]) * t,
    })
    const z = (p: { x: number; y: number }) => (heights.at(p.x, p.y) - 0.1).toFixed(4)
    lines.push(`G0 X${at(0).x} Y${at(0).y}`, `G1 Z${z(at(0))} F100`)
    for (const t of [0.5, 1]) lines.push(`G1 X${at(t).x} Y${at(t).y} Z${z(at(t))} F300`)
    lines.push("G0 Z3")
  }
  const bent = prove([...lines, "M5", "M30", ""].join("\n"))
  expect(bent.findings.filter((f) => f.severity === "red").map((f) => f.title)).toEqual([])
  expect(bent.proof.shorts).toEqual([])
})
