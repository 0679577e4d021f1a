// Way in: a real face, measured hole by hole, against its drawing: how to shift and turn the board behind it, and
// which LEDs will bind.

import { leds } from "../1-stock/leds.ts"
import { packages } from "../1-stock/packages.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import { lead } from "./fit/fit-facts.ts"
import { truePosition } from "./fit/position-tolerance.ts"
import { readMeasured } from "./fit/read-measured.ts"
import { type Registration, registerHoles } from "./fit/register-holes.ts"

export interface Alignment extends Registration {
  /** LED holes of the face, and how many of them were measured. */
  readonly holes: number
  readonly measured: number
  /** How far an LED may stand aside before it touches: (hole − body) ÷ 2 + play of its leads, mm. */
  readonly room: number
  /** Greatest position error as a diameter, before and after shift and turn, mm. */
  readonly before: number
  readonly after: number
}

export type Aligned = Alignment | { readonly fault: { readonly line: number; readonly reason: string } }

/** `face`: a name of the lamp's faces; undefined for another. */
export function alignFace(lamp: Lamp, face: string, csv: string): Aligned | undefined {
  const found = lamp.faces.find((f) => f.name === face)
  if (!found) return undefined
  const places = new Map(
    lamp.groups
      .filter((g) => g.face === face)
      .flatMap((g) => g.leds.map((l) => [l.hole.id, { g, l }] as const)),
  )
  const ids = found.ledHoles.map((h) => h.id)
  const read = readMeasured(csv, ids)
  if ("fault" in read) return read
  const room = Math.min(
    ...read.holes.map(({ id }) => {
      const hole = found.ledHoles.find((h) => h.id === id)!
      const led = leds.find(places.get(id)?.g.led ?? "")
      const land = packages.find(led?.package ?? "")?.lands[0]?.hole ?? 1
      const play = Math.max(0, (land - lead.value * Math.SQRT2) / 2)
      return (hole.diameter - (led?.body.diameter ?? found.hole)) / 2 + play
    }),
  )
  const pairs = read.holes.map(({ id, x, y }) => ({
    id,
    wanted: found.ledHoles.find((h) => h.id === id)!,
    measured: { x, y },
  }))
  const fitted = registerHoles(pairs, room)
  if (!fitted) return { fault: { line: 1, reason: "the measured holes coincide, so nothing fixes a turn" } }
  return {
    ...fitted,
    holes: ids.length,
    measured: pairs.length,
    room,
    before: Math.max(...pairs.map((p) => truePosition(p.measured.x - p.wanted.x, p.measured.y - p.wanted.y))),
    after: Math.max(...fitted.left.map((l) => truePosition(l.x, l.y))),
  }
}
