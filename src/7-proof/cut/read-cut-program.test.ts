import { expect, test } from "vitest"
import { readCutProgram } from "./read-cut-program.ts"

/** Reads one line in the state G21 G90 G17 G94, F100, spindle stopped, at (0,0,0), no motion mode. */
const one = (line: string, more: Parameters<typeof readCutProgram>[1] = {}) =>
  readCutProgram(line === "%" ? "%\n%\n" : `${line}\nM30\n`, { feed: 100, ...more })

// Own lines, judged by the rules of NISTIR 6556, 3.1–3.8.
const accepted = [
  "G0 X0 Y0",
  "g1x1y2f100",
  "N10 G21 G90 G17 G94",
  "(comment only)",
  "",
  "/N20 G0 Z5",
  "M3 S10000",
  "G4 P0.5",
  "G2 X10 Y0 I5 J0",
  "G2 X0 Y0 I5 J0",
  "G3 X10 Y0 R-6",
  "G0 X1 (a) Y2 (b)",
  "M7 M8",
  "G53 G0 Z0",
  "G10 L2 P1 X0 Y0",
  "M6 T2",
  "%",
]
test.each(accepted)("accepts %j", (line) => {
  expect(one(line).faults).toEqual([])
})

const refused: readonly (readonly [string, RegExp])[] = [
  ["G1 G0 X1", /group 1/],
  ["G90 G91", /group 3/],
  ["G17 G18", /group 2/],
  ["G20 G21", /group 6/],
  ["M3 M5", /group 7/],
  ["M0 M30", /group 4/],
  ["G0", /without X, Y or Z/],
  ["G1 X1 X2 F100", /letter X twice/],
  ["G1 X1 (open comment", /not closed/],
  ["G1 X1 (a (b) c)", /inside a comment/],
  ["N123456 G0 X1", /five digits/],
  ["G4 P-1", /negative dwell/],
  ["G53", /G0 or G1/],
  ["G80 X1", /no motion is active/],
  ["G2 X10 Y0", /centre or radius/],
  ["G2 I5 J0", /end point/],
  ["G2 X10 Y0 I5.01 J0", /apart in radius/],
  ["G2 X0 Y0 R5", /end other than its start/],
  ["G81 X1 Y1 Z1 R0.5", /R below Z/],
  ["G81 X1 Y1 R1", /without Z/],
  ["G83 X1 Y1 Z-1 R1 Q0", /Q above zero/],
  ["G93 G1 X1", /G93 needs an F/],
  ["S-1", /negative spindle/],
  ["T-1", /negative tool/],
  ["G38.2 F50", /without X, Y or Z/],
  ["G28 X1 G1 Y2", /both use the axis/],
  ["G1 X", /without a value/],
  ["Q", /without a value/],
  ["G0 X1;comment", /semicolon/],
  ["A1", /rotary/],
  ["G5 X1", /not a word/],
  ["M99", /not a word/],
  ["G0 X1 P3", /P without a word/],
  ["G1 X1.2.3", /two points/],
  ["G43 H1 Z5", /tool length/],
  ["G41 D1 X3", /compensation/],
  ["G0 X1 N5", /must come first/],
]
test.each(refused)("refuses %j", (line, why) => {
  const { faults } = one(line)
  expect(faults).toHaveLength(1)
  expect(faults[0]!.reason).toMatch(why)
  expect(faults[0]!.line).toBe(1)
})

const ends = (line: string, start: readonly [number, number, number]) =>
  one(line, { at: start }).moves.map((m) => [m.kind, [m.x1, m.y1, m.z1].map((v) => Number(v.toFixed(9)))])

test("free spacing (NISTIR 6556, 3.3)", () => {
  const at = one("G0\n g0x +0. 12 34y 7").at
  expect(readCutProgram("g0x +0. 12 34y 7\nM2\n").at).toEqual([0.1234, 7, 0])
  expect(at).toEqual([0.1234, 7, 0])
})

test("expressions, functions and parameter timing (3.3.2)", () => {
  const x = (value: string, parameters: Record<number, number> = {}) =>
    one(`G0 X${value}`, { parameters }).at[0]
  expect(x("[2.0 / 3 * 1.5 - 5.5 / 11.0]")).toBeCloseTo(0.5, 12)
  expect([x("FIX[2.8]"), x("FIX[-2.8]"), x("FUP[2.8]"), x("FUP[-2.8]")]).toEqual([2, -3, 3, -2])
  expect(x("[2 ** 3 * 2 + SQRT[16]]")).toBe(20)
  expect(x("ATAN[1]/[1]")).toBeCloseTo(45, 12)
  expect(x("#[1+2]", { 3: 15 })).toBe(15)
  const timed = one("#3=6 G1 x#3", { parameters: { 3: 15 } })
  expect(timed.at[0]).toBe(15)
  expect(timed.parameters.get(3)).toBe(6)
  expect(one("G0 X[1/0]").faults[0]!.reason).toMatch(/division by zero/)
  expect(one("G0 X[1+2").faults[0]!.reason).toMatch(/closing/)
})

test("centre-format arc (3.5.3.2): about (10,11), radius 5", () => {
  const { moves, at, feedLength } = one("G17 G2 x 10 y 16 i 3 j 4 z 9", { at: [7, 7, 9] })
  expect(at).toEqual([10, 16, 9])
  for (const m of moves) {
    expect(Math.hypot(m.x1 - 10, m.y1 - 11)).toBeCloseTo(5, 9)
    const middle = Math.hypot((m.x0 + m.x1) / 2 - 10, (m.y0 + m.y1) / 2 - 11)
    expect(5 - middle).toBeLessThanOrEqual(0.002 + 1e-12)
  }
  // Clockwise from (7,7), which lies at 180° + atan(4/3) about the centre, to 90°.
  expect(feedLength).toBeCloseTo(5 * (Math.PI / 2 + Math.atan2(4, 3)), 9)
})

test("radius format takes the short way, negative the long way (3.5.3)", () => {
  expect(one("G3 X10 Y0 R5").feedLength).toBeCloseTo(5 * Math.PI, 9)
  const short = one("G3 X10 Y0 R6")
  const long = one("G3 X10 Y0 R-6")
  expect(short.feedLength + long.feedLength).toBeCloseTo(12 * Math.PI, 9)
  expect(Math.min(...short.moves.map((m) => m.y1))).toBeLessThan(-0.5)
  expect(Math.max(...short.moves.map((m) => m.y1))).toBeLessThanOrEqual(1e-9)
  expect(Math.max(...one("G2 X10 Y0 R6").moves.map((m) => m.y1))).toBeGreaterThan(0.5)
})

test("drilling cycle, absolute (3.5.16.2, first example)", () => {
  expect(ends("G90 G81 G98 X4 Y5 Z1.5 R2.8", [1, 2, 3])).toEqual([
    ["rapid", [4, 5, 3]],
    ["rapid", [4, 5, 2.8]],
    ["feed", [4, 5, 1.5]],
    ["rapid", [4, 5, 3]],
  ])
})

test("drilling cycle, repeated and incremental (3.5.16.2, second example)", () => {
  const hole = (x: number, y: number) => [
    ["rapid", [x, y, 4.8]],
    ["feed", [x, y, 4.2]],
    ["rapid", [x, y, 4.8]],
  ]
  expect(ends("G91 G81 G98 X4 Y5 Z-0.6 R1.8 L3", [1, 2, 3])).toEqual([
    ["rapid", [1, 2, 4.8]],
    ...hole(5, 7),
    ...hole(9, 12),
    ...hole(13, 17),
  ])
})

test("pecking goes down by Q, clears, and comes back just above the bottom (3.5.16.4)", () => {
  const { moves } = one("G83 G99 X1 Y1 Z-1 R1 Q0.9", { at: [0, 0, 3] })
  expect(moves.map((m) => [m.kind[0], Number(m.z1.toFixed(3)), m.inOwnHole])).toEqual([
    ["r", 3, false],
    ["r", 1, false],
    ["f", 0.1, false],
    ["r", 1, false],
    ["r", 0.354, true],
    ["f", -0.8, false],
    ["r", 1, false],
    ["r", -0.546, true],
    ["f", -1, false],
    ["r", 1, false],
  ])
})

test("cycle values stay while the cycle does, G80 ends it (3.5.15, 3.5.16)", () => {
  const { moves, faults } = readCutProgram("F100\nG99 G81 X4 Y5 Z-2 R1\nX8\nG80\nG0 Z5\nG81 X9\nM30\n", {
    at: [0, 0, 5],
  })
  expect(moves.filter((m) => m.kind === "feed").map((m) => [m.x1, m.y1, m.z1])).toEqual([
    [4, 5, -2],
    [8, 5, -2],
  ])
  expect(faults).toEqual([{ line: 6, reason: "G81 without Z and no cycle active" }])
})

test("G92 offsets (3.5.18): X = 4, then G92 x7 gives −3, then G92 x9 gives −5", () => {
  expect(one("G92 x7", { at: [4, 0, 0] }).offsets[0]).toBe(-3)
  const twice = one("G92 x7\nG92 x9", { at: [4, 0, 0] })
  // The first call made X read 7; making that same place read 9 shifts by two more.
  expect(twice.offsets[0]).toBe(-5)
  expect(one("G92 x7\nG92.1\nG0 X4", { at: [4, 0, 0] }).at[0]).toBe(4)
  expect(one("G92 x7\nG92.2\nG92.3\nG0 X7", { at: [4, 0, 0] }).at[0]).toBe(4)
})

test("inverse time (3.5.19): F2 takes half a minute", () => {
  expect(one("G93 G1 X10 F2").feedMinutes).toBeCloseTo(0.5, 12)
})

test("inches, and work origins by G10", () => {
  expect(one("G20 G0 X1").at[0]).toBeCloseTo(25.4, 12)
  expect(one("G10 L2 P2 X10\nG55 G0 X1").at[0]).toBe(11)
  expect(one("G1 X1 F10 G20").moves[0]!.feed).toBeCloseTo(254, 9)
})

test("nothing after M2 or M30 is executed (3.6.1); a program must end", () => {
  const early = readCutProgram("G0 X1\nM2\nG0 X5\n")
  expect(early.at[0]).toBe(1)
  expect(early.notes[0]!.reason).toMatch(/never executed/)
  expect(readCutProgram("G0 X1\n").faults[0]!.reason).toMatch(/does not end/)
  expect(readCutProgram("%\nG0 X1\n").faults[0]!.reason).toMatch(/closing % is missing/)
  expect(readCutProgram("%\nG0 X1\n%\n").faults).toEqual([])
  expect(readCutProgram("").faults).toHaveLength(1)
})

const sample = `(checker sample, own work)
G21 G90 G94 G17
G54
S12000 M3
G0 Z5
G0 X0 Y0
G1 Z-0.1 F60
G1 X30 F300
G1 Y40
G1 X0 Y0
G0 Z5
G0 X10 Y10
G1 Z-0.1 F60
G2 X10 Y10 I5 J0 F300
G0 Z5
G99 G81 X4 Y5 Z-2 R1 F120
X8
X12 Y9
G80
G0 Z5
M5
M30
`
test("lengths and time of a program worked by hand", () => {
  const r = readCutProgram(sample)
  expect(r.faults).toEqual([])
  expect(r.feedLength).toBeCloseTo(170.61592653589793, 6)
  expect(r.rapidLength).toBeCloseTo(63.80923954912999, 6)
  expect(r.feedMinutes).toBeCloseTo(0.7497197551196598, 6)
  expect(r.at).toEqual([12, 9, 5])
  expect(r.said).toEqual({ units: true, distance: true, plane: true })
  const bottoms = r.moves.filter((m) => m.kind === "feed" && m.z1 === -2).map((m) => [m.x1, m.y1])
  expect(bottoms).toEqual([
    [4, 5],
    [8, 5],
    [12, 9],
  ])
  expect(r.moves.filter((m) => m.kind === "feed").every((m) => m.spindle === 12000)).toBe(true)
})

test("line ends, capitals and rubbish never throw", () => {
  expect(readCutProgram(sample.replaceAll("\n", "\r\n").toLowerCase()).feedLength).toBeCloseTo(
    170.615926536,
    6,
  )
  for (const text of [
    "\u0000\u0000",
    "G",
    "GG1",
    "#",
    "#=",
    "G1X#",
    "[",
    "N",
    "G1 X1e9",
    "((",
    "%%",
    "é",
    "M",
    "X[",
    "#1=[",
  ]) {
    const { faults } = readCutProgram(`${text}\nM30\n`)
    expect(faults.length).toBeGreaterThan(0)
  }
  expect(readCutProgram("Q\n".repeat(5000)).faults.length).toBeLessThan(110)
})

test("probing (3.5.9.1): straight at feed towards the point where it is asked for, refused elsewhere", () => {
  const text = "G21 G90\nG0 X5 Z1\nG38.2 Z-1 F40\nG0 Z3\nM30\n"
  expect(readCutProgram(text).faults[0]!.reason).toContain("probing")
  const { moves, faults } = readCutProgram(text, { probing: true })
  expect(faults).toEqual([])
  expect(moves[1]).toMatchObject({ kind: "feed", feed: 40, z0: 1, z1: -1 })
  // Nearer than 0.254 mm, and without an axis word.
  const refused = (line: string) =>
    readCutProgram(`G21 G90\nF40\n${line}\nM30\n`, { probing: true }).faults[0]?.reason
  expect(refused("G38.2 Z-0.2")).toContain("0.254")
  expect(refused("G38.2")).toContain("without X, Y or Z")
})
