// A board of 400 LEDs to be drawn: four of the ring board's discs with 100 LEDs on one sheet, each laid out and cut by the
// rooms themselves. It shows how heavy such a drawing is; the LEDs bear the names of the lamp it is shown with.

import type { BoardPoint } from "../src/0-ground/geometry/point.ts"
import { finish } from "../src/0-ground/progress.ts"
import type { Lamp } from "../src/2-lamp/artefact.ts"
import type { Board } from "../src/5-board/artefact.ts"
import { designBoards } from "../src/5-board/design-boards.ts"
import { ringBoard } from "../src/5-board/ring-boards.testing.ts"
import type { BoardCopper } from "../src/6-copper/artefact.ts"
import { designCut } from "../src/6-copper/design-cut.ts"

const diameter = 160
const apart = diameter + 4

/** `lamp`: whose LEDs it carries. */
export function bigBoard(lamp: Lamp): { readonly board: Board; readonly copper: BoardCopper } {
  const ring = ringBoard(100, 1)
  const boards = finish(designBoards(ring.lamp, ring.circuit))
  const disc = boards.boards[0]
  const cut = disc && finish(designCut(ring.lamp, boards)).copper.boards[0]
  if (!disc || !cut) throw new Error("the ring board is not laid out")
  const refs = lamp.groups.flatMap((g) => g.leds.map((l) => l.ref))
  const discs = [0, 1, 2, 3].map((i) => moved(disc, cut, i, refs))
  const side = 2 * apart
  const outline = [
    { x: 0, y: 0 },
    { x: side, y: 0 },
    { x: side, y: side },
    { x: 0, y: side },
  ]
  const board: Board = {
    ...disc,
    name: "four discs",
    outline,
    size: { w: side, h: side },
    screws: discs.flatMap((d) => d.screws),
    parts: discs.flatMap((d) => d.parts),
    lands: discs.flatMap((d) => d.lands),
    tracks: discs.flatMap((d) => d.tracks),
    links: discs.flatMap((d) => d.links),
  }
  const copper: BoardCopper = {
    ...cut,
    board: board.name,
    grooves: discs.flatMap((d) => d.grooves),
    islands: discs.flatMap((d) => d.islands),
  }
  return { board, copper }
}

function moved(disc: Board, cut: BoardCopper, i: number, refs: readonly string[]) {
  const [minX, minY] = [Math.min(...disc.outline.map((p) => p.x)), Math.min(...disc.outline.map((p) => p.y))]
  const [dx, dy] = [(i % 2) * apart + 2 - minX, Math.floor(i / 2) * apart + 2 - minY]
  const to = <P extends BoardPoint>(p: P): P => ({ ...p, x: p.x + dx, y: p.y + dy })
  const leds = disc.parts.filter((p) => p.kind === "led").map((p) => p.ref)
  const name = (ref: string) => {
    const led = leds.indexOf(ref)
    return led < 0 ? `${ref}-${i + 1}` : refs[i * leds.length + led]!
  }
  const net = (n: string) => `${n} ${i + 1}`
  const netOf = <T extends { readonly net?: string }>(t: T): T =>
    t.net === undefined ? t : { ...t, net: net(t.net) }
  return {
    screws: disc.screws.map(to),
    parts: disc.parts.map((p) => ({ ...to(p), ref: name(p.ref), body: p.body.map(to) })),
    lands: disc.lands.map((l) => netOf({ ...to(l), ref: name(l.ref) })),
    tracks: disc.tracks.map((t) => netOf({ ...t, points: t.points.map(to) })),
    links: disc.links.map((l) => netOf({ ...l, ref: name(l.ref), from: to(l.from), to: to(l.to) })),
    grooves: cut.grooves.map((g) => ({ ...g, points: g.points.map(to) })),
    islands: cut.islands.map((c) =>
      netOf({
        ...c,
        ring: c.ring.map(to),
        ...(c.holes === undefined ? {} : { holes: c.holes.map((h) => h.map(to)) }),
      }),
    ),
  }
}
