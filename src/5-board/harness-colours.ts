// Colours for the wires between boards, by the letter codes of IEC 60757: one for each net, other than those the
// vehicle's own wires have, ten plain ones and then white with a tracer. Vehicle wires keep the colour described.

import type { Lamp } from "../2-lamp/artefact.ts"
import type { HarnessWire } from "./artefact.ts"

/** IEC 60757 codes (from memory) with the words a description may use for them. */
const codes: readonly (readonly [code: string, word: string])[] = [
  ["BN", "brown"],
  ["RD", "red"],
  ["OG", "orange"],
  ["YE", "yellow"],
  ["GN", "green"],
  ["BU", "blue"],
  ["VT", "violet"],
  ["GY", "grey"],
  ["WH", "white"],
  ["BK", "black"],
  ["PK", "pink"],
  ["TQ", "turquoise"],
]

export function colouredHarness(lamp: Lamp, earth: string, harness: readonly HarnessWire[]): HarnessWire[] {
  const described = new Map(lamp.vehicle.wires.map((w) => [w.role === "earth" ? earth : w.name, w.colour]))
  const taken = new Set(
    lamp.vehicle.wires.flatMap((w) => (w.colour === undefined ? [] : [w.colour.trim().toLowerCase()])),
  )
  const plain = codes.filter(([, word]) => !taken.has(word)).map(([code]) => code)
  const traced = codes.filter(([code]) => code !== "WH").map(([code]) => `WH/${code}`)
  const palette = [...plain, ...traced]
  const byNet = new Map<string, string>()
  return harness.map((h) => {
    if ("vehicle" in h.from) {
      const colour = described.get(h.from.vehicle)
      return colour === undefined ? h : { ...h, colour }
    }
    // More nets than colours: the rest are told apart by their names alone.
    if (!byNet.has(h.net) && byNet.size < palette.length) byNet.set(h.net, palette[byNet.size]!)
    const colour = byNet.get(h.net)
    return colour === undefined ? h : { ...h, colour }
  })
}
