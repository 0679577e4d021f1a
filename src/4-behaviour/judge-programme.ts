// What is wrong with the programme as a whole: lines that contradict each other, groups nobody lights, too much of it.

import { type Figure, fact, measuredBy, result } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { computed } from "../0-ground/source.ts"
import type { Lamp, ProgrammeLine } from "../2-lamp/artefact.ts"
import type { Circuit } from "../3-drive/artefact.ts"
import type { BehaviourInput, BehaviourRule } from "./artefact.ts"
import { judge, state } from "./behaviour-findings.ts"
import { controllerOf, ioPinCount } from "./controllers.ts"
import { holdsBack, type Line } from "./programme-line.ts"
import { percent, placed, whereOf } from "./where-line.ts"

export function neverLit(lamp: Lamp): Finding[] {
  return lamp.groups
    .filter((g) => !lamp.programme.some((l) => l.light === g.name && l.level > 0))
    .map((g) =>
      state("group-never-lit", {
        severity: "red",
        title: `No programme line lights group ${g.name} (${g.leds.length} LEDs)`,
        where: placed(lamp, `groups.${g.name}`, { text: `group ${g.name}`, group: g.name }),
      }),
    )
}

export function contradictions(lamp: Lamp): Finding[] {
  const wires = (l: ProgrammeLine) => [...new Set(l.when)].sort().join(" + ")
  return lamp.programme.flatMap((line, i) => {
    const before = lamp.programme.findIndex((l) => l.light === line.light && wires(l) === wires(line))
    if (before === i) return []
    return [
      state("lines-contradict", {
        severity: "red",
        title: `Lines ${before + 1} and ${i + 1} of the programme both set ${line.light} when ${wires(line)} is live`,
        where: whereOf(lamp, i, "when", { group: line.light }),
      }),
    ]
  })
}

/** Steady lines whose additional wires make the group darker. */
export function dimmer(lamp: Lamp): Finding[] {
  const steady = (l: ProgrammeLine) =>
    l.when.every((w) => lamp.vehicle.wires.find((v) => v.name === w)?.role !== "flashing")
  return lamp.programme.flatMap((line, i) => {
    const brighter = lamp.programme.find(
      (l) =>
        l.light === line.light &&
        steady(l) &&
        steady(line) &&
        l.when.length < line.when.length &&
        l.when.every((w) => line.when.includes(w)) &&
        l.level > line.level,
    )
    if (!brighter) return []
    return [
      state("dimmer-with-more", {
        severity: "amber",
        title: `${line.light} falls from ${percent(brighter.level)} to ${percent(line.level)} when ${line.when.join(" and ")} are live together`,
        where: whereOf(lamp, i, "level", { group: line.light }),
      }),
    ]
  })
}

/** Groups fed straight from their wires in which a flashing wire and another meet: nothing makes them dark between. */
export function hiddenFlashes(lamp: Lamp, lines: readonly Line[]): Finding[] {
  const flashes = (l: ProgrammeLine) =>
    l.when.some((w) => lamp.vehicle.wires.find((v) => v.name === w)?.role === "flashing")
  return lamp.groups
    .filter((g) => !lines.some((l) => l.group === g))
    .flatMap((group) => {
      const own = lamp.programme.filter((l) => l.light === group.name && l.level > 0)
      return own.filter(flashes).flatMap((flasher): Finding[] => {
        const over = own
          .filter((l) => !flashes(l))
          .sort((a, b) => b.level - a.level)
          .find((l) => l.level >= flasher.level || flasher.betweenFlashes !== "other-lines")
        if (!over) return []
        const seen = over.level < flasher.level
        return [
          state("flash-hidden", {
            severity: seen ? "amber" : "red",
            title: seen
              ? `${group.name} stays at ${percent(over.level)} between the flashes of ${flasher.when.join(" and ")} while ${over.when.join(" and ")} is live: it is fed straight from its wires`
              : `Flashes of ${flasher.when.join(" and ")} cannot be seen on ${group.name} while ${over.when.join(" and ")} lights it at ${percent(over.level)}: it is fed straight from its wires`,
            where: whereOf(lamp, lamp.programme.indexOf(flasher), "light", { group: group.name }),
            advice: `Give the indicator LEDs of its own, or let the controller switch the group: pins: { drive.${group.name}.way: pwm }.`,
          }),
        ]
      })
    })
}

/** Lines of one group whose levels stand against the bulbs that their wires' lamps had. */
export function againstBulbs(lamp: Lamp): Finding[] {
  const bulb = (l: ProgrammeLine) =>
    l.when.length === 1
      ? lamp.vehicle.wires.find((w) => w.name === l.when[0] && w.role === "steady")
      : undefined
  return lamp.programme.flatMap((line, i) => {
    const wire = bulb(line)
    const over = lamp.programme.find((o) => {
      const other = bulb(o)
      return (
        o.light === line.light &&
        o.level >= line.level &&
        wire?.replaces !== undefined &&
        other?.replaces !== undefined &&
        other.replaces < wire.replaces
      )
    })
    if (!over || !wire) return []
    const less = bulb(over)!
    return [
      state("levels-against-bulbs", {
        severity: "amber",
        title: `${line.light} shows nothing of ${wire.name} (${percent(line.level)}, for a bulb of ${wire.replaces} W) while ${less.name} is live (${percent(over.level)}, for a bulb of ${less.replaces} W)`,
        where: whereOf(lamp, i, "level", { group: line.light }),
      }),
    ]
  })
}

/** Groups whose stop light is dark between the flashes of an indicator they share LEDs with. */
export function heldBack(lamp: Lamp, lines: readonly Line[]): Finding[] {
  return lines.flatMap((l) => {
    const shared = l.flashing.length === 0 && l.group.functions.includes("stop")
    const flasher = lines.find((f) => f.group.name === l.group.name && holdsBack(f))
    if (!shared || !flasher) return []
    return [
      state("stop-held-back", {
        severity: "amber",
        title: `${l.group.name} is dark between the flashes of ${flasher.line.when.join(" and ")}, even while ${l.line.when.join(" and ")} is live`,
        where: whereOf(lamp, l.index, "light", { group: l.group.name }),
      }),
    ]
  })
}

/** Dark lines that take away what a signal's wire would have lit. */
export function lost(lamp: Lamp, lines: readonly Line[]): Finding[] {
  return lines.flatMap((l) => {
    const signals = l.group.functions.filter((f) => f === "stop" || f === "direction-indicator")
    if (l.line.level > 0 || signals.length === 0) return []
    const taken = lines.find(
      (o) =>
        o !== l &&
        o.group.name === l.group.name &&
        o.line.level > 0 &&
        o.line.when.every((w) => l.line.when.includes(w)),
    )
    const alone = l.line.when.length === 1
    if (!alone && !taken) return []
    return [
      state("signal-darkened", {
        severity: alone ? "red" : "amber",
        title: `${l.group.name} is dark while ${l.line.when.join(" and ")} ${alone ? "is" : "are"} live${taken ? `, although ${taken.line.when.join(" and ")} would light it` : ""}`,
        where: whereOf(lamp, l.index, "level", { group: l.group.name }),
      }),
    ]
  })
}

/** What a lamp with a controller needs of it; empty for others. */
export function countFigures(
  inputs: readonly BehaviourInput[],
  circuit: Circuit,
  rules: readonly BehaviourRule[],
): readonly Counted[] {
  if (circuit.controller === undefined) return []
  const controller = controllerOf(circuit)
  const outputs = circuit.channels.length
  const wires = fact(
    "behaviour.inputs",
    "controller inputs",
    inputs.length,
    "",
    counted("one for each wire that is read"),
  )
  const switches = fact(
    "behaviour.outputs",
    "controller outputs",
    outputs,
    "",
    counted("one for each channel of the circuit"),
  )
  const pins = result("behaviour.pins", "controller pins", inputs.length + outputs, "", "inputs + outputs", [
    wires,
    switches,
  ])
  const lines = fact(
    "behaviour.table-lines",
    "table lines",
    rules.length,
    "",
    counted("programme lines of switched groups, and one for each group held dark between flashes"),
  )
  return [
    { figure: wires, most: controller.mostInputs },
    { figure: switches, most: controller.mostChannels },
    { figure: pins, most: ioPinCount(controller) },
    { figure: lines, most: controller.mostRules },
  ]
}

export interface Counted {
  readonly figure: Figure
  readonly most: number
}

export const counts = (all: readonly Counted[]): Finding[] =>
  all.map(({ figure, most }) =>
    judge("too-many", {
      title: `${figure.value} ${figure.name}, of ${most}`,
      where: { text: "controller", path: "programme" },
      ...measuredBy(figure),
      limit: { value: most, unit: "", kind: "at most" },
      amberBelow: 0,
    }),
  )

const counted = (what: string) => computed(`counted: ${what}`)
