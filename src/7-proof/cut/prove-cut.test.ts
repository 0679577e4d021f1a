// The mutation set: every way we know to spoil a board must be found, and the sound board must pass.

import { expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import type { Boards } from "../../5-board/artefact.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import { proveCut } from "./prove-cut.ts"
import { proveHarness } from "./prove-harness.ts"
import {
  drillText,
  engraveText,
  outlineText,
  program,
  strokes,
  syntheticBoard,
  syntheticBoards,
  syntheticCircuit,
  syntheticLamp,
  syntheticPrograms,
} from "./synthetic-board.testing.ts"
import { wantedNetlist } from "./wanted-netlist.ts"

function prove(
  change: Parameters<typeof syntheticPrograms>[0] = {},
  board = syntheticBoard(),
  boards?: Boards,
) {
  const all = boards ?? syntheticBoards(board)
  const wanted = wantedNetlist(syntheticCircuit(), all)
  const evidence = finish(
    proveCut(syntheticLamp, board, wanted, syntheticPrograms(change), () => undefined, "A"),
  )
  const harness = proveHarness(syntheticCircuit(), all, wanted, new Map([[board.name, evidence.joined]]))
  const findings = [...evidence.findings, ...harness]
  expect(unexplained({ findings, figures: evidence.figures })).toEqual([])
  return { ...evidence.proof, findings, red: findings.filter((f) => f.severity === "red").map((f) => f.code) }
}

test("the sound board passes, with its thinnest places", () => {
  const p = prove()
  expect(p.findings.filter((f) => f.severity !== "green").map((f) => f.title)).toEqual([
    // It lies at the sheet's very corner: the router hangs over the edge by its width.
    "Room between cutting tools and the edge of the 160 × 100 mm sheet, plate",
    "plate is cut all round with 1 tabs",
  ])
  expect(p.shorts).toEqual([])
  expect(p.opens).toEqual([])
  // Grooves of one pass, 0.1 mm deep less 0.03 mm, at the bottom of 35 µm: 0.2 + 2·0.035·tan 15° = 0.2188 mm.
  expect(p.narrowestGroove).toBeGreaterThan(0.2188 - 0.03)
  expect(p.narrowestGroove).toBeLessThanOrEqual(0.2188 + 0.001)
})

test.each(strokes().map((s, i) => [i, s] as const))(
  "groove %i left out: the right short at the right place",
  (i, dropped) => {
    const rest = strokes().filter((_, k) => k !== i)
    const p = prove({ engrave: engraveText(rest) })
    const pairs = p.shorts.map((s) => [...s.nets].sort())
    expect(pairs).toContainEqual([...dropped.nets].sort())
    expect(pairs).toHaveLength(1)
    const [s] = p.shorts
    const [x0, y0] = dropped.from
    const [x1, y1] = dropped.to
    const across = x0 === x1 ? Math.abs(s!.x - x0) : Math.abs(s!.y - y0)
    expect(across).toBeLessThan(3)
    expect(s!.x).toBeGreaterThan(Math.min(x0, x1) - 3)
    expect(s!.x).toBeLessThan(Math.max(x0, x1) + 3)
    expect(s!.y).toBeGreaterThan(Math.min(y0, y1) - 3)
    expect(s!.y).toBeLessThan(Math.max(y0, y1) + 3)
    expect(p.red).toContain("proof.short")
  },
)

test("a groove shifted sideways over a land is seen", () => {
  const moved = strokes().map((s, i) =>
    i === 0 ? { ...s, from: [s.from[0] + 5, s.from[1]] as const, to: [s.to[0] + 5, s.to[1]] as const } : s,
  )
  const p = prove({ engrave: engraveText(moved) })
  expect(p.red.length).toBeGreaterThan(0)
  expect(p.shorts.length + p.opens.length).toBeGreaterThan(0)
})

test("a cut shallower than the foil separates nothing", () => {
  const p = prove({ engrave: engraveText(strokes(), 0.03) })
  // Seven nets run into one: six joins span them.
  expect(p.shorts).toHaveLength(6)
  expect(p.red).toContain("proof.cut-depth")
})

test("a cut that is deep enough only on a flat sheet is not deep enough", () => {
  const p = prove({ engrave: engraveText(strokes(), 0.06) })
  expect(p.red).toContain("proof.cut-depth")
  expect(p.shorts.length).toBeGreaterThan(0)
})

test.each(syntheticBoard().lands.map((l) => [`${l.ref}.${l.pin}`, l] as const))(
  "a ring cut round %s is seen",
  (name, land) => {
    const r = 1.4
    const ring = `G0 X${land.x - r} Y${land.y}\nG1 Z-0.1 F100\nG2 X${land.x - r} Y${land.y} I${r} J0 F300\nG0 Z3`
    const p = prove({ engrave: engraveText().replace("M5", `${ring}\nM5`) })
    const alone = ["D1.K", "X1.1", "R3.2"].includes(name)
    // A land that is alone in its net loses nothing by a ring round it.
    if (alone) expect(p.opens).toEqual([])
    else expect(p.opens.length).toBeGreaterThan(0)
    // A link's end belongs to no net of its own: what it reaches is cut off instead.
    if (!alone) expect(p.opens[0]!.net).toBe(land.net)
  },
)

test("a cut across a track is an open at that place", () => {
  const cut = "G0 X10 Y2\nG1 Z-0.1 F100\nG1 X10 Y9.9 F300\nG0 Z3\nG0 X10 Y0\nG1 Z-0.1\nG1 X10 Y2 F300\nG0 Z3"
  const p = prove({ engrave: engraveText().replace("M5", `${cut}\nM5`) })
  expect(p.opens).toHaveLength(1)
  expect(p.opens[0]!.net).toBe("A")
  expect(p.opens[0]!.x).toBeCloseTo(10, 0)
  expect(p.opens[0]!.y).toBeCloseTo(5, 0)
  expect(p.opens[0]!.lands).toEqual(["D1.A"])
})

test("a groove nearly across a track is the narrowest copper, with its width and place", () => {
  // Leaves the bridge between y = 4.5 and the next groove end at y = 5.2.
  const cut =
    "G0 X10 Y-1\nG1 Z-0.1 F100\nG1 X10 Y4.5 F300\nG0 Z3\nG0 X10 Y5.2\nG1 Z-0.1\nG1 X10 Y10 F300\nG0 Z3"
  const p = prove({ engrave: engraveText().replace("M5", `${cut}\nM5`) })
  expect(p.opens).toEqual([])
  // 0.7 mm between the tip's centres less the width at the top, 0.1 + 0.03 deep: 0.2 + 0.26·tan 15° = 0.2697 mm.
  expect(p.narrowestCopper).toBeGreaterThan(0.4303 - 0.03)
  expect(p.narrowestCopper).toBeLessThan(0.4303 + 0.01)
  expect(p.narrowestAt.net).toBe("A")
  expect(p.narrowestAt.x).toBeCloseTo(10, 0)
  expect(p.narrowestAt.y).toBeCloseTo(4.85, 0)
})

test("a missing hole, a stray hole and a wrong drill are seen", () => {
  const { lands } = syntheticBoard()
  expect(prove({ drill: drillText(lands.slice(1)) }).red).toEqual(["proof.hole-missing"])
  const stray = prove({ drill: drillText([...lands, { x: 20, y: 20 }]) })
  expect(stray.red).toContain("proof.hole-stray")
  const wrong = [
    program("engrave", engraveText(), 0.2),
    program("drill", drillText(), 1),
    program("outline", outlineText(), 1.5),
  ]
  const boards = syntheticBoards()
  const found = finish(
    proveCut(
      syntheticLamp,
      boards.boards[0]!,
      wantedNetlist(syntheticCircuit(), boards),
      wrong,
      () => undefined,
      "A",
    ),
  ).findings
  expect(found.filter((f) => f.code === "proof.hole-missing").length).toBeGreaterThan(0)
})

test("two lands at one place get one hole between them: both are named, and that there is one hole too few", () => {
  const board = syntheticBoard()
  const first = board.lands[0]!
  const name = `${first.ref}.${first.pin}`
  const missing = (dx: number, drilled: typeof board.lands) => {
    const second = { ...first, ref: "W8", pin: "1", x: first.x + dx }
    const p = prove({ drill: drillText(drilled) }, { ...board, lands: [...board.lands, second] })
    return p.findings.filter((f) => f.code === "proof.hole-missing")
  }
  for (const dx of [0, 0.004, 0.1]) {
    const [f, ...rest] = missing(dx, board.lands)
    expect(rest).toEqual([])
    expect(f!.severity).toBe("red")
    expect(f!.title).toContain(`${name} and W8.1`)
    expect(f!.title).toContain(`${dx.toFixed(2)} mm apart: two lands, but one hole`)
    expect([f!.measured!.value, f!.limit!.value]).toEqual([1, 2])
  }
})

test("a hole beside its place is told by how far", () => {
  const { lands } = syntheticBoard()
  const [f] = prove({
    drill: drillText([{ ...lands[0]!, x: lands[0]!.x + 0.1 }, ...lands.slice(1)]),
  }).findings.filter((x) => x.code === "proof.hole-missing")
  expect(f!.title).toContain("has its hole 0.1 mm beside its place")
})

test("a drill whose point only just comes out leaves no whole hole", () => {
  // A 0.8 mm drill has a point of 0.24 mm (118°): 1.7 mm deep is not through 1.6 mm.
  const shallow = prove({ drill: drillText().replaceAll("Z-2", "Z-1.7") })
  expect(shallow.red).toEqual(["proof.hole-depth"])
  expect(shallow.findings.find((f) => f.code === "proof.hole-depth")!.measured!.value).toBeCloseTo(
    1.7 - 0.240344,
    5,
  )
})

test("a wire link that joins nothing new is named, the needed one is not", () => {
  const board = syntheticBoard()
  const end = (pin: string, x: number) => ({
    ...board.lands.find((l) => l.ref === "W1")!,
    ref: "W2",
    pin,
    net: "E",
    x,
    y: 13,
  })
  const lands = [...board.lands, end("1", 13), end("2", 27)]
  const links = [
    ...board.links,
    { ref: "W2", net: "E", from: { x: 13, y: 13 }, to: { x: 27, y: 13 }, length: 14 },
  ]
  const p = prove({ drill: drillText(lands) }, { ...board, lands, links })
  expect(p.red).toEqual([])
  expect(p.findings.filter((f) => f.code === "proof.link-idle").map((f) => f.where.part)).toEqual(["W2"])
})

test("a drill through a track is an open", () => {
  const { lands } = syntheticBoard()
  const slot = Array.from({ length: 40 }, (_, i) => ({ x: 10, y: 0.1 + i * 0.25 }))
  const p = prove({ drill: drillText([...lands, ...slot]) })
  expect(p.opens.map((o) => o.net)).toEqual(["A"])
})

test("an outline that is too small, missing on a side, or without tabs is seen", () => {
  expect(prove({ outline: outlineText(0) }).red).toContain("proof.outline")
  const open = outlineText()
    .split("\n")
    .filter((l) => l !== "G1 X40.75 Y30.75")
    .join("\n")
  expect(prove({ outline: open }).red).toContain("proof.outline")
  const loose = prove({ outline: outlineText(-0.75, false) })
  expect(loose.red).toEqual([])
  expect(loose.findings.find((f) => f.code === "proof.outline")!.severity).toBe("amber")
})

test("unsafe programs are red: fast through the board, spindle standing, into the table, off the sheet", () => {
  const base = engraveText()
  const changes: readonly (readonly [string, string])[] = [
    [base.replace(/G0 Z3\n(G0 X20)/, "$1"), "through the board"],
    [base.replace("M3 S12000\n", ""), "spindle standing"],
    [base.replace("M5", "G0 X5 Y5\nG1 Z-4 F100\nG0 Z3\nM5"), "into the table"],
    [base.replace("M5", "G0 X170 Y5\nM5"), "leaves the sheet"],
    [base.replace("G21 ", ""), "G21 or G20"],
    [base.replace("G90 ", ""), "G90 or G91"],
    [base.replace(/(G0 Z3\n)+M5/, "M5"), "ends with the tool in the board"],
    [base.replace("M30", "M40"), "cannot be read"],
  ]
  for (const [engrave, why] of changes) {
    expect(engrave).not.toBe(base)
    const { findings } = prove({ engrave })
    expect(
      findings
        .filter((f) => f.severity === "red")
        .map((f) => f.title)
        .join("\n"),
    ).toContain(why)
  }
})

test("feeds beyond the description and a spindle that turns the wrong way are cautions", () => {
  const fast = prove({ engrave: engraveText().replaceAll("F300", "F900") })
  expect(
    fast.findings.find((f) => f.code === "proof.program-feed" && f.severity === "amber")?.title,
  ).toContain("engrave")
  expect(fast.red).toEqual([])
  const back = prove({ engrave: engraveText().replace("M3", "M4") })
  expect(back.findings.some((f) => f.title.includes("counter-clockwise"))).toBe(true)
})

test("no programs, rubbish programs and a board without an edge are findings, not crashes", () => {
  const boards = syntheticBoards()
  const board = boards.boards[0]!
  const wanted = wantedNetlist(syntheticCircuit(), boards)
  const reds = (b: typeof board, programs: ReturnType<typeof syntheticPrograms>) =>
    finish(proveCut(syntheticLamp, b, wanted, programs, () => undefined, "A"))
      .findings.filter((f) => f.severity === "red")
      .map((f) => f.code)
  expect(reds(board, [])).toContain("proof.program-missing")
  expect(reds(board, syntheticPrograms({ engrave: "hello", drill: "%", outline: "" }))).toContain(
    "proof.program-unreadable",
  )
  expect(reds({ ...board, outline: [] }, syntheticPrograms())).toEqual(["proof.outline"])
  expect(reds({ ...board, lands: [], parts: [], links: [], tracks: [] }, syntheticPrograms())).toContain(
    "proof.hole-stray",
  )
})

test("boards that tell a wrong story about the circuit are caught", () => {
  const boards = syntheticBoards()
  const board = boards.boards[0]!
  const swap = (a: string, b: string) => ({
    ...board,
    lands: board.lands.map((l) => {
      const name = `${l.ref}.${l.pin}`
      const other = name === a ? b : name === b ? a : name
      const [ref, pin] = other.split(".") as [string, string]
      return { ...l, ref, pin }
    }),
  })
  // A diode the wrong way round: copper as before, its pins exchanged.
  const turned = swap("D2.A", "D2.K")
  expect(prove({}, turned).shorts.length).toBeGreaterThan(0)
  const gone = { ...board, parts: board.parts.filter((p) => p.ref !== "R3") }
  expect(prove({}, gone).red).toContain("proof.wiring")
  const unwired = { ...boards, harness: [] }
  expect(prove({}, board, unwired).red).toContain("proof.harness")
  const noLink = { ...board, links: [], lands: board.lands.filter((l) => l.ref !== "W1") }
  const p = prove({ drill: drillText(noLink.lands) }, noLink)
  expect(p.opens.map((o) => o.net)).toEqual(["A"])
})
