// The proof of a real lamp, made by every room, and the same ways to spoil it.

import { beforeAll, expect, test } from "vitest"
import type { Finding } from "../0-ground/finding.ts"
import { finish } from "../0-ground/progress.ts"
import type { CutterProgram } from "../6-copper/artefact.ts"
import { unexplained } from "../6-copper/unexplained.testing.ts"
import { makeLamp } from "./made-lamps.testing.ts"
import { type Made, proveLamp } from "./prove-lamp.ts"

let made: Made
beforeAll(() => {
  made = makeLamp("marker")
})

const reds = (findings: readonly Finding[]) => findings.filter((f) => f.severity === "red").map((f) => f.code)
/** Sound or spoilt, every measured number can be asked why. */
function proveWith(change: Partial<Made>) {
  const told = finish(proveLamp({ ...made, ...change }))
  expect(unexplained(told)).toEqual([])
  return told
}
const change = (purpose: CutterProgram["purpose"], edit: (text: string) => string) =>
  made.programs.map((p) => (p.purpose === purpose ? { ...p, text: edit(p.text) } : p))

/** Lines of every engraved stroke: from its plunge to its retract. */
function strokesOf(text: string): [number, number][] {
  const out: [number, number][] = []
  let start = -1
  for (const [i, line] of text.split("\n").entries()) {
    if (/^G1 Z-/.test(line)) start = i
    if (start >= 0 && /^G0 Z/.test(line)) {
      out.push([start, i])
      start = -1
    }
  }
  return out
}

test("the marker passes every claim about its board", () => {
  const p = proveWith({})
  expect(p.findings.filter((f) => f.severity === "red").map((f) => f.title)).toEqual([])
  expect(p.boards.map((b) => [b.shorts.length, b.opens.length])).toEqual([[0, 0]])
})

test("every stroke left out is a short, or lets live copper under a screw", () => {
  const engrave = made.programs.find((p) => p.purpose === "engrave")!
  const strokes = strokesOf(engrave.text)
  expect(strokes.length).toBeGreaterThan(3)
  const lines = engrave.text.split("\n")
  for (const [from, to] of strokes) {
    const text = [...lines.slice(0, from), ...lines.slice(to)].join("\n")
    const p = proveWith({ programs: change("engrave", () => text) })
    const seen =
      p.boards[0]!.shorts.length > 0 ||
      p.findings.some((f) => f.code === "proof.screw-copper" && f.severity !== "green")
    expect(seen, `stroke at line ${from + 1}`).toBe(true)
  }
})

test("the whole job shifted, or mirrored, is caught", () => {
  const shifted = change("engrave", (t) =>
    t.replace(/X(-?[\d.]+)/g, (_, x) => `X${(Number(x) + 1.5).toFixed(4)}`),
  )
  expect(reds(proveWith({ programs: shifted }).findings).length).toBeGreaterThan(0)
  const board = made.boards.boards[0]!
  const flip = (t: string) => t.replace(/X(-?[\d.]+)/g, (_, x) => `X${(board.size.w - Number(x)).toFixed(4)}`)
  const mirrored = made.programs.map((p) => ({ ...p, text: flip(p.text) }))
  expect(reds(proveWith({ programs: mirrored }).findings)).toContain("proof.hole-missing")
})

test("a board made for the component side is caught although it agrees with its own programs", () => {
  const board = made.boards.boards[0]!
  const w = board.size.w
  const flipped = {
    ...board,
    outline: board.outline.map((p) => ({ x: w - p.x, y: p.y })).reverse(),
    screws: board.screws.map((s) => ({ ...s, x: w - s.x })),
    parts: board.parts.map((p) => ({ ...p, x: w - p.x, rotation: -p.rotation })),
    lands: board.lands.map((l) => ({ ...l, x: w - l.x, rotation: -l.rotation })),
    tracks: board.tracks.map((t) => ({ ...t, points: t.points.map((p) => ({ x: w - p.x, y: p.y })) })),
  }
  const flip = (t: string) => t.replace(/X(-?[\d.]+)/g, (_, x) => `X${(w - Number(x)).toFixed(4)}`)
  const p = proveWith({
    boards: { ...made.boards, boards: [flipped] },
    programs: made.programs.map((q) => ({ ...q, text: flip(q.text) })),
  })
  expect(reds(p.findings)).toContain("proof.package-mirrored")
})

test("two LED lands exchanged on the board, or in the string, are caught", () => {
  const board = made.boards.boards[0]!
  const led = made.circuit.strings[0]!.leds[0]!
  const lands = board.lands.map((l) => (l.ref === led ? { ...l, pin: l.pin === "A" ? "K" : "A" } : l))
  const p = proveWith({ boards: { ...made.boards, boards: [{ ...board, lands }] } })
  expect(reds(p.findings)).toContain("proof.short")
})

test("the same lamp gives the same proof, and says how far it has come", () => {
  const steps: number[] = []
  const first = finish(proveLamp(made), (s) => steps.push(s.done))
  expect(JSON.stringify(proveWith({}))).toBe(JSON.stringify(first))
  expect(steps.length).toBeGreaterThan(4)
})
