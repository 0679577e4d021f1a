// The mutation set on the demo lamp's four boards: whatever is left out, cut too much, exchanged or turned is found.

import { beforeAll, describe, expect, test } from "vitest"
import { pointToSegment } from "../0-ground/geometry/segment.ts"
import { finish } from "../0-ground/progress.ts"
import type { Board, Boards } from "../5-board/artefact.ts"
import type { CutterProgram } from "../6-copper/artefact.ts"
import { ringPoints } from "./cut/extract-netlist.ts"
import { labelCopper, pieceAt } from "./cut/label-copper.ts"
import { proveHarness } from "./cut/prove-harness.ts"
import { readCutProgram } from "./cut/read-cut-program.ts"
import { drilledHoles, simulateCut } from "./cut/simulate-cut.ts"
import { wantedNetlist } from "./cut/wanted-netlist.ts"
import { makeLamp } from "./made-lamps.testing.ts"
import { inspectBoard, type Made } from "./prove-lamp.ts"

let made: Made
beforeAll(() => {
  made = makeLamp("tern")
}, 300_000)

const programsOf = (board: string) => made.programs.filter((p) => p.board === board)
const inspect = (board: string, programs: readonly CutterProgram[], boards: Boards = made.boards) =>
  finish(inspectBoard({ ...made, boards }, board, programs))!
const withEngraving = (board: string, edit: (text: string) => string) =>
  programsOf(board).map((p) => (p.purpose === "engrave" ? { ...p, text: edit(p.text) } : p))
const names = ["crescent", "left-wing", "right-wing", "control"]

function strokesOf(lines: readonly string[]): [number, number][] {
  const out: [number, number][] = []
  let start = -1
  for (const [i, line] of lines.entries()) {
    if (/^G1 Z-/.test(line)) start = i
    if (start >= 0 && /^G0 Z/.test(line)) {
      out.push([start, i])
      start = -1
    }
  }
  return out
}

/** Places the tool goes through, words that are left out kept from the line before. */
function pathOf(lines: readonly string[]): { x: number; y: number }[] {
  let x = Number.NaN
  let y = Number.NaN
  return lines.flatMap((line) => {
    const at = (letter: string) => new RegExp(`${letter}(-?[\\d.]+)`).exec(line)?.[1]
    x = Number(at("X") ?? x)
    y = Number(at("Y") ?? y)
    return Number.isNaN(x) || Number.isNaN(y) ? [] : [{ x, y }]
  })
}

/** Net of the copper at a place of the sound board, by following it from the lands. */
function netsOnSound(board: Board): (p: { x: number; y: number }) => string | undefined {
  const moves = (purpose: CutterProgram["purpose"]) =>
    programsOf(board.name).flatMap((p) =>
      p.purpose === purpose ? [{ p, moves: readCutProgram(p.text).moves }] : [],
    )
  const raster = simulateCut(
    {
      outline: board.outline,
      engraver: made.lamp.cutter.engraver,
      engraving: moves("engrave").flatMap((m) => m.moves),
      holes: moves("drill").flatMap((m) => drilledHoles(m.moves, m.p.toolDiameter)),
      foil: made.lamp.copperClad.copper,
    },
    { pixel: 0.02, at: "bottom", height: 0 },
  )
  const labels = labelCopper(raster)
  const netOf = new Map<number, string>()
  for (const l of board.lands) {
    for (const p of ringPoints(l)) {
      const piece = pieceAt(labels, p.x, p.y)
      if (piece >= 0) netOf.set(piece, l.net ?? `${l.ref}.${l.pin}`)
    }
  }
  return (p) => netOf.get(pieceAt(labels, p.x, p.y))
}

/** Points a quarter of a millimetre to the left and right of each segment's middle. */
function sidesOf(
  path: readonly { x: number; y: number }[],
): [{ x: number; y: number }, { x: number; y: number }][] {
  return path.slice(1).flatMap((b, i) => {
    const a = path[i]!
    const length = Math.hypot(b.x - a.x, b.y - a.y)
    if (length < 0.05) return []
    const [nx, ny] = [((a.y - b.y) / length) * 0.25, ((b.x - a.x) / length) * 0.25]
    const [x, y] = [(a.x + b.x) / 2, (a.y + b.y) / 2]
    return [
      [
        { x: x + nx, y: y + ny },
        { x: x - nx, y: y - ny },
      ] as [{ x: number; y: number }, { x: number; y: number }],
    ]
  })
}

describe.each(names)("%s", (name) => {
  test("every stroke left out between two nets is a short, at a place near by", () => {
    const text = programsOf(name).find((p) => p.purpose === "engrave")!.text
    const board = made.boards.boards.find((b) => b.name === name)!
    const lines = text.split("\n")
    const strokes = strokesOf(lines)
    expect(strokes.length).toBeGreaterThan(5)
    const netAt = netsOnSound(board)
    let shorts = 0
    let near = 0
    for (const [from, to] of strokes) {
      const rest = [...lines.slice(0, from), ...lines.slice(to)].join("\n")
      const { proof } = inspect(
        name,
        withEngraving(name, () => rest),
      )
      const path = pathOf(lines.slice(from - 2, to))
      if (proof.shorts.length === 0) {
        // Only a stroke with the same net, or with copper of no net, beside it all along may go unnoticed.
        for (const [a, b] of sidesOf(path)) {
          const [m, n] = [netAt(a), netAt(b)]
          if (m !== undefined && n !== undefined) expect(m, `stroke at line ${from + 1}`).toBe(n)
        }
        continue
      }
      shorts++
      // The place told is halfway between the two nets, which is where grooves run, mostly.
      const s = proof.shorts[0]!
      if (Math.min(...path.slice(1).map((p, i) => pointToSegment(s, path[i]!, p))) < 4) near++
    }
    expect(shorts / strokes.length).toBeGreaterThan(0.8)
    expect(near / shorts).toBeGreaterThan(0.8)
  })

  test("a ring cut round a land opens its net", () => {
    const board = made.boards.boards.find((b) => b.name === name)!
    const count = new Map<string, number>()
    for (const l of board.lands) if (l.net) count.set(l.net, (count.get(l.net) ?? 0) + 1)
    for (const land of board.lands.filter((_, i) => i % 6 === 0)) {
      // A wire link may be idle; its ends are proven by leaving strokes out.
      if (!land.net || count.get(land.net)! < 2 || board.links.some((l) => l.ref === land.ref)) continue
      const r = Math.max(land.w, land.h) / 2 + 0.35
      const ring = `G0 X${land.x - r} Y${land.y}\nG1 Z-0.1 F100\nG2 X${land.x - r} Y${land.y} I${r} J0 F300\nG0 Z3\n`
      const { proof } = inspect(
        name,
        withEngraving(name, (t) => t.replace("M5", `${ring}M5`)),
      )
      expect(proof.opens.length, `${land.ref}.${land.pin}`).toBeGreaterThan(0)
    }
  })

  test("the whole job shifted by a millimetre and a half in any of eight directions is found", () => {
    for (let k = 0; k < 8; k++) {
      const dx = 1.5 * Math.cos((k * Math.PI) / 4)
      const dy = 1.5 * Math.sin((k * Math.PI) / 4)
      const { findings } = inspect(
        name,
        withEngraving(name, (t) =>
          t.replace(/^(G[01] .*)$/gm, (l) =>
            l
              .replace(/X(-?[\d.]+)/, (_, x) => `X${(Number(x) + dx).toFixed(4)}`)
              .replace(/Y(-?[\d.]+)/, (_, y) => `Y${(Number(y) + dy).toFixed(4)}`),
          ),
        ),
      )
      expect(findings.some((f) => f.severity === "red")).toBe(true)
    }
  })

  test("a depth less than the foil joins everything", () => {
    const { proof } = inspect(
      name,
      withEngraving(name, (t) => t.replaceAll("Z-0.1", "Z-0.03")),
    )
    expect(proof.shorts.length).toBeGreaterThan(5)
  })

  test("a hole left out is found", () => {
    const programs = programsOf(name).map((p) =>
      p.purpose === "drill" ? { ...p, text: p.text.replace(/^(G0 )?X[\d.]+ Y[\d.]+.*\n/m, "") } : p,
    )
    expect(programs.some((p, i) => p.text !== programsOf(name)[i]!.text)).toBe(true)
    const codes = inspect(name, programs)
      .findings.filter((f) => f.severity === "red")
      .map((f) => f.code)
    expect(codes.length).toBeGreaterThan(0)
  })
})

describe("boards that disagree with the circuit", () => {
  const control = () => made.boards.boards.find((b) => b.name === "control")!
  const redsOf = (boards: Boards, board: string) =>
    inspect(board, programsOf(board), boards)
      .findings.filter((f) => f.severity === "red")
      .map((f) => f.code)

  test("two controller signals exchanged in the pin choice", () => {
    const signals = made.circuit.signals.filter((s) => s.direction === "output").map((s) => s.name)
    const c = made.boards.pinChoice.controller
    const [a, b] = signals as [string, string]
    const controller = { ...c, [a]: c[b]!, [b]: c[a]! }
    expect(
      redsOf({ ...made.boards, pinChoice: { ...made.boards.pinChoice, controller } }, "control"),
    ).toContain("proof.short")
  })

  test("two LEDs of one string exchanged", () => {
    const string = made.circuit.strings.find((s) => s.leds.length === 3)!
    const order = [...(made.boards.pinChoice.strings[string.name] ?? string.leds)]
    const strings = { ...made.boards.pinChoice.strings, [string.name]: [order[1]!, order[0]!, order[2]!] }
    expect(
      redsOf({ ...made.boards, pinChoice: { ...made.boards.pinChoice, strings } }, "crescent"),
    ).toContain("proof.short")
  })

  test("two sections of an array exchanged", () => {
    const array = made.circuit.parts.find((p) => p.kind === "low-side-array")!
    const order = [...(made.boards.pinChoice.sections[array.ref] ?? array.sections!.map((_, i) => i))]
    const sections = {
      ...made.boards.pinChoice.sections,
      [array.ref]: [order[1]!, order[0]!, ...order.slice(2)],
    }
    expect(
      redsOf({ ...made.boards, pinChoice: { ...made.boards.pinChoice, sections } }, "control"),
    ).toContain("proof.short")
  })

  test("a chip drawn from the wrong side", () => {
    const mirrored: Board = {
      ...control(),
      parts: control().parts.map((p) => (p.kind === "controller" ? { ...p, rotation: p.rotation + 180 } : p)),
    }
    const boards = {
      ...made.boards,
      boards: made.boards.boards.map((b) => (b.name === "control" ? mirrored : b)),
    }
    expect(redsOf(boards, "control")).toContain("proof.package-mirrored")
  })

  test("a harness wire left out, or led to the wrong net", () => {
    const joined = new Map(
      made.boards.boards.map((b) => {
        // Followed as if each net were whole on its board: only the harness is in question here.
        const nets = [...new Set(b.lands.map((l) => l.net ?? `${l.ref}.${l.pin}`))]
        return [
          b.name,
          { group: b.lands.map((l) => nets.indexOf(l.net ?? `${l.ref}.${l.pin}`)), pieces: [] },
        ] as const
      }),
    )
    const reds = (boards: Boards) =>
      proveHarness(made.circuit, boards, wantedNetlist(made.circuit, boards), joined).filter(
        (f) => f.severity === "red",
      )
    expect(reds(made.boards)).toEqual([])
    for (const [i] of made.boards.harness.entries()) {
      const harness = made.boards.harness.filter((_, k) => k !== i)
      expect(reds({ ...made.boards, harness }).length, made.boards.harness[i]!.name).toBeGreaterThan(0)
    }
    const first = made.boards.harness[0]!
    const second = made.boards.harness.find((w) => w.net !== first.net)!
    const crossed = made.boards.harness.map((w) =>
      w === first ? { ...w, to: second.to } : w === second ? { ...w, to: first.to } : w,
    )
    expect(reds({ ...made.boards, harness: crossed }).length).toBeGreaterThan(0)
  })
})
