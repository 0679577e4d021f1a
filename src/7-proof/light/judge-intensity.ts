// How bright each function is, on the axis, over the grid of test points and at the edge of its field.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { described, type Source } from "../../0-ground/source.ts"
import {
  type AxisRule,
  sweepRules,
  testVoltage,
  unGridFunctions,
  unGridSource,
  visibilityFields,
  visibilityFloor,
} from "../../1-stock/lighting-rules.ts"
import { type UsTable, usPointShare } from "../../1-stock/us-photometry.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { nothingTold, type Told } from "../told.ts"
import { angleFactor, type Direction, directionWords, farOff, lightAt } from "./angle-light.ts"
import { brightest, fieldOf, gridDirections } from "./directions.ts"
import type { FunctionLight } from "./function-light.ts"
import { idealisation, light } from "./light-findings.ts"
import { brighter, dimmer, moreLeds, wider } from "./light-remedies.ts"
import { atWorst, axisRuleFor, ruleFor, ruleNamed, usTableFor, whereOf } from "./rules-for.ts"

export function judgeIntensity(lamp: Lamp, l: FunctionLight): Told {
  const told = nothingTold()
  told.figures.push(l.least, l.usual, l.most)
  // A plate lamp is judged by the light on its plate.
  if (l.function === "plate") return told
  const where = whereOf(l)
  if (lamp.vehicle.rules === "us-motorcycle") {
    const table = usTableFor(l, 1)
    if (table) {
      judgeTable(lamp, l, table, told)
      judgeSections(lamp, l, told)
      judgeVisibility(lamp, l, told)
      return told
    }
  }
  const rule = axisRuleFor(lamp, l)
  if (!rule) {
    told.findings.push(
      light.state("not-checked", {
        severity: "amber",
        title: `${l.group.name} as ${l.function}, ${l.led.colour}: its rules are not checked here`,
        where,
      }),
    )
    return told
  }
  const maximum = Math.min(rule.high, rule.olderHigh)
  told.findings.push(judgeLeast(lamp, l, rule))
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
  if (!unGridFunctions.some((f) => f === l.function)) {
    told.findings.push(
      light.state("not-checked", {
        severity: "amber",
        title: `${l.group.name} as ${l.function}: its light aside is not checked here`,
        where,
      }),
    )
    return told
  }
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
function judgeLeast(lamp: Lamp, l: FunctionLight, rule: AxisRule) {
  const { low } = rule
  const source = rule.lowSource ?? rule.source
  const short = l.least.value < 1.05 * low
  const category =
    rule.category === undefined
      ? ""
      : rule.from === undefined || l.group.dippedBeam !== undefined
        ? `, category ${rule.category}`
        : `, category ${rule.category}, the strictest: its distance to the dipped beam is not described`
  const nearer =
    short && rule.from !== undefined && l.group.dippedBeam === undefined
      ? `Measure the distance to the dipped beam and write it as groups.${l.group.name}.dipped-beam: farther off, less light is asked. `
      : ""
  return light.judge("intensity-least", {
    title: `Least light of ${l.group.name} as ${l.function}${category}`,
    where: whereOf(l),
    ...measuredBy(l.least),
    limit: { value: low, unit: "cd", kind: "at least" },
    corner: weak(lamp),
    source,
    ...(short
      ? {
          advice: `${nearer}${moreLeds(l, l.least.value, low)}${light.entries["intensity-least"].advice}`,
          remedies: brighter(lamp, l, l.least.value, low),
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

const weak = (lamp: Lamp) => `${testSupply(lamp)} V, 25 °C, weakest parts, lower bin edge, warmed up`
const strong = (lamp: Lamp) => `${testSupply(lamp)} V, 25 °C, strongest parts, upper bin edge, cold`
const testSupply = (lamp: Lamp) => testVoltage(lamp.vehicle.rules, lamp.vehicle.supply)

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

/** What the lamp would be asked were it counted as two or three lighted sections; the workshop decides which holds. */
function judgeSections(lamp: Lamp, l: FunctionLight, told: Told): void {
  for (const [sections, words] of [
    [2, "two"],
    [3, "three"],
  ] as const) {
    const table = usTableFor(l, sections)
    if (!table) continue
    const { part } = thinnestGroup(lamp, l, table)
    told.figures.push(part)
    told.findings.push(
      light.judge(`${words}-sections`, {
        title: `Thinnest group of test points of ${l.group.name} as ${l.function} were it counted as ${words} lighted sections`,
        where: whereOf(l),
        ...measuredBy(part),
        limit: { value: 100, unit: "%", kind: "at least" },
        corner: weak(lamp),
        source: table.source,
        amberBelow: 0,
        atWorst: "amber",
        remedies: part.value < 100 ? inPercent(brighter(lamp, l, part.value, 100)) : [],
      }),
    )
  }
}

/** Group 1: the outer corners of one side; group 2: ten degrees aside; group 3: the middle. */
function thinnestGroup(
  lamp: Lamp,
  l: FunctionLight,
  table: UsTable,
): { readonly part: Figure; readonly name: string } {
  const share = (p: { readonly h: number; readonly v: number }) => l.share.least(p.h, p.v)
  const groups = [-1, 1]
    .flatMap((side) => [
      {
        id: "outer-corners",
        name: "outer corners",
        least: table.groups.g1,
        holds: (h: number, v: number) => (h === side * 5 && Math.abs(v) === 10) || h === side * 20,
      },
      { id: "ten-aside", name: "10° aside", least: table.groups.g2, holds: (h: number) => h === side * 10 },
    ])
    .concat([
      {
        id: "middle",
        name: "the middle",
        least: table.groups.g3,
        holds: (h: number, v: number) => (Math.abs(h) === 5 && v === 0) || h === 0,
      },
    ])
    .map((g) => {
      const points = table.points.filter((p) => g.holds(p.h, p.v))
      const sum = points.reduce((s, p) => s + l.strength.least.value * share(p), 0)
      return { ...g, points, sum, left: sum / g.least }
    })
  const thin = groups.reduce((a, b) => (b.left < a.left * (1 - 1e-9) ? b : a))
  const own = `light.${l.group.name}.${l.function}.${thin.id}${table.sections === 1 ? "" : `.sections-${table.sections}`}`
  const sum = result(
    `light.${l.group.name}.${l.function}.${thin.id}.sum`,
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
  return { part, name: thin.name }
}

/** 571.108: every point at 60 % of its value or more, every group's sum whole; and the maximum. */
function judgeTable(lamp: Lamp, l: FunctionLight, table: UsTable, told: Told): void {
  const share = (p: { readonly h: number; readonly v: number }) => l.share.least(p.h, p.v)
  const point = table.points.reduce((a, b) => (share(b) / b.low < share(a) / a.low ? b : a))
  const { part, name } = thinnestGroup(lamp, l, table)
  const there = lightAt(lamp, l, point, table.source)
  told.figures.push(part, there)
  judgeFirstStep(lamp, l, part, table, told)
  const common = { where: whereOf(l), source: table.source, ...atWorst(table.source) }
  told.findings.push(
    light.judge("intensity-least", {
      ...common,
      title: `Thinnest group of test points of ${l.group.name} as ${l.function}: ${name}`,
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

/** What a sweep lights first, against the same sums: a cautious reading that no text supports. */
function judgeFirstStep(lamp: Lamp, l: FunctionLight, part: Figure, table: UsTable, told: Told): void {
  const rule = ruleNamed(sweepRules, lamp, "U-04")
  const { sweep } = l.line
  if (!rule || !sweep) return
  const sum = (refs: readonly { readonly ref: string }[]) =>
    refs.reduce((s, r) => s + (l.perLed.least.find((x) => x.ref === r.ref)?.light ?? 0), 0)
  const all = sum(l.group.leds)
  const share = (n: number) => (all > 0 ? sum(l.group.leds.slice(0, n)) / all : 0)
  const step = sweep.step ?? 1
  const id = `light.${l.group.name}.${l.function}.first-step`
  const figure = result(
    id,
    `first step of ${l.group.name} as ${l.function} against what is asked`,
    part.value * share(step),
    "%",
    "thinnest group of test points of the whole × light of the LEDs that begin together ÷ light of all",
    [
      part,
      fact(`${id}.leds`, "LEDs that begin together", step, "", described("programme")),
      fact(
        `${id}.of`,
        `LEDs of ${l.group.name}`,
        l.group.leds.length,
        "",
        described(`groups.${l.group.name}`),
      ),
    ],
  )
  const enough = [...l.group.leds.keys()].find((k) => part.value * share(k + 1) >= 100)
  told.figures.push(figure)
  told.findings.push(
    light.judge("first-step", {
      title: `Light of the first step of ${l.group.name} as ${l.function} alone (cautious reading; ${table.source.place})`,
      where: whereOf(l),
      ...measuredBy(figure),
      limit: { value: 100, unit: "%", kind: "at least" },
      amberBelow: 0,
      atWorst: "amber",
      corner: weak(lamp),
      source: rule.source,
      remedies:
        figure.value < 100 && enough !== undefined
          ? [
              {
                says: `Let ${enough + 1} LEDs of ${l.group.name} begin together.`,
                changes: [
                  { path: `programme.${lamp.programme.indexOf(l.line)}.sweep.step`, value: `${enough + 1}` },
                ],
                gives: { value: part.value * share(enough + 1), unit: "%" },
              },
            ]
          : [],
    }),
  )
}

/** Where a sum of test points is told in percent of what is asked. */
const inPercent = (remedies: readonly Remedy[]): Remedy[] =>
  remedies.map((r) => (r.gives ? { ...r, gives: { value: r.gives.value, unit: "%" } } : r))

const distinct = (figures: readonly Figure[]): Figure[] => [
  ...new Map(figures.map((f) => [f.id, f])).values(),
]
