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
    return [{ index, line, group, channels, live, flashing: live.filter((i) => inputs[i]!.flashing) }]
  })
}

/** A group's channels in sweep order: by the first of their LEDs in the group's order. */
function channelsOf(circuit: Circuit, group: Group): readonly Channel[] {
  const place = (c: Channel) => Math.min(...c.leds.map((ref) => group.leds.findIndex((l) => l.ref === ref)))
  return circuit.channels
    .filter((c) => c.group === group.name)
    .sort((a, b) => place(a) - place(b) || a.index - b.index)
}
