// The score's rows: vehicle wires first, then the LEDs of each group in their sweep order.

import type { Lamp } from "../../../2-lamp/artefact.ts"
import type { LightTrace } from "../../../7-proof/artefact.ts"
import { type LightColour, lightColour } from "../light.ts"

export interface WireRow {
  readonly name: string
  readonly y: number
  readonly levels: readonly number[]
}

export interface GroupRows {
  readonly name: string
  readonly colour: LightColour
  readonly y: number
  readonly rowHeight: number
  readonly leds: readonly { readonly ref: string; readonly levels: readonly number[] }[]
}

export interface Rows {
  readonly wireHeight: number
  readonly wires: readonly WireRow[]
  readonly groups: readonly GroupRows[]
  readonly height: number
}

export const rulerHeight = 20
const groupGap = 8
const least = 2
const most = 9

/** Rows as tall as the room allows; the score scrolls when even the least height does not fit. */
export function layOutRows(lamp: Lamp, trace: LightTrace, room: number): Rows {
  const wires = lamp.vehicle.wires.filter((w) => trace.wires[w.name] !== undefined)
  const groups = lamp.groups.filter((g) => g.leds.some((l) => trace.leds[l.ref] !== undefined))
  const wireHeight = room < 210 ? 16 : 21
  const free = room - rulerHeight - wires.length * wireHeight - groups.length * groupGap - 4
  // A few LEDs that sweep deserve taller rows than many that light as one.
  const weight = (n: number) => Math.sqrt(n)
  const share =
    free /
    Math.max(
      1,
      groups.reduce((n, g) => n + weight(g.leds.length), 0),
    )
  const heightOf = (n: number) => {
    const each = (share * weight(n)) / n
    return Math.max(least, Math.min(most, Math.floor(each * 2) / 2))
  }
  let y = rulerHeight
  const wireRows = wires.map((w) => {
    const row = { name: w.name, y, levels: trace.wires[w.name] ?? [] }
    y += wireHeight
    return row
  })
  const groupRows = groups.map((g) => {
    y += groupGap
    const rowHeight = heightOf(g.leds.length)
    const rows = {
      name: g.name,
      colour: lightColour(g.led),
      y,
      rowHeight,
      leds: g.leds.map((l) => ({ ref: l.ref, levels: trace.leds[l.ref] ?? [] })),
    }
    y += rowHeight * g.leds.length
    return rows
  })
  return { wireHeight, wires: wireRows, groups: groupRows, height: Math.max(room, y + 4) }
}
