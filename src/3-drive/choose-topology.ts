// What the programme asks of a group's drive: one level or two straight from its wires, or a controller that times
// it. Which parts then set the current is chosen by comparing candidates.

import type { Group, Lamp, ProgrammeLine, Wire } from "../2-lamp/artefact.ts"
import type { GroupDrive } from "./artefact.ts"
import { pinnedFor } from "./pinned.ts"

/** Wires that light a group at one level, joined by diodes. */
export interface Feed {
  /** 0…1 of full current. */
  readonly level: number
  readonly wires: readonly Wire[]
}

export interface GroupPlan {
  readonly group: Group
  readonly topology: GroupDrive["topology"]
  readonly why: string
  /** Direct: one; two-feed: brightest first; switched: one, with every wire that lights the group. */
  readonly feeds: readonly Feed[]
  readonly lines: readonly ProgrammeLine[]
  /** One channel for each LED, as far as the controller has pins. */
  readonly sweeps: boolean
}

/** The same group switched by the controller, its lower levels made of pulses. */
export function switchedPlan(plan: GroupPlan): GroupPlan {
  if (plan.topology === "switched") return plan
  const { group, lines, sweeps } = plan
  const wires = plan.feeds.flatMap((f) => f.wires)
  return switched({ group, lines, sweeps, wires }, "its levels are made of pulses")
}

function switched(
  plan: Pick<GroupPlan, "group" | "lines" | "sweeps"> & { readonly wires: readonly Wire[] },
  what: string,
): GroupPlan {
  const { group, lines, sweeps, wires } = plan
  const needs = sweeps ? "one switch for each LED" : "one switch for the group"
  return {
    group,
    topology: "switched",
    why: `switched by the controller, because ${what}: ${needs}. Its current still comes from ${names(wires)} through a diode, and with the controller dead it lights whenever its wire is live.`,
    feeds: [{ level: 1, wires }],
    lines,
    sweeps,
  }
}

const names = (list: readonly Wire[]) => list.map((w) => w.name).join(" and ")

/** Undefined when no line of the programme lights the group by a wire the vehicle has. */
export function chooseTopology(lamp: Lamp, group: Group): GroupPlan | undefined {
  const lines = lamp.programme.filter((l) => l.light === group.name)
  const wireOf = new Map(lamp.vehicle.wires.map((w) => [w.name, w]))
  const named = [...new Set(lines.flatMap((l) => l.when))]
  const wires = named.flatMap((n) => wireOf.get(n) ?? [])
  if (wires.length === 0 || lines.every((l) => l.level <= 0)) return undefined
  const sweeps = lines.some((l) => l.sweep !== undefined)
  const timed = lines.some((l) => l.rise > 0 || l.fall > 0)
  const combined = lines.some((l) => l.when.length !== 1 || l.level <= 0)
  if (sweeps || timed || combined) {
    const what = sweeps ? "it is swept" : timed ? "it is faded in or out" : "wires are combined"
    return switched({ group, lines, sweeps, wires }, what)
  }

  // A wire named in two lines lights at the higher level.
  const levelOf = new Map<Wire, number>()
  for (const l of lines) {
    const wire = wireOf.get(l.when[0]!)
    if (wire) levelOf.set(wire, Math.max(l.level, levelOf.get(wire) ?? 0))
  }
  const levels = [...new Set(levelOf.values())].sort((a, b) => b - a)
  const feeds = levels.map(
    (level): Feed => ({
      level,
      wires: [...levelOf].filter(([, l]) => l === level).map(([w]) => w),
    }),
  )
  if (feeds.length === 1) {
    if (pinnedFor(lamp, group.name).way === "pwm")
      return switched({ group, lines, sweeps, wires }, "its way was held by hand")
    const flash = wires.some((w) => w.role === "flashing")
    return {
      group,
      topology: "direct",
      why: `fed straight from ${names(wires)}, because nothing asks for timing${flash ? ": the flasher itself makes it flash" : ""}. No controller stands in the way of its light.`,
      feeds,
      lines,
      sweeps,
    }
  }
  const by = feeds.map((f) => `${names(f.wires)} for ${Math.round(f.level * 100)} %`).join(", ")
  return {
    group,
    topology: "two-feed",
    why: `fed straight through one resistor for each level (${by}), because levels need no controller. It works with the controller dead.`,
    feeds,
    lines,
    sweeps,
  }
}
