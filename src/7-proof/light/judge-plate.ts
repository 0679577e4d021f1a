// A plate lamp is judged by the light on its plate: least, evenness, angle, and what is seen from behind.

import { type Figure, measuredBy, result } from "../../0-ground/figure.ts"
import type { Limit } from "../../0-ground/finding.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { plateRules, type Rule } from "../../1-stock/lighting-rules.ts"
import type { Lamp, PlatePlace } from "../../2-lamp/artefact.ts"
import { given, nothingTold, type Told } from "../told.ts"
import { aimFigures, type FunctionLight } from "./function-light.ts"
import { light } from "./light-findings.ts"
import { brighter } from "./light-remedies.ts"
import { type PlateLight, plateLight, rearward } from "./plate-light.ts"
import { atWorst, ruleNamed, whereOf } from "./rules-for.ts"

export function judgePlate(lamp: Lamp, l: FunctionLight): Told {
  const told = nothingTold()
  if (l.function !== "plate") return told
  const { plate } = l.group
  if (!plate) {
    told.findings.push(
      light.state("not-checked", {
        severity: "amber",
        title: `${l.group.name} as plate light: where its plate lies is not described`,
        where: whereOf(l),
        advice: `Describe the plate as \`groups.${l.group.name}.plate\`: size, below, behind and the lamp's tilt.`,
        stuck: "only you can measure where the plate lies",
      }),
    )
    return told
  }
  const us = lamp.vehicle.rules === "us-motorcycle"
  const id = (name: string) => `light.${l.group.name}.plate.${name}`
  const place = [
    l.strength.least,
    l.beam,
    ...aimFigures(lamp, l.group, l.kinds),
    given(`groups.${l.group.name}.plate.below`, "middle of the plate below the LEDs", plate.below, "mm"),
    given(`groups.${l.group.name}.plate.behind`, "surface of the plate behind the LEDs", plate.behind, "mm"),
    given(
      `groups.${l.group.name}.plate.tilt`,
      "lamp's face turned down from the plate's direction",
      plate.tilt,
      "°",
    ),
  ]
  const measures = measuresOf(l, us)
  const now = (code: keyof typeof measures) => measures[code].of(plate)
  const least = leastRule(lamp)
  const rules: readonly (readonly [code: keyof typeof measures, rule: Rule | undefined])[] = [
    ["plate-least", least],
    [
      "plate-even",
      plateRules.find((r) => r.books.includes(lamp.vehicle.rules) && r.id === (us ? "P-86b" : "P-83")),
    ],
    ["plate-angle", ruleNamed(plateRules, lamp, "P-84")],
    ["plate-rearward", ruleNamed(plateRules, lamp, "P-87")],
  ]
  for (const [code, rule] of rules) {
    if (!rule) continue
    const { title, unit, how } = measures[code]
    const value = now(code)
    const figure: Figure = result(id(code), `${title} ${l.group.name}`, value, unit, how, place)
    const limit: Limit =
      rule.low !== undefined
        ? { value: rule.low, unit, kind: "at least" }
        : { value: rule.high ?? 0, unit, kind: "at most" }
    const missed = limit.kind === "at least" ? value < limit.value : value > limit.value
    const remedies = missed
      ? [
          ...(code === "plate-least" ? inUnit(brighter(lamp, l, value, limit.value), unit) : []),
          ...moved(l, plate, (p) => {
            const v = measures[code].of(p)
            return { kept: limit.kind === "at least" ? v >= limit.value : v <= limit.value, value: v, unit }
          }),
        ]
      : []
    told.figures.push(figure)
    told.findings.push(
      light.judge(code, {
        title: `${title} ${l.group.name}`,
        where: { ...whereOf(l), path: `groups.${l.group.name}.plate` },
        ...measuredBy(figure),
        limit,
        amberBelow: 0,
        corner:
          code === "plate-rearward"
            ? "strongest parts, upper bin edge, cold"
            : "weakest parts, lower bin edge, warmed up",
        source: rule.source,
        remedies,
        ...atWorst(rule.source),
      }),
    )
  }
  return told
}

const leastRule = (lamp: Lamp): Rule | undefined =>
  plateRules.find((r) => r.books.includes(lamp.vehicle.rules) && (r.unit === "cd/m²" || r.unit === "lx"))

interface Measure {
  readonly title: string
  readonly unit: string
  readonly how: string
  readonly of: (plate: PlatePlace) => number
}

/** What each check measures, for any place of the plate. */
function measuresOf(
  l: FunctionLight,
  us: boolean,
): Readonly<Record<"plate-least" | "plate-even" | "plate-angle" | "plate-rearward", Measure>> {
  const of = (plate: PlatePlace) => plateLight(l, l.perLed.least, plate)
  const least = (p: PlateLight) => Math.min(...p.rows.flat().map((s) => s.lux))
  return {
    "plate-least": {
      title: us
        ? "Illuminance at the darkest place of the plate lit by"
        : "Luminance at the darkest place of the plate lit by",
      unit: us ? "lx" : "cd/m²",
      how: `least over the plate, in steps of 10 mm: sum over the LEDs of light towards the place × cosine to the plate's normal ÷ distance²${us ? "" : ", ÷ π for a white matt plate"}`,
      of: (plate) => least(of(plate)) / (us ? 1 : Math.PI),
    },
    "plate-even": us
      ? {
          title: "Two brightest against two darkest places of the plate lit by",
          unit: "",
          how: "mean illuminance of the two brightest places ÷ mean of the two darkest",
          of: (plate) => {
            const lux = of(plate)
              .rows.flat()
              .map((s) => s.lux)
              .sort((a, b) => a - b)
            const [low, high] = [lux[0]! + (lux[1] ?? lux[0]!), lux.at(-1)! + (lux.at(-2) ?? lux.at(-1)!)]
            return low > 0 ? high / low : Number.MAX_VALUE
          },
        }
      : {
          title: "Steepest change of luminance, per cm of the least, on the plate lit by",
          unit: "",
          how: "greatest |difference of neighbouring places| ÷ (their distance in cm × the plate's least luminance)",
          of: (plate) => steepestChange(of(plate)),
        },
    "plate-angle": {
      title: "Greatest angle to the normal at which light strikes the plate lit by",
      unit: "°",
      how: "greatest angle over all LEDs and places of the plate that they light",
      of: (plate) => of(plate).steepest,
    },
    "plate-rearward": {
      title: "White light to the rear from",
      unit: "cd",
      how: "greatest intensity level and 5° up and down, up to 45° aside, strongest parts",
      of: (plate) => rearward(l, l.perLed.most, plate),
    },
  }
}

function steepestChange({ rows }: PlateLight): number {
  const least = Math.min(...rows.flat().map((s) => s.lux))
  if (!(least > 0)) return Number.MAX_VALUE
  let most = 0
  for (const [j, row] of rows.entries())
    for (const [i, a] of row.entries())
      for (const b of [row[i + 1], rows[j + 1]?.[i], rows[j + 1]?.[i + 1], rows[j + 1]?.[i - 1]])
        if (b) most = Math.max(most, Math.abs(a.lux - b.lux) / (Math.hypot(a.x - b.x, a.y - b.y) / 10))
  return most / least
}

/** The smallest turn of the lamp, or distance of the plate, that keeps the rule. */
function moved(
  l: FunctionLight,
  plate: PlatePlace,
  judge: (p: PlatePlace) => { readonly kept: boolean; readonly value: number; readonly unit: string },
): Remedy[] {
  const path = `groups.${l.group.name}.plate`
  const first = (
    changes: readonly PlatePlace[],
    key: "tilt" | "behind",
    says: (p: PlatePlace) => string,
  ): Remedy[] => {
    for (const p of changes) {
      const { kept, value, unit } = judge(p)
      if (kept)
        return [
          {
            says: says(p),
            changes: [{ path: `${path}.${key}`, value: key === "tilt" ? `${p.tilt}°` : `${p.behind} mm` }],
            gives: { value, unit },
          },
        ]
    }
    return []
  }
  const turns = Array.from(
    { length: 36 },
    (_, k) => plate.tilt + (k % 2 === 0 ? 1 : -1) * 5 * (1 + Math.floor(k / 2)),
  )
  return [
    ...first(
      turns.filter((t) => t >= 0 && t <= 180).map((tilt) => ({ ...plate, tilt })),
      "tilt",
      (p) => `Turn the face of ${l.group.name} down by ${p.tilt}°.`,
    ),
    ...first(
      Array.from({ length: 40 }, (_, k) => ({ ...plate, behind: Math.round(plate.behind) + 5 * (k + 1) })),
      "behind",
      (p) => `Set ${l.group.name} ${p.behind} mm before the plate's surface.`,
    ),
  ]
}

const inUnit = (remedies: readonly Remedy[], unit: string): Remedy[] =>
  remedies.map((r) => (r.gives ? { ...r, gives: { value: r.gives.value, unit } } : r))
