// A line of the programme together with what it sets: only lines of groups that the controller switches.

import type { Finding } from "../0-ground/finding.ts"
import type { Group, Lamp, ProgrammeLine } from "../2-lamp/artefact.ts"
import type { Channel, Circuit } from "../3-drive/artefact.ts"
import type { BehaviourInput } from "./artefact.ts"
import { state } from "./behaviour-findings.ts"
import { whereOf } from "./where-line.ts"

export interface Line {
  readonly index: number
  readonly line: ProgrammeLine
  readonly group: Group
  readonly channels: readonly Channel[]
  /** When each channel's turn in a sweep comes: 0, 1, 2 …; channels of one step have the same. */
  readonly turns: readonly number[]
  readonly live: readonly number[]
  readonly flashing: readonly number[]
}

export function switchedLines(
  lamp: Lamp,
  circuit: Circuit,
  inputs: readonly BehaviourInput[],
  findings: Finding[],
): readonly Line[] {
  return lamp.programme.flatMap((line, index) => {
    const group = lamp.groups.find((g) => g.name === line.light)
    const channels = group ? channelsOf(circuit, group) : []
    if (!group || channels.length === 0) return []
    const unread = line.when.filter((w) => !inputs.some((i) => i.wire === w))
    for (const wire of unread) {
      findings.push(
        state("wire-not-read", {
          severity: "red",
          title: `Group ${group.name} waits for wire ${wire}, which no controller input reads`,
          where: whereOf(lamp, index, "when", { group: group.name, wire }),
        }),
      )
    }
    if (unread.length > 0) return []
    const live = [...new Set(line.when)].map((w) => inputs.findIndex((i) => i.wire === w))
    const flashing = live.filter((i) => inputs[i]!.flashing)
    return [{ index, line, group, channels, turns: turnsOf(group, channels, line), live, flashing }]
  })
}

/** Place of a channel's first LED in the group's order. */
const placeOf = (group: Group, c: Channel) =>
  Math.min(...c.leds.map((ref) => group.leds.findIndex((l) => l.ref === ref)))

/** A group's channels in sweep order: by the first of their LEDs in the group's order. */
function channelsOf(circuit: Circuit, group: Group): readonly Channel[] {
  return circuit.channels
    .filter((c) => c.group === group.name)
    .sort((a, b) => placeOf(group, a) - placeOf(group, b) || a.index - b.index)
}

/** LEDs 0 … step − 1 have the first turn, the next so many the second; a channel goes with its first LED. */
function turnsOf(group: Group, channels: readonly Channel[], line: ProgrammeLine): readonly number[] {
  const steps = channels.map((c) => Math.floor(placeOf(group, c) / (line.sweep?.step ?? 1)))
  const distinct = [...new Set(steps)]
  return steps.map((s) => distinct.indexOf(s))
}

/** The line holds the group's other lines back between its flashes. */
export const holdsBack = (l: Line): boolean =>
  l.flashing.length > 0 && l.line.betweenFlashes !== "other-lines"
