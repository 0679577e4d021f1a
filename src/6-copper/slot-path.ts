// A slot through the board: the router goes to and fro along its middle, or round inside it where it is wider.

import type { Point } from "../0-ground/geometry/point.ts"
import type { Mm, MmPerMinute } from "../0-ground/units/brand.ts"
import type { Slot } from "../5-board/artefact.ts"
import { stepsDown } from "./outline-path.ts"
import type { ProgramWriter } from "./program-writer.ts"

/** A router this much wider than the slot still counts as fitting, mm. */
export const slotPlay = 0.005

export interface SlotCut {
  readonly bottom: Mm
  readonly stepDown: Mm
  readonly feed: MmPerMinute
  readonly plunge: MmPerMinute
  readonly diameter: Mm
  readonly climb: boolean
}

export const slotFits = ({ width }: Slot, router: Mm): boolean => router <= width + slotPlay

/** The box round a slot, turned with it. */
export function slotRing({ from, to, width }: Slot): Point[] {
  const length = Math.hypot(to.x - from.x, to.y - from.y)
  const [ux, uy] = length === 0 ? [1, 0] : [(to.x - from.x) / length, (to.y - from.y) / length]
  const r = width / 2
  const corner = (p: Point, along: number, side: number) => ({
    x: p.x + r * (along * ux - side * uy),
    y: p.y + r * (along * uy + side * ux),
  })
  return [corner(from, -1, -1), corner(to, 1, -1), corner(to, 1, 1), corner(from, -1, 1)]
}

/** Mills the slot in steps down to `bottom`; the router must fit in it. */
export function writeSlot(writer: ProgramWriter, slot: Slot, cut: SlotCut): void {
  const { from, to, width } = slot
  const aside = Math.max(0, (width - cut.diameter) / 2)
  const steps = stepsDown(cut.bottom, cut.stepDown)
  const length = Math.hypot(to.x - from.x, to.y - from.y)
  const at = (p: Point) => ({ x: round(p.x), y: round(p.y) })
  if (aside < slotPlay) {
    const ends = [at(from), at(to)]
    writer.travelTo(ends[0]!.x, ends[0]!.y)
    for (let step = 1; step <= steps; step++) {
      writer.plunge(-(cut.bottom * step) / steps, cut.plunge)
      const there = ends[step % 2]!
      writer.line(there.x, there.y, -(cut.bottom * step) / steps, cut.feed)
    }
    return
  }
  // Round the inside: along one side, half a turn, back along the other, half a turn.
  const [ux, uy] = length === 0 ? [1, 0] : [(to.x - from.x) / length, (to.y - from.y) / length]
  const side = cut.climb ? 1 : -1
  const beside = (p: Point, s: number) => at({ x: p.x + s * aside * uy, y: p.y - s * aside * ux })
  const start = beside(from, side)
  writer.travelTo(start.x, start.y)
  for (let step = 1; step <= steps; step++) {
    const z = -(cut.bottom * step) / steps
    writer.plunge(z, cut.plunge)
    const b = beside(to, side)
    writer.line(b.x, b.y, z, cut.feed)
    const c = beside(to, -side)
    writer.arc(c.x, c.y, to.x, to.y, !cut.climb, cut.feed)
    const d = beside(from, -side)
    writer.line(d.x, d.y, z, cut.feed)
    writer.arc(start.x, start.y, from.x, from.y, !cut.climb, cut.feed)
  }
}

const round = (v: number): number => Math.round(v * 1000) / 1000
