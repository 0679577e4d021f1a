// The files for a fabricator, read back by readers written from the formats alone. The readers are first held against
// samples and hand-worked figures: reference sheet F-1 to F-7 (Gerber Layer Format Specification, Ucamco: first worked
// example read, the rest from memory; IPC-D-356A opening pages read, columns partly from memory; XNC from memory).

import { describe, expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import { boardsOf, cutLamp } from "../../6-copper/cut-lamp.testing.ts"
import { designCut } from "../../6-copper/design-cut.ts"
import { syntheticBoard } from "../../6-copper/synthetic-boards.testing.ts"
import { orderFiles } from "./order-files.ts"
import {
  apertureArea,
  darkArea,
  islandAt,
  islands,
  type Painted,
  paint,
  readGerber,
} from "./read-gerber.testing.ts"
import { readDrill, readTestRecords } from "./read-order.testing.ts"

const head = "%FSLAX46Y46*%\n%MOMM*%\n"

describe("the reader itself", () => {
  test("F-1: two squares, eight draws, 40 mm", () => {
    const { segments } = readGerber(
      `${head}%ADD10C,0.010000*%\nD10*\nG01*\nX0Y0D02*\nX5000000Y0D01*\nY5000000D01*\nX0D01*\nY0D01*\n` +
        "X6000000D02*\nX11000000D01*\nY5000000D01*\nX6000000D01*\nY0D01*\nM02*\n",
    )
    expect(segments).toEqual([
      [0, 0, 5, 0],
      [5, 0, 5, 5],
      [5, 5, 0, 5],
      [0, 5, 0, 0],
      [6, 0, 11, 0],
      [11, 0, 11, 5],
      [11, 5, 6, 5],
      [6, 5, 6, 0],
    ])
    expect(segments.reduce((s, [a, b, c, d]) => s + Math.hypot(c - a, d - b), 0)).toBe(40)
  })

  test("F-2: areas of the standard apertures", () => {
    const { apertures, flashes } = readGerber(
      `${head}%ADD10C,2.000000*%\n%ADD11R,2.000000X1.000000*%\n%ADD12O,3.000000X1.000000*%\n%ADD13P,2.000000X6*%\n` +
        "%ADD14C,2.000000X0.800000*%\n%ADD15P,2.000000X4X45.000000*%\n" +
        "D10*\nX0Y0D03*\nD11*\nX5000000Y0D03*\nD12*\nX10000000Y0D03*\nD13*\nX15000000Y0D03*\nD14*\nX20000000Y0D03*\n" +
        "D15*\nX25000000Y0D03*\nM02*\n",
    )
    const known = [Math.PI, 2, 2.785398163, 2.598076211, 2.638937829, 2]
    expect(flashes.map((f) => f.x)).toEqual([0, 5, 10, 15, 20, 25])
    flashes.forEach((f, k) => {
      expect(Math.abs(apertureArea(apertures.get(f.d)!) - known[k]!)).toBeLessThan(1e-6)
    })
    // The same apertures as they are drawn.
    const whole = readGerber(`${head}%ADD10O,3X1*%D10*X0Y0D03*M02*`)
    expect(Math.abs(darkArea(paint(whole, 0.005)) / known[2]! - 1)).toBeLessThan(1e-3)
  })

  test("F-3: a region with a clear square and a half disc: 123.2699 mm² in two islands", () => {
    const painted = paint(
      readGerber(
        `${head}%LPD*%\nG01*\nG36*\nX0Y0D02*\nX10000000D01*\nY10000000D01*\nX0D01*\nY0D01*\nG37*\n%LPC*%\nG36*\n` +
          "X3000000Y3000000D02*\nX7000000D01*\nY7000000D01*\nX3000000D01*\nY3000000D01*\nG37*\n%LPD*%\nG75*\nG36*\n" +
          "X20000000Y0D02*\nG01*\nX30000000D01*\nG03*\nX20000000Y0I-5000000J0D01*\nG01*\nG37*\nM02*\n",
      ),
      0.01,
    )
    expect(Math.abs(darkArea(painted) / 123.269908 - 1)).toBeLessThan(1e-3)
    expect(islands(painted).count).toBe(2)
  })

  test("F-4: two pads and a track: 24.369962 mm², one island", () => {
    const painted = paint(
      readGerber(
        `${head}%ADD10C,1.000000*%\n%ADD11C,2.000000*%\nD11*\nX0Y0D03*\nX20000000Y0D03*\nD10*\nG01*\nX0Y0D02*\nX20000000Y0D01*\nM02*\n`,
      ),
      0.005,
    )
    expect(Math.abs(darkArea(painted) / 24.369962 - 1)).toBeLessThan(1e-3)
    expect(islands(painted).count).toBe(1)
  })

  test.each([
    ["no format", "%MOMM*%\n%ADD10C,1*%D10*X0Y0D03*M02*"],
    ["no unit", "%FSLAX46Y46*%%ADD10C,1*%D10*X0Y0D03*M02*"],
    ["no end", `${head}%ADD10C,1*%D10*X0Y0D03*`],
    ["an aperture below 10", `${head}%ADD09C,1*%M02*`],
    ["a flash in a region", `${head}%ADD10C,1*%D10*G36*X0Y0D02*X1Y1D03*G37*M02*`],
    ["an open contour", `${head}G36*X0Y0D02*X5Y0D01*X5Y5D01*G37*M02*`],
    ["an unknown aperture", `${head}D11*M02*`],
    ["a polygon of two corners", `${head}%ADD10P,2X2*%M02*`],
    ["a polygon of thirteen corners", `${head}%ADD10P,2X13*%M02*`],
  ])("F-5 refuses %s", (_, text) => {
    expect(() => readGerber(text)).toThrow()
  })

  test("F-6: test records by their columns", () => {
    const { records } = readTestRecords(
      [
        "P  JOB   LAMP-CHECK",
        "P  UNITS CUST 1",
        "317VBAT             J1    -1    D1000UA01X+002540Y+005080X2000Y0000R000 S0",
        "327LED_A            D1    -1          A01X+020000Y+015000X1500Y0900R090 S0",
        "999",
      ].join("\n"),
    )
    expect(records[0]).toMatchObject({
      net: "VBAT",
      ref: "J1",
      pin: "1",
      hole: 1,
      plated: false,
      x: 2.54,
      y: 5.08,
    })
    expect(records[1]).toMatchObject({
      op: "327",
      net: "LED_A",
      size: [1.5, 0.9],
      rotation: 90,
      hole: undefined,
    })
  })

  test("F-7: four holes of three drills", () => {
    const { holes } = readDrill(
      "M48\n; #@! TF.FileFunction,NonPlated,1,1,NPTH\nMETRIC\nT01C0.800\nT02C1.000\nT03C3.200\n%\nG05\nT01\nX1.5Y2.0\nX4.04Y2.0\nT02\nX10.0Y12.5\nT03\nX-1.0Y-1.0\nM30\n",
    )
    expect(holes).toEqual([
      { x: 1.5, y: 2, diameter: 0.8 },
      { x: 4.04, y: 2, diameter: 0.8 },
      { x: 10, y: 12.5, diameter: 1 },
      { x: -1, y: -1, diameter: 3.2 },
    ])
    expect(() => readDrill("M48\nMETRIC\n%\nG05\nT01\nX1.0Y1.0\nM30\n")).toThrow()
  })
})

describe("F-8: a board goes out and comes back", () => {
  const plain = syntheticBoard({ seed: 4, w: 50, h: 36, lands: 40, margin: 4 })
  const board = {
    ...plain,
    slots: [{ from: { x: 20, y: 5.5 }, to: { x: 26, y: 5.5 }, width: 1.6 }],
  }
  const { copper } = finish(designCut(cutLamp(), boardsOf(board)))
  const files = new Map(
    orderFiles("Test lamp", board, copper.boards[0]).map((f) => [f.path.replace(/.*-/, ""), f.text]),
  )
  const gerber = readGerber(files.get("copper.gbr")!)
  const painted: Painted = paint(gerber, 0.05)
  const found = islands(painted)
  const records = readTestRecords(files.get("nets.ipc")!).records
  const lands = records.filter((r) => r.op === "317")

  test("every island of copper carries one net, and every net stands on its own island", () => {
    const netOf = new Map<number, string>()
    for (const r of lands) {
      // Half way between hole and rim.
      const at = islandAt(painted, found.of, r.x + (r.hole! + r.size[0]) / 4, r.y)
      expect(at, `${r.ref}-${r.pin}`).toBeGreaterThan(0)
      if (r.net === "N/C") continue
      expect(netOf.get(at) ?? r.net).toBe(r.net)
      netOf.set(at, r.net)
    }
    expect(netOf.size).toBe(new Set(lands.filter((r) => r.net !== "N/C").map((r) => r.net)).size)
  })

  test("records, holes and pads are those of the board, to the micrometre", () => {
    expect(lands).toHaveLength(board.lands.length)
    board.lands.forEach((l, k) => {
      const r = lands[k]!
      expect([r.net, r.ref, r.pin, r.hole, r.plated, r.access]).toEqual([
        l.net ?? "N/C",
        l.ref,
        l.pin,
        l.hole,
        false,
        "01",
      ])
      expect(Math.hypot(r.x - l.x, r.y - l.y)).toBeLessThan(0.001)
    })
    const { holes, slots, attributes } = readDrill(files.get("holes.drl")!)
    const want = [
      ...board.lands.map((l) => [l.x, l.y, l.hole]),
      ...board.screws.map((s) => [s.x, s.y, s.diameter]),
    ]
    expect(holes).toHaveLength(want.length)
    for (const [x, y, d] of want)
      expect(holes.some((h) => Math.hypot(h.x - x!, h.y - y!) < 1e-4 && h.diameter === d)).toBe(true)
    expect(slots).toEqual([{ from: [20, 5.5], to: [26, 5.5], width: 1.6 }])
    expect(attributes).toEqual(["TF.FileFunction,NonPlated,1,1,NPTH"])
    const pads = gerber.flashes.filter((f) => f.net !== undefined)
    for (const p of pads)
      expect(board.lands.some((l) => l.net === p.net && Math.hypot(l.x - p.x, l.y - p.y) < 1e-5)).toBe(true)
  })

  test("the copper drawn is the copper that is cut, and every file says what it is", () => {
    const cut = copper.boards[0]!.islands
    const ringArea = (ring: readonly { x: number; y: number }[]) =>
      Math.abs(
        ring.reduce(
          (s, p, k) => s + p.x * ring[(k + 1) % ring.length]!.y - ring[(k + 1) % ring.length]!.x * p.y,
          0,
        ) / 2,
      )
    const whole = cut.reduce(
      (s, i) => s + ringArea(i.ring) - (i.holes ?? []).reduce((h, r) => h + ringArea(r), 0),
      0,
    )
    expect(Math.abs(darkArea(painted) / whole - 1)).toBeLessThan(5e-3)
    expect(gerber.attributes).toContain("TF.FileFunction,Copper,L1,Top")
    expect(readGerber(files.get("mask.gbr")!).attributes).toContain("TF.FilePolarity,Negative")
    const edge = readGerber(files.get("edge.gbr")!)
    expect(edge.attributes).toContain("TF.FileFunction,Profile,NP")
    expect(edge.segments).toHaveLength(board.outline.length)
    expect(edge.segments[edge.segments.length - 1]!.slice(2)).toEqual(edge.segments[0]!.slice(0, 2))
  })

  test("long and foreign names fit their columns and stay apart", () => {
    const [a, b] = plain.lands
    const odd = {
      ...board,
      lands: plain.lands.map((l) =>
        l.ref === a!.ref
          ? { ...l, net: "sweep left string number 12", ref: "sweep-left-12" }
          : l.ref === b!.ref
            ? { ...l, net: "sweep left string number 13", ref: "sweep-left-13" }
            : l,
      ),
    }
    const text = orderFiles("Lämpchen", odd, copper.boards[0]).find((f) => f.path.endsWith(".ipc"))!.text
    const read = readTestRecords(text)
    const names = read.records.map((r) => `${r.net} ${r.ref}-${r.pin}`)
    expect(new Set(names).size).toBe(names.length)
    expect(read.comments.join("\n")).toContain("is sweep left string number 12")
    expect(text).toMatch(/^[\x20-\x7e\n]*$/)
  })
})
