// How bright each function is, on the axis, over the grid of test points and at the edge of its field.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import {
  axisRules,
  ratioRules,
  type UsTable,
  unGrid,
  unGridSource,
  usPointShare,
  usTables,
  visibilityFields,
  visibilityFloor,
} from "../../1-stock/lighting-rules.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import { measuredOn, nothingTold, type Told } from "../told.ts"
import { angleFactor, directionWords, farOff, lightAt } from "./angle-light.ts"
import { cornerFor, type FunctionLight } from "./function-light.ts"
import { beamShare } from "./intensity.ts"
import { idealisation, light } from "./light-findings.ts"
import { atWorst, ruleFor, whereOf } from "./rules-for.ts"

export function judgeIntensity(lamp: Lamp, l: FunctionLight): Told {
  const table = usTables.find((t) => t.functions.some((f) => f === l.function) && t.colour === l.led.colour)
  const told = nothingTold()
  told.figures.push(l.least, l.usual, l.most)
  if (lamp.vehicle.rules === "us-motorcycle" && table) {
    judgeTable(lamp, l, table, told)
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
  told.findings.push(
    light.judge("intensity-least", {
      title: `Least light of ${l.group.name} as ${l.function}`,
      where,
      ...measuredBy(l.least),
      limit: { value: rule.low, unit: "cd", kind: "at least" },
      corner: weak(lamp),
      source: rule.source,
      ...atWorst(rule.source),
    }),
    light.judge("intensity-most", {
      title: `Greatest light of ${l.group.name} as ${l.function}`,
      where,
      ...measuredBy(l.most),
      limit: { value: maximum, unit: "cd", kind: "at most" },
      corner: strong(lamp),
      source: rule.source,
      ...(l.most.value > maximum && l.most.value <= rule.high
        ? { advice: `Newer editions allow ${rule.high} cd. ${light.entries["intensity-most"].advice}` }
        : {}),
      ...atWorst(rule.source),
    }),
  )
  // All LEDs look along the axis, so one beam stands for all; the thinnest direction of the grid is told.
  const thin = unGrid
    .map((at) => ({ ...at, left: beamShare(l.beam.value, at.h, at.v) / at.share }))
    .reduce((a, b) => (b.left < a.left ? b : a))
  const there = lightAt(l, thin, unGridSource)
  told.figures.push(there)
  told.findings.push(
    light.judge("distribution", {
      title: `Thinnest direction of ${l.group.name} as ${l.function}: ${directionWords(thin)}`,
      where,
      ...measuredBy(there),
      limit: { value: thin.share * rule.low, unit: "cd", kind: "at least" },
      corner: weak(lamp),
      source: unGridSource,
      ...atWorst(unGridSource),
    }),
  )
  judgeVisibility(lamp, l, told)
  return told
}

const weak = (lamp: Lamp) => `${lamp.vehicle.supply.usual} V, 25 °C, weakest parts, lower bin edge, warmed up`
const strong = (lamp: Lamp) => `${lamp.vehicle.supply.usual} V, 25 °C, strongest parts, upper bin edge, cold`

function judgeVisibility(lamp: Lamp, l: FunctionLight, told: Told): void {
  const field = ruleFor(visibilityFields, lamp, l.function)
  const floor = ruleFor(visibilityFloor, lamp, l.function)
  if (!field || floor?.low === undefined) return
  const edge = { h: Math.max(field.inward, field.outward), v: field.vertical }
  const there = lightAt(l, edge, field.source)
  const far = farOff(l, edge)
  told.figures.push(there)
  told.findings.push(
    light.judge("visibility", {
      title: `Light of ${l.group.name} as ${l.function} at the edge of the field, ${edge.h}° aside and ${edge.v}° up or down`,
      where: whereOf(l),
      ...measuredBy(there),
      limit: { value: floor.low, unit: "cd", kind: "at least" },
      corner: far ? `${weak(lamp)}; ${idealisation.corner}` : weak(lamp),
      source: floor.source,
      // Where the law of the beam is not known it cannot condemn.
      ...(far
        ? { atWorst: "amber", advice: `${idealisation.advice} ${light.entries.visibility.advice}` }
        : atWorst(floor.source)),
    }),
  )
}

/** 571.108: every point at 60 % of its value or more, every group's sum whole; and the maximum. */
function judgeTable(lamp: Lamp, l: FunctionLight, table: UsTable, told: Told): void {
  const share = (p: { readonly h: number; readonly v: number }) => beamShare(l.beam.value, p.h, p.v)
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
    const sum = points.reduce((s, p) => s + l.least.value * share(p), 0)
    return { ...g, points, sum, left: sum / g.least }
  })
  const thin = groups.reduce((a, b) => (b.left < a.left ? b : a))
  const own = `light.${l.group.name}.${l.function}.${thin.id}`
  const sum = result(
    `${own}.sum`,
    `least light of ${l.group.name} as ${l.function}, sum over ${thin.name}`,
    thin.sum,
    "cd",
    `least intensity on the axis × sum of the angle factors of ${thin.points.length} test points: ${thin.points
      .map(directionWords)
      .join("; ")}`,
    [l.least, ...distinct(thin.points.map((p) => angleFactor(l, p, table.source)))],
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
  const there = lightAt(l, point, table.source)
  told.figures.push(part, there)
  const common = { where: whereOf(l), source: table.source, ...atWorst(table.source) }
  told.findings.push(
    light.judge("intensity-least", {
      ...common,
      title: `Thinnest group of test points of ${l.group.name} as ${l.function}: ${thin.name}`,
      ...measuredBy(part),
      limit: { value: 100, unit: "%", kind: "at least" },
      corner: weak(lamp),
    }),
    light.judge("distribution", {
      ...common,
      title: `Thinnest test point of ${l.group.name} as ${l.function}: ${directionWords(point)}`,
      ...measuredBy(there),
      limit: { value: usPointShare.value * point.low, unit: "cd", kind: "at least" },
      corner: weak(lamp),
    }),
  )
  if (table.high === undefined) return
  told.findings.push(
    light.judge("intensity-most", {
      ...common,
      title: `Greatest light of ${l.group.name} as ${l.function}`,
      ...measuredBy(l.most),
      limit: { value: table.high, unit: "cd", kind: "at most" },
      corner: strong(lamp),
    }),
  )
}

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
        ...atWorst(rule.source),
      }),
    )
  }
  return told
}
