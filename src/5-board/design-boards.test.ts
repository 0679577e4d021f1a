// The boards of the example lamps, judged from what was made: places, netlist, copper, mirror, repeatability.

import { readFileSync } from "node:fs"
import { join } from "node:path"
import { beforeAll, describe, expect, test } from "vitest"
import { faceToBoard } from "../0-ground/geometry/point.ts"
import { contains } from "../0-ground/geometry/polygon.ts"
import { finish } from "../0-ground/progress.ts"
import { modelOf } from "../1-stock/parts.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import { readLamp } from "../2-lamp/read-lamp.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import { designDrive } from "../3-drive/design-drive.ts"
import type { Board, Boards } from "./artefact.ts"
import { type Disc2, judgeCopper } from "./copper.testing.ts"
import { designBoards } from "./design-boards.ts"

function example(folder: string, file: string): { lamp: Lamp; circuit: Circuit } {
  const at = join(import.meta.dirname, "../../examples", folder)
  const { lamp } = readLamp(readFileSync(join(at, file), "utf8"), (f) => readFileSync(join(at, f), "utf8"))
  return { lamp: lamp!, circuit: designDrive(lamp!) }
}

/** Final nets from the circuit and the pin choice alone: the merge a later room has to come to. */
function merged(circuit: Circuit, boards: Boards): Map<string, string> {
  const out = new Map<string, string>()
  for (const p of circuit.parts)
    for (const [pin, net] of Object.entries(p.pins)) out.set(`${p.ref}.${pin}`, net)
  for (const s of circuit.strings) {
    const order = boards.pinChoice.strings[s.name] ?? s.leds
    for (const [i, led] of order.entries()) {
      const { pins } = circuit.parts.find((p) => p.ref === s.leds[i])!
      for (const [pin, net] of Object.entries(pins)) out.set(`${led}.${pin}`, net)
    }
  }
  for (const [ref, order] of Object.entries(boards.pinChoice.sections)) {
    const part = circuit.parts.find((p) => p.ref === ref)!
    for (const [slot, from] of order.entries())
      for (const [k, pin] of part.sections![slot]!.entries()) {
        const net = part.pins[part.sections![from]![k]!]
        if (net === undefined) out.delete(`${ref}.${pin}`)
        else out.set(`${ref}.${pin}`, net)
      }
  }
  if (circuit.controller) {
    const part = circuit.parts.find((p) => p.ref === circuit.controller)!
    const { packagePins } = modelOf(part.stock, "controller")
    const port = new Map<string, string>()
    for (const s of circuit.signals) port.set(boards.pinChoice.controller[s.name]!, s.net)
    for (const [key, net] of [...out])
      if (net.startsWith("@")) {
        const name = net.slice(1)
        if (!port.has(name)) port.set(name, name)
        out.set(key, port.get(name)!)
      }
    for (const [name, net] of port) out.set(`${circuit.controller}.${packagePins[name]![0]}`, net)
  }
  return out
}

function shapesOf(board: Board): { shapes: Disc2[]; joins: [number, number][] } {
  const shapes: Disc2[] = board.lands.map((l, i) => {
    const r = Math.min(l.w, l.h) / 2
    const a = (l.rotation * Math.PI) / 180
    const [hx, hy] = [l.w / 2 - r, l.h / 2 - r]
    const dx = hx * Math.cos(a) - hy * Math.sin(a)
    const dy = hx * Math.sin(a) + hy * Math.cos(a)
    return { net: l.net ?? `open ${i}`, p: [l.x - dx, l.y - dy], q: [l.x + dx, l.y + dy], r }
  })
  const end = (ref: string, pin: string) => board.lands.findIndex((l) => l.ref === ref && l.pin === pin)
  const joins = board.links.map((l): [number, number] => [end(l.ref, "1"), end(l.ref, "2")])
  for (const t of board.tracks)
    for (let i = 1; i < t.points.length; i++) {
      const [a, b] = [t.points[i - 1]!, t.points[i]!]
      shapes.push({ net: t.net, p: [a.x, a.y], q: [b.x, b.y], r: t.width / 2 })
    }
  return { shapes, joins }
}

describe("the Tern lamp", () => {
  let lamp: Lamp
  let circuit: Circuit
  let boards: Boards
  beforeAll(() => {
    ;({ lamp, circuit } = example("tern", "tern.yaml"))
    boards = finish(designBoards(lamp, circuit))
  })

  test("every board is made, every net routed, nothing red", () => {
    expect(boards.boards.map((b) => b.name)).toEqual(lamp.boards.map((b) => b.name))
    expect(boards.boards.flatMap((b) => b.unrouted)).toEqual([])
    expect(boards.findings.filter((f) => f.severity === "red")).toEqual([])
  })

  test("copper keeps its clearance and every net of a board is one piece, by brute force", () => {
    for (const board of boards.boards) {
      const { shapes, joins } = shapesOf(board)
      const judged = judgeCopper(shapes, joins)
      expect(judged.broken).toEqual([])
      // Groove of the 0.2 mm, 30° tip 0.1 mm deep: 0.2536 mm (trigonometry).
      expect(judged.gap).toBeGreaterThan(0.2536)
      expect(Math.abs(judged.gap - board.clearance)).toBeLessThan(judged.gap > 1.9 ? 1 : 1e-5)
    }
  })

  test("links stay within what is known to be enough", () => {
    // Known best so far; may only improve.
    const most: Record<string, number> = { crescent: 0, "left-wing": 0, "right-wing": 0, control: 5 }
    for (const b of boards.boards) expect(b.links.length, b.name).toBeLessThanOrEqual(most[b.name]!)
  })

  test("every check of a board names a place on it, on what it is about, and has its margin", () => {
    const places = ["clearance", "land-ring", "hole-edge", "edge-clearance", "body-gap", "height"]
    const loads = ["led-offset", "track-current", "voltage-drop", "iron-access"]
    for (const board of boards.boards)
      for (const name of [...places, ...loads]) {
        const found = boards.findings.find((f) => f.code === `board.${name}` && f.where.board === board.name)
        if (!found) {
          // Only what is not there cannot be judged: LEDs and parts other than LEDs.
          expect(["led-offset", "height"], `${name} on ${board.name}`).toContain(name)
          continue
        }
        const { x, y, part } = found.where
        expect(x, `${name} on ${board.name}`).toBeTypeOf("number")
        expect(found.limit).toBeDefined()
        const stands = board.parts.find((p) => p.ref === part)
        if (stands) expect(Math.hypot(x! - stands.x, y! - stands.y), `${name}, ${part}`).toBeLessThan(25)
        expect(x).toBeGreaterThanOrEqual(0)
        expect(x).toBeLessThanOrEqual(board.size.w)
        expect(y).toBeLessThanOrEqual(board.size.h)
      }
  })

  test("every LED's lands are centred behind its hole, through the mirror", () => {
    let count = 0
    for (const group of lamp.groups)
      for (const { ref, hole } of group.leds) {
        const board = boards.boards.find((b) => b.parts.some((p) => p.ref === ref))!
        const lands = board.lands.filter((l) => l.ref === ref)
        const at = faceToBoard(hole, board.pose)
        expect(lands.length).toBe(2)
        expect(Math.abs((lands[0]!.x + lands[1]!.x) / 2 - at.x)).toBeLessThan(1e-5)
        expect(Math.abs((lands[0]!.y + lands[1]!.y) / 2 - at.y)).toBeLessThan(1e-5)
        expect(
          Math.abs(Math.hypot(lands[0]!.x - lands[1]!.x, lands[0]!.y - lands[1]!.y) - 2.54),
        ).toBeLessThan(1e-5)
        count++
      }
    expect(count).toBeGreaterThan(30)
  })

  test("what the road sees on the right lies on the left of the copper side", () => {
    for (const group of lamp.groups) {
      const board = boards.boards.find((b) => b.parts.some((p) => p.ref === group.leds[0]!.ref))!
      const x = (ref: string) => board.parts.find((p) => p.ref === ref)!.x
      const [a, b] = [group.leds[0]!, group.leds[group.leds.length - 1]!]
      if (a.hole.x !== b.hole.x) expect(Math.sign(x(a.ref) - x(b.ref))).toBe(-Math.sign(a.hole.x - b.hole.x))
    }
  })

  test("a chip's pins count clockwise as seen from the copper side", () => {
    // Counter-clockwise from the component side (data-sheet practice), so clockwise through the board.
    for (const board of boards.boards)
      for (const part of board.parts.filter((p) => p.package.startsWith("dip-"))) {
        const lands = board.lands.filter((l) => l.ref === part.ref)
        let area = 0
        for (const [i, l] of lands.entries()) {
          const next = lands[(i + 1) % lands.length]!
          area += l.x * next.y - next.x * l.y
        }
        expect(area).toBeLessThan(0)
      }
  })

  test("lands and bodies stand inside the board, clear of screws, and no two bodies meet", () => {
    for (const board of boards.boards) {
      for (const l of board.lands) {
        expect(contains(board.outline, l)).toBe(true)
        for (const s of board.screws)
          expect(Math.hypot(l.x - s.x, l.y - s.y) - Math.min(l.w, l.h) / 2).toBeGreaterThan(s.keepOut - 0.01)
      }
      expect(Math.min(...board.outline.map((p) => p.x))).toBeCloseTo(4, 6)
      expect(Math.min(...board.outline.map((p) => p.y))).toBeCloseTo(4, 6)
      const solid = board.parts.filter((p) => p.kind !== "pad")
      for (const a of solid)
        for (const b of solid)
          if (a !== b)
            expect(
              a.body.some((p) => contains(b.body, p)),
              `${a.ref} in ${b.ref}`,
            ).toBe(false)
      // No lead comes up under another part's body.
      for (const l of board.lands)
        for (const p of solid)
          if (p.ref !== l.ref) expect(contains(p.body, l), `${l.ref} under ${p.ref}`).toBe(false)
    }
  })

  test("circuit and pin choice give exactly the netlist on the boards", () => {
    const want = merged(circuit, boards)
    const got = new Map<string, string>()
    for (const b of boards.boards)
      for (const l of b.lands)
        if (l.net !== undefined && !l.ref.startsWith("X-") && !b.links.some((k) => k.ref === l.ref))
          got.set(`${l.ref}.${l.pin}`, l.net)
    expect([...got].sort()).toEqual([...want].sort())
  })

  test("signals stand on pins they may use, no two on one", () => {
    const used = Object.values(boards.pinChoice.controller)
    expect(new Set(used).size).toBe(circuit.signals.length)
    for (const s of circuit.signals) expect(s.allowed).toContain(boards.pinChoice.controller[s.name])
  })

  test("harness wires join every board that shares a net, and end on pads of that net", () => {
    const pad = (board: string, ref: string) =>
      boards.boards.find((b) => b.name === board)!.lands.find((l) => l.ref === ref)?.net
    for (const w of boards.harness) {
      expect(pad(w.to.board, w.to.ref)).toBe(w.net)
      if ("board" in w.from) expect(pad(w.from.board, w.from.ref)).toBe(w.net)
    }
    const on = new Map<string, Set<string>>()
    for (const b of boards.boards)
      for (const l of b.lands) if (l.net) on.set(l.net, (on.get(l.net) ?? new Set()).add(b.name))
    for (const [net, names] of on) {
      if (names.size < 2) continue
      const wires = boards.harness.filter((w) => w.net === net)
      const vehicle = wires.every((w) => "vehicle" in w.from)
      expect(wires.length, net).toBe(vehicle ? names.size : names.size - 1)
    }
  })
})

describe("the marker lamp", () => {
  test("is made twice alike, byte for byte", () => {
    const { lamp, circuit } = example("marker", "marker.yaml")
    const one = JSON.stringify(finish(designBoards(lamp, circuit)))
    expect(JSON.stringify(finish(designBoards(lamp, circuit)))).toBe(one)
    expect(JSON.parse(one).findings.filter((f: { severity: string }) => f.severity === "red")).toEqual([])
  })

  test("a place pinned by hand is kept", () => {
    const { lamp, circuit } = example("marker", "marker.yaml")
    const resistor = circuit.parts.find((p) => p.kind === "resistor")!
    const name = lamp.boards[0]!.name
    const free = finish(designBoards(lamp, circuit)).boards[0]!.parts.find((p) => p.ref === resistor.ref)!
    const pins = { [`boards.${name}.${resistor.ref}`]: `${free.x + 0.1} ${free.y} ${free.rotation}` }
    const made = finish(designBoards({ ...lamp, pins }, circuit)).boards[0]!
    const part = made.parts.find((p) => p.ref === resistor.ref)!
    expect([part.x, part.y, part.rotation]).toEqual(
      [free.x + 0.1, free.y, free.rotation].map((v) => Number(v.toFixed(6))),
    )
  })

  test("a pinned place that cannot be read is a red finding", () => {
    const { lamp, circuit } = example("marker", "marker.yaml")
    const ref = circuit.parts.find((p) => p.kind === "resistor")!.ref
    const made = finish(
      designBoards({ ...lamp, pins: { [`boards.${lamp.boards[0]!.name}.${ref}`]: "here" } }, circuit),
    )
    expect(made.findings.some((f) => f.code === "board.pin-place" && f.severity === "red")).toBe(true)
  })

  test("parts without a board are a red finding, not a crash", () => {
    const { lamp, circuit } = example("marker", "marker.yaml")
    const made = finish(designBoards({ ...lamp, boards: [] }, circuit))
    expect(made.boards).toEqual([])
    expect(made.findings.map((f) => [f.code, f.severity])).toContainEqual(["board.no-board", "red"])
  })

  test("a board that cannot hold its parts says how much area is needed", () => {
    const { lamp, circuit } = example("marker", "marker.yaml")
    const small = lamp.boards.map((b) => ({ ...b, inset: 8 }))
    const made = finish(designBoards({ ...lamp, boards: small }, circuit))
    const red = made.findings.filter((f) => f.severity === "red")
    expect(red.length).toBeGreaterThan(0)
    expect(red.some((f) => f.code === "board.no-room")).toBe(true)
  })

  test("an LED outside its board is a red finding", () => {
    const { lamp, circuit } = example("marker", "marker.yaml")
    const groups = lamp.groups.map((g) => ({
      ...g,
      leds: g.leds.map((l, i) => (i === 0 ? { ...l, hole: { ...l.hole, x: l.hole.x - 30 } } : l)),
    }))
    const made = finish(designBoards({ ...lamp, groups }, circuit))
    const red = made.findings.filter((f) => f.severity === "red").map((f) => f.code)
    expect(red).toContain("board.led-outside")
    expect(red).toContain("board.hole-edge")
  })

  test("an inset that eats the whole face is a red finding", () => {
    const { lamp, circuit } = example("marker", "marker.yaml")
    const made = finish(
      designBoards({ ...lamp, boards: lamp.boards.map((b) => ({ ...b, inset: 40 })) }, circuit),
    )
    expect(made.findings.map((f) => f.code)).toContain("board.no-outline")
  })
})
