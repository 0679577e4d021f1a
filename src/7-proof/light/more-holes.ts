// One more LED, or several: where a face's holes are described as a row or arc by their count, the count can be raised.

import type { Quantity } from "../../0-ground/finding.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Group, Lamp } from "../../2-lamp/artefact.ts"
import { widestStep } from "./sweep-shape.ts"

/** Between the flanges of neighbours, mm; for fingers and for the webs of metal between the holes. */
const apart = 0.5

interface Row {
  readonly path: string
  readonly count: number
  /** Middle to middle, mm. */
  readonly step: number
  /** Beyond it flanges would meet. */
  readonly most: number
}

/** The row that holds all LEDs of a group and nothing else; undefined for drawings, lists and several rows. */
function rowOf(lamp: Lamp, group: Group): Row | undefined {
  const path = `faces.${group.face}.holes.count`
  const face = lamp.faces.find((f) => f.name === group.face)
  const count = group.leds.length
  if (!lamp.places[path] || face?.ledHoles.length !== count || count < 2) return undefined
  const step = widestStep(group.leds.map((l) => l.hole))
  const flange = leds.find(group.led)?.body.flangeDiameter ?? face.hole
  return { path, count, step, most: Math.floor(((count - 1) * step) / (flange + apart) + 1e-9) + 1 }
}

const remedy = (group: Group, { path, count }: Row, next: number, gives: Quantity): Remedy => ({
  says: `Set ${next - count === 1 ? "one more LED" : `${next - count} more LEDs`} in the row of ${group.name}: ${next} instead of ${count}.`,
  changes: [{ path, value: `${next}` }],
  gives,
})

/** So many that a gap between neighbours comes down to its limit. */
export function moreHoles(lamp: Lamp, group: Group, gap: number, limit: number): Remedy[] {
  const row = rowOf(lamp, group)
  if (!row) return []
  const patch = row.step - gap
  const next = Math.ceil(((row.count - 1) * row.step) / (limit + patch) - 1e-9) + 1
  if (next > row.most || next <= row.count) return []
  return [remedy(group, row, next, { value: ((row.count - 1) * row.step) / (next - 1) - patch, unit: "mm" })]
}

/** So many that their light together, in proportion to their number, reaches `need` times what it is. */
export function moreInRow(
  lamp: Lamp,
  group: Group,
  need: number,
  gives: (factor: number) => Quantity,
): Remedy[] {
  const row = rowOf(lamp, group)
  if (!row) return []
  const next = Math.ceil(row.count * need - 1e-9)
  if (next > row.most || next <= row.count) return []
  return [remedy(group, row, next, gives(next / row.count))]
}
