// The whole chain on the examples: what the house promises about itself.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { beforeAll, describe, expect, test } from "vitest"
import type { Figure } from "../src/0-ground/figure.ts"
import type { Finding } from "../src/0-ground/finding.ts"
import { finish } from "../src/0-ground/progress.ts"
import { proveLamp } from "../src/7-proof/prove-lamp.ts"
import { packLamp } from "../src/8-pack/pack-lamp.ts"
import { designLamp, type LampDesign, type Memory, stages } from "../src/design-lamp.ts"
import { designMarker, designTern, examples } from "./tern.ts"

const ternDrawing = readFileSync(join(examples, "tern/tern-face.svg"), "utf8")

let tern: LampDesign
beforeAll(() => {
  tern = designTern()
})

const reds = (findings: readonly Finding[]) => findings.filter((f) => f.severity === "red")

describe("Tern", () => {
  test("nothing is red", () => {
    expect(reds(tern.findings)).toEqual([])
  })

  test("four boards, every net routed, every LED on its board", () => {
    expect(tern.boards.boards.map((b) => b.name)).toEqual(["crescent", "left-wing", "right-wing", "control"])
    for (const board of tern.boards.boards) expect(board.unrouted).toEqual([])
    const leds = tern.boards.boards.flatMap((b) => b.parts.filter((p) => p.kind === "led").map((p) => p.ref))
    expect(leds.sort()).toEqual(tern.lamp.groups.flatMap((g) => g.leds.map((l) => l.ref)).sort())
    expect(leds.length).toBe(38)
  })

  test("the cutter programs, read back, give exactly the netlist on every board", () => {
    expect(tern.proof.boards.map((b) => b.board)).toEqual(tern.boards.boards.map((b) => b.name))
    for (const board of tern.proof.boards) expect([board.shorts, board.opens]).toEqual([[], []])
  })

  test("a first whole lamp, proven, before the search for better boards goes on; the last is the same with or without", () => {
    const text = readFileSync(join(examples, "tern/tern.yaml"), "utf8")
    const firsts: LampDesign[] = []
    const onFirst = (first: LampDesign) => {
      firsts.push(first)
      return undefined
    }
    const last = finish(designLamp(text, () => ternDrawing, { onFirst }))
    expect(firsts.length).toBe(1)
    const [first] = firsts as [LampDesign]
    expect(reds(first.findings)).toEqual([])
    for (const b of first.boards.boards) expect(b.unrouted, b.name).toEqual([])
    for (const b of first.proof.boards) expect([b.shorts, b.opens], b.board).toEqual([[], []])
    const links = (d: LampDesign) => d.boards.boards.reduce((n, b) => n + b.links.length, 0)
    expect(links(first)).toBeGreaterThanOrEqual(links(tern))
    expect(last).toEqual(tern)
    const enough = finish(designLamp(text, () => ternDrawing, { onFirst: () => "enough" }))
    expect(enough).toEqual(first)
  })

  test("copper: nowhere narrower than the plain tracks, median at least four times, grooves at most 62 % of outlining", () => {
    const value = (id: string) => tern.figures.find((f) => f.id === id)!.value
    for (const b of tern.boards.boards) {
      const of = (name: string) => value(`cut.${b.name}.${name}`)
      expect(of("copper-least"), b.name).toBeGreaterThanOrEqual(Math.min(...b.tracks.map((t) => t.width)))
      expect(of("copper-least-share"), b.name).toBeGreaterThanOrEqual(100)
      expect(of("copper-gain"), b.name).toBeGreaterThanOrEqual(4)
      expect(of("groove-share"), b.name).toBeLessThanOrEqual(62)
    }
  })

  test("every finding says where and what to do; every figure has a reason", () => {
    for (const f of tern.findings) {
      expect(f.where.text, f.code).not.toBe("")
      expect(f.advice, f.code).not.toBe("")
    }
    const unexplained: string[] = []
    const visit = (f: Figure) => {
      if (!f.source && !(f.formula && f.inputs && f.inputs.length > 0)) unexplained.push(f.id)
      f.inputs?.forEach(visit)
    }
    tern.figures.forEach(visit)
    expect(unexplained).toEqual([])
  })

  test("ids of figures are unique among different figures", () => {
    const seen = new Map<string, string>()
    const clashes = new Set<string>()
    const visit = (f: Figure) => {
      const said = JSON.stringify([f.value, f.unit])
      if (seen.has(f.id) && seen.get(f.id) !== said) clashes.add(f.id)
      seen.set(f.id, said)
      f.inputs?.forEach(visit)
    }
    tern.figures.forEach(visit)
    expect([...clashes]).toEqual([])
  })

  test("every measured number can be asked why: its figure exists and says the same", () => {
    const all = new Map<string, Figure>()
    const visit = (f: Figure) => {
      all.set(f.id, f)
      f.inputs?.forEach(visit)
    }
    tern.figures.forEach(visit)
    const faults = tern.findings.flatMap((f) => {
      const figure = f.figure === undefined ? undefined : all.get(f.figure)
      const what = `${f.code} at ${f.where.text}`
      if (f.figure !== undefined && !figure) return [`${what}: no figure ${f.figure}`]
      if (!f.measured || f.limit?.kind === "exactly") return []
      if (!figure) return [`${what}: ${f.measured.value} ${f.measured.unit} has no figure`]
      const same = f.measured.unit === figure.unit && f.measured.value === figure.value
      return same
        ? []
        : [
            `${what}: ${f.measured.value} ${f.measured.unit}, but ${figure.id} is ${figure.value} ${figure.unit}`,
          ]
    })
    expect(faults).toEqual([])
  })

  test("the pack made twice has the same bytes", () => {
    expect(packLamp(designTern())).toEqual(packLamp(tern))
  })

  test("artefacts are plain data that survives JSON", () => {
    const { firmware, ...rest } = tern
    expect(JSON.parse(JSON.stringify(rest))).toEqual(rest)
    expect(JSON.parse(JSON.stringify(firmware))).toEqual(firmware)
  })

  test("a comment in the description makes no stage run again", () => {
    const memory: Memory = new Map()
    const drawing = () => ternDrawing
    finish(designLamp(tern.text, drawing, { memory }))
    const before = new Map(memory)
    finish(designLamp(`# a comment\n${tern.text}`, drawing, { memory }))
    expect([...memory.keys()]).toEqual([...before.keys()])
    expect([...memory.keys()]).toEqual(expect.arrayContaining(stages.filter((s) => s !== "read")))
    for (const [stage, held] of memory) expect(held.made, stage).toBe(before.get(stage)!.made)
  })
})

describe("one broken move is caught", () => {
  const strokes = (text: string) => {
    const lines = text.split("\n")
    const starts = lines.flatMap((l, i) => (/^G1 .*Z-/.test(l) ? [i] : []))
    return { lines, starts }
  }
  const provenWith = (file: string, text: string) => {
    const programs = tern.plan.programs.map((p) => (p.file === file ? { ...p, text } : p))
    const { lamp, circuit, behaviour, boards, firmware } = tern
    return finish(proveLamp({ lamp, circuit, behaviour, boards, programs, firmware }))
  }

  test("a stroke left out joins the two nets it should separate", () => {
    const program = tern.plan.programs.find((p) => p.board === "crescent" && p.purpose === "engrave")!
    const { lines, starts } = strokes(program.text)
    expect(starts.length).toBeGreaterThan(3)
    // The longest stroke surely separates something.
    const spans = starts.map((s, i) => ({
      s,
      end: starts[i + 1] ?? lines.length,
      n: (starts[i + 1] ?? s) - s,
    }))
    const { s, end } = spans.sort((a, b) => b.n - a.n)[0]!
    const lifted = lines.map((l, i) => (i >= s && i < end && /^G1/.test(l) ? l.replace(/Z-[\d.]+/, "Z1") : l))
    const proof = provenWith(program.file, lifted.join("\n"))
    const board = proof.boards.find((b) => b.board === "crescent")!
    expect(board.shorts.length).toBeGreaterThan(0)
    for (const { nets } of board.shorts) expect(nets[0]).not.toBe(nets[1])
    expect(reds(proof.findings).length).toBeGreaterThan(0)
  })

  test("a cut across a track opens that net and no other", () => {
    const board = tern.boards.boards.find((b) => b.name === "crescent")!
    const program = tern.plan.programs.find((p) => p.board === "crescent" && p.purpose === "engrave")!
    // A ring round one land of a net with more than one land cuts it off.
    const land = board.lands.find((l) => l.net && board.lands.filter((o) => o.net === l.net).length > 1)!
    const r = Math.max(land.w, land.h) / 2 + 0.05
    const at = (a: number) =>
      `X${(land.x + r * Math.cos(a)).toFixed(4)} Y${(land.y + r * Math.sin(a)).toFixed(4)}`
    const ring = [`G0 ${at(0)}`, "G1 Z-0.1 F100"]
    for (let i = 1; i <= 72; i++) ring.push(`G1 ${at((i * Math.PI) / 36)} F300`)
    ring.push("G0 Z3")
    const { lines } = strokes(program.text)
    const end = lines.findIndex((l) => /^M5\b/.test(l))
    const proof = provenWith(program.file, [...lines.slice(0, end), ...ring, ...lines.slice(end)].join("\n"))
    const found = proof.boards.find((b) => b.board === "crescent")!
    expect(found.opens.map((o) => o.net)).toContain(land.net)
    expect(found.opens.find((o) => o.net === land.net)!.lands.join(" ")).toContain(land.ref)
  })
})

describe("the smallest lamp", () => {
  test("has no controller, no firmware and nothing red", () => {
    const marker = designMarker()
    expect(reds(marker.findings)).toEqual([])
    expect(marker.firmware).toBeUndefined()
    expect(marker.circuit.controller).toBeUndefined()
    expect(marker.boards.boards.length).toBe(1)
    expect(packLamp(marker).files.some((f) => f.path.startsWith("firmware/"))).toBe(false)
  })
})
