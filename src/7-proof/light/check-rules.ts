// The lamp's light against the lighting rules, clause by clause. A clause known only from memory can warn, not refuse.

import type { Figure } from "../../0-ground/figure.ts"
import type { Finding, Severity } from "../../0-ground/finding.ts"
import { computed, type Source } from "../../0-ground/source.ts"
import {
  axisRules,
  colourOf,
  colourRegions,
  oneLampRules,
  placeRules,
  type Rule,
  ratioRules,
  ruleCaution,
  sweepRules,
  timingRules,
  type UsTable,
  unGrid,
  unGridSource,
  usPointShare,
  usTables,
  visibilityFields,
  visibilityFloor,
  wavelengthDrift,
} from "../../1-stock/lighting-rules.ts"
import type { Group, Lamp, LightFunction } from "../../2-lamp/artefact.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import type { LightTrace } from "../artefact.ts"
import { cornerFor, type FunctionLight, functionLights } from "./function-light.ts"
import { beamShare } from "./intensity.ts"
import { light } from "./light-findings.ts"
import { patchSpacing, sweepShape } from "./sweep-shape.ts"
import { sweepTimes } from "./sweep-times.ts"

interface ForSome {
  readonly books: readonly string[]
  readonly functions: readonly string[]
}

/** The first rule of a shelf for the lamp's rule book and a function. */
const ruleFor = <R extends ForSome>(shelf: readonly R[], lamp: Lamp, f: LightFunction): R | undefined =>
  shelf.find((r) => r.books.includes(lamp.vehicle.rules) && r.functions.includes(f))

/** A rule of a shelf by its id, when the lamp's rule book holds it. */
const ruleNamed = (shelf: readonly Rule[], lamp: Lamp, id: string): Rule | undefined =>
  shelf.find((r) => r.id === id && r.books.includes(lamp.vehicle.rules))

/** The rule asks for an even sweep and gives no number: half the mean step either way is ours. */
const unevenStep = 0.5

const atWorst = (source: Source): { readonly atWorst: Severity } => ({
  atWorst: source.known === "read" ? "red" : "amber",
})

export function checkRules(
  lamp: Lamp,
  circuit: Circuit,
  trace: LightTrace | undefined,
): { readonly findings: Finding[]; readonly figures: Figure[] } {
  const lights = functionLights(lamp, circuit)
  return {
    findings: [
      caution(lamp),
      ...lights.flatMap((l) => intensity(lamp, l)),
      ...stopToTail(lamp, circuit, lights),
      ...flashing(lamp),
      ...sweeps(lamp, trace),
      ...oneLamp(lamp),
      ...apart(lamp),
      ...lights.flatMap((l) => colour(lamp, l)),
      ...area(lamp),
    ],
    figures: lights.flatMap((l) => l.figures),
  }
}

const caution = (lamp: Lamp): Finding =>
  light.state("not-approved", {
    severity: "amber",
    title: ruleCaution,
    where: { text: lamp.name, path: "vehicle.rules" },
    source: computed("stands on every report; it does not go away by numbers"),
  })

const whereOf = (l: { readonly group: Group; readonly function?: string }) => ({
  text: l.function ? `${l.group.name} as ${l.function}` : l.group.name,
  group: l.group.name,
  path: `groups.${l.group.name}`,
})

function intensity(lamp: Lamp, l: FunctionLight): Finding[] {
  const table = usTables.find((t) => t.functions.some((f) => f === l.function) && t.colour === l.led.colour)
  if (lamp.vehicle.rules === "us-motorcycle" && table) return usIntensity(lamp, l, table)
  const rule = ruleFor(axisRules, lamp, l.function)
  if (!rule) {
    return [
      light.state("not-checked", {
        severity: "amber",
        title: `${l.group.name} as ${l.function}: its rules are not checked here`,
        where: whereOf(l),
      }),
    ]
  }
  const where = whereOf(l)
  const weak = `${lamp.vehicle.supply.usual} V, 25 °C, weakest parts, lower bin edge, warmed up`
  const figure = `light.${l.group.name}.${l.function}.least`
  const maximum = Math.min(rule.high, rule.olderHigh)
  const findings = [
    light.judge("intensity-least", {
      title: `Least light of ${l.group.name} as ${l.function}`,
      where,
      measured: { value: l.least, unit: "cd" },
      limit: { value: rule.low, unit: "cd", kind: "at least" },
      corner: weak,
      source: rule.source,
      figure,
      ...atWorst(rule.source),
    }),
    light.judge("intensity-most", {
      title: `Greatest light of ${l.group.name} as ${l.function}`,
      where,
      measured: { value: l.most, unit: "cd" },
      limit: { value: maximum, unit: "cd", kind: "at most" },
      corner: `${lamp.vehicle.supply.usual} V, 25 °C, strongest parts, upper bin edge, cold`,
      source: rule.source,
      figure: `light.${l.group.name}.${l.function}.most`,
      ...(l.most > maximum && l.most <= rule.high
        ? { advice: `Newer editions allow ${rule.high} cd. ${light.entries["intensity-most"].advice}` }
        : {}),
      ...atWorst(rule.source),
    }),
  ]
  // All LEDs look along the axis, so one beam stands for all; the thinnest direction of the grid is told.
  const thin = unGrid
    .map(({ h, v, share }) => ({ h, v, wanted: share * rule.low, has: l.least * beamShare(l.beam, h, v) }))
    .reduce((a, b) => (b.has / b.wanted < a.has / a.wanted ? b : a))
  findings.push(
    light.judge("distribution", {
      title: `Thinnest direction of ${l.group.name} as ${l.function}: ${direction(thin)}`,
      where,
      measured: { value: thin.has, unit: "cd" },
      limit: { value: thin.wanted, unit: "cd", kind: "at least" },
      corner: weak,
      source: unGridSource,
      figure,
      ...atWorst(unGridSource),
    }),
  )
  const field = ruleFor(visibilityFields, lamp, l.function)
  const floor = ruleFor(visibilityFloor, lamp, l.function)
  if (field && floor?.low !== undefined) {
    const h = Math.max(field.inward, field.outward)
    findings.push(
      light.judge("visibility", {
        title: `Light of ${l.group.name} as ${l.function} at the edge of the field, ${h}° aside and ${field.vertical}° up or down`,
        where,
        measured: { value: l.least * beamShare(l.beam, h, field.vertical), unit: "cd" },
        limit: { value: floor.low, unit: "cd", kind: "at least" },
        corner: weak,
        source: floor.source,
        figure,
        ...atWorst(floor.source),
      }),
    )
  }
  return findings
}

const direction = (at: { readonly h: number; readonly v: number }) =>
  at.h === 0 && at.v === 0 ? "the axis" : `${Math.abs(at.h)}° aside, ${Math.abs(at.v)}° up or down`

/** 571.108: every point at 60 % of its value or more, every group's sum whole; and the maximum. */
function usIntensity(lamp: Lamp, l: FunctionLight, table: UsTable): Finding[] {
  const has = (p: { readonly h: number; readonly v: number }) => l.least * beamShare(l.beam, p.h, p.v)
  const point = table.points
    .map((p) => ({ ...p, share: has(p) / (usPointShare.value * p.low) }))
    .reduce((a, b) => (b.share < a.share ? b : a))
  const sum = (inGroup: (h: number, v: number) => boolean) =>
    table.points.filter((p) => inGroup(p.h, p.v)).reduce((s, p) => s + has(p), 0)
  // Group 1: the outer corners of one side; group 2: ten degrees aside; group 3: the middle.
  const groups = [
    {
      name: "outer corners",
      share: sum((h, v) => (h === 5 && Math.abs(v) === 10) || h === 20) / table.groups.g1,
    },
    { name: "10° aside", share: sum((h) => h === 10) / table.groups.g2 },
    { name: "the middle", share: sum((h, v) => (Math.abs(h) === 5 && v === 0) || h === 0) / table.groups.g3 },
  ]
  const thin = groups.reduce((a, b) => (b.share < a.share ? b : a))
  const common = {
    where: whereOf(l),
    source: table.source,
    ...atWorst(table.source),
  }
  const weak = `${lamp.vehicle.supply.usual} V, 25 °C, weakest parts, lower bin edge, warmed up`
  const figure = `light.${l.group.name}.${l.function}.least`
  const findings = [
    light.judge("intensity-least", {
      ...common,
      title: `Thinnest group of test points of ${l.group.name} as ${l.function}: ${thin.name}`,
      measured: { value: thin.share * 100, unit: "%" },
      limit: { value: 100, unit: "%", kind: "at least" },
      corner: weak,
      figure,
    }),
    light.judge("distribution", {
      ...common,
      title: `Thinnest test point of ${l.group.name} as ${l.function}: ${direction(point)}`,
      measured: { value: has(point), unit: "cd" },
      limit: { value: usPointShare.value * point.low, unit: "cd", kind: "at least" },
      corner: weak,
      figure,
    }),
  ]
  if (table.high !== undefined)
    findings.push(
      light.judge("intensity-most", {
        ...common,
        title: `Greatest light of ${l.group.name} as ${l.function}`,
        measured: { value: l.most, unit: "cd" },
        limit: { value: table.high, unit: "cd", kind: "at most" },
        corner: `${lamp.vehicle.supply.usual} V, 25 °C, strongest parts, upper bin edge, cold`,
        figure: `light.${l.group.name}.${l.function}.most`,
      }),
    )
  return findings
}

/** The same LEDs give both: bins and warmth cancel nearly, so the ratio is that of currents, in the least even corner. */
function stopToTail(lamp: Lamp, circuit: Circuit, lights: readonly FunctionLight[]): Finding[] {
  return lights.flatMap((stop) => {
    if (stop.function !== "stop") return []
    const tail = lights.find((l) => l.group === stop.group && l.function === "rear-position")
    const rule = ruleFor(ratioRules, lamp, "stop")
    if (!tail || rule?.low === undefined) return []
    const byController = circuit.channels.some((c) => c.group === stop.group.name)
    const ratios = (["weakest", "usual", "strongest"] as const).flatMap((parts) => {
      const both = { ...stop.line, when: [...new Set([...stop.line.when, ...tail.line.when])] }
      const on = cornerFor(lamp, circuit, both, parts) ?? cornerFor(lamp, circuit, stop.line, parts)
      const off = cornerFor(lamp, circuit, tail.line, parts)
      if (!on || !off) return []
      const sum = (c: typeof on, level: number) =>
        stop.group.leds.reduce((s, l) => s + (c.ledCurrent[l.ref] ?? 0), 0) * (byController ? level : 1)
      return [{ parts, ratio: sum(on, stop.line.level) / sum(off, tail.line.level) }]
    })
    const worst = ratios.sort((a, b) => a.ratio - b.ratio)[0]
    if (!worst) return []
    return [
      light.judge("stop-to-tail", {
        title: `Stop light against tail light of ${stop.group.name}`,
        where: whereOf({ group: stop.group }),
        measured: { value: worst.ratio, unit: "" },
        limit: { value: rule.low, unit: "", kind: "at least" },
        corner: `${lamp.vehicle.supply.usual} V, 25 °C, ${worst.parts} parts`,
        source: rule.source,
        ...atWorst(rule.source),
      }),
    ]
  })
}

function flashing(lamp: Lamp): Finding[] {
  const used = new Set(lamp.programme.flatMap((l) => l.when))
  const timing = timingRules.filter(
    (r) => r.books.includes(lamp.vehicle.rules) && r.functions.includes("direction-indicator"),
  )
  return lamp.vehicle.wires.flatMap((w) => {
    if (w.role !== "flashing" || !used.has(w.name)) return []
    const where = { text: `wire ${w.name}`, wire: w.name, path: `vehicle.wires.${w.name}` }
    /** Against the nearer of a rule's two ends. */
    const within = (
      code: "flash-rate" | "on-share",
      title: string,
      rule: Rule,
      value: number,
      scale: number,
      unit: string,
    ) => {
      const low = (rule.low ?? 0) * scale
      const high = (rule.high ?? Number.POSITIVE_INFINITY) * scale
      const atLow = value - low < high - value
      return light.judge(code, {
        title,
        where,
        measured: { value, unit },
        limit: { value: atLow ? low : high, unit, kind: atLow ? "at least" : "at most" },
        source: rule.source,
        ...atWorst(rule.source),
      })
    }
    const out: Finding[] = []
    const rate = timing.find((r) => r.unit === "/min")
    if (rate && w.rate !== undefined)
      out.push(within("flash-rate", `Flash rate of ${w.name}, as described`, rate, w.rate * 60, 1, "/min"))
    const share = timing.find((r) => r.id === "T-08")
    if (share && w.onShare !== undefined)
      out.push(
        within("on-share", `On-time share of ${w.name}, as described`, share, w.onShare * 100, 100, "%"),
      )
    return out
  })
}

function sweeps(lamp: Lamp, trace: LightTrace | undefined): Finding[] {
  return lamp.programme.flatMap((line) => {
    const group = lamp.groups.find((g) => g.name === line.light)
    if (!line.sweep || !group?.functions.includes("direction-indicator")) return []
    const face = lamp.faces.find((f) => f.name === group.face)
    const patch = Math.min(face?.hole ?? 5, ...group.leds.map((l) => l.hole.diameter))
    const shape = sweepShape(
      group.leds.map((l) => ({ x: l.hole.x, y: l.hole.y })),
      patch,
      face?.centreLine,
    )
    const seen = trace ? sweepTimes(trace, group, line.when) : undefined
    const slowest = seen?.reduce((a, b) => (b.finished > a.finished ? b : a))
    const { name } = group
    const judge = (
      code: "sweep-order" | "sweep-turns" | "sweep-gap" | "sweep-box" | "sweep-uniform" | "sweep-finished",
      id: string,
      title: string,
      measured: { readonly value: number; readonly unit: string },
      limit: { readonly value: number; readonly kind: "at least" | "at most" | "exactly" } | "high" | "low",
      corner?: string,
    ): Finding[] => {
      const rule = ruleNamed(sweepRules, lamp, id)
      if (!rule) return []
      const scale = measured.unit === "ms" ? 1000 : 1
      const bound =
        limit === "high"
          ? { value: (rule.high ?? 0) * scale, kind: "at most" as const }
          : limit === "low"
            ? { value: rule.low ?? 0, kind: "at least" as const }
            : limit
      return [
        light.judge(code, {
          title,
          where: whereOf({ group }),
          measured,
          limit: { ...bound, unit: measured.unit },
          source: rule.source,
          amberBelow: 0,
          ...(corner ? { corner } : {}),
          ...atWorst(rule.source),
        }),
      ]
    }
    const plain = (value: number) => ({ value, unit: "" })
    return [
      ...judge("sweep-order", "Q-03", `LEDs of ${name} that step back inward`, plain(shape.backward), {
        value: 0,
        kind: "exactly",
      }),
      ...judge("sweep-turns", "Q-04", `Vertical turns along ${name}`, plain(shape.turns), "high"),
      ...judge("sweep-gap", "Q-06", `Widest gap along ${name}`, { value: shape.gap, unit: "mm" }, "high"),
      ...judge("sweep-box", "Q-09", `Width to height of ${name}`, plain(shape.box), "low"),
      ...judge(
        "sweep-uniform",
        "Q-03",
        `Most uneven step along ${name}`,
        { value: shape.uneven * 100, unit: "%" },
        { value: unevenStep * 100, kind: "at most" },
      ),
      ...(slowest
        ? judge(
            "sweep-finished",
            "Q-05",
            `Sweep of ${name} finished after its wire went live, as seen on the bench`,
            { value: slowest.finished * 1000, unit: "ms" },
            "high",
            `slowest of ${seen!.length} flashes`,
          )
        : judge(
            "sweep-finished",
            "Q-05",
            `Sweep of ${name} finished, as described`,
            { value: line.sweep.within * 1000, unit: "ms" },
            "high",
          )),
    ]
  })
}

function oneLamp(lamp: Lamp): Finding[] {
  return lamp.groups.flatMap((group) => {
    // The sweep's own gap rule stands in for this one.
    if (lamp.programme.some((l) => l.light === group.name && l.sweep)) return []
    const rule = ruleNamed(oneLampRules, lamp, "G-01b")
    if (group.leds.length < 2 || rule?.high === undefined) return []
    const spacing = patchSpacing(
      group.leds.map((l) => ({ x: l.hole.x, y: l.hole.y })),
      Math.min(...group.leds.map((l) => l.hole.diameter)),
    )
    return [
      light.judge("one-lamp", {
        title: `Widest gap between neighbouring LEDs of ${group.name}`,
        where: whereOf({ group }),
        measured: { value: spacing, unit: "mm" },
        limit: { value: rule.high, unit: "mm", kind: "at most" },
        source: rule.source,
        amberBelow: 0,
        ...atWorst(rule.source),
      }),
    ]
  })
}

/** Inner edges of the left and the right indicator, when both hang on the same centre line. */
function apart(lamp: Lamp): Finding[] {
  const rule = ruleNamed(placeRules, lamp, "G-14")
  if (rule?.low === undefined) return []
  const sides = lamp.groups.flatMap((group) => {
    const face = lamp.faces.find((f) => f.name === group.face)
    if (!group.functions.includes("direction-indicator") || face?.centreLine === undefined) return []
    const off = group.leds.map((l) => l.hole.x - face.centreLine!)
    const inner = off.reduce((a, b) => (Math.abs(b) < Math.abs(a) ? b : a), Number.POSITIVE_INFINITY)
    const radius = Math.max(...group.leds.map((l) => l.hole.diameter)) / 2
    return [{ group, inner, edge: Math.abs(inner) - radius }]
  })
  const left = sides.filter((s) => s.inner < 0).sort((a, b) => a.edge - b.edge)[0]
  const right = sides.filter((s) => s.inner >= 0).sort((a, b) => a.edge - b.edge)[0]
  if (!left || !right) return []
  return [
    light.judge("indicators-apart", {
      title: `${left.group.name} and ${right.group.name}, inner edge to inner edge`,
      where: whereOf({ group: left.group }),
      measured: { value: left.edge + right.edge, unit: "mm" },
      limit: { value: rule.low, unit: "mm", kind: "at least" },
      source: rule.source,
      amberBelow: 0,
      // Read in quotations only, and for two-wheeled motorcycles: which clause binds depends on the vehicle.
      atWorst: "amber",
    }),
  ]
}

function colour(lamp: Lamp, l: FunctionLight): Finding[] {
  const findings: Finding[] = []
  const wanted = ruleFor(colourOf, lamp, l.function)
  if (wanted && !wanted.colours.includes(l.led.colour)) {
    findings.push(
      light.state("colour-wanted", {
        severity: "amber",
        title: `${l.group.name} is ${l.led.colour}; a ${l.function} light must be ${wanted.colours.join(" or ")}`,
        where: whereOf(l),
        source: wanted.source,
      }),
    )
  }
  if (l.led.colour === "white") return findings
  const { wavelength: own, source } = colourRegions[l.led.colour]
  const band = l.led.dominantWavelength
  if (!band) return findings
  const drift = wavelengthDrift[l.led.colour]
  // The bins are sorted with short pulses: junction at 25 °C.
  const span = (from: number, to: number) => ({
    low: band.low + (from < 0 ? drift.high : drift.low) * from,
    high: band.high + (to > 0 ? drift.high : drift.low) * to,
  })
  const judged = (
    code: "colour" | "colour-range",
    title: string,
    at: { low: number; high: number },
    corner: string,
  ) => {
    const lowLeft = at.low - own.low
    const highLeft = own.high - at.high
    const low = lowLeft < highLeft
    return light.judge(code, {
      title,
      where: whereOf(l),
      measured: { value: low ? at.low : at.high, unit: "nm" },
      limit: { value: low ? own.low : own.high, unit: "nm", kind: low ? "at least" : "at most" },
      amberBelow: 0,
      corner,
      source,
      atWorst: "amber",
    })
  }
  findings.push(
    judged(
      "colour",
      `Colour of ${l.group.name} as ${l.function}`,
      span(0, l.warmth),
      "25 °C, from switching on to warmed up",
    ),
  )
  const { ambient } = lamp.vehicle
  findings.push(
    judged(
      "colour-range",
      `Colour of ${l.group.name} as ${l.function} over all weather`,
      span(ambient.lowest - 25, ambient.highest - 25 + l.warmth),
      `${ambient.lowest}…${ambient.highest} °C`,
    ),
  )
  return findings
}

/** United States, cautious reading: the first lit step of a sweep by itself has the least lens area. */
function area(lamp: Lamp): Finding[] {
  const rule = ruleNamed(sweepRules, lamp, "U-04")
  if (rule?.low === undefined) return []
  const least = rule.low
  return lamp.groups.flatMap((group) => {
    const swept = lamp.programme.some((l) => l.light === group.name && l.sweep)
    if (!group.functions.includes("direction-indicator")) return []
    const lit = (swept ? group.leds.slice(0, 1) : group.leds).reduce(
      (sum, l) => sum + (Math.PI * l.hole.diameter ** 2) / 4,
      0,
    )
    return [
      light.judge("lit-area", {
        title: swept ? `Lit area of the first step of ${group.name}` : `Lit area of ${group.name}`,
        where: whereOf({ group, function: "direction-indicator" }),
        measured: { value: lit, unit: "mm²" },
        limit: { value: least, unit: "mm²", kind: "at least" },
        source: rule.source,
        ...atWorst(rule.source),
      }),
    ]
  })
}
