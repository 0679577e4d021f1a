// What the lit holes look like as a surface: one lamp or many, how far apart, how large.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { oneLampRules, placeRules, sweepRules } from "../../1-stock/lighting-rules.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { nothingTold, readOff, type Told } from "../told.ts"
import { light } from "./light-findings.ts"
import { atWorst, ruleNamed, whereOf } from "./rules-for.ts"
import { patchSpacing, widestStep } from "./sweep-shape.ts"

const drawing = (face: string, how: string) => readOff(`the drawing of face ${face}`, how)

export function judgeOneLamp(lamp: Lamp): Told {
  const told = nothingTold()
  const rule = ruleNamed(oneLampRules, lamp, "G-01b")
  if (rule?.high === undefined) return told
  for (const group of lamp.groups) {
    // The sweep's own gap rule stands in for this one.
    if (group.leds.length < 2 || lamp.programme.some((l) => l.light === group.name && l.sweep)) continue
    const places = group.leds.map((l) => ({ x: l.hole.x, y: l.hole.y }))
    const patch = Math.min(...group.leds.map((l) => l.hole.diameter))
    const id = `light.${group.name}.one-lamp`
    const gap = result(
      id,
      `widest gap between neighbouring LEDs of ${group.name}`,
      patchSpacing(places, patch),
      "mm",
      "widest step − diameter of a lit patch, at least 0",
      [
        fact(
          `${id}.step`,
          "widest step from LED to LED",
          widestStep(places),
          "mm",
          drawing(group.face, "LED holes joined nearest first"),
        ),
        fact(`${id}.patch`, "diameter of a lit patch", patch, "mm", drawing(group.face, "smallest LED hole")),
      ],
    )
    told.figures.push(gap)
    told.findings.push(
      light.judge("one-lamp", {
        title: `Widest gap between neighbouring LEDs of ${group.name}`,
        where: whereOf({ group }),
        ...measuredBy(gap),
        limit: { value: rule.high, unit: "mm", kind: "at most" },
        source: rule.source,
        amberBelow: 0,
        ...atWorst(rule.source),
      }),
    )
  }
  return told
}

/** Inner edges of the left and the right indicator, when both hang on the same centre line. */
export function judgeApart(lamp: Lamp): Told {
  const rule = ruleNamed(placeRules, lamp, "G-14")
  if (rule?.low === undefined) return nothingTold()
  const sides = lamp.groups.flatMap((group) => {
    const face = lamp.faces.find((f) => f.name === group.face)
    if (!group.functions.includes("direction-indicator") || face?.centreLine === undefined) return []
    const off = group.leds.map((l) => l.hole.x - face.centreLine!)
    const inner = off.reduce((a, b) => (Math.abs(b) < Math.abs(a) ? b : a), Number.POSITIVE_INFINITY)
    const radius = Math.max(...group.leds.map((l) => l.hole.diameter)) / 2
    return [{ group, inner, radius, edge: Math.abs(inner) - radius }]
  })
  const left = sides.filter((s) => s.inner < 0).sort((a, b) => a.edge - b.edge)[0]
  const right = sides.filter((s) => s.inner >= 0).sort((a, b) => a.edge - b.edge)[0]
  if (!left || !right) return nothingTold()
  const edge = ({ group, inner, radius, edge: value }: typeof left): Figure => {
    const id = `light.${group.name}.inner-edge`
    return result(
      id,
      `inner edge of ${group.name} from the centre line`,
      value,
      "mm",
      "innermost LED from the centre line − hole ÷ 2",
      [
        fact(
          `${id}.led`,
          "innermost LED from the centre line",
          Math.abs(inner),
          "mm",
          drawing(group.face, "LED holes against the face's centre line"),
        ),
        fact(`${id}.hole`, "LED hole", 2 * radius, "mm", drawing(group.face, "widest LED hole")),
      ],
    )
  }
  const clear = result(
    "light.indicators-apart",
    `${left.group.name} and ${right.group.name}, inner edge to inner edge`,
    left.edge + right.edge,
    "mm",
    "inner edge of the left one + inner edge of the right one, each from the centre line",
    [edge(left), edge(right)],
  )
  const finding = light.judge("indicators-apart", {
    title: clear.name,
    where: whereOf({ group: left.group }),
    ...measuredBy(clear),
    limit: { value: rule.low, unit: "mm", kind: "at least" },
    source: rule.source,
    amberBelow: 0,
    // Read in quotations only, and for two-wheeled motorcycles: which clause binds depends on the vehicle.
    atWorst: "amber",
  })
  return { findings: [finding], figures: [clear] }
}

/** United States, cautious reading: the first lit step of a sweep by itself has the least lens area. */
export function judgeArea(lamp: Lamp): Told {
  const told = nothingTold()
  const rule = ruleNamed(sweepRules, lamp, "U-04")
  if (rule?.low === undefined) return told
  for (const group of lamp.groups) {
    const swept = lamp.programme.some((l) => l.light === group.name && l.sweep)
    if (!group.functions.includes("direction-indicator")) continue
    const holes = (swept ? group.leds.slice(0, 1) : group.leds).map((l) => l.hole.diameter)
    const id = `light.${group.name}.lit-area`
    const title = swept ? `Lit area of the first step of ${group.name}` : `Lit area of ${group.name}`
    const area = result(
      id,
      title,
      holes.reduce((sum, d) => sum + (Math.PI * d ** 2) / 4, 0),
      "mm²",
      "sum over the sizes of hole of count × π ÷ 4 × diameter²",
      [...new Set(holes)].map((d) =>
        fact(
          `${id}.holes-${d}`,
          `holes of ${d} mm`,
          holes.filter((h) => h === d).length,
          "",
          drawing(group.face, "LED holes counted"),
        ),
      ),
    )
    told.figures.push(area)
    told.findings.push(
      light.judge("lit-area", {
        title,
        where: whereOf({ group, function: "direction-indicator" }),
        ...measuredBy(area),
        limit: { value: rule.low, unit: "mm²", kind: "at least" },
        source: rule.source,
        ...atWorst(rule.source),
      }),
    )
  }
  return told
}
