// Checks of what is cut besides grooves and holes: slots, milled holes, cleared copper, run-out, the programs on the
// side, and time and travel counted again. Each is shown something spoilt and must see it.

import { describe, expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Board } from "../../5-board/artefact.ts"
import type { CutterProgram, ExtraProgram } from "../../6-copper/artefact.ts"
import { boardsOf, cutLamp } from "../../6-copper/cut-lamp.testing.ts"
import { designCut } from "../../6-copper/design-cut.ts"
import { syntheticBoard as randomBoard } from "../../6-copper/synthetic-boards.testing.ts"
import { countBits } from "./bit-raster.ts"
import { labelCopper } from "./label-copper.ts"
import { countProgram } from "./program-time.ts"
import { proveCut } from "./prove-cut.ts"
import { proveExtras } from "./prove-extras.ts"
import { readCutProgram } from "./read-cut-program.ts"
import { simulateCut } from "./simulate-cut.ts"
import {
  engraveText,
  outlineText,
  type Stroke,
  strokes,
  syntheticBoard,
  syntheticBoards,
  syntheticCircuit,
  syntheticLamp,
  syntheticPrograms,
} from "./synthetic-board.testing.ts"
import { traceCopper } from "./trace-copper.ts"
import { wantedNetlist } from "./wanted-netlist.ts"

const plain = randomBoard({ seed: 5, w: 40, h: 28, lands: 20, margin: 4 })
const ways = { separate: "between", direction: "climb", leadIn: 1, files: "one", probes: 12 } as const
const lampOf = (cutter: Partial<Lamp["cutter"]> = {}): Lamp => ({ ...cutLamp(cutter), cutting: ways })
const made = (board: Board, cutter: Partial<Lamp["cutter"]> = {}) => {
  const lamp = lampOf(cutter)
  return { lamp, plan: finish(designCut(lamp, boardsOf(board))).plan }
}
const prove = (lamp: Lamp, board: Board, programs: readonly CutterProgram[]) => {
  const wanted = {
    pins: new Map(board.lands.map((l) => [l.ref, new Map(l.net === undefined ? [] : [[l.pin, l.net]])])),
    pads: new Map<string, string>(),
    faults: [],
  }
  return finish(proveCut(lamp, board, wanted, programs, () => undefined, "earth"))
}
const red = (findings: readonly { severity: string; code: string }[]) =>
  findings.filter((f) => f.severity === "red").map((f) => f.code)

describe("slots and milled holes", () => {
  const board: Board = {
    ...plain,
    slots: [{ from: { x: 14, y: 5.6 }, to: { x: 20, y: 5.6 }, width: 2 }],
  }
  // No 3.2 mm drill: the router mills the screw holes.
  const { lamp, plan } = made(board, { drills: [0.8, 1] })

  test("as designed they pass; the copper they take is seen", () => {
    const seen = prove(lamp, board, plan.programs)
    expect(red(seen.findings)).toEqual([])
    expect(seen.findings.some((f) => f.code === "proof.slot" && f.severity === "green")).toBe(true)
    expect(seen.findings.some((f) => f.code === "proof.holes" && f.severity === "green")).toBe(true)
  })
  test("a slot left out, moved or widened is red, and so is a milled hole of another size", () => {
    const outline = plan.programs.find((p) => p.purpose === "outline")!
    const without = finish(designCut(lamp, boardsOf(plain))).plan.programs
    expect(red(prove(lamp, board, without).findings)).toContain("proof.slot")
    const wider = { ...board, slots: [{ ...board.slots![0]!, width: 2.4 }] }
    expect(red(prove(lamp, wider, plan.programs).findings)).toContain("proof.slot")
    const narrower = { ...board, slots: [{ ...board.slots![0]!, width: 1.7 }] }
    expect(red(prove(lamp, narrower, plan.programs).findings)).toContain("proof.slot")
    const fat = plan.programs.map((p) => (p === outline ? { ...p, toolDiameter: 1.6 } : p))
    expect(red(prove(lamp, board, fat).findings)).toContain("proof.hole-missing")
  })
  test("a router that runs across a track breaks its net", () => {
    const across = "G0 X10 Y0\nG1 Z-0.5 F60\nG1 X10 Y11 F240\nG0 Z3\nM5"
    const own = syntheticPrograms({ outline: outlineText().replace("M5", across) })
    const seen = finish(proveCut(syntheticLamp, plate, plateNets, own, () => undefined, "A"))
    expect(seen.proof.opens.map((o) => o.net)).toContain("A")
    const air = syntheticPrograms({ outline: outlineText().replace("M5", across.replace("Z-0.5", "Z0.5")) })
    expect(finish(proveCut(syntheticLamp, plate, plateNets, air, () => undefined, "A")).proof.opens).toEqual(
      [],
    )
  })
})

const plate = syntheticBoard()
const plateNets = wantedNetlist(syntheticCircuit(), syntheticBoards(plate))
/** Leaves net A a neck of about 0.35 mm. */
const slit: Stroke = { nets: ["A", "A"], from: [10, 0], to: [10, 9.4] }

test("run-out takes copper but is not trusted to part nets; play of the axes is taken off the narrowest copper", () => {
  const programs = syntheticPrograms({ engrave: engraveText([...strokes(), slit]) })
  const see = (engraver: object, machine: object) => {
    const { cutter } = syntheticLamp
    const lamp = {
      ...syntheticLamp,
      cutter: {
        ...cutter,
        engraver: { ...cutter.engraver, ...engraver },
        machine: { ...cutter.machine, ...machine },
      },
    }
    return finish(proveCut(lamp, plate, plateNets, programs, () => undefined, "A"))
  }
  const sharp = see({}, {}).proof
  expect(sharp.narrowestCopper).toBeLessThan(1)
  const loose = see({ runOut: 0.1 }, { backlash: 0.02, resolution: 0.01 })
  expect(loose.proof.narrowestGroove).toBe(sharp.narrowestGroove)
  // Half the run-out from either side of the neck, within a cell of the grid.
  expect(Math.abs(sharp.narrowestCopper - loose.proof.narrowestCopper - 0.1)).toBeLessThan(0.025)
  // 2 · 0.05 · tan 15° more flat, which does part nets too.
  const worn = see({ wear: 0.2 }, {}).proof
  expect(Math.abs(worn.narrowestGroove - sharp.narrowestGroove - 0.4 * Math.tan(Math.PI / 12))).toBeLessThan(
    0.025,
  )
  const off = loose.findings.find((f) => f.code === "proof.position")!
  expect(off.measured!.value).toBeCloseTo(loose.proof.narrowestCopper - 2 * Math.SQRT2 * 0.025, 9)
})

describe("time and travel", () => {
  test("worked by hand: one groove of 30 mm", () => {
    // Rapid 30 mm at 25 mm/s and 100 mm/s²: 30/25 + 25/100 = 1.45 s. Feed down 3 mm at 1 mm/s: 3 + 0.01 s.
    // Along 30 mm at 5 mm/s: 6 s and 0.05 s of ramp; the corner of 90° is passed at less than 1 mm/s, √(100·0.0241) = 1.55.
    const text = "G21 G90 G17\nG0 Z2.9\nM3 S1\nG0 X30\nG1 Z-0.1 F60\nG1 X60 F300\nG0 Z2.9\nM5\nM30\n"
    const { moves } = readCutProgram(text)
    const counted = countProgram(moves, { rapid: 1500, acceleration: 100 })
    const down = 3 + 1 / 200
    const along = 6 + (5 - 1) ** 2 / (2 * 5 * 100) + 5 / 200
    const up = 2 * Math.sqrt(3 / 100)
    expect(counted.time).toBeCloseTo(1.45 + down + along + up, 2)
    expect(counted).toMatchObject({ travel: 30, cut: 30, plunges: 1 })
  })
  test("claims agree with what is counted; a claim that is off is told", () => {
    const { lamp, plan } = made(plain)
    const told = (programs: readonly CutterProgram[]) =>
      prove(lamp, plain, programs).findings.find((f) => f.code === "proof.program-count")!
    expect(told(plan.programs).severity).toBe("green")
    const boasting = plan.programs.map((p) => (p.purpose === "engrave" ? { ...p, time: p.time * 0.9 } : p))
    expect(told(boasting).severity).toBe("amber")
    const lazy = plan.programs.map((p) => (p.purpose === "engrave" ? { ...p, travel: p.travel * 0.9 } : p))
    expect(told(lazy).severity).toBe("amber")
  })
})

describe("programs on the side", () => {
  const { lamp, plan } = made(plain, { mills: [{ diameter: 0.8, feed: 200, plunge: 60 }] })
  const judge = (edit: (e: ExtraProgram) => string, kind: ExtraProgram["kind"]) =>
    red(
      proveExtras(
        lamp,
        plan.extras!.map((e) => (e.kind === kind ? { ...e, text: edit(e) } : e)),
        plan.programs,
      ).findings,
    )

  test("as made they pass", () => {
    expect(plan.extras!.map((e) => e.kind).sort()).toEqual(["coupon", "one-file", "probe"])
    expect(proveExtras(lamp, plan.extras!, plan.programs).findings.map((f) => f.severity)).toEqual([
      "green",
      "green",
    ])
  })
  test.each([
    ["a rapid below the surface", "coupon", (t: string) => t.replace("G1 Z-0.04", "G0 Z-0.04")],
    ["a groove far too deep", "coupon", (t: string) => t.replace("Z-0.04", "Z-4")],
    ["grooves with the spindle standing", "coupon", (t: string) => t.replace(/S12000 M3/, "M5")],
    ["a probe that turns", "probe", (t: string) => t.replace(/^M5/m, "M3 S1000")],
    ["a probe dragged aside", "probe", (t: string) => t.replace("G38.2 Z-1", "G38.2 Z-1 X9")],
    ["a probe pushed too deep", "probe", (t: string) => t.replace("G38.2 Z-1", "G38.2 Z-3")],
    ["a line that cannot be read", "probe", (t: string) => t.replace("G54", "G540")],
    ["a cutting move left out", "one-file", (t: string) => t.replace(/\nG1 X[^\n]*/, "")],
    ["a stop left out", "one-file", (t: string) => t.replace("\nM0", "")],
    ["another feed", "one-file", (t: string) => t.replace("F300", "F310")],
  ] as const)("%s is red", (_, kind, edit) => {
    expect(judge((e) => edit(e.text), kind)).not.toEqual([])
  })
})

test("traced copper has the area of its pixels, piece by piece", () => {
  const { lamp, plan } = made(plain)
  const job = {
    outline: plain.outline,
    engraver: lamp.cutter.engraver,
    engraving: readCutProgram(plan.programs[0]!.text).moves,
    holes: plain.lands.map((l) => ({ x: l.x, y: l.y, diameter: l.hole })),
    foil: 0.035,
  }
  const raster = simulateCut(job, { pixel: 0.05, at: "top", height: 0 })
  const traced = traceCopper(labelCopper(raster))
  const area = traced.reduce(
    (sum, { rings }) =>
      sum +
      rings.reduce(
        (s, ring) =>
          s +
          ring.reduce(
            (t, p, k) => t + p.x * ring[(k + 1) % ring.length]!.y - ring[(k + 1) % ring.length]!.x * p.y,
            0,
          ) /
            2,
        0,
      ),
    0,
  )
  // Copper on the left all round: holes count negative.
  expect(area / (countBits(raster) * 0.05 ** 2)).toBeCloseTo(1, 2)
})

describe("ramps into grooves", () => {
  const loop =
    "G0 X25 Y2\nG1 Z0 F100\nG1 X25.4 Z-0.04 F200\nG1 X25.8 Z-0.07\nG1 X26 Z-0.1\nG1 X28 F300\nG0 Z3\n"
  const seen = (more: string) =>
    finish(
      proveCut(
        syntheticLamp,
        plate,
        plateNets,
        syntheticPrograms({ engrave: engraveText().replace("M5", `${more}M5`) }),
        () => undefined,
        "A",
      ),
    )
  const depth = (more: string) => seen(more).findings.find((f) => f.code === "proof.cut-depth")!

  test("a ramp in several pieces counts with the depth at its end", () => {
    expect(depth(loop).measured!.value).toBeCloseTo(0.07, 9)
    expect(depth(loop).severity).not.toBe("red")
  })
  test("a groove that stays shallow, or falls as slowly as a sheet lies askew, counts with what it has", () => {
    expect(depth(loop.replaceAll("Z-0.1", "Z-0.06").replace("Z-0.07", "Z-0.05")).measured!.value).toBeCloseTo(
      0.03,
      9,
    )
    const askew = "G0 X25 Y2\nG1 Z-0.04 F100\nG1 X26 Z-0.045 F300\nG1 X27 Z-0.05\nG1 X28 Z-0.055\nG0 Z3\n"
    expect(depth(askew).measured!.value).toBeCloseTo(0.015, 9)
    expect(depth(askew).severity).toBe("red")
  })
})
