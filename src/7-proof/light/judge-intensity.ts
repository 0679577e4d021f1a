// How bright each function is, on the axis, over the grid of test points and at the edge of its field.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import type { Source } from "../../0-ground/source.ts"
import {
  axisRules,
  ratioRules,
  type UsTable,
  unGridSource,
  usPointShare,
  usTables,
  visibilityFields,
  visibilityFloor,
} from "../../1-stock/lighting-rules.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import { measuredOn, nothingTold, type Told } from "../told.ts"
import { angleFactor, type Direction, directionWords, farOff, lightAt } from "./angle-light.ts"
import { brightest, fieldOf, gridDirections } from "./directions.ts"
import { cornerFor, type FunctionLight } from "./function-light.ts"
import { idealisation, light } from "./light-findings.ts"
import { brighter, dimmer, moreLeds, wider } from "./light-remedies.ts"
import { atWorst, ruleFor, whereOf } from "./rules-for.ts"

export function judgeIntensity(lamp: Lamp, l: FunctionLight): Told {
  const table = usTables.find(
    (t) => t.functions.some((f) => f === l.function) && t.colour === l.led.colour && t.sections === 1,
  )
  const told = nothingTold()
  told.figures.push(l.least, l.usual, l.most)
  if (lamp.vehicle.rules === "us-motorcycle" && table) {
    judgeTable(lamp, l, table, told)
    const more = usTables.find(
      (t) => t.sections === 3 && t.colour === table.colour && t.functions.some((f) => f === l.function),
    )
    if (more) judgeThreeSections(lamp, l, more, told)
    judgeVisibility(lamp, l, told)
    return told
  }
  const rule = ruleFor(axisRules, lamp, l.function)
  const where = whereOf(l)
  if (!rule) {
    told.findings.push(
      light.state("not-checked", {
        severity: "amber",
        title: `${l.group.name} as ${l.function}: its rules are not checked here`,
        where,
      }),
    )
    return told
  }
  const maximum = Math.min(rule.high, rule.olderHigh)
  told.findings.push(judgeLeast(lamp, l, l.least, rule.low, rule.source))
  const most = greatest(lamp, l, rule.source)
  told.figures.push(most)
  told.findings.push(
    light.judge("intensity-most", {
      title: `Greatest light of ${l.group.name} as ${l.function}`,
      where,
      ...measuredBy(most),
      limit: { value: maximum, unit: "cd", kind: "at most" },
      corner: strong(lamp),
      source: rule.source,
      ...(most.value > maximum && most.value <= rule.high
        ? { advice: `Newer editions allow ${rule.high} cd. ${light.entries["intensity-most"].advice}` }
        : {}),
      remedies: most.value > 0.95 * maximum ? dimmer(lamp, l, most.value, maximum * 0.95) : [],
      ...atWorst(rule.source),
    }),
  )
  // The thinnest direction of the grid is told: the test points, and what lies between them.
  const thin = gridDirections
    .map((at) => ({ ...at, left: l.share.least(at.h, at.v) / at.share }))
    .reduce((a, b) => (b.left < a.left - 1e-12 ? b : a))
  const there = lightAt(lamp, l, thin, unGridSource)
  told.figures.push(there)
  const wanted = thin.share * rule.low
  told.findings.push(
    light.judge("distribution", {
      title: `Thinnest direction of ${l.group.name} as ${l.function}: ${directionWords(thin, l)}${thin.between ? ", between the test points" : ""}`,
      where,
      ...measuredBy(there),
      limit: { value: wanted, unit: "cd", kind: "at least" },
      corner: weak(lamp),
      source: unGridSource,
      remedies:
        there.value < 1.05 * wanted
          ? [...brighter(lamp, l, there.value, wanted), ...wider(l, thin, wanted)]
          : [],
      ...atWorst(unGridSource),
    }),
  )
  judgeVisibility(lamp, l, told)
  return told
}

/** Against a least light on the axis, with what would reach it. */
function judgeLeast(lamp: Lamp, l: FunctionLight, figure: Figure, limit: number, source: Source) {
  const short = figure.value < 1.05 * limit
  return light.judge("intensity-least", {
    title: `Least light of ${l.group.name} as ${l.function}`,
    where: whereOf(l),
    ...measuredBy(figure),
    limit: { value: limit, unit: "cd", kind: "at least" },
    corner: weak(lamp),
    source,
    ...(short
      ? {
          advice: `${moreLeds(l, figure.value, limit)}${light.entries["intensity-least"].advice}`,
          remedies: brighter(lamp, l, figure.value, limit),
        }
      : {}),
    ...atWorst(source),
  })
}

/** The maximum holds in every direction: where the beams meet, which need not be the axis. */
function greatest(lamp: Lamp, l: FunctionLight, source: Source): Figure {
  const peak = brightest(l.share.most)
  return l.share.most(peak.h, peak.v) <= l.share.most(0, 0) * (1 + 1e-9)
    ? l.most
    : lightAt(lamp, l, peak, source, "most")
}

const weak = (lamp: Lamp) => `${lamp.vehicle.supply.usual} V, 25 °C, weakest parts, lower bin edge, warmed up`
const strong = (lamp: Lamp) => `${lamp.vehicle.supply.usual} V, 25 °C, strongest parts, upper bin edge, cold`

function judgeVisibility(lamp: Lamp, l: FunctionLight, told: Told): void {
  const field = ruleFor(visibilityFields, lamp, l.function)
  const floor = ruleFor(visibilityFloor, lamp, l.function)
  if (!field || floor?.low === undefined) return
  const edge = fieldOf(lamp, l, field).reduce<Direction>(
    (a, b) => (l.share.least(b.h, b.v) < l.share.least(a.h, a.v) ? b : a),
    { h: 0, v: 0 },
  )
  const there = lightAt(lamp, l, edge, field.source)
  const far = farOff(l, edge)
  told.figures.push(there)
  told.findings.push(
    light.judge("visibility", {
      title: `Light of ${l.group.name} as ${l.function} at the edge of the field, ${directionWords(edge, l)}`,
      where: whereOf(l),
      ...measuredBy(there),
      limit: { value: floor.low, unit: "cd", kind: "at least" },
      corner: far ? `${weak(lamp)}; ${idealisation.corner}` : weak(lamp),
      source: floor.source,
      remedies: there.value < floor.low ? wider(l, edge, floor.low) : [],
      // Where the law of the beam is not known it cannot condemn.
      ...(far
        ? { atWorst: "amber", advice: `${idealisation.advice} ${light.entries.visibility.advice}` }
        : atWorst(floor.source)),
    }),
  )
}

/** What the lamp would be asked were it counted as three lighted sections; the workshop decides which count holds. */
function judgeThreeSections(lamp: Lamp, l: FunctionLight, table: UsTable, told: Told): void {
  const axis = table.points.find((p) => p.h === 0 && p.v === 0)!
  told.findings.push(
    light.judge("three-sections", {
      title: `Least light of ${l.group.name} as ${l.function} were it counted as three lighted sections`,
      where: whereOf(l),
      ...measuredBy(l.least),
      limit: { value: axis.low, unit: "cd", kind: "at least" },
      corner: weak(lamp),
      source: table.source,
      amberBelow: 0,
      atWorst: "amber",
    }),
  )
}

/** 571.108: every point at 60 % of its value or more, every group's sum whole; and the maximum. */
function judgeTable(lamp: Lamp, l: FunctionLight, table: UsTable, told: Told): void {
  const share = (p: { readonly h: number; readonly v: number }) => l.share.least(p.h, p.v)
  const point = table.points.reduce((a, b) => (share(b) / b.low < share(a) / a.low ? b : a))
  // Group 1: the outer corners of one side; group 2: ten degrees aside; group 3: the middle.
  const groups = [
    {
      id: "outer-corners",
      name: "outer corners",
      least: table.groups.g1,
      holds: (h: number, v: number) => (h === 5 && Math.abs(v) === 10) || h === 20,
    },
    { id: "ten-aside", name: "10° aside", least: table.groups.g2, holds: (h: number) => h === 10 },
    {
      id: "middle",
      name: "the middle",
      least: table.groups.g3,
      holds: (h: number, v: number) => (Math.abs(h) === 5 && v === 0) || h === 0,
    },
  ].map((g) => {
    const points = table.points.filter((p) => g.holds(p.h, p.v))
    const sum = points.reduce((s, p) => s + l.strength.least.value * share(p), 0)
    return { ...g, points, sum, left: sum / g.least }
  })
  const thin = groups.reduce((a, b) => (b.left < a.left ? b : a))
  const own = `light.${l.group.name}.${l.function}.${thin.id}`
  const sum = result(
    `${own}.sum`,
    `least light of ${l.group.name} as ${l.function}, sum over ${thin.name}`,
    thin.sum,
    "cd",
    `least intensity of the LEDs together × sum of the angle factors of ${thin.points.length} test points: ${thin.points
      .map((p) => directionWords(p, l))
      .join("; ")}`,
    [l.strength.least, ...distinct(thin.points.map((p) => angleFactor(lamp, l, p, table.source)))],
  )
  const asked = fact(`${own}.asked`, `sum asked of ${thin.name}`, thin.least, "cd", table.source)
  const part = result(
    own,
    `${thin.name} of ${l.group.name} as ${l.function} against what is asked`,
    100 * thin.left,
    "%",
    "sum over the group's test points ÷ sum asked",
    [sum, asked],
  )
  const there = lightAt(lamp, l, point, table.source)
  told.figures.push(part, there)
  const common = { where: whereOf(l), source: table.source, ...atWorst(table.source) }
  told.findings.push(
    light.judge("intensity-least", {
      ...common,
      title: `Thinnest group of test points of ${l.group.name} as ${l.function}: ${thin.name}`,
      ...measuredBy(part),
      limit: { value: 100, unit: "%", kind: "at least" },
      corner: weak(lamp),
      remedies: part.value < 105 ? inPercent(brighter(lamp, l, part.value, 100)) : [],
    }),
    light.judge("distribution", {
      ...common,
      title: `Thinnest test point of ${l.group.name} as ${l.function}: ${directionWords(point, l)}`,
      ...measuredBy(there),
      limit: { value: usPointShare.value * point.low, unit: "cd", kind: "at least" },
      corner: weak(lamp),
      remedies:
        there.value < 1.05 * usPointShare.value * point.low
          ? [
              ...brighter(lamp, l, there.value, usPointShare.value * point.low),
              ...wider(l, point, usPointShare.value * point.low),
            ]
          : [],
    }),
  )
  if (table.high === undefined) return
  const most = greatest(lamp, l, table.source)
  told.figures.push(most)
  told.findings.push(
    light.judge("intensity-most", {
      ...common,
      title: `Greatest light of ${l.group.name} as ${l.function}`,
      ...measuredBy(most),
      limit: { value: table.high, unit: "cd", kind: "at most" },
      corner: strong(lamp),
      remedies: most.value > 0.95 * table.high ? dimmer(lamp, l, most.value, 0.95 * table.high) : [],
    }),
  )
}

/** Where a sum of test points is told in percent of what is asked. */
const inPercent = (remedies: readonly Remedy[]): Remedy[] =>
  remedies.map((r) => (r.gives ? { ...r, gives: { value: r.gives.value, unit: "%" } } : r))

const distinct = (figures: readonly Figure[]): Figure[] => [
  ...new Map(figures.map((f) => [f.id, f])).values(),
]

/** The same LEDs give both: bins and warmth cancel nearly, so the ratio is that of currents, in the least even corner. */
export function judgeStopToTail(lamp: Lamp, circuit: Circuit, lights: readonly FunctionLight[]): Told {
  const told = nothingTold()
  for (const stop of lights) {
    if (stop.function !== "stop") continue
    const tail = lights.find((l) => l.group === stop.group && l.function === "rear-position")
    const rule = ruleFor(ratioRules, lamp, "stop")
    if (!tail || rule?.low === undefined) continue
    const byController = circuit.channels.some((c) => c.group === stop.group.name)
    const sum = (c: CornerState, level: number) =>
      stop.group.leds.reduce((s, l) => s + (c.ledCurrent[l.ref] ?? 0), 0) * (byController ? level : 1)
    const ratios = (["weakest", "usual", "strongest"] as const).flatMap((parts) => {
      const both = { ...stop.line, when: [...new Set([...stop.line.when, ...tail.line.when])] }
      const on = cornerFor(lamp, circuit, both, parts) ?? cornerFor(lamp, circuit, stop.line, parts)
      const off = cornerFor(lamp, circuit, tail.line, parts)
      if (!on || !off) return []
      const bright = sum(on, stop.line.level)
      const dim = sum(off, tail.line.level)
      return [{ parts, on, off, bright, dim, ratio: bright / dim }]
    })
    const worst = ratios.sort((a, b) => a.ratio - b.ratio)[0]
    if (!worst) continue
    const id = `light.${stop.group.name}.stop-to-tail`
    const current = (name: string, title: string, ampere: number, c: CornerState) =>
      fact(`${id}.${name}`, title, 1000 * ampere, "mA", measuredOn("circuit solved", c.corner))
    const ratio = result(
      id,
      `stop light of ${stop.group.name} against its tail light`,
      worst.ratio,
      "",
      "current of all LEDs together with the stop light on ÷ with the tail light alone",
      [
        current("stop", "current of all LEDs, stop light on", worst.bright, worst.on),
        current("tail", "current of all LEDs, tail light alone", worst.dim, worst.off),
      ],
    )
    told.figures.push(ratio)
    told.findings.push(
      light.judge("stop-to-tail", {
        title: `Stop light against tail light of ${stop.group.name}`,
        where: whereOf({ group: stop.group }),
        ...measuredBy(ratio),
        limit: { value: rule.low, unit: "", kind: "at least" },
        corner: `${lamp.vehicle.supply.usual} V, 25 °C, ${worst.parts} parts`,
        source: rule.source,
        remedies: worst.ratio < 1.05 * rule.low ? apart(lamp, stop, tail, worst.ratio, rule.low) : [],
        ...atWorst(rule.source),
      }),
    )
  }
  return told
}

/** A lower tail light: the level that gives the ratio with a resistor step to spare. */
function apart(lamp: Lamp, stop: FunctionLight, tail: FunctionLight, ratio: number, limit: number): Remedy[] {
  const next = Math.floor((100 * tail.line.level * ratio) / limit / 1.15)
  if (next < 1) return []
  return [
    {
      says: `Lower the level of ${stop.group.name} as rear-position to ${next} %.`,
      changes: [{ path: `programme.${lamp.programme.indexOf(tail.line)}.level`, value: `${next} %` }],
      gives: { value: (100 * tail.line.level * ratio) / next, unit: "" },
    },
  ]
}
