// Judges what lights when things break: the controller silent, and its 5 V supply dead. And what the description
// itself leaves open.

import { fact, measuredBy } from "../0-ground/figure.ts"
import type { Finding } from "../0-ground/finding.ts"
import { computed, described } from "../0-ground/source.ts"
import { leds } from "../1-stock/leds.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import type { GroupPlan } from "./choose-topology.ts"
import { type Figures, solvedAs } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { straightFromWires } from "./drive-remedies.ts"
import { earthWire, supplyWires } from "./feed-wires.ts"
import { levelFact, pathOf } from "./group-figures.ts"
import { leastShare } from "./limits.ts"
import { groupPlace, ledsOf, type MadeCircuit, placeOf, solveUnder } from "./made-circuit.ts"
import { pinFaults } from "./pinned.ts"
import type { ChannelShare } from "./share-channels.ts"
import type { WrittenGroup } from "./write-group.ts"

export function judgeSafety(made: MadeCircuit, figures: Figures): Finding[] {
  return made.groups.flatMap((group) => judgeDefault(made, group, figures))
}

/** Each wire of the group alone, at the usual supply with usual parts, no controller doing anything. */
function judgeDefault(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  const { plan } = group
  const name = plan.group.name
  const refs = ledsOf(group)
  const { supply } = made.lamp.vehicle
  let least = { value: Number.POSITIVE_INFINITY, wire: "", current: 0, f: 0 }
  for (const [f, feed] of plan.feeds.entries()) {
    for (const wire of feed.wires) {
      const point = solveUnder(made, {
        wires: new Map([[wire.name, supply.usual]]),
        parts: "usual",
        celsius: 25,
      })
      // A lower feed of a two-level group gives its own level.
      const full = group.strings.full * (plan.topology === "two-feed" ? feed.level / plan.feeds[0]!.level : 1)
      for (const ref of refs) {
        const current = point.current(ref)
        const value = current / full
        if (!(value >= least.value)) least = { value, wire: wire.name, current, f }
      }
    }
  }
  const id = `drive.${name}.silent-share`
  const corner = `${least.wire} alone live at ${supply.usual} V, controller blank or in reset, usual parts`
  const from = pathOf(made, group, figures, { supply: supply.usual, celsius: 25, parts: "usual" })
  const lower = plan.topology === "two-feed" && least.f > 0
  const figure = figures.result(
    id,
    `share of its light ${name} gives with the controller silent`,
    least.value * 100,
    "%",
    lower
      ? "current of the dimmest LED ÷ (full LED current × the wire's level ÷ the full level)"
      : "current of the dimmest LED ÷ full LED current",
    [
      solvedAs(`${id}.current`, "current of the dimmest LED", least.current * 1000, "mA", from, corner),
      figures.get(`drive.${name}.full-current`),
      ...(lower ? [levelFact(made, group, least.f), levelFact(made, group, 0)] : []),
    ],
    corner,
  )
  const first = report.judge("safe-default", {
    title:
      plan.topology === "switched"
        ? `${name} lights from ${least.wire} alone with the controller silent`
        : `${name} has no controller in its path`,
    where: groupPlace(made, group),
    ...measuredBy(figure),
    limit: { value: 50, unit: "%", kind: "at least" },
    corner,
    source: {
      document: "chosen by this program",
      place: "half of its light is still a signal",
      known: "chosen",
    },
  })
  if (plan.topology !== "switched") return [first]

  const wires = new Map(plan.feeds.flatMap((f) => f.wires.map((w) => [w.name, supply.usual] as const)))
  const dead = solveUnder(made, { wires, parts: "usual", celsius: 25, regulatorOff: true })
  const current = Math.min(...refs.map((ref) => dead.current(ref)))
  const left = current / group.strings.full
  const without = `drive.${name}.dead-supply-share`
  const dark = "5 V supply dead, all wires of the group live at the usual supply, usual parts"
  const remains = figures.result(
    without,
    `share of its light ${name} gives with the 5 V supply dead`,
    Math.max(left, 0) * 100,
    "%",
    "current of the dimmest LED ÷ full LED current",
    [
      solvedAs(
        `${without}.current`,
        "current of the dimmest LED",
        Math.max(current, 0) * 1000,
        "mA",
        from,
        dark,
      ),
      figures.get(`drive.${name}.full-current`),
    ],
    dark,
  )
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
          ...measuredBy(remains),
          remedies: straightFromWires(made.lamp, plan.group),
        }),
  ]
}

/** What the description asks for that cannot be, before any circuit is looked at. */
export function judgeDescription(
  lamp: Lamp,
  plans: readonly GroupPlan[],
  share: ChannelShare,
  figures: Figures,
): Finding[] {
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
    const source = computed(
      "counted in the circuit: one output for each LED of a sweep, one for any other group",
    )
    const signals = figures.result(
      "drive.controller.signals",
      "signals that need a controller pin",
      share.channels + share.inputs.length,
      "",
      "outputs + wires that are read",
      [
        fact("drive.controller.outputs", "outputs", share.channels, "", source),
        fact(
          "drive.controller.wires-read",
          "wires that are read",
          share.inputs.length,
          "",
          described("programme"),
        ),
      ],
    )
    findings.push(
      report.judge("too-many-signals", {
        title: `${share.channels} outputs and ${share.inputs.length} inputs for ${share.pins} controller pins`,
        where,
        ...measuredBy(signals),
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
