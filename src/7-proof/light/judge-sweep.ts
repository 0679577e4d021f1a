// Flashing and sweeping: rate and on-time of the wires, shape and time of each sweep.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { described } from "../../0-ground/source.ts"
import { type Rule, sweepRules, timingRules } from "../../1-stock/lighting-rules.ts"
import type { Group, Lamp, ProgrammeLine } from "../../2-lamp/artefact.ts"
import type { LightTrace } from "../artefact.ts"
import { measuredOn, nothingTold, readOff, type Told } from "../told.ts"
import { light } from "./light-findings.ts"
import { atWorst, ruleNamed, whereOf } from "./rules-for.ts"
import { sweepShape } from "./sweep-shape.ts"
import { sweepTimes } from "./sweep-times.ts"

/** The rule asks for an even sweep and gives no number: half the mean step either way is ours. */
const unevenStep = 0.5

export function judgeFlashing(lamp: Lamp): Told {
  const told = nothingTold()
  const used = new Set(lamp.programme.flatMap((l) => l.when))
  const timing = timingRules.filter(
    (r) => r.books.includes(lamp.vehicle.rules) && r.functions.includes("direction-indicator"),
  )
  for (const w of lamp.vehicle.wires) {
    if (w.role !== "flashing" || !used.has(w.name)) continue
    const path = `vehicle.wires.${w.name}`
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
      const figure = fact(`light.wire.${w.name}.${code}`, title, value, unit, described(path))
      told.figures.push(figure)
      told.findings.push(
        light.judge(code, {
          title,
          where: { text: `wire ${w.name}`, wire: w.name, path },
          ...measuredBy(figure),
          limit: { value: atLow ? low : high, unit, kind: atLow ? "at least" : "at most" },
          source: rule.source,
          ...atWorst(rule.source),
        }),
      )
    }
    const rate = timing.find((r) => r.unit === "/min")
    if (rate && w.rate !== undefined)
      within("flash-rate", `Flash rate of ${w.name}, as described`, rate, w.rate * 60, 1, "/min")
    const share = timing.find((r) => r.id === "T-08")
    if (share && w.onShare !== undefined)
      within("on-share", `On-time share of ${w.name}, as described`, share, w.onShare * 100, 100, "%")
  }
  return told
}

export function judgeSweeps(lamp: Lamp, trace: LightTrace | undefined): Told {
  const told = nothingTold()
  for (const line of lamp.programme) {
    const group = lamp.groups.find((g) => g.name === line.light)
    if (!line.sweep || !group?.functions.includes("direction-indicator")) continue
    const judge = (
      code: "sweep-turns" | "sweep-gap" | "sweep-box" | "sweep-uniform" | "sweep-finished",
      id: string,
      title: string,
      figure: Figure,
      limit: "high" | "low" | number,
      corner?: string,
    ) => {
      const rule = ruleNamed(sweepRules, lamp, id)
      if (!rule) return
      const scale = figure.unit === "ms" ? 1000 : 1
      const value = limit === "high" ? (rule.high ?? 0) * scale : limit === "low" ? (rule.low ?? 0) : limit
      told.figures.push(figure)
      told.findings.push(
        light.judge(code, {
          title,
          where: whereOf({ group }),
          ...measuredBy(figure),
          limit: { value, kind: limit === "low" ? "at least" : "at most", unit: figure.unit },
          source: rule.source,
          amberBelow: 0,
          ...(corner ? { corner } : {}),
          ...atWorst(rule.source),
        }),
      )
    }
    const { name } = group
    const { backward, ...shape } = shapeFigures(lamp, group)
    const ordered = ruleNamed(sweepRules, lamp, "Q-03")
    if (ordered)
      told.findings.push(
        light.judge("sweep-order", {
          title: `LEDs of ${name} that step back inward`,
          where: whereOf({ group }),
          measured: { value: backward, unit: "" },
          limit: { value: 0, kind: "exactly", unit: "" },
          source: ordered.source,
          ...atWorst(ordered.source),
        }),
      )
    judge("sweep-turns", "Q-04", `Vertical turns along ${name}`, shape.turns, "high")
    judge("sweep-gap", "Q-06", `Widest gap along ${name}`, shape.gap, "high")
    judge("sweep-box", "Q-09", `Width to height of ${name}`, shape.box, "low")
    judge("sweep-uniform", "Q-03", `Most uneven step along ${name}`, shape.uneven, unevenStep * 100)
    const seen = trace ? sweepTimes(trace, group, line.when) : undefined
    if (seen)
      judge(
        "sweep-finished",
        "Q-05",
        `Sweep of ${name} finished after its wire went live, as seen on the bench`,
        finishedFigure(name, line, seen),
        "high",
        `slowest of ${seen.length} flashes`,
      )
    else
      judge(
        "sweep-finished",
        "Q-05",
        `Sweep of ${name} finished, as described`,
        finishedFigure(name, line, undefined),
        "high",
      )
  }
  return told
}

/** The line decides the id: a group may have several sweeping lines. */
function finishedFigure(group: string, line: ProgrammeLine, seen: ReturnType<typeof sweepTimes>): Figure {
  const id = `light.${group}.sweep-finished.${line.when.join("-")}`
  const title = `sweep of ${group} finished after its wire went live`
  if (!seen) return fact(id, title, 1000 * (line.sweep?.within ?? 0), "ms", described("programme"))
  const slowest = seen.reduce((a, b) => (b.finished > a.finished ? b : a))
  const how = `slowest of ${seen.length} flashes, at ${slowest.at.toFixed(2)} s: last LED at its level`
  return fact(id, title, 1000 * slowest.finished, "ms", measuredOn("light on the virtual bench", how))
}

/** The sweep's shape as figures, measured on the LEDs' places in the face. */
function shapeFigures(lamp: Lamp, group: Group) {
  const face = lamp.faces.find((f) => f.name === group.face)
  const patch = Math.min(face?.hole ?? 5, ...group.leds.map((l) => l.hole.diameter))
  const shape = sweepShape(
    group.leds.map((l) => ({ x: l.hole.x, y: l.hole.y })),
    patch,
    face?.centreLine,
  )
  const id = (name: string) => `light.${group.name}.sweep.${name}`
  const places = (how: string) => readOff(`the drawing of face ${group.face}`, how)
  const lit = fact(
    id("patch"),
    "diameter of a lit patch",
    patch,
    "mm",
    places("smallest LED hole of the group"),
  )
  const mm = (name: string, title: string, value: number, how: string) =>
    fact(id(name), title, value, "mm", places(how))
  return {
    backward: shape.backward,
    turns: fact(
      id("turns"),
      `vertical turns along ${group.name}`,
      shape.turns,
      "",
      places("LED holes in sweep order: up after down, or down after up"),
    ),
    gap: result(
      id("gap"),
      `widest gap along ${group.name}`,
      shape.gap,
      "mm",
      "widest step between neighbours − diameter of a lit patch, at least 0",
      [mm("widest-step", "widest step between neighbours", shape.widest, "LED holes in sweep order"), lit],
    ),
    box: result(
      id("box"),
      `width to height of ${group.name}`,
      shape.box,
      "",
      "(width over the middles + patch) ÷ (height over the middles + patch)",
      [
        mm("width", "width over the middles of the LEDs", shape.width, "greatest x − least x"),
        mm("height", "height over the middles of the LEDs", shape.height, "greatest y − least y"),
        lit,
      ],
    ),
    uneven: result(
      id("uneven"),
      `most uneven step along ${group.name}`,
      shape.uneven * 100,
      "%",
      "|most uneven step − mean step| ÷ |mean step|, steps sideways",
      [
        mm("mean-step", "mean step sideways", shape.meanStep, "LED holes in sweep order"),
        mm("odd-step", "most uneven step sideways", shape.oddStep, "LED holes in sweep order"),
      ],
    ),
  }
}
