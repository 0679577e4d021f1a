// 200 random boards, each finished and judged by arithmetic and a polygon library that the makers do not use:
// clearance, one piece a net, edge, screws, bodies, links. LAMPWRIGHT_RANDOM_BOARDS=2000 runs more of them.

import { intersection } from "polyclip-ts"
import { describe, expect, test } from "vitest"
import { grooveWidth } from "../0-ground/geometry/groove.ts"
import { finish } from "../0-ground/progress.ts"
import type { Board } from "./artefact.ts"
import { type Disc2, judgeCopper } from "./copper.testing.ts"
import { designBoards } from "./design-boards.ts"
import { randomBoard } from "./random-boards.testing.ts"

const boards = Number(process.env.LAMPWRIGHT_RANDOM_BOARDS ?? 200)
const chunk = 20

type Spot = readonly [number, number]

const apart = ([px, py]: Spot, [ax, ay]: Spot, [bx, by]: Spot): number => {
  const l = (bx - ax) ** 2 + (by - ay) ** 2
  const t = l === 0 ? 0 : Math.max(0, Math.min(1, ((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / l))
  return Math.hypot(px - ax - t * (bx - ax), py - ay - t * (by - ay))
}
const side = ([ax, ay]: Spot, [bx, by]: Spot, [px, py]: Spot) =>
  Math.sign((bx - ax) * (py - ay) - (by - ay) * (px - ax))
const cross = (a: Spot, b: Spot, c: Spot, d: Spot) =>
  side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0
const between = (a: Spot, b: Spot, c: Spot, d: Spot) =>
  cross(a, b, c, d) ? 0 : Math.min(apart(a, c, d), apart(b, c, d), apart(c, a, b), apart(d, a, b))

function copperOf(board: Board): { shapes: Disc2[]; joins: [number, number][] } {
  const shapes: Disc2[] = board.lands.map((l, i) => {
    const r = Math.min(l.w, l.h) / 2
    const long = Math.max(l.w, l.h) / 2 - r
    const a = ((l.rotation + (l.h > l.w ? 90 : 0)) * Math.PI) / 180
    const d = [long * Math.cos(a), long * Math.sin(a)] as const
    return { net: l.net ?? `open ${i}`, p: [l.x - d[0], l.y - d[1]], q: [l.x + d[0], l.y + d[1]], r }
  })
  const land = (ref: string, pin: string) => board.lands.findIndex((l) => l.ref === ref && l.pin === pin)
  const joins = board.links.map((l): [number, number] => [land(l.ref, "1"), land(l.ref, "2")])
  for (const t of board.tracks)
    for (let i = 1; i < t.points.length; i++) {
      const [a, b] = [t.points[i - 1]!, t.points[i]!]
      shapes.push({ net: t.net, p: [a.x, a.y], q: [b.x, b.y], r: t.width / 2 })
    }
  return { shapes, joins }
}

/** Everything that is wrong with a finished board; empty when it may be cut. */
function faults(board: Board, clearance: number): string[] {
  const out: string[] = []
  const { shapes, joins } = copperOf(board)
  const { gap, pair, broken } = judgeCopper(shapes, joins)
  if (gap < clearance - 1e-5) out.push(`${pair} ${gap} mm apart`)
  if (broken.length > 0) out.push(`in pieces: ${broken.join(" ")}`)
  const ring = board.outline.map((p): Spot => [p.x, p.y])
  for (const s of shapes) {
    const edge = Math.min(...ring.map((p, i) => between(s.p, s.q, p, ring[(i + 1) % ring.length]!))) - s.r
    if (edge < 0.5) out.push(`${s.net} ${edge} mm from the edge`)
    for (const k of board.screws)
      if (apart([k.x, k.y], s.p, s.q) - s.r < k.keepOut - 1e-5) out.push(`${s.net} at a screw`)
  }
  const bodies = board.parts
    .filter((p) => p.kind !== "pad")
    .map((p) => ({ ref: p.ref, ring: p.body.map((q): [number, number] => [q.x, q.y]) }))
  for (const [i, a] of bodies.entries())
    for (const b of bodies.slice(0, i))
      if (intersection([a.ring], [b.ring]).length > 0) out.push(`${a.ref} and ${b.ref} overlap`)
  const wires = board.links.map((l): [Spot, Spot] => [
    [l.from.x, l.from.y],
    [l.to.x, l.to.y],
  ])
  for (const [i, [a, b]] of wires.entries()) {
    for (const [c, d] of wires.slice(0, i)) {
      if (between(a, b, c, d) === 0) out.push("links cross")
      for (const p of [a, b])
        for (const q of [c, d])
          if (Math.hypot(p[0] - q[0], p[1] - q[1]) < 2 - 1e-6) out.push("link ends on one another")
    }
    for (const { ref, ring: body } of bodies)
      if (body.some((p, k) => cross(a, b, p, body[(k + 1) % body.length]!))) out.push(`a link over ${ref}`)
  }
  return out
}

describe(`${boards} random boards`, () => {
  test.each(Array.from({ length: Math.ceil(boards / chunk) }, (_, i) => i * chunk + 1))(
    "from %i: clear and whole by an independent judge",
    (first) => {
      const told: string[] = []
      for (let seed = first; seed < Math.min(first + chunk, boards + 1); seed++) {
        const { lamp, circuit } = randomBoard(seed)
        const { tip, angle, depth } = lamp.cutter.engraver
        const made = finish(designBoards(lamp, circuit))
        for (const f of faults(made.boards[0]!, grooveWidth(tip, angle, depth))) told.push(`${seed}: ${f}`)
        const red = made.findings.filter((f) => f.severity === "red").map((f) => f.code)
        if (red.length > 0) told.push(`${seed}: ${red.join()}`)
      }
      expect(told).toEqual([])
    },
    600_000,
  )

  test("the judge sees a track moved, a net cut, a body pushed, a screw under copper", () => {
    const { lamp, circuit } = randomBoard(2)
    const board = finish(designBoards(lamp, circuit)).boards[0]!
    expect(faults(board, 0.25)).toEqual([])
    const track = board.tracks[0]!
    const moved = track.points.map((p) => ({ x: p.x + 3, y: p.y + 1 }))
    expect(faults({ ...board, tracks: board.tracks.with(0, { ...track, points: moved }) }, 0.25)).not.toEqual(
      [],
    )
    expect(faults({ ...board, tracks: board.tracks.slice(1) }, 0.25).join()).toContain("in pieces")
    const [a, b] = board.parts.filter((p) => p.kind !== "pad")
    const pushed = board.parts.map((p) => (p === a ? { ...p, body: b!.body } : p))
    expect(faults({ ...board, parts: pushed }, 0.25).join()).toContain("overlap")
    const { x, y } = track.points[0]!
    const screws = [{ x, y, diameter: 3.2, keepOut: 3.2 }]
    expect(faults({ ...board, screws }, 0.25).join()).toContain("at a screw")
  })
})
