// Judges the LEDs of every group at every corner: current, heat, light at the lowest supply, levels, evenness.

import type { Finding, Severity } from "../0-ground/finding.ts"
import { show } from "../0-ground/text/show.ts"
import { showOhm } from "../1-stock/e-series.ts"
import { modelOf } from "../1-stock/parts.ts"
import { heatOf } from "./corners.ts"
import { type Figures, limitFigures, stockFact } from "./drive-figures.ts"
import { report } from "./drive-findings.ts"
import { junctionReserve, leastShare, ledShare, resistorShare, stopRatio } from "./limits.ts"
import { extreme, groupPlace, isFed, junctionOf, ledsOf, levelOf, type MadeCircuit } from "./made-circuit.ts"
import { deratedLedCurrent } from "./plan-strings.ts"
import { deratedPower, liveShare } from "./rate-resistor.ts"
import type { WrittenGroup } from "./write-group.ts"

export function judgeGroups(made: MadeCircuit, figures: Figures): Finding[] {
  return made.groups.flatMap((group) => {
    figureStrings(group, figures)
    return [
      ...judgeCurrent(made, group, figures),
      ...judgeLight(made, group, figures),
      ...judgeLevels(made, group, figures),
      ...judgeResistors(made, group, figures),
      ...judgeDark(made, group),
    ]
  })
}

/** Figures of the choice itself: strings and resistors. */
function figureStrings(group: WrittenGroup, figures: Figures): void {
  const { plan, strings, led, ohms } = group
  const id = `drive.${plan.group.name}`
  const wanted = figures.result(
    `${id}.wanted-current`,
    `wanted LED current of ${plan.group.name}`,
    strings.wanted * 1000,
    "mA",
    plan.group.current === undefined
      ? "the LED's test current × the brightest level"
      : "the description's current × the brightest level",
    [stockFact(led.key, "test-current")],
  )
  figures.result(
    `${id}.in-series`,
    `LEDs in series in ${plan.group.name}`,
    strings.inSeries,
    "",
    "the most that keep the least share of full current at the lowest supply with the highest forward voltage in the cold",
    [
      figures.supply("lowest"),
      stockFact(led.key, "forward-voltage-high"),
      figures.ambient("lowest"),
      limitFigures.leastShare,
    ],
  )
  for (const [length, values] of ohms) {
    values.forEach((ohm, f) => {
      const which = f === 0 ? "resistor" : "second-resistor"
      const name = length === strings.inSeries ? which : `${which}-of-${length}`
      const full = f === 0
      figures.result(
        `${id}.${name}`,
        `${full ? "resistor" : `resistor for ${Math.round(plan.feeds[f]!.level * 100)} %`} of a string of ${length} in ${plan.group.name}`,
        ohm,
        "Ω",
        full
          ? "nearest E24 value to (supply − diode − LEDs − switch) ÷ wanted current, raised while the strongest corner or the surge asks for it"
          : "E24 value that brings the string nearest to its level, found by solving the whole group with this feed alone",
        full
          ? [
              figures.supply("usual"),
              stockFact(led.key, "forward-voltage"),
              stockFact("diode-1n4007", "forward-voltage"),
              wanted,
              limitFigures.ledShare,
              limitFigures.surgeVolt,
            ]
          : [figures.supply("usual"), stockFact(led.key, "forward-voltage"), figures.get(`${id}.resistor`)],
      )
    })
  }
}

function judgeCurrent(made: MadeCircuit, group: WrittenGroup, figures: Figures): Finding[] {
  const { plan, led } = group
  const id = `drive.${plan.group.name}`
  const refs = ledsOf(group)
  const { ambient } = made.lamp.vehicle
  const findings: Finding[] = []
  const resistor = figures.get(`${id}.resistor`)

  const most = extreme(made.solved, refs, (p, ref) => p.current(ref))
  if (most) {
    const rating = deratedLedCurrent(
      { led, diode: "", wireOhm: 0, strings: 1, onSection: 0 },
      ambient.highest,
    )
    const limit = ledShare.value * rating
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
    const figure = figures.solved(
      `${id}.strongest-current`,
      `greatest LED current of ${plan.group.name}`,
      most.value * 1000,
      "mA",
      [figures.supply("highest"), resistor, stockFact(led.key, "forward-voltage-low"), derated],
      most.corner,
    )
    findings.push(
      report.judge("led-current", {
        title: `${plan.group.name}: LEDs take at most ${show(most.value, "A")} of ${show(limit, "A")}`,
        where: groupPlace(made, group, `LED ${most.ref}`, { part: most.ref }),
        measured: { value: round(most.value * 1000), unit: "mA" },
        limit: { value: round(limit * 1000), unit: "mA", kind: "at most" },
        corner: most.corner,
        // The limit itself keeps a fifth in reserve.
        amberBelow: 0,
        atWorst: most.value > rating ? "red" : "amber",
        source: ledShare.source,
        figure: figure.id,
      }),
    )
  }

  let hottest: { value: number; corner: string; ref: string } | undefined
  for (const { at, point } of made.solved) {
    for (const ref of refs) {
      const value = junctionOf(made, point, ref, at.celsius)
      if (hottest === undefined || value > hottest.value) hottest = { value, corner: at.name, ref }
    }
  }
  if (hottest) {
    const limit = led.maximumJunction - junctionReserve.value
    const figure = figures.solved(
      `${id}.junction`,
      `junction temperature of the hottest LED of ${plan.group.name}`,
      hottest.value,
      "°C",
      [
        figures.ambient("highest"),
        stockFact(led.key, "thermal-resistance"),
        figures.get(`${id}.strongest-current`),
      ],
      hottest.corner,
      "ambient + thermal resistance × forward voltage × current",
    )
    findings.push(
      report.judge("led-junction", {
        title: `${plan.group.name}: LED junctions reach ${round(hottest.value)} °C`,
        where: groupPlace(made, group, `LED ${hottest.ref}`, { part: hottest.ref }),
        measured: { value: round(hottest.value), unit: "°C" },
        limit: { value: limit, unit: "°C", kind: "at most" },
        corner: hottest.corner,
        amberBelow: 0,
        atWorst: hottest.value > led.maximumJunction ? "red" : "amber",
        source: junctionReserve.source,
        figure: figure.id,
      }),
    )
  }

  if (plan.group.current !== undefined && group.strings.heldBack !== undefined) {
    findings.push(
      report.judge("led-wanted", {
        title: `${plan.group.name}: ${show(plan.group.current, "A")} was asked for, ${show(group.strings.full, "A")} is left: ${group.strings.heldBack}`,
        where: groupPlace(made, group),
        measured: { value: round(group.strings.full * 1000), unit: "mA" },
        limit: { value: round(0.9 * group.strings.wanted * 1000), unit: "mA", kind: "at least" },
        atWorst: "amber",
        amberBelow: 0,
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
  const resistor = figures.get(`${id}.resistor`)
  figures.solved(
    `${id}.full-current`,
    `LED current of ${plan.group.name} at usual supply, usual parts`,
    group.strings.full * 1000,
    "mA",
    [figures.supply("usual"), resistor, stockFact(group.led.key, "forward-voltage")],
  )

  // For each set of live wires: the dimmest LED at the lowest supply against the same LED at usual supply.
  let least: { value: number; corner: string; ref: string } | undefined
  for (const low of made.solved) {
    if (low.at.supply !== made.lamp.vehicle.supply.lowest || low.at.parts !== "weakest") continue
    if (levelOf(group, low.at.live) <= 0) continue
    const same = usual.find((u) => u.at.live === low.at.live)
    if (!same) continue
    for (const ref of refs) {
      const value = low.point.current(ref) / same.point.current(ref)
      if (least === undefined || !(value >= least.value)) least = { value, corner: low.at.name, ref }
    }
  }
  if (!least) return []
  const figure = figures.solved(
    `${id}.least-share`,
    `share of its usual current the dimmest LED of ${plan.group.name} keeps at the lowest supply`,
    least.value,
    "",
    [
      figures.supply("lowest"),
      figures.supply("usual"),
      resistor,
      stockFact(group.led.key, "forward-voltage-high"),
      figures.ambient("lowest"),
    ],
    least.corner,
  )
  return [
    report.judge("led-light-low", {
      title: `${plan.group.name}: ${percent(least.value)} of its current is left at ${made.lamp.vehicle.supply.lowest} V`,
      where: groupPlace(made, group, `LED ${least.ref}`, { part: least.ref }),
      measured: { value: round(least.value * 100), unit: "%" },
      limit: { value: leastShare.value * 100, unit: "%", kind: "at least" },
      corner: least.corner,
      source: leastShare.source,
      figure: figure.id,
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
    return {
      value: refs.reduce((sum, ref) => sum + at.point.current(ref), 0) / refs.length,
      corner: at.at.name,
      point: at.point,
    }
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
      const figure = figures.solved(
        `${id}.level${k === 0 ? "" : `-${k + 1}`}`,
        `lower level of ${plan.group.name} against its full level`,
        share,
        "",
        [figures.supply("usual"), figures.get(`${id}.resistor`), figures.get(`${id}.second-resistor`)],
        dim.corner,
      )
      findings.push(
        report.judge("level", {
          title: `${plan.group.name}: ${percent(share)} where the programme says ${percent(wanted)}`,
          where: groupPlace(made, group),
          measured: { value: round((Math.abs(share - wanted) / wanted) * 100), unit: "%" },
          limit: { value: 15, unit: "%", kind: "at most" },
          corner: dim.corner,
          atWorst: "amber",
          figure: figure.id,
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
  let worst: { value: number; corner: string } | undefined
  for (const { at, point } of made.solved) {
    if (at.parts !== "usual" || levelOf(group, at.live) <= 0) continue
    const currents = refs.map((ref) => point.current(ref))
    const value = Math.max(...currents) / Math.max(Math.min(...currents), 1e-12)
    if (worst === undefined || value > worst.value) worst = { value, corner: at.name }
  }
  if (worst && refs.length > 1) {
    findings.push(
      report.judge("led-even", {
        title: `${plan.group.name}: brightest to dimmest LED ${round(worst.value)} : 1`,
        where: groupPlace(made, group),
        measured: { value: round(worst.value), unit: "" },
        limit: { value: 1.25, unit: "", kind: "at most" },
        corner: worst.corner,
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
  let least: { value: number; corner: string; ref: string } | undefined
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
      if (least === undefined || !(value >= least.value)) least = { value, corner: stop.at.name, ref }
    }
  }
  if (!least) return []
  const figure = figures.solved(
    `drive.${plan.group.name}.stop-ratio`,
    "stop and position on against position alone, least over all corners",
    least.value,
    "",
    [
      figures.get(`drive.${plan.group.name}.resistor`),
      figures.get(`drive.${plan.group.name}.second-resistor`),
    ],
    least.corner,
  )
  return [
    report.judge("stop-ratio", {
      title: `${plan.group.name}: stop is ${round(least.value)} times the position light`,
      where: groupPlace(made, group, `LED ${least.ref}`),
      measured: { value: round(least.value), unit: "" },
      limit: { value: stopRatio.value, unit: "", kind: "at least" },
      corner: least.corner,
      source: stopRatio.source,
      figure: figure.id,
    }),
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
    const figure = figures.solved(
      `drive.${plan.group.name}.${f === 0 ? "resistor-heat" : `second-resistor-heat${f > 1 ? `-${f}` : ""}`}`,
      `heat in the hottest resistor of ${plan.group.name}`,
      most.value * rated(most.ref),
      "W",
      [
        figures.supply("highest"),
        figures.get(`drive.${plan.group.name}.resistor`),
        stockFact(part.stock, "rated"),
        ...(share < 1 ? [limitFigures.flashingShare] : []),
      ],
      most.corner,
      share < 1 ? "current² × resistance × on-share" : "current² × resistance",
    )
    const severity: Severity = most.value > 1 ? "red" : "amber"
    return [
      report.judge("resistor-heat", {
        title: `${plan.group.name}: ${part.ref} (${showOhm(part.amount!)}) is ${percent(most.value)} loaded${share < 1 ? `, averaged over ${percent(share)} on-time` : ""}`,
        where: groupPlace(made, group, `resistor ${part.ref}`, { part: part.ref }),
        measured: { value: round(most.value * rated(most.ref) * 1000), unit: "mW" },
        limit: { value: round(limit * rated(most.ref) * 1000), unit: "mW", kind: "at most" },
        corner: most.corner,
        // The limit itself keeps half in reserve.
        amberBelow: 0,
        atWorst: severity,
        source: resistorShare.source,
        figure: figure.id,
      }),
    ]
  })
}

/** A group none of whose wires is live must be dark, whatever else is live. */
function judgeDark(made: MadeCircuit, group: WrittenGroup): Finding[] {
  const refs = ledsOf(group)
  const dead = made.solved.filter((s) => levelOf(group, s.at.live) <= 0)
  const most = extreme(dead, refs, (p, ref) => p.current(ref) / group.strings.full)
  if (!most) return []
  return [
    report.judge("dark-when-dead", {
      title: `${group.plan.group.name} stays dark while its wires are dead`,
      where: groupPlace(made, group, `LED ${most.ref}`, { part: most.ref }),
      measured: { value: round(Math.max(0, most.value) * 100), unit: "%" },
      limit: { value: 1, unit: "%", kind: "at most" },
      corner: most.corner,
      source: { document: "common practice: below 1 % of full current", known: "practice" },
    }),
  ]
}

const round = (v: number) => Number(v.toPrecision(4))
const percent = (share: number) => `${Number((share * 100).toPrecision(3))} %`
