// Judges the LEDs of every group at every corner: current, heat, light at the lowest supply, levels, evenness.

import { measuredBy } from "../0-ground/figure.ts"
import type { Finding, Severity } from "../0-ground/finding.ts"
import type { Remedy } from "../0-ground/remedy.ts"
import { show, showNumber } from "../0-ground/text/show.ts"
import { showOhm } from "../1-stock/e-series.ts"
import { modelOf } from "../1-stock/parts.ts"
import { type CornerCase, heatOf, type SolvedCorner } from "./corners.ts"
import { type Figures, limitFigures, solvedAs, stockFact, workedOut } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { largerBody, largerOhm, lessCurrent, possibleCurrent, shorterStrings } from "./drive-remedies.ts"
import { endOf, figureStrings, levelFact, pathOf } from "./group-figures.ts"
import { junctionReserve, leastShare, ledShare, resistorShare, stopRatio } from "./limits.ts"
import {
  extreme,
  forwardVolt,
  groupPlace,
  isFed,
  junctionOf,
  ledsOf,
  levelOf,
  type MadeCircuit,
} from "./made-circuit.ts"
import { deratedLedCurrent } from "./plan-strings.ts"
import { deratedPower, liveShare } from "./rate-resistor.ts"
import { resistorHeat } from "./resistor-heat.ts"
import type { WrittenGroup } from "./write-group.ts"

export function judgeGroups(made: MadeCircuit, figures: Figures): Finding[] {
  return made.groups.flatMap((group) => {
    figureStrings(made, group, figures)
    return [
      ...judgeCurrent(made, group, figures),
      ...judgeLight(made, group, figures),
      ...judgeLevels(made, group, figures),
      ...judgeResistors(made, group, figures),
      ...judgeDark(made, group, figures),
    ]
  })
}

function judgeCurrent(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  const { plan, led } = group
  const id = `drive.${plan.group.name}`
  const refs = ledsOf(group)
  const { ambient } = made.lamp.vehicle
  const findings: Finding[] = []

  const most = extreme(made.solved, refs, (p, ref) => p.current(ref))
  if (most) {
    const rating = deratedLedCurrent(
      { led, diode: "", wireOhm: 0, strings: 1, onSection: 0 },
      ambient.highest,
    )
    const derated = figures.result(
      `${id}.hot-rating`,
      `current the LED may carry at ${ambient.highest} °C`,
      rating * 1000,
      "mA",
      "lesser of the maximum current and (maximum junction − ambient) ÷ (thermal resistance × forward voltage)",
      [
        stockFact(led.key, "maximum-current"),
        stockFact(led.key, "maximum-junction"),
        stockFact(led.key, "thermal-resistance"),
        stockFact(led.key, "forward-voltage"),
        figures.ambient("highest"),
      ],
    )
    const limit = figures.result(
      `${id}.current-limit`,
      `LED current we allow in ${plan.group.name}`,
      ledShare.value * rating * 1000,
      "mA",
      "share we use × current the hot LED may carry",
      [limitFigures.ledShare, derated],
    )
    const figure = figures.solved(
      `${id}.strongest-current`,
      `greatest LED current of ${plan.group.name}`,
      most.value * 1000,
      "mA",
      pathOf(made, group, figures, most.at, most.ref),
      most.corner,
    )
    findings.push(
      report.judge("led-current", {
        title: `${plan.group.name}: LEDs take at most ${show(figure.value, "mA")} of ${show(limit.value, "mA")}`,
        where: groupPlace(made, group, `LED ${most.ref}`, { part: most.ref }),
        ...measuredBy(figure),
        limit: { value: limit.value, unit: "mA", kind: "at most" },
        corner: most.corner,
        // The limit itself keeps a fifth in reserve.
        amberBelow: 0,
        atWorst: most.value > rating ? "red" : "amber",
        source: ledShare.source,
        remedies:
          group.pinned.ohm === undefined
            ? lessCurrent(plan.group.name, group.strings.full, figure.value, limit.value)
            : largerOhm(plan.group.name, group.pinned.ohm, figure.value, limit.value),
      }),
    )
  }

  const hottest = extreme(made.solved, refs, (p, ref, at) => junctionOf(made, p, ref, at.celsius))
  if (hottest) {
    const limit = led.maximumJunction - junctionReserve.value
    const { at, point, ref } = hottest
    const volt = forwardVolt(made, point, ref)
    const amps = point.current(ref)
    const from = pathOf(made, group, figures, at, ref)
    const heat = workedOut(
      `${id}.junction.heat`,
      `heat in ${ref}`,
      volt * amps * 1000,
      "mW",
      "forward voltage × current",
      [
        solvedAs(`${id}.junction.voltage`, `forward voltage of ${ref}`, volt, "V", [
          stockFact(led.key, `forward-voltage${endOf[at.parts]}`),
          stockFact(led.key, "voltage-per-kelvin"),
        ]),
        solvedAs(`${id}.junction.current`, `current of ${ref}`, amps * 1000, "mA", from),
      ],
      hottest.corner,
    )
    const figure = figures.result(
      `${id}.junction`,
      `junction temperature of the hottest LED of ${plan.group.name}`,
      hottest.value,
      "°C",
      "temperature of the air + thermal resistance × heat",
      [figures.air(at.celsius), stockFact(led.key, "thermal-resistance"), heat],
      hottest.corner,
    )
    findings.push(
      report.judge("led-junction", {
        title: `${plan.group.name}: LED junctions reach ${show(figure.value, "°C")}`,
        where: groupPlace(made, group, `LED ${hottest.ref}`, { part: hottest.ref }),
        ...measuredBy(figure),
        limit: { value: limit, unit: "°C", kind: "at most" },
        corner: hottest.corner,
        amberBelow: 0,
        atWorst: hottest.value > led.maximumJunction ? "red" : "amber",
        source: junctionReserve.source,
        // Heat above the air is what the current makes.
        remedies:
          limit > at.celsius
            ? lessCurrent(plan.group.name, group.strings.full, figure.value - at.celsius, limit - at.celsius)
            : [],
      }),
    )
  }

  if (plan.group.current !== undefined && group.strings.heldBack !== undefined) {
    findings.push(
      report.judge("led-wanted", {
        title: `${plan.group.name}: ${show(plan.group.current, "A")} was asked for, ${show(group.strings.full, "A")} is left: ${group.strings.heldBack}`,
        where: groupPlace(made, group),
        ...measuredBy(figures.get(`${id}.full-current`)!),
        limit: { value: round(0.9 * group.strings.wanted * 1000), unit: "mA", kind: "at least" },
        atWorst: "amber",
        amberBelow: 0,
        remedies:
          group.strings.full < 0.9 * group.strings.wanted
            ? possibleCurrent(plan.group.name, group.strings.full)
            : [],
      }),
    )
  }
  return findings
}

function judgeLight(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  const { plan } = group
  const id = `drive.${plan.group.name}`
  const refs = ledsOf(group)
  const usual = made.solved.filter((s) => s.at.parts === "usual")
  const full = usual.flatMap(({ at, point }) =>
    levelOf(group, at.live) > 0 ? refs.map((ref) => point.current(ref)) : [],
  )
  if (full.length === 0) return []

  // For each set of live wires: the dimmest LED at the lowest supply against the same LED at usual supply.
  let least: { value: number; low: SolvedCorner; same: SolvedCorner; ref: string } | undefined
  for (const low of made.solved) {
    if (low.at.supply !== made.lamp.vehicle.supply.lowest || low.at.parts !== "weakest") continue
    if (levelOf(group, low.at.live) <= 0) continue
    const same = usual.find((u) => u.at.live === low.at.live)
    if (!same) continue
    for (const ref of refs) {
      const value = low.point.current(ref) / same.point.current(ref)
      if (least === undefined || !(value >= least.value)) least = { value, low, same, ref }
    }
  }
  if (!least) return []
  const { low, same, ref } = least
  const currentIn = (name: string, { at, point }: SolvedCorner) =>
    solvedAs(
      `${id}.least-share.${name}`,
      `current of ${ref}, ${at.parts} parts`,
      point.current(ref) * 1000,
      "mA",
      pathOf(made, group, figures, at, ref),
      at.name,
    )
  const figure = figures.result(
    `${id}.least-share`,
    `share of its usual current the dimmest LED of ${plan.group.name} keeps at the lowest supply`,
    least.value * 100,
    "%",
    "current at the lowest supply ÷ current at the usual supply, same LED",
    [currentIn("low", low), currentIn("usual", same)],
    low.at.name,
  )
  return [
    report.judge("led-light-low", {
      title: `${plan.group.name}: ${show(figure.value, "%")} of its current is left at ${made.lamp.vehicle.supply.lowest} V`,
      where: groupPlace(made, group, `LED ${ref}`, { part: ref }),
      ...measuredBy(figure),
      limit: { value: leastShare.value * 100, unit: "%", kind: "at least" },
      corner: low.at.name,
      source: leastShare.source,
      remedies:
        figure.value < 1.05 * leastShare.value * 100
          ? shorterStrings(plan.group.name, group.strings.inSeries)
          : [],
    }),
  ]
}

function judgeLevels(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  const { plan } = group
  const refs = ledsOf(group)
  const id = `drive.${plan.group.name}`
  const findings: Finding[] = []
  const mean = (live: (names: readonly string[]) => boolean, parts: string) => {
    const at = made.solved.find(
      (s) => s.at.parts === parts && s.at.supply === made.lamp.vehicle.supply.usual && live(s.at.live),
    )
    if (!at) return undefined
    return { value: refs.reduce((sum, ref) => sum + at.point.current(ref), 0) / refs.length, at: at.at }
  }
  const only = (f: number) => (live: readonly string[]) => {
    const mine = plan.feeds[f]!.wires.map((w) => w.name)
    const others = plan.feeds.flatMap((x, k) => (k === f ? [] : x.wires.map((w) => w.name)))
    return live.some((w) => mine.includes(w)) && !live.some((w) => others.includes(w))
  }

  const bright = plan.topology === "two-feed" ? mean(only(0), "usual") : undefined
  if (bright) {
    plan.feeds.slice(1).forEach((feed, k) => {
      const dim = mean(only(k + 1), "usual")
      if (!dim) return
      const share = dim.value / bright.value
      const wanted = feed.level / plan.feeds[0]!.level
      const name = `${id}.level${k === 0 ? "" : `-${k + 1}`}`
      const meanOf = (which: string, of: typeof dim) =>
        solvedAs(
          `${name}.${which}`,
          `mean LED current of ${plan.group.name} with ${of.at.live.join(" and ")} live`,
          of.value * 1000,
          "mA",
          pathOf(made, group, figures, of.at),
          of.at.name,
        )
      const reached = figures.result(
        name,
        `lower level of ${plan.group.name} against its full level`,
        share * 100,
        "%",
        "mean LED current with the lower wire live ÷ mean LED current with the brighter one live",
        [meanOf("low", dim), meanOf("full", bright)],
        dim.at.name,
      )
      const figure = figures.result(
        `${name}-error`,
        `how far the lower level of ${plan.group.name} lies from the programme's`,
        (Math.abs(share - wanted) / wanted) * 100,
        "%",
        "|level reached − level wanted| ÷ level wanted, where wanted is the lower level ÷ the full level",
        [reached, levelFact(made, group, k + 1), levelFact(made, group, 0)],
        dim.at.name,
      )
      findings.push(
        report.judge("level", {
          title: `${plan.group.name}: ${percent(share)} where the programme says ${percent(wanted)}`,
          where: groupPlace(made, group),
          ...measuredBy(figure),
          limit: { value: 15, unit: "%", kind: "at most" },
          corner: dim.at.name,
          atWorst: "amber",
          source: {
            document: "chosen by this program",
            place: "E24 steps are 10 %; a sixth is not seen",
            known: "chosen",
          },
        }),
      )
    })
  }
  findings.push(...judgeRatio(made, group, figures))

  // Evenness at each set that lights it, usual parts.
  let worst: { value: number; at: CornerCase; most: number; least: number } | undefined
  for (const { at, point } of made.solved) {
    if (at.parts !== "usual" || levelOf(group, at.live) <= 0) continue
    const currents = refs.map((ref) => point.current(ref))
    const [most, least] = [Math.max(...currents), Math.min(...currents)]
    const value = most / Math.max(least, 1e-12)
    if (worst === undefined || value > worst.value) worst = { value, at, most, least }
  }
  if (worst && refs.length > 1) {
    const { at, most, least } = worst
    const from = pathOf(made, group, figures, at)
    const figure = figures.result(
      `${id}.evenness`,
      `brightest to dimmest LED of ${plan.group.name}`,
      worst.value,
      "",
      "greatest LED current ÷ least LED current, usual parts",
      [
        solvedAs(`${id}.evenness.most`, "greatest LED current", most * 1000, "mA", from, at.name),
        solvedAs(`${id}.evenness.least`, "least LED current", least * 1000, "mA", from, at.name),
      ],
      at.name,
    )
    findings.push(
      report.judge("led-even", {
        title: `${plan.group.name}: brightest to dimmest LED ${showNumber(figure.value)} : 1`,
        where: groupPlace(made, group),
        ...measuredBy(figure),
        limit: { value: 1.25, unit: "", kind: "at most" },
        corner: at.name,
        atWorst: "amber",
        source: {
          document: "common practice: neighbours differing by a quarter are not seen as different",
          known: "practice",
        },
      }),
    )
  }
  return findings
}

/** Stop with position against position alone, each LED by itself, at every corner. */
function judgeRatio(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  const { plan } = group
  const both = plan.group.functions.includes("stop") && plan.group.functions.includes("rear-position")
  if (!both || plan.feeds.length < 2) return []
  const high = plan.feeds[0]!.wires.map((w) => w.name)
  let least: { value: number; stop: SolvedCorner; low: SolvedCorner; ref: string } | undefined
  for (const low of made.solved) {
    if (low.at.live.some((w) => high.includes(w)) || !isFed(group, low.at.live)) continue
    const stop = made.solved.find(
      (s) =>
        s.at.parts === low.at.parts &&
        s.at.supply === low.at.supply &&
        s.at.live.some((w) => high.includes(w)) &&
        low.at.live
          .filter((w) => plan.feeds.some((f) => f.wires.some((x) => x.name === w)))
          .every((w) => s.at.live.includes(w)),
    )
    if (!stop) continue
    for (const ref of ledsOf(group)) {
      const value = stop.point.current(ref) / low.point.current(ref)
      if (least === undefined || !(value >= least.value)) least = { value, stop, low, ref }
    }
  }
  if (!least) return []
  const id = `drive.${plan.group.name}.stop-ratio`
  const { stop, low, ref } = least
  const currentIn = (name: string, { at, point }: SolvedCorner) =>
    solvedAs(
      `${id}.${name}`,
      `current of ${ref} with ${at.live.join(" and ")} live`,
      point.current(ref) * 1000,
      "mA",
      pathOf(made, group, figures, at, ref),
      at.name,
    )
  const figure = figures.result(
    id,
    "stop and position on against position alone, least over all corners",
    least.value,
    "",
    "LED current with stop and position live ÷ the same LED's with position alone",
    [currentIn("stop", stop), currentIn("position", low)],
    stop.at.name,
  )
  return [
    report.judge("stop-ratio", {
      title: `${plan.group.name}: stop is ${showNumber(figure.value)} times the position light`,
      where: groupPlace(made, group, `LED ${ref}`),
      ...measuredBy(figure),
      limit: { value: stopRatio.value, unit: "", kind: "at least" },
      corner: stop.at.name,
      source: stopRatio.source,
      remedies: figure.value < 1.05 * stopRatio.value ? lowerTail(made, plan.group.name, figure.value) : [],
    }),
  ]
}

/** The tail level that gives the ratio with a resistor step to spare. */
function lowerTail(made: MadeCircuit, group: string, ratio: number): Remedy[] {
  const { programme } = made.lamp
  const tail = programme.reduce<(typeof programme)[number] | undefined>(
    (a, l) => (l.light === group && l.level > 0 && (!a || l.level < a.level) ? l : a),
    undefined,
  )
  const next = tail ? Math.floor((100 * tail.level * ratio) / stopRatio.value / 1.15) : 0
  if (!tail || next < 1) return []
  return [
    {
      says: `Lower the position light of ${group} to ${next} %.`,
      changes: [{ path: `programme.${programme.indexOf(tail)}.level`, value: `${next} %` }],
      gives: { value: (100 * tail.level * ratio) / next, unit: "" },
    },
  ]
}

function judgeResistors(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  const { plan, resistors } = group
  const { ambient } = made.lamp.vehicle
  return resistors.flatMap((refs, f) => {
    const share = liveShare(plan, f)
    // Judged as a share of each resistor's own derated rating: the strings may have different sizes.
    const rated = (ref: string) =>
      deratedPower(modelOf(made.part.get(ref)!.stock, "resistor").rated, ambient.highest)
    const most = extreme(made.solved, refs, (p, ref) => (heatOf(made.part.get(ref)!, p) * share) / rated(ref))
    if (!most) return []
    const part = made.part.get(most.ref)!
    const limit = resistorShare.value
    const figure = resistorHeat(
      `drive.${plan.group.name}.${f === 0 ? "resistor-heat" : `second-resistor-heat${f > 1 ? `-${f}` : ""}`}`,
      made,
      figures,
      most,
      share,
      pathOf(made, group, figures, most.at, most.ref),
    )
    const severity: Severity = most.value > 1 ? "red" : "amber"
    return [
      report.judge("resistor-heat", {
        title: `${plan.group.name}: ${part.ref} (${showOhm(part.amount!)}) is ${percent(most.value)} loaded${share < 1 ? `, averaged over ${percent(share)} on-time` : ""}`,
        where: groupPlace(made, group, `resistor ${part.ref}`, { part: part.ref }),
        ...measuredBy(figure),
        limit: { value: round(limit * rated(most.ref) * 1000), unit: "mW", kind: "at most" },
        corner: most.corner,
        // The limit itself keeps half in reserve.
        amberBelow: 0,
        atWorst: severity,
        source: resistorShare.source,
        remedies: largerBody(
          plan.group.name,
          modelOf(part.stock, "resistor").rated,
          figure.value,
          limit * rated(most.ref) * 1000,
        ),
      }),
    ]
  })
}

/** A group none of whose wires is live must be dark, whatever else is live. */
function judgeDark(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  const refs = ledsOf(group)
  const dead = made.solved.filter((s) => levelOf(group, s.at.live) <= 0)
  const most = extreme(dead, refs, (p, ref) => p.current(ref) / group.strings.full)
  if (!most) return []
  const id = `drive.${group.plan.group.name}`
  const figure = figures.result(
    `${id}.dark-share`,
    `light left in ${group.plan.group.name} while its wires are dead`,
    Math.max(0, most.value) * 100,
    "%",
    "greatest LED current with other wires live ÷ full LED current",
    [
      solvedAs(
        `${id}.dark-share.current`,
        `current of ${most.ref}`,
        Math.max(0, most.point.current(most.ref)) * 1e6,
        "µA",
        figures.conditions(most.at),
        most.corner,
      ),
      figures.get(`${id}.full-current`),
    ],
    most.corner,
  )
  return [
    report.judge("dark-when-dead", {
      title: `${group.plan.group.name} stays dark while its wires are dead`,
      where: groupPlace(made, group, `LED ${most.ref}`, { part: most.ref }),
      ...measuredBy(figure),
      limit: { value: 1, unit: "%", kind: "at most" },
      corner: most.corner,
      source: { document: "common practice: below 1 % of full current", known: "practice" },
    }),
  ]
}

const round = (v: number) => Number(v.toPrecision(4))
const percent = (share: number) => `${Number((share * 100).toPrecision(3))} %`
