// What a beam is told with beside its rules: the light that is left in any weather and at any supply, the greatest there
// may be, and how bright the lit holes look.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Circuit, CornerState } from "../../3-drive/artefact.ts"
import { given, measuredOn, nothingTold, readOff, type Told } from "../told.ts"
import { worstAir } from "./beam-grid.ts"
import { cornersOf, type FunctionLight } from "./function-light.ts"
import { factsOf } from "./led-of.ts"
import { light } from "./light-findings.ts"
import { whereOf } from "./rules-for.ts"

export function judgeBeam(lamp: Lamp, circuit: Circuit, l: FunctionLight): Told {
  const told = nothingTold()
  for (const [end, parts, code] of [
    ["least", "weakest", "weather-least"],
    ["most", "strongest", "weather-most"],
  ] as const) {
    const worst = cornersOf(lamp, circuit, l.line, parts)
      .map((corner) => ({ corner, value: onAxis(l, corner, end, worstAir(lamp, corner, end)) }))
      .reduce<{ corner: CornerState; value: number } | undefined>(
        (a, b) => (a && (end === "least" ? a.value <= b.value : a.value >= b.value) ? a : b),
        undefined,
      )
    if (!worst) continue
    const id = `light.${l.group.name}.${l.function}.${code}`
    const { corner } = worst
    const currents = l.group.leds.map((x) => corner.ledCurrent[x.ref] ?? 0)
    const figure = result(
      id,
      `${end} intensity of ${l.group.name} on the axis as ${l.function}, over all weather and supplies`,
      worst.value,
      "cd",
      "LEDs × intensity of the bin × LED current ÷ test current × (1 + change of light per kelvin × junction above 25 °C), lens, aim and level counted; a bound: the least current of any weather with the least light of any, or the greatest of both",
      [
        fact(
          `${id}.current`,
          "LED current at full level, mean of the group",
          (1000 * currents.reduce((s, i) => s + i, 0)) / Math.max(1, currents.length),
          "mA",
          measuredOn("circuit solved", corner.corner),
        ),
        given(
          `vehicle.ambient.${end === "least" ? "highest" : "lowest"}`,
          `${end === "least" ? "highest" : "lowest"} ambient temperature`,
          worstAir(lamp, corner, end),
          "°C",
        ),
        ...factsOf(
          l.led,
          end === "least" ? "intensity-low" : "intensity-high",
          "test-current",
          "light-per-kelvin",
        ),
      ],
      { corner: corner.corner },
    )
    told.figures.push(figure)
    const usual = l[end].value
    told.findings.push(
      light.state(code, {
        severity: "green",
        title: `${end === "least" ? "Least" : "Greatest"} light of ${l.group.name} as ${l.function} in any weather and at any supply: ${((100 * worst.value) / usual).toFixed(0)} % of what a test at the usual supply sees`,
        where: whereOf(l),
        ...measuredBy(figure),
        corner: corner.corner,
      }),
    )
  }
  const area = l.group.leds.reduce((s, x) => s + (Math.PI * x.hole.diameter ** 2) / 4, 0)
  if (area > 0) {
    const id = `light.${l.group.name}.${l.function}.luminance`
    const lit: Figure = fact(
      `${id}.area`,
      `lit holes of ${l.group.name}`,
      area,
      "mm²",
      readOff(`the drawing of face ${l.group.face}`, "sum of the LED holes"),
    )
    const figure = result(
      id,
      `mean luminance of the lit holes of ${l.group.name} as ${l.function}, seen along the axis`,
      l.usual.value / (area * 1e-6),
      "cd/m²",
      "usual intensity on the axis ÷ lit area",
      [l.usual, lit],
    )
    told.figures.push(figure)
    told.findings.push(
      light.state("luminance", {
        severity: "green",
        title: `Mean luminance of the lit holes of ${l.group.name} as ${l.function}`,
        where: whereOf(l),
        ...measuredBy(figure),
      }),
    )
  }
  return told
}

const onAxis = (l: FunctionLight, corner: CornerState, end: "least" | "most", air: number) => {
  const per = new Map(l.ledLight(corner, end, air).map((x) => [x.ref, x.light]))
  return l.kinds.reduce(
    (s, k) => s + k.share(0, 0) * k.refs.reduce((t, ref) => t + (per.get(ref) ?? 0), 0),
    0,
  )
}
