// What the lit holes look like as a surface: one lamp or many, how far apart, how large.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import { areaRules, oneLampRules, placeRules, type Rule, sweepRules } from "../../1-stock/lighting-rules.ts"
import type { Group, Lamp, LightFunction } from "../../2-lamp/artefact.ts"
import { nothingTold, readOff, type Told } from "../told.ts"
import { light } from "./light-findings.ts"
import { atWorst, ruleFor, ruleNamed, whereOf } from "./rules-for.ts"
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
    const filled = gap.value > rule.high ? fillFigure(group) : undefined
    const fill = ruleNamed(oneLampRules, lamp, "G-01a")
    if (filled && fill?.low !== undefined && filled.value >= 100 * fill.low) {
      told.figures.push(filled)
      told.findings.push(
        light.judge("one-lamp", {
          title: `Lit holes of ${group.name} in the rectangle round them`,
          where: whereOf({ group }),
          ...measuredBy(filled),
          limit: { value: 100 * fill.low, unit: "%", kind: "at least" },
          source: fill.source,
          amberBelow: 0,
          ...atWorst(fill.source),
        }),
      )
      continue
    }
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

/** Lit area as a share of the smallest rectangle round all holes, turned degree by degree. */
function fillFigure(group: Group): Figure {
  const lit = group.leds.reduce((s, l) => s + (Math.PI * l.hole.diameter ** 2) / 4, 0)
  let least = Number.POSITIVE_INFINITY
  for (let turn = 0; turn < 90; turn++) {
    const [c, s] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)]
    const span = (of: (p: { x: number; y: number }) => number) => {
      const low = group.leds.map((l) => of(l.hole) - l.hole.diameter / 2)
      const high = group.leds.map((l) => of(l.hole) + l.hole.diameter / 2)
      return Math.max(...high) - Math.min(...low)
    }
    least = Math.min(least, span((p) => p.x * c + p.y * s) * span((p) => p.y * c - p.x * s))
  }
  const id = `light.${group.name}.fill`
  return result(
    id,
    `lit share of the rectangle round ${group.name}`,
    (100 * lit) / least,
    "%",
    "lit area ÷ smallest rectangle",
    [
      fact(`${id}.lit`, "lit area", lit, "mm²", drawing(group.face, "sum of the LED holes")),
      fact(
        `${id}.box`,
        "smallest rectangle round the holes",
        least,
        "mm²",
        drawing(group.face, "turned degree by degree"),
      ),
    ],
  )
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

/** United States: the least lit area; of a sweep the first lit step by itself, in a cautious reading. */
export function judgeArea(lamp: Lamp): Told {
  const told = nothingTold()
  for (const group of lamp.groups) {
    const swept = lamp.programme.some((l) => l.light === group.name && l.sweep)
    for (const f of group.functions) {
      const whole = ruleFor(areaRules, lamp, f)
      if (whole)
        area(
          group,
          f,
          group.leds.map((l) => l.hole.diameter),
          whole,
          "",
          told,
        )
      const first = ruleFor(
        sweepRules.filter((r) => r.id === "U-04"),
        lamp,
        f,
      )
      if (first && swept)
        area(
          group,
          f,
          group.leds.slice(0, 1).map((l) => l.hole.diameter),
          first,
          "the first step of ",
          told,
        )
    }
  }
  return told
}

function area(
  group: Group,
  f: LightFunction,
  holes: readonly number[],
  rule: Rule,
  part: string,
  told: Told,
): void {
  if (rule.low === undefined) return
  const id = `light.${group.name}.${f}.lit-area${part === "" ? "" : ".first-step"}`
  const title = `Lit area of ${part}${group.name} as ${f}`
  const figure = result(
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
  told.figures.push(figure)
  told.findings.push(
    light.judge("lit-area", {
      title,
      where: whereOf({ group, function: f }),
      ...measuredBy(figure),
      limit: { value: rule.low, unit: "mm²", kind: "at least" },
      source: rule.source,
      ...atWorst(rule.source),
    }),
  )
}
