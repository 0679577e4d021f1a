// Under the pointer: which LED a ribbon belongs to, its channel, and its light there; and the ribbon of what is picked.

import type { Circuit } from "../../../3-drive/artefact.ts"
import type { LightTrace } from "../../../7-proof/artefact.ts"
import { sampleAt } from "../play.ts"
import type { Rows } from "./rows.ts"

export interface Hint {
  readonly x: number
  readonly y: number
  readonly says: string
}

export function hintAt(
  rows: Rows,
  trace: LightTrace,
  circuit: Circuit,
  x: number,
  y: number,
  time: number,
): Hint | undefined {
  const i = sampleAt(trace, time)
  for (const g of rows.groups) {
    const k = Math.floor((y - g.y) / g.rowHeight)
    const led = y >= g.y ? g.leds[k] : undefined
    if (!led) continue
    const string = circuit.strings.find((s) => s.leds.includes(led.ref))
    const channel = string?.channel === undefined ? "" : `, channel ${string.channel}`
    return {
      x,
      y,
      says: `${led.ref}${channel}: ${Math.round(((led.levels[i] ?? 0) / 255) * 100)} % at ${time.toFixed(3)} s`,
    }
  }
  const wire = rows.wires.find((w) => y >= w.y && y < w.y + rows.wireHeight)
  return (
    wire && {
      x,
      y,
      says: `${wire.name} wire ${(wire.levels[i] ?? 0) > 0 ? "live" : "dead"} at ${time.toFixed(3)} s`,
    }
  )
}

export function PickedRibbons({ rows, leds }: { readonly rows: Rows; readonly leds: readonly string[] }) {
  if (leds.length === 0 || leds.length > 12) return null
  return (
    <>
      {rows.groups.flatMap((g) =>
        g.leds.flatMap((l, k) =>
          leds.includes(l.ref)
            ? [
                <div
                  key={l.ref}
                  className="picked-ribbon"
                  data-ribbon={l.ref}
                  style={{ top: g.y + k * g.rowHeight - 1, height: g.rowHeight + 1 }}
                />,
              ]
            : [],
        ),
      )}
    </>
  )
}

/** `1 to 8, channels 0 to 7`. */
export function rangeWords(leds: readonly { readonly ref: string }[], circuit: Circuit | undefined): string {
  const refs = new Set(leds.map((l) => l.ref))
  const channels = (circuit?.strings ?? []).flatMap((s) =>
    s.channel !== undefined && s.leds.some((l) => refs.has(l)) ? [s.channel] : [],
  )
  const [low, high] = [Math.min(...channels), Math.max(...channels)]
  if (channels.length === 0) return "from its wires"
  return low === high ? `channel ${low}` : `channels ${low} to ${high}`
}
