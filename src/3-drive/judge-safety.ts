// Judges what lights when things break: the controller silent, and its 5 V supply dead. And what the description
// itself leaves open.

import type { Finding } from "../0-ground/finding.ts"
import { leds } from "../1-stock/leds.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { GroupPlan } from "./choose-topology.ts"
import type { Figures } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { earthWire, supplyWires } from "./feed-wires.ts"
import { leastShare } from "./limits.ts"
import { groupPlace, ledsOf, type MadeCircuit, placeOf, solveUnder } from "./made-circuit.ts"
import { pinFaults } from "./pinned.ts"
import type { ChannelShare } from "./share-channels.ts"
import type { WrittenGroup } from "./write-group.ts"

const round = (v: number) => Number(v.toPrecision(4))

export function judgeSafety(made: MadeCircuit, figures: Figures): Finding[] {
  return made.groups.flatMap((group) => judgeDefault(made, group, figures))
}

/** Each wire of the group alone, at the usual supply with usual parts, no controller doing anything. */
function judgeDefault(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  const { plan } = group
  const name = plan.group.name
  const refs = ledsOf(group)
  const { supply } = made.lamp.vehicle
  let least = { value: Number.POSITIVE_INFINITY, wire: "" }
  for (const feed of plan.feeds) {
    for (const wire of feed.wires) {
      const point = solveUnder(made, {
        wires: new Map([[wire.name, supply.usual]]),
        parts: "usual",
        celsius: 25,
      })
      // A lower feed of a two-level group gives its own level.
      const full = group.strings.full * (plan.topology === "two-feed" ? feed.level / plan.feeds[0]!.level : 1)
      for (const ref of refs) {
        const value = point.current(ref) / full
        if (!(value >= least.value)) least = { value, wire: wire.name }
      }
    }
  }
  const figure = figures.solved(
    `drive.${name}.silent-share`,
    `share of its light ${name} gives with the controller silent`,
    least.value,
    "",
    [figures.supply("usual"), figures.get(`drive.${name}.resistor`)],
    `${least.wire} alone live, controller silent`,
  )
  const first = report.judge("safe-default", {
    title:
      plan.topology === "switched"
        ? `${name} lights from ${least.wire} alone with the controller silent`
        : `${name} has no controller in its path`,
    where: groupPlace(made, group),
    measured: { value: round(least.value * 100), unit: "%" },
    limit: { value: 50, unit: "%", kind: "at least" },
    corner: `${least.wire} alone live at ${supply.usual} V, controller blank or in reset, usual parts`,
    source: {
      document: "chosen by this program",
      place: "half of its light is still a signal",
      known: "chosen",
    },
    figure: figure.id,
  })
  if (plan.topology !== "switched") return [first]

  const wires = new Map(plan.feeds.flatMap((f) => f.wires.map((w) => [w.name, supply.usual] as const)))
  const dead = solveUnder(made, { wires, parts: "usual", celsius: 25, regulatorOff: true })
  const left = Math.min(...refs.map((ref) => dead.current(ref))) / group.strings.full
  return [
    first,
    left >= leastShare.value
      ? report.state("safe-five-volt", {
          severity: "green",
          title: `${name} lights even with the 5 V supply dead`,
          where: groupPlace(made, group),
        })
      : report.state("safe-five-volt", {
          severity: "amber",
          title: `${name} goes dark when the 5 V supply of its switches is dead: the pull-ups hang on it`,
          where: groupPlace(made, group),
          measured: { value: round(Math.max(left, 0) * 100), unit: "%" },
        }),
  ]
}

/** What the description asks for that cannot be, before any circuit is looked at. */
export function judgeDescription(lamp: Lamp, plans: readonly GroupPlan[], share: ChannelShare): Finding[] {
  const findings: Finding[] = []
  for (const group of lamp.groups) {
    const where = placeOf(lamp, `groups.${group.name}`, `group ${group.name}`, { group: group.name })
    if (!leds.has(group.led)) {
      const near = leds.near(group.led)
      findings.push(
        report.state("unknown-led", {
          severity: "red",
          title: `${group.name}: there is no LED "${group.led}" in the stock`,
          where: placeOf(lamp, `groups.${group.name}.led`, `group ${group.name}`, { group: group.name }),
          advice: near ? `Did you mean ${near}?` : `Use one of ${leds.keys.join(", ")}.`,
        }),
      )
    }
    if (!plans.some((p) => p.group === group)) {
      findings.push(
        report.state("group-unfed", { severity: "red", title: `nothing lights ${group.name}`, where }),
      )
    }
  }
  if (!earthWire(lamp)) {
    findings.push(
      report.state("earth-wire", {
        severity: "amber",
        title: "the lamp has no earth wire",
        where: placeOf(lamp, "vehicle.wires", "the vehicle's wires"),
      }),
    )
  }
  for (const fault of pinFaults(lamp)) {
    findings.push(
      report.state("unknown-pin", {
        severity: "red",
        title: fault.text,
        where: placeOf(lamp, `pins.${fault.path}`, `pins: ${fault.path}`),
        ...(fault.near ? { advice: `Did you mean ${fault.near}?` } : {}),
      }),
    )
  }
  const switched = plans.filter((p) => p.topology === "switched")
  if (switched.length === 0) return findings
  const where = placeOf(lamp, "programme", "the light programme")
  if (supplyWires(lamp).length === 0) {
    findings.push(
      report.state("controller-supply", {
        severity: "amber",
        title: "the controller has no supply of its own and starts anew with every flash",
        where: placeOf(lamp, "vehicle.wires", "the vehicle's wires"),
      }),
    )
  }
  if (!share.fits) {
    findings.push(
      report.judge("too-many-signals", {
        title: `${share.channels} outputs and ${share.inputs.length} inputs for ${share.pins} controller pins`,
        where,
        measured: { value: share.channels + share.inputs.length, unit: "" },
        limit: { value: share.pins, unit: "", kind: "at most" },
        amberBelow: 0,
      }),
    )
  } else if (share.together > 1) {
    findings.push(
      report.state("shared-channels", {
        severity: "amber",
        title: `${share.together} neighbours of a sweep share an output, because the controller has ${share.pins} pins`,
        where,
      }),
    )
  }
  return findings
}
