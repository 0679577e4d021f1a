// Functions that share LEDs must stand out from each other: the light with the brighter one on against the light of
// the dimmer one alone, in every direction the rule names, both warmed up.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import { type RatioRule, ratioRules, unGrid } from "../../1-stock/lighting-rules.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import { measuredOn, nothingTold, type Told } from "../told.ts"
import { type Direction, directionWords } from "./angle-light.ts"
import { cornerFor, type FunctionLight, type LedShare } from "./function-light.ts"
import { factsOf } from "./led-of.ts"
import { light } from "./light-findings.ts"
import { atWorst, whereOf } from "./rules-for.ts"

export function judgeRatios(lamp: Lamp, circuit: Circuit, lights: readonly FunctionLight[]): Told {
  const told = nothingTold()
  for (const rule of ratioRules)
    for (const bright of lights) {
      if (!rule.books.includes(lamp.vehicle.rules) || bright.function !== rule.bright) continue
      for (const dim of lights)
        if (dim.group === bright.group && rule.dim.some((f) => f === dim.function))
          judge(lamp, circuit, rule, bright, dim, told)
    }
  return told
}

interface Ratio {
  readonly value: number
  readonly at: Direction
  readonly on: CornerState
  readonly off: CornerState
  readonly both: readonly LedShare[]
  readonly alone: readonly LedShare[]
}

/** The least ratio over parts and directions. LEDs of one packet share a bin, so that weak and strong ones cancel. */
function leastRatio(
  lamp: Lamp,
  circuit: Circuit,
  { at }: RatioRule,
  bright: FunctionLight,
  dim: FunctionLight,
): Ratio | undefined {
  const directions = unGrid.filter((p) => at(p.h, p.v))
  let worst: Ratio | undefined
  for (const parts of ["weakest", "usual", "strongest"] as const) {
    const together = { ...bright.line, when: [...new Set([...bright.line.when, ...dim.line.when])] }
    const on = cornerFor(lamp, circuit, together, parts) ?? cornerFor(lamp, circuit, bright.line, parts)
    const off = cornerFor(lamp, circuit, dim.line, parts)
    if (!on || !off) continue
    // One bin for both, warmed up, so that only current and warmth differ.
    const [both, alone] = [bright.ledLight(on, "least"), dim.ledLight(off, "least")]
    const towards = (lights: readonly LedShare[], { h, v }: Direction) =>
      bright.kinds.reduce(
        (s, k) => s + k.share(h, v) * lights.reduce((t, l) => t + (k.refs.includes(l.ref) ? l.light : 0), 0),
        0,
      )
    for (const p of directions) {
      const [b, d] = [towards(both, p), towards(alone, p)]
      // Where neither gives light there is nothing to compare.
      if (!(d > 0)) continue
      if (!worst || b / d < worst.value * (1 - 1e-9)) worst = { value: b / d, at: p, on, off, both, alone }
    }
  }
  return worst
}

function judge(
  lamp: Lamp,
  circuit: Circuit,
  rule: RatioRule,
  bright: FunctionLight,
  dim: FunctionLight,
  told: Told,
): void {
  const worst = leastRatio(lamp, circuit, rule, bright, dim)
  if (!worst) return
  const { group } = bright
  const code = rule.bright === "stop" ? "stop-to-tail" : "turn-to-tail"
  const id = `light.${group.name}.${rule.bright}-to-${dim.function}.${rule.id}`
  const sum = (lights: readonly LedShare[]) => lights.reduce((s, l) => s + l.light, 0)
  const strength = (name: string, title: string, lights: readonly LedShare[], c: CornerState): Figure =>
    result(
      `${id}.${name}`,
      title,
      sum(lights),
      "cd",
      "LEDs × intensity of the bin's lower edge × LED current ÷ test current × (1 + change of light per kelvin × junction above 25 °C), lens and level counted",
      [
        fact(
          `${id}.${name}.current`,
          "LED current at full level, mean of the group",
          (1000 * group.leds.reduce((s, l) => s + (c.ledCurrent[l.ref] ?? 0), 0)) /
            Math.max(1, group.leds.length),
          "mA",
          measuredOn("circuit solved", c.corner),
        ),
        ...factsOf(bright.led, "intensity-low", "test-current", "light-per-kelvin", "thermal-resistance"),
      ],
    )
  const words =
    { stop: "stop light", "direction-indicator": "indicator" }[rule.bright as "stop"] ?? rule.bright
  const ratio = result(
    id,
    `${words} of ${group.name} against its ${dim.function} light`,
    worst.value,
    "",
    `light towards ${directionWords(worst.at, bright)} with both on ÷ with the ${dim.function} light alone; the same beam stands above and below`,
    [
      strength("on", `LEDs of ${group.name} together, ${words} on`, worst.both, worst.on),
      strength(
        "alone",
        `LEDs of ${group.name} together, ${dim.function} light alone`,
        worst.alone,
        worst.off,
      ),
    ],
  )
  told.figures.push(ratio)
  told.findings.push(
    light.judge(code, {
      title: `${rule.bright === "stop" ? "Stop light" : "Indicator"} against ${rule.bright === "stop" ? "tail light" : `${dim.function} light`} of ${group.name}${rule.low === 3 ? ", other directions" : ""}`,
      where: whereOf({ group }),
      ...measuredBy(ratio),
      limit: { value: rule.low, unit: "", kind: "at least" },
      corner: `${worst.on.supply} V, 25 °C, ${worst.on.parts} parts, warmed up`,
      source: rule.source,
      remedies: worst.value < 1.05 * rule.low ? apart(lamp, dim, worst.value, rule.low) : [],
      ...atWorst(rule.source),
    }),
  )
}

/** A lower tail light: the level that gives the ratio with a resistor step to spare. */
function apart(lamp: Lamp, dim: FunctionLight, ratio: number, limit: number): Remedy[] {
  const { level } = dim.line
  const next = Math.floor((100 * level * ratio) / limit / 1.15)
  if (next < 1) return []
  return [
    {
      says: `Lower the level of ${dim.group.name} as ${dim.function} to ${next} %.`,
      changes: [{ path: `programme.${lamp.programme.indexOf(dim.line)}.level`, value: `${next} %` }],
      gives: { value: (100 * level * ratio) / next, unit: "" },
    },
  ]
}
