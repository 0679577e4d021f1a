// What the lit holes look like as a surface: one lamp or many, how far apart, how large.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { leds } from "../../1-stock/leds.ts"
import {
  areaRules,
  oneLampRules,
  type PlaceRule,
  placeRules,
  type Rule,
  sweepRules,
} from "../../1-stock/lighting-rules.ts"
import type { Group, Lamp, LightFunction } from "../../2-lamp/artefact.ts"
import { nothingTold, readOff, type Told } from "../told.ts"
import { light } from "./light-findings.ts"
import { moreHoles, moreInRow } from "./more-holes.ts"
import { atWorst, placeOf, ruleFor, ruleNamed, whereOf } from "./rules-for.ts"
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
        remedies: gap.value > rule.high ? moreHoles(lamp, group, gap.value, rule.high) : [],
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

/** An indicator against its face's centre line, mm. */
interface Side {
  readonly group: Group
  readonly place: "front" | "rear"
  /** + right; of the innermost LED and of the middle of all. */
  readonly inner: number
  readonly centre: number
  readonly radius: number
}

/**
 * Left and right indicators, and rear ones against a stop or tail lamp on the centre line: as far as all hang on one
 * centre line and one description tells it.
 */
export function judgeApart(lamp: Lamp): Told {
  const told = nothingTold()
  const places = (group: Group) => {
    const centre = lamp.faces.find((f) => f.name === group.face)?.centreLine
    return centre === undefined ? undefined : group.leds.map((l) => l.hole.x - centre)
  }
  const sides = lamp.groups.flatMap((group): Side[] => {
    const off = places(group)
    if (!group.functions.includes("direction-indicator") || !off || off.length === 0) return []
    return [
      {
        group,
        place: placeOf(group, "direction-indicator"),
        inner: off.reduce((a, b) => (Math.abs(b) < Math.abs(a) ? b : a)),
        centre: (Math.min(...off) + Math.max(...off)) / 2,
        radius: Math.max(...group.leds.map((l) => l.hole.diameter)) / 2,
      },
    ]
  })
  for (const rule of placeRules) {
    if (!rule.books.includes(lamp.vehicle.rules)) continue
    const own = sides.filter((s) => rule.place === undefined || s.place === rule.place)
    const nearest = (right: boolean) =>
      own
        .filter((s) => s.inner >= 0 === right)
        .sort((a, b) => Math.abs(a.inner) - a.radius - (Math.abs(b.inner) - b.radius))[0]
    const [left, right] = [nearest(false), nearest(true)]
    if (rule.between === "stop-or-tail") {
      const middle = lamp.groups.flatMap((group) => {
        const off = places(group)
        return off && group.functions.some((f) => f === "stop" || f === "rear-position") && onCentre(off)
          ? [{ group, edge: Math.max(...off.map(Math.abs)) + group.leds[0]!.hole.diameter / 2 }]
          : []
      })[0]
      for (const side of middle ? [left, right] : []) if (side && middle) toStop(rule, side, middle, told)
      continue
    }
    if (left && right) apartPair(rule, left, right, told)
  }
  return told
}

const onCentre = (off: readonly number[]) => Math.min(...off) < 0 && Math.max(...off) > 0

const innerEdge = ({ group, inner, radius }: Side): Figure => {
  const id = `light.${group.name}.inner-edge`
  return result(
    id,
    `inner edge of ${group.name} from the centre line`,
    Math.abs(inner) - radius,
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

function apartPair(rule: PlaceRule, left: Side, right: Side, told: Told): void {
  const centres = rule.between === "centres"
  const edge = (s: Side): Figure =>
    centres
      ? fact(
          `light.${s.group.name}.centre`,
          `middle of ${s.group.name} from the centre line`,
          Math.abs(s.centre),
          "mm",
          drawing(s.group.face, "middle between the outermost and the innermost LED"),
        )
      : innerEdge(s)
  const [l, r] = [edge(left), edge(right)]
  const how = centres ? "centre to centre" : "inner edge to inner edge"
  const clear = result(
    "light.indicators-apart",
    `${left.group.name} and ${right.group.name}, ${how}`,
    l.value + r.value,
    "mm",
    `${centres ? "middle" : "inner edge"} of the left one + ${centres ? "middle" : "inner edge"} of the right one, each from the centre line`,
    [l, r],
  )
  told.figures.push(clear)
  told.findings.push(
    light.judge("indicators-apart", {
      title: clear.name,
      where: whereOf({ group: left.group }),
      ...measuredBy(clear),
      limit: { value: rule.low, unit: "mm", kind: "at least" },
      source: rule.source,
      amberBelow: 0,
      // Which clause binds depends on the vehicle.
      atWorst: "amber",
    }),
  )
}

function toStop(
  rule: PlaceRule,
  side: Side,
  middle: { readonly group: Group; readonly edge: number },
  told: Told,
): void {
  const inner = innerEdge(side)
  const outer = fact(
    `light.${middle.group.name}.outer-edge`,
    `outer edge of ${middle.group.name} from the centre line`,
    middle.edge,
    "mm",
    drawing(middle.group.face, "outermost LED hole against the face's centre line"),
  )
  const clear = result(
    `light.${side.group.name}.from-stop`,
    `${side.group.name} from ${middle.group.name}, edge to edge sideways`,
    inner.value - outer.value,
    "mm",
    "inner edge of the indicator − outer edge of the stop and tail lamp, each from the centre line",
    [inner, outer],
  )
  told.figures.push(clear)
  told.findings.push(
    light.judge("indicators-apart", {
      title: clear.name,
      where: whereOf({ group: side.group }),
      ...measuredBy(clear),
      limit: { value: rule.low, unit: "mm", kind: "at least" },
      source: rule.source,
      amberBelow: 0,
      // An agency view of 1972 leaves out pairs of combined lamps.
      atWorst: "amber",
    }),
  )
}

/** United States: the least lit area; of a sweep the first lit step by itself, in a cautious reading. */
export function judgeArea(lamp: Lamp): Told {
  const told = nothingTold()
  for (const group of lamp.groups) {
    const swept = lamp.programme.find((l) => l.light === group.name && l.sweep)
    for (const f of group.functions) {
      const whole = ruleFor(areaRules, lamp, f, placeOf(group, f))
      if (whole)
        area(
          group,
          f,
          group.leds.map((l) => l.hole.diameter),
          whole,
          "",
          lamp,
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
          group.leds.slice(0, swept.sweep?.step ?? 1).map((l) => l.hole.diameter),
          first,
          "the first step of ",
          lamp,
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
  lamp: Lamp,
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
      ...(figure.value < rule.low ? needed(lamp, group, figure, rule.low, holes, part !== "") : {}),
      ...atWorst(rule.source),
    }),
  )
}

/** How many holes of the widest size that holds a flange would have the area. */
function needed(
  lamp: Lamp,
  group: Group,
  { value }: Figure,
  low: number,
  holes: readonly number[],
  first: boolean,
): { readonly remedies: readonly Remedy[]; readonly stuck: string } {
  const flange = leds.find(group.led)?.body.flangeDiameter ?? Math.max(...holes)
  const widest = Math.floor(10 * (flange - 0.2) + 1e-9) / 10
  const count = Math.ceil(low / ((Math.PI * widest ** 2) / 4))
  const factor = low / value
  const line = lamp.programme.find((l) => l.light === group.name && l.sweep)
  const step = Math.ceil(holes.length * factor - 1e-9)
  const remedies: Remedy[] = first
    ? line && step <= group.leds.length
      ? [
          {
            says: `Let ${step} LEDs of ${group.name} begin together.`,
            changes: [{ path: `programme.${lamp.programme.indexOf(line)}.sweep.step`, value: `${step}` }],
            gives: { value: (value * step) / holes.length, unit: "mm²" },
          },
        ]
      : []
    : moreInRow(lamp, group, factor, (f) => ({ value: value * f, unit: "mm²" }))
  return {
    remedies,
    stuck: `holes no wider than the LEDs' flange allows (${widest} mm) must be ${count} to have that area, and here are ${holes.length}`,
  }
}
