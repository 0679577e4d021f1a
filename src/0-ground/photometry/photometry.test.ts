// Photometric tables and files. Figures of the measured report: ITL78222, an LM-79 test of one LED insert, its candela
// table and published lumens restated from a public repository of flux calculations (echowuzangye, 7.IES).

import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { fluxOf, halfAngleOf, type IntensityTable, intensityAt } from "./intensity-table.ts"
import { readIes } from "./read-ies.ts"
import { writeIes } from "./write-ies.ts"

const range = (from: number, to: number, step: number) =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step)
const rad = Math.PI / 180
const polar = (step: number, law: (degrees: number) => number): IntensityTable => {
  const vertical = range(0, 90, step)
  return { type: "C", vertical, horizontal: [0], candela: [vertical.map(law)] }
}
const read = (text: string) => {
  const got = readIes(text)
  if ("fault" in got) throw new Error(`line ${got.fault.line}: ${got.fault.says}`)
  return got.file
}
const faultOf = (text: string) => {
  const got = readIes(text)
  return "fault" in got ? got.fault : undefined
}
const words = { keywords: [["TEST", "a"]] as const, watts: 1.5, size: [0.1, 0, 0.05] as const }

const report = [
  269, 268, 266, 264, 260, 256, 251, 245, 237, 229, 221, 211, 200, 189, 177, 165, 152, 140, 127, 114, 102, 90,
  79, 68, 58, 48, 39, 31, 24, 17, 12, 8, 6, 4, 3, 1, 0,
]
const reportText = `IESNA:LM-63-2002
[TEST] ITL78222
[LUMINAIRE] one LED insert
[MORE] with 24 LEDs
TILT=NONE
1 -1 1 37 1 1 2 0 0 0
1 1 10
${range(0, 90, 2.5).join(" ")}
0
${report.slice(0, 20).join(" ")}
${report.slice(20).join(", ")}
`

describe("a measured report (L-7, L-8)", () => {
  const file = read(reportText)

  test("flux is the published one", () => {
    expect(fluxOf(file.table)).toBeGreaterThan(531.5)
    expect(fluxOf(file.table)).toBeLessThan(532.5)
    // The zone-mean sum of the same table, recomputed apart from this program (check L-7).
    expect(fluxOf(file.table)).toBeCloseTo(531.984373, 5)
  })

  test("half of the axis light is reached at 43.56°", () => {
    expect(halfAngleOf(file.table)).toBeCloseTo(43.557692, 5)
  })

  test("keywords, lumens and watts are read", () => {
    expect(file.keywords).toEqual({ TEST: "ITL78222", LUMINAIRE: "one LED insert with 24 LEDs" })
    expect(file).toMatchObject({ lumens: undefined, watts: 10 })
  })

  test("the same all round its axis", () => {
    for (const [right, up] of [
      [20, 0],
      [-20, 0],
      [0, 20],
      [0, -20],
    ] as const)
      expect(intensityAt(file.table, right, up)).toBeCloseTo(237, 9)
    expect(intensityAt(file.table, 100, 0)).toBe(0)
  })
})

test("a coarse table gives more by zone means (L-9: the table of a public help page on the format)", () => {
  const vertical = [0, 5, 10, 20, 30, 45, 65, 90]
  const candela = [[1000, 1100, 1300, 1150, 930, 650, 350, 0]]
  expect(fluxOf({ type: "C", vertical, horizontal: [0], candela })).toBeCloseTo(3086.854, 2)
})

describe("laws whose flux is known in closed form (L-1 to L-3, L-10)", () => {
  test("a Lambertian disc of 1000 cd gives 1000·π lm, exactly by zone means", () => {
    expect(fluxOf(polar(1, (v) => 1000 * Math.cos(v * rad)))).toBeCloseTo(1000 * Math.PI, 6)
  })

  test("a cosine power with 30° half angle gives 1079.8 lm; zone means of a 1° table 1080.06", () => {
    const m = -Math.LN2 / Math.log(Math.cos(30 * rad))
    expect(fluxOf(polar(1, (v) => 1000 * Math.cos(v * rad) ** m))).toBeCloseTo(1080.064, 2)
    expect(fluxOf(polar(0.1, (v) => 1000 * Math.cos(v * rad) ** m))).toBeCloseTo(1079.8, 1)
  })

  test("a uniform cone of 30° gives 841.79 lm; a 1° table smears its edge to 869.62", () => {
    expect(fluxOf(polar(1, (v) => (v <= 30 ? 1000 : 0)))).toBeCloseTo(869.616, 2)
  })

  test("types A and B hold the same light as C", () => {
    const angles = range(-90, 90, 1)
    const law = (cosine: number) => 1000 * Math.max(0, cosine)
    const table = (type: "A" | "B"): IntensityTable => ({
      type,
      vertical: angles,
      horizontal: angles,
      candela: angles.map((h) => angles.map((v) => law(Math.cos(h * rad) * Math.cos(v * rad)))),
    })
    for (const type of ["A", "B"] as const) expect(fluxOf(table(type)) / (1000 * Math.PI)).toBeCloseTo(1, 3)
  })
})

test("a beam aimed aside is read alike from all three types", () => {
  // A narrow beam 10° right and 4° up, written in each type's own angles.
  const aim = [
    Math.sin(10 * rad) * Math.cos(4 * rad),
    Math.sin(4 * rad),
    Math.cos(10 * rad) * Math.cos(4 * rad),
  ]
  const law = (x: number, y: number, z: number) =>
    1000 * Math.max(0, x * aim[0]! + y * aim[1]! + z * aim[2]!) ** 20
  const [a, c] = [range(-60, 60, 2), range(0, 360, 5)]
  const v = range(0, 60, 2)
  const sin = (d: number) => Math.sin(d * rad)
  const cos = (d: number) => Math.cos(d * rad)
  const tables: IntensityTable[] = [
    {
      type: "A",
      vertical: a,
      horizontal: a,
      candela: a.map((h) => a.map((u) => law(sin(h) * cos(u), sin(u), cos(h) * cos(u)))),
    },
    {
      type: "B",
      vertical: a,
      horizontal: a,
      candela: a.map((h) => a.map((u) => law(sin(h), cos(h) * sin(u), cos(h) * cos(u)))),
    },
    {
      type: "C",
      vertical: v,
      horizontal: c,
      candela: c.map((t) => v.map((g) => law(sin(g) * cos(t), sin(g) * sin(t), cos(g)))),
    },
  ]
  for (const [right, up] of [
    [10, 4],
    [0, 0],
    [20, 0],
    [-10, -5],
    [5, 10],
  ] as const) {
    const exact = law(sin(right) * cos(up), sin(up), cos(right) * cos(up))
    for (const t of tables) expect(Math.abs(intensityAt(t, right, up) / exact - 1)).toBeLessThan(0.012)
  }
})

describe("files", () => {
  test("what is written is read again, and no line is longer than 132 characters", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 30 }),
        fc.integer({ min: 2, max: 30 }),
        fc.string({ maxLength: 300 }),
        (n, m, name) => {
          const horizontal = range(-n, n, 1)
          const vertical = range(-m, m, 1)
          const table: IntensityTable = {
            type: "A",
            vertical,
            horizontal,
            candela: horizontal.map((h) => vertical.map((v) => Math.abs(h * 7 + v) / 8)),
          }
          const text = writeIes(table, { ...words, keywords: [["LUMINAIRE", name]] })
          expect(text.split("\r\n").every((l) => l.length <= 132)).toBe(true)
          expect(read(text).table).toEqual(table)
        },
      ),
      { numRuns: 30, seed: 7 },
    )
  })

  test("multiplier and ballast factors go into the candela; tilt included is passed over", () => {
    const text = "TILT=INCLUDE\n1\n2\n0 90\n1 1\n1 500 2 2 1 1 1 0 0 0\n0.5 3 1\n0 90\n0\n10 0\n"
    expect(read(text).table.candela).toEqual([[30, 0]])
    expect(read(text).lumens).toBe(500)
  })

  test("faults name their line", () => {
    const lines = reportText.split("\n")
    const with_ = (n: number, line: string) => lines.map((l, i) => (i === n - 1 ? line : l)).join("\n")
    expect(faultOf("")).toMatchObject({ line: 1, says: expect.stringContaining("TILT=") })
    expect(faultOf(with_(5, "TILT=lamp.tlt"))).toMatchObject({
      line: 5,
      says: expect.stringContaining("INCLUDE"),
    })
    expect(faultOf(with_(6, "1 -1 1 37 1 7 2 0 0 0"))?.says).toContain("type is 7")
    expect(faultOf(with_(6, "1 -1 1 37.5 1 1 2 0 0 0"))).toMatchObject({ line: 6 })
    expect(faultOf(with_(6, "1 -1 0 37 1 1 2 0 0 0"))?.says).toContain("above 0")
    expect(faultOf(with_(8, lines[7]!.replace("5 ", "x ")))).toMatchObject({
      line: 8,
      says: expect.stringContaining("x"),
    })
    expect(faultOf(with_(8, lines[7]!.replace("10 ", "7 ")))?.says).toContain("must rise")
    expect(faultOf(with_(9, "45"))?.says).toContain("begin at 45")
    expect(faultOf(with_(11, "1 -2"))?.says).toContain("below zero")
    expect(faultOf(with_(11, "1 2 3"))?.says).toContain("the file ends")
    expect(faultOf(`${reportText}17\n`)?.says).toContain("after the last")
  })

  test("factors that carry the candela beyond any number, or to none, are refused (found by spoiled inputs)", () => {
    const file = (multiplier: string, ballast: string, candela: string) =>
      `IESNA:LM-63-2002\nTILT=NONE\n1 1000 ${multiplier} 3 1 1 2 0 0 0\n${ballast} 1 5\n0 45 90\n0\n${candela}\n`
    expect(faultOf(file("1", "1", "3 2 0"))).toBeUndefined()
    for (const [multiplier, ballast, candela] of [
      ["1e154", "1", "1e200 2 0"],
      ["1e200", "1e200", "0 0 0"],
      ["1", "1", "1e10 2 0"],
    ] as const)
      expect(faultOf(file(multiplier, ballast, candela))).toMatchObject({
        line: 7,
        says: expect.stringContaining("beyond 1000000000 cd"),
      })
  })

  test("no text makes the reader fail otherwise", () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 400 }), fc.nat(reportText.length), fc.nat(40), (junk, at, cut) => {
        const got = readIes(reportText.slice(0, at) + junk + reportText.slice(at + cut))
        expect("fault" in got || "file" in got).toBe(true)
      }),
      { numRuns: 200, seed: 11 },
    )
  })
})
