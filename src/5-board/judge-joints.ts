// What the finished board is like to solder and to load: voltage lost in its copper, room for the iron.

import { type Figure, fact, measuredBy, result } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { segmentToSegment } from "../0-ground/geometry/segment.ts"
import { computed, described, practice } from "../0-ground/source.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import { copperPerKelvin } from "../1-stock/wire.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { Board } from "./artefact.ts"
import { judge } from "./board-findings.ts"
import { stadium } from "./footprint.ts"
import { copperResistivity, greatestDrop } from "./voltage-drop.ts"

/** Share of the usual supply that may be lost in a board's copper, as in a vehicle's wiring. */
const dropShare = 0.03
/** Between lands of different nets: an iron's tip and its solder touch one and not the other, mm. */
const ironRoom = 0.5
/** Kelvin a loaded track may stand over the air. */
const warmer = 20

type WhereOf = (text: string, more?: object) => Finding["where"]

export function judgeJoints(
  lamp: Lamp,
  circuit: Circuit,
  board: Board,
  where: WhereOf,
): { findings: Finding[]; figures: Figure[] } {
  const findings: Finding[] = []
  const figures: Figure[] = []
  const id = (name: string) => `board.${board.name}.${name}`
  const currents = new Map(circuit.nets.map((n) => [n.name, n.current]))
  const hot = lamp.vehicle.ambient.highest + warmer
  const lost = greatestDrop(board, (net) => currents.get(net) ?? 0, lamp.copperClad.copper, hot)
  if (lost) {
    const amps = currents.get(lost.net)!
    const way = result(
      id("way-resistance"),
      `copper between ${lost.from} and ${lost.to} on ${board.name}`,
      lost.ohm,
      "Ω",
      "resistivity · (1 + 0.00393 · (temperature − 20)) · length ÷ (width · foil), summed along the way",
      [
        fact("board.copper-resistivity", "resistivity of copper at 20 °C", copperResistivity * 1e6, "mΩ·µm", {
          document: "IEC 60028",
          known: "memory",
          confidence: "H",
        }),
        fact("board.copper-per-kelvin", "its change for each kelvin", copperPerKelvin, "1/K", {
          document: "IEC 60028",
          known: "memory",
          confidence: "H",
        }),
        fact(
          "description.ambient.highest-warm",
          `warmest air and ${warmer} K of warming`,
          hot,
          "°C",
          described("vehicle.ambient.highest"),
        ),
        fact(
          "copper-clad.copper",
          "copper foil",
          lamp.copperClad.copper,
          "mm",
          described("copper-clad.copper"),
        ),
      ],
      { source: computed("lengths and widths read off the finished board") },
    )
    const drop = result(
      id("voltage-drop"),
      `greatest voltage lost in one net of ${board.name}`,
      lost.drop,
      "V",
      "greatest steady current of the net · resistance of the longest way between two of its lands",
      [
        way,
        fact(
          id("drop-current"),
          `greatest steady current of ${lost.net}`,
          amps,
          "A",
          computed("over all solved corners"),
        ),
      ],
    )
    figures.push(drop)
    findings.push(
      judge("voltage-drop", {
        title: `${board.name}: copper of ${lost.net} loses at most ${show(lost.drop, "V")}, between ${lost.from} and ${lost.to}`,
        where: where(`net ${lost.net}`, { net: lost.net, ...lost.at }),
        ...measuredBy(drop),
        limit: { value: dropShare * lamp.vehicle.supply.usual, unit: "V", kind: "at most" },
        atWorst: "amber",
        // Tracks as drawn and the whole current along the whole way: the true drop is several times less.
        amberBelow: 0,
        corner: "strongest corner",
      }),
    )
  }
  const near = nearestLands(board)
  if (near) {
    const gap = fact(
      id("iron-room"),
      `least gap between lands of different nets on ${board.name}`,
      Math.round(near.gap * 1e4) / 1e4,
      "mm",
      computed("distance between the edges of two lands as drawn, least of all pairs"),
    )
    figures.push(gap)
    findings.push(
      judge("iron-access", {
        title: `${board.name}: the iron has ${showNumber(near.gap)} mm between ${near.a} and ${near.b}, where it is tightest`,
        where: where(near.a, { part: near.part, x: near.x, y: near.y }),
        ...measuredBy(gap),
        limit: { value: ironRoom, unit: "mm", kind: "at least" },
        atWorst: "amber",
        source: practice("common practice, no source: half a millimetre between lands of different nets"),
      }),
    )
  }
  return { findings, figures }
}

function nearestLands(board: Board) {
  const lands = board.lands.map((l) => ({ l, s: stadium(l, l.rotation) }))
  let best: { gap: number; a: string; b: string; part: string; x: number; y: number } | undefined
  for (const [i, { l, s }] of lands.entries())
    for (const { l: m, s: t } of lands.slice(0, i)) {
      if (l.net !== undefined && l.net === m.net) continue
      if (Math.abs(l.x - m.x) > 8 || Math.abs(l.y - m.y) > 8) continue
      const gap =
        segmentToSegment(
          { x: s.ax, y: s.ay },
          { x: s.bx, y: s.by },
          { x: t.ax, y: t.ay },
          { x: t.bx, y: t.by },
        ) -
        s.r -
        t.r
      if (!best || gap < best.gap)
        best = { gap, a: `${l.ref} pin ${l.pin}`, b: `${m.ref} pin ${m.pin}`, part: l.ref, x: l.x, y: l.y }
    }
  return best
}
