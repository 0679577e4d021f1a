// Heights as people and controllers write them.

import { expect, test } from "vitest"
import { heightRows } from "./height-rows.ts"

const places = (text: string, first?: { x: number; y: number; z: number }) =>
  heightRows(text, first).rows?.map(({ x, y, z }) => [x, y, z])

test("a table with a heading, comments, commas, semicolons, tabs or spaces", () => {
  expect(places("x,y,z\n# sheet 3\n0,0,0\n\n10;0;-0.02\n0\t5\t.01\r\n10 5 1\n")).toEqual([
    [0, 0, 0],
    [10, 0, -0.02],
    [0, 5, 0.01],
    [10, 5, 1],
  ])
  expect(heightRows("0,0,0\n1,2\n").fault).toEqual({ line: 2, reason: expect.stringContaining("1,2") })
  expect(heightRows("0,0,0\nx,y,z\n").fault?.line).toBe(2)
})

test("a log: brackets or words among other lines, a touch told twice counted once", () => {
  const log =
    "ok\n[P:-10.500,4.000,-23.100:1]\nok\n[P:-10.500,4.000,-23.100:1]\n<Idle|12,3>\n[P:1.5,4,-23.08:1]\n"
  expect(places(log)).toEqual([
    [-10.5, 4, -23.1],
    [1.5, 4, -23.08],
  ])
  expect(places("probe tripped at X1.5 Y2 Z-0.03\nX: 3, Y: 2, Z: +.01 done\n")).toEqual([
    [1.5, 2, -0.03],
    [3, 2, 0.01],
  ])
})

test("machine coordinates are moved so that the first place lies where it was asked for", () => {
  const moved = places("[P:-10.5,4,-23.1:1]\n[P:1.5,4,-23.08:1]\n", { x: 4, y: 4, z: 0 })!
  expect(moved[0]).toEqual([4, 4, 0])
  expect(moved[1]![0]).toBeCloseTo(16, 9)
  expect(moved[1]![2]).toBeCloseTo(0.02, 9)
})

test("a probe that touched nothing is told, not taken for a height", () => {
  expect(heightRows("[P:0,0,0:1]\n[P:5,0,-1:0]\n").fault).toEqual({
    line: 2,
    reason: expect.stringContaining("touched nothing"),
  })
})
