// What would clear a finding of this room, found by computing it: the next resistor, a larger one, fewer LEDs in series,
// a current that can be had, a thicker wire, a fuse, another flasher.

import type { Remedy } from "../0-ground/remedy.ts"
import { showNumber } from "../0-ground/text/show.ts"
import { above, showOhm } from "../1-stock/e-series.ts"
import { wireOhm, wireTable } from "../1-stock/wire.ts"
import type { Group, Lamp, Wire } from "../2-lamp/artefact.ts"
import type { Candidate } from "./artefact.ts"
import { chooseTopology } from "./choose-topology.ts"

/** More than the limit asks: a resistor may be its tolerance off, and current does not follow it quite in proportion. */
const beyond = 1.03

/** For a resistor held by hand: current comes down with it; the next E24 value that brings it under the limit. */
export const largerOhm = (group: string, ohm: number, measured: number, limit: number): Remedy[] => {
  if (!(measured > limit) || !(ohm > 0)) return []
  const next = above((ohm * beyond * measured) / limit, "E24")
  return [
    {
      says: `Use ${showOhm(next)} for the resistors of ${group}.`,
      changes: [{ path: `pins."drive.${group}.resistor"`, value: showOhm(next) }],
    },
    {
      says: `Leave the resistors of ${group} to the tool.`,
      changes: [{ path: `pins."drive.${group}.resistor"`, value: null }],
    },
  ]
}

export const lessCurrent = (group: string, ampere: number, measured: number, limit: number): Remedy[] => {
  const next = Math.floor((1000 * ampere * limit) / measured / beyond)
  if (!(measured > limit) || next < 1) return []
  return [
    {
      says: `Ask ${next} mA of ${group}.`,
      changes: [{ path: `groups.${group}.current`, value: `${next} mA` }],
    },
  ]
}

/** What the limits leave of the current that was asked for. */
export const possibleCurrent = (group: string, ampere: number): Remedy[] => {
  const next = Math.floor(1000 * ampere)
  if (next < 1) return []
  return [
    {
      says: `Ask ${next} mA of ${group}: that much can be had.`,
      changes: [{ path: `groups.${group}.current`, value: `${next} mA` }],
    },
  ]
}

export const shorterStrings = (group: string, inSeries: number): Remedy[] =>
  inSeries < 2
    ? []
    : [
        {
          says: `Put ${inSeries - 1} LED${inSeries === 2 ? "" : "s"} of ${group} in series instead of ${inSeries}.`,
          changes: [{ path: `pins."drive.${group}.in-series"`, value: `${inSeries - 1}` }],
        },
      ]

const bodies = [
  { key: "resistor-quarter-watt", watt: 0.25, words: "¼ W" },
  { key: "resistor-half-watt", watt: 0.5, words: "½ W" },
  { key: "resistor-one-watt", watt: 1, words: "1 W" },
] as const

/** The smallest body whose rating grows by what the limit was missed. */
export const largerBody = (group: string, rated: number, measured: number, limit: number): Remedy[] => {
  const does = measured > limit ? bodies.find((b) => b.watt >= (rated * measured) / limit) : undefined
  return does
    ? [
        {
          says: `Use ${does.words} resistors for ${group}.`,
          changes: [{ path: `pins."drive.${group}.resistor-part"`, value: does.key }],
        },
      ]
    : []
}

/** Another flasher in the vehicle, or the load resistor that was worked out. */
export const anyLoadFlasher = (wire: string, ballast: string): Remedy[] => [
  {
    says: `Fit a load-independent flasher for ${wire} in the vehicle.`,
    changes: [{ path: `vehicle.wires.${wire}.flasher`, value: "electronic" }],
  },
  {
    says: `Fit a load resistor of ${ballast} across ${wire}.`,
    changes: [{ path: `vehicle.wires.${wire}.ballast`, value: ballast }],
  },
]

/** Blade fuses as they are sold, ampere. */
const fuses = [1, 2, 3, 4, 5, 7.5, 10, 15, 20] as const

/** The smallest fuse of which the wire takes no more than its share. */
export const smallestFuse = (wire: string, ampere: number, share: number): Remedy[] => {
  const fuse = fuses.find((f) => ampere <= f * share)
  return fuse === undefined
    ? []
    : [
        {
          says: `Fit a fuse of ${fuse} A in ${wire}.`,
          changes: [{ path: `vehicle.wires.${wire}.fuse`, value: `${fuse} A` }],
        },
      ]
}

/** The thinnest usual conductor whose resistance is smaller by what the limit was missed. */
export const thickerWire = (wire: Wire, measured: number, limit: number): Remedy[] => {
  const now = wireOhm(wire.size ?? 0.75, 1)
  const does =
    measured > limit ? wireTable.find((w) => w.ohmPerMetre <= (now * limit) / measured / beyond) : undefined
  return does
    ? [
        {
          says: `Lay ${wire.name} in ${does.size} mm².`,
          changes: [{ path: `vehicle.wires.${wire.name}.size`, value: `${does.size} mm²` }],
        },
      ]
    : []
}

/** The way that loses the fewest points of those in which no lamp by lot missed a limit. */
export function surerWay(candidates: readonly Candidate[], group: string): Remedy[] {
  const mine = candidates.filter((c) => c.group === group)
  const taken = mine.find((c) => c.taken)
  const does = mine
    .filter((c) => !c.taken && c.missed === 0 && c.fails.length === 0)
    .sort((a, b) => a.score - b.score)[0]
  if (!taken || !does) return []
  return [
    {
      says: `Take ${does.label} for ${group}: no lamp by lot missed a limit, for ${showNumber(does.score - taken.score)} points more (${does.why}).`,
      changes: [
        ...(does.kind === taken.kind ? [] : [{ path: `pins."drive.${group}.way"`, value: does.kind }]),
        { path: `pins."drive.${group}.in-series"`, value: `${does.inSeries}` },
      ],
    },
  ]
}

/** A group that neither sweeps nor fades hangs straight on its wires; empty where the controller is needed all the same. */
export function straightFromWires(lamp: Lamp, group: Group): Remedy[] {
  const plain = lamp.programme.map((l) => {
    if (l.light !== group.name) return l
    const { sweep, ...rest } = l
    return { ...rest, rise: 0, fall: 0 }
  })
  const plan = chooseTopology({ ...lamp, programme: plain }, group)
  if (!plan || plan.topology === "switched") return []
  const changes = lamp.programme.flatMap((l, i) =>
    l.light !== group.name
      ? []
      : [
          ...(l.sweep ? [`programme.${i}.sweep`] : []),
          ...(l.rise > 0 ? [`programme.${i}.rise`] : []),
          ...(l.fall > 0 ? [`programme.${i}.fall`] : []),
        ]
          .filter((path) => lamp.places[path] !== undefined)
          .map((path) => ({ path, value: null })),
  )
  return changes.length === 0
    ? []
    : [
        {
          says: `Light ${group.name} straight from its wires, without sweep and fades: then no chip stands in its way.`,
          changes,
        },
      ]
}

/** A supply whose load dump a suppressor in the vehicle clamps. */
export const clampedSupply = (lamp: Lamp): Remedy[] =>
  lamp.vehicle.supply.surge === "clamped"
    ? []
    : [
        {
          says: "Fit a suppressor across the vehicle's supply that clamps a load dump to 35 V, and describe the supply as clamped.",
          changes: [{ path: "vehicle.supply.surge", value: "clamped" }],
        },
      ]
