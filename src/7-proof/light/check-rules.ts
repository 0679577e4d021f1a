// The lamp's light against the lighting rules, clause by clause. A clause known only from memory can warn, not refuse.

import type { Figure } from "../../0-ground/figure.ts"
import type { Finding, Severity } from "../../0-ground/finding.ts"
import { computed, type Source } from "../../0-ground/source.ts"
import type { Group, Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit } from "../../3-drive/artefact.ts"
import type { LightTrace } from "../artefact.ts"
import { cornerFor, type FunctionLight, functionLights } from "./function-light.ts"
import { beamShare } from "./intensity.ts"
import { light } from "./light-findings.ts"
import * as rules from "./rule-set.ts"
import { patchSpacing, sweepShape } from "./sweep-shape.ts"
import { sweepTimes } from "./sweep-times.ts"

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
    title: "A hand-built lamp is not type-approved; local law and licensed practice decide",
    where: { text: lamp.name, path: "vehicle.rules" },
    source: computed("stands on every report; it does not go away by numbers"),
  })

const whereOf = (l: { readonly group: Group; readonly function?: string }) => ({
  text: l.function ? `${l.group.name} as ${l.function}` : l.group.name,
  group: l.group.name,
  path: `groups.${l.group.name}`,
})

function intensity(lamp: Lamp, l: FunctionLight): Finding[] {
  const rule = rules.intensityRules[lamp.vehicle.rules].find((r) => r.function === l.function)
  if (!rule) {
    return [
      light.state("not-checked", {
        severity: "amber",
        title: `${l.group.name} as ${l.function}: its rules are not checked here`,
        where: whereOf(l),
      }),
    ]
  }
  const corner = `${lamp.vehicle.supply.usual} V, 25 °C`
  const findings = [
    light.judge("intensity-least", {
      title: `Least light of ${l.group.name} as ${l.function}`,
      where: whereOf(l),
      measured: { value: l.least, unit: "cd" },
      limit: { value: rule.minimum, unit: "cd", kind: "at least" },
      corner: `${corner}, weakest parts, lower bin edge, warmed up`,
      source: rule.source,
      figure: `light.${l.group.name}.${l.function}.least`,
      ...atWorst(rule.source),
    }),
    light.judge("intensity-most", {
      title: `Greatest light of ${l.group.name} as ${l.function}`,
      where: whereOf(l),
      measured: { value: l.most, unit: "cd" },
      limit: { value: rule.maximum, unit: "cd", kind: "at most" },
      corner: `${corner}, strongest parts, upper bin edge, cold`,
      source: rule.source,
      figure: `light.${l.group.name}.${l.function}.most`,
      ...(l.most > rule.maximum && l.most <= rule.newerMaximum
        ? {
            advice: `Newer editions allow ${rule.newerMaximum} cd. ${light.entries["intensity-most"].advice}`,
          }
        : {}),
      ...atWorst(rule.source),
    }),
  ]
  // All LEDs look along the axis, so one beam stands for all; the thinnest direction of the grid is told.
  const grid = rules.standardGrid
    .map(([h, v, share]) => ({ h, v, wanted: share * rule.minimum, has: l.least * beamShare(l.beam, h, v) }))
    .sort((a, b) => a.has / a.wanted - b.has / b.wanted)
  const thin = grid[0]!
  findings.push(
    light.judge("distribution", {
      title: `Thinnest direction of ${l.group.name} as ${l.function}: ${thin.h}° aside, ${thin.v}° up or down`,
      where: whereOf(l),
      measured: { value: thin.has, unit: "cd" },
      limit: { value: thin.wanted, unit: "cd", kind: "at least" },
      corner: `${corner}, weakest parts, lower bin edge, warmed up`,
      source: rules.gridSource,
      figure: `light.${l.group.name}.${l.function}.least`,
      ...atWorst(rules.gridSource),
    }),
  )
  return findings
}

/** The same LEDs give both: bins and warmth cancel nearly, so the ratio is that of currents, in the least even corner. */
function stopToTail(lamp: Lamp, circuit: Circuit, lights: readonly FunctionLight[]): Finding[] {
  return lights.flatMap((stop) => {
    if (stop.function !== "stop") return []
    const tail = lights.find((l) => l.group === stop.group && l.function === "rear-position")
    if (!tail) return []
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
        limit: { value: rules.stopToTail.ratio, unit: "", kind: "at least" },
        corner: `${lamp.vehicle.supply.usual} V, 25 °C, ${worst.parts} parts`,
        source: rules.stopToTail.source,
        ...atWorst(rules.stopToTail.source),
      }),
    ]
  })
}

function flashing(lamp: Lamp): Finding[] {
  const used = new Set(lamp.programme.flatMap((l) => l.when))
  return lamp.vehicle.wires.flatMap((w) => {
    if (w.role !== "flashing" || !used.has(w.name)) return []
    const where = { text: `wire ${w.name}`, wire: w.name, path: `vehicle.wires.${w.name}` }
    const out: Finding[] = []
    if (w.rate !== undefined) {
      const perMinute = w.rate * 60
      const low = perMinute < (rules.flashRate.low + rules.flashRate.high) / 2
      out.push(
        light.judge("flash-rate", {
          title: `Flash rate of ${w.name}, as described`,
          where,
          measured: { value: perMinute, unit: "/min" },
          limit: {
            value: low ? rules.flashRate.low : rules.flashRate.high,
            unit: "/min",
            kind: low ? "at least" : "at most",
          },
          source: rules.flashRate.source,
          ...atWorst(rules.flashRate.source),
        }),
      )
    }
    if (w.onShare !== undefined) {
      const low = w.onShare < (rules.onShare.low + rules.onShare.high) / 2
      out.push(
        light.judge("on-share", {
          title: `On-time share of ${w.name}, as described`,
          where,
          measured: { value: w.onShare * 100, unit: "%" },
          limit: {
            value: 100 * (low ? rules.onShare.low : rules.onShare.high),
            unit: "%",
            kind: low ? "at least" : "at most",
          },
          source: rules.onShare.source,
          ...atWorst(rules.onShare.source),
        }),
      )
    }
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
    const where = whereOf({ group })
    const judge = (
      code: "sweep-order" | "sweep-turns" | "sweep-gap" | "sweep-box" | "sweep-uniform" | "sweep-finished",
      title: string,
      value: number,
      unit: string,
      limit: number,
      kind: "at least" | "at most" | "exactly",
      source: Source,
      corner?: string,
    ) =>
      light.judge(code, {
        title,
        where,
        measured: { value, unit },
        limit: { value: limit, unit, kind },
        source,
        amberBelow: 0,
        ...(corner ? { corner } : {}),
        ...atWorst(source),
      })
    const { sweep } = rules
    const seen = trace ? sweepTimes(trace, group, line.when) : undefined
    const slowest = seen?.reduce((a, b) => (b.finished > a.finished ? b : a))
    return [
      judge(
        "sweep-order",
        `LEDs of ${group.name} that step back inward`,
        shape.backward,
        "",
        0,
        "exactly",
        sweep.order.source,
      ),
      judge(
        "sweep-turns",
        `Vertical turns along ${group.name}`,
        shape.turns,
        "",
        sweep.turns.value,
        "at most",
        sweep.turns.source,
      ),
      judge(
        "sweep-gap",
        `Widest gap along ${group.name}`,
        shape.gap,
        "mm",
        sweep.gap.value,
        "at most",
        sweep.gap.source,
      ),
      judge(
        "sweep-box",
        `Width to height of ${group.name}`,
        shape.box,
        "",
        sweep.box.value,
        "at least",
        sweep.box.source,
      ),
      judge(
        "sweep-uniform",
        `Most uneven step along ${group.name}`,
        shape.uneven * 100,
        "%",
        sweep.uniform.value * 100,
        "at most",
        sweep.uniform.source,
      ),
      slowest
        ? judge(
            "sweep-finished",
            `Sweep of ${group.name} finished, as seen on the bench`,
            slowest.finished * 1000,
            "ms",
            sweep.within.value * 1000,
            "at most",
            sweep.within.source,
            `slowest of ${seen!.length} flashes`,
          )
        : judge(
            "sweep-finished",
            `Sweep of ${group.name} finished, as described`,
            line.sweep.within * 1000,
            "ms",
            sweep.within.value * 1000,
            "at most",
            sweep.within.source,
          ),
    ]
  })
}

function oneLamp(lamp: Lamp): Finding[] {
  return lamp.groups.flatMap((group) => {
    // The sweep's own gap rule stands in for this one.
    if (lamp.programme.some((l) => l.light === group.name && l.sweep)) return []
    if (group.leds.length < 2) return []
    const spacing = patchSpacing(
      group.leds.map((l) => ({ x: l.hole.x, y: l.hole.y })),
      Math.min(...group.leds.map((l) => l.hole.diameter)),
    )
    return [
      light.judge("one-lamp", {
        title: `Widest gap between neighbouring LEDs of ${group.name}`,
        where: whereOf({ group }),
        measured: { value: spacing, unit: "mm" },
        limit: { value: rules.onePatch.value, unit: "mm", kind: "at most" },
        source: rules.onePatch.source,
        amberBelow: 0,
        ...atWorst(rules.onePatch.source),
      }),
    ]
  })
}

/** Inner edges of the left and the right indicator, when both hang on the same centre line. */
function apart(lamp: Lamp): Finding[] {
  if (lamp.vehicle.rules !== "un-l") return []
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
      limit: { value: rules.indicatorsApart.value, unit: "mm", kind: "at least" },
      source: rules.indicatorsApart.source,
      amberBelow: 0,
      // Read in quotations only, and for two-wheeled motorcycles: which clause binds depends on the vehicle.
      atWorst: "amber",
    }),
  ]
}

function colour(lamp: Lamp, l: FunctionLight): Finding[] {
  const findings: Finding[] = []
  const wanted = rules.wantedColour[l.function]
  const alsoRed = lamp.vehicle.rules === "us-motorcycle" && l.function === "direction-indicator"
  if (wanted && l.led.colour !== wanted && !(alsoRed && l.led.colour === "red")) {
    findings.push(
      light.state("colour-wanted", {
        severity: "amber",
        title: `${l.group.name} is ${l.led.colour}; a ${l.function} light must be ${wanted}`,
        where: whereOf(l),
        source: rules.colourSource,
      }),
    )
  }
  const own = l.led.colour === "white" ? undefined : rules.colours[l.led.colour]
  const band = l.led.dominantWavelength
  if (!own || !band) return findings
  const drift = rules.wavelengthDrift.value
  // The bins are sorted with short pulses: junction at 25 °C.
  const span = (from: number, to: number) => ({ low: band.low + drift * from, high: band.high + drift * to })
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
      source: own.source,
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

function area(lamp: Lamp): Finding[] {
  if (lamp.vehicle.rules !== "us-motorcycle") return []
  return lamp.groups.flatMap((group) =>
    group.functions.flatMap((f) => {
      const rule = rules.litArea[f]
      if (!rule) return []
      const lit = group.leds.reduce((sum, l) => sum + (Math.PI * l.hole.diameter ** 2) / 4, 0)
      return [
        light.judge("lit-area", {
          title: `Lit area of ${group.name} as ${f}`,
          where: whereOf({ group, function: f }),
          measured: { value: lit, unit: "mm²" },
          limit: { value: rule.value, unit: "mm²", kind: "at least" },
          source: rule.source,
          ...atWorst(rule.source),
        }),
      ]
    }),
  )
}
