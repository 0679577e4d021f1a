// The colour of each function: the right LED, and a wavelength that stays inside while junctions warm up.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Source } from "../../0-ground/source.ts"
import { colourOf, colourRegions, wavelengthDrift } from "../../1-stock/lighting-rules.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { given, nothingTold, type Told } from "../told.ts"
import type { FunctionLight } from "./function-light.ts"
import { light } from "./light-findings.ts"
import { ruleFor, whereOf } from "./rules-for.ts"

const pulsed: Source = {
  document: "LED bins are sorted with short pulses: junction at 25 °C",
  known: "memory",
  confidence: "H",
}

export function judgeColour(lamp: Lamp, l: FunctionLight): Told {
  const told = nothingTold()
  const wanted = ruleFor(colourOf, lamp, l.function)
  if (wanted && !wanted.colours.includes(l.led.colour)) {
    told.findings.push(
      light.state("colour-wanted", {
        severity: "amber",
        title: `${l.group.name} is ${l.led.colour}; a ${l.function} light must be ${wanted.colours.join(" or ")}`,
        where: whereOf(l),
        source: wanted.source,
      }),
    )
  }
  if (l.led.colour === "white" || !l.led.dominantWavelength) return told
  const { ambient } = lamp.vehicle
  const sorted = fact("light.sorted-at", "junction at which LEDs are sorted into bins", 25, "°C", pulsed)
  const id = (name: string) => `light.${l.group.name}.${l.function}.${name}`
  const still = fact(id("just-on"), "junction just switched on, above 25 °C", 0, "K", pulsed)
  judgeSpan(
    l,
    "colour",
    `Colour of ${l.group.name} as ${l.function}`,
    { coldest: still, hottest: l.warmth },
    "25 °C, from switching on to warmed up",
    told,
  )
  const coldest = result(
    id("coldest"),
    "junction on the coldest day, just switched on, above 25 °C",
    ambient.lowest - sorted.value,
    "K",
    "lowest ambient − junction at which LEDs are sorted",
    [given("vehicle.ambient.lowest", "lowest ambient temperature", ambient.lowest, "°C"), sorted],
  )
  const hottest = result(
    id("hottest"),
    "junction on the hottest day, warmed up, above 25 °C",
    ambient.highest - sorted.value + l.warmth.value,
    "K",
    "highest ambient − junction at which LEDs are sorted + junction above its surroundings",
    [
      given("vehicle.ambient.highest", "highest ambient temperature", ambient.highest, "°C"),
      sorted,
      l.warmth,
    ],
  )
  judgeSpan(
    l,
    "colour-range",
    `Colour of ${l.group.name} as ${l.function} over all weather`,
    { coldest, hottest },
    `${ambient.lowest}…${ambient.highest} °C`,
    told,
  )
  return told
}

/** The end of the span that is nearer to the edge of the signal colour. */
function judgeSpan(
  l: FunctionLight,
  code: "colour" | "colour-range",
  title: string,
  junction: { readonly coldest: Figure; readonly hottest: Figure },
  corner: string,
  told: Told,
): void {
  const { colour, dominantWavelength: band } = l.led
  if (colour === "white" || !band) return
  const { wavelength: own, source } = colourRegions[colour]
  const edge = (end: "low" | "high", kelvin: Figure): Figure => {
    // Shorter when cold, longer when hot: the greater drift is the worse one on that side.
    const outward = end === "low" ? kelvin.value < 0 : kelvin.value > 0
    const drift = wavelengthDrift[colour][outward ? "high" : "low"]
    return result(
      `light.${l.group.name}.${l.function}.${code}`,
      `${end === "low" ? "shortest" : "longest"} wavelength of ${l.group.name} as ${l.function}`,
      band[end] + drift * kelvin.value,
      "nm",
      "edge of the bin + drift × junction above 25 °C",
      [
        ...l.led.facts.filter((f) => f.id === `stock.${l.led.key}.wavelength-${end}`),
        fact(
          `light.drift.${colour}.${outward ? "high" : "low"}`,
          `drift of ${colour} light`,
          drift,
          "nm/K",
          wavelengthDrift.source,
        ),
        kelvin,
      ],
    )
  }
  const shortest = edge("low", junction.coldest)
  const longest = edge("high", junction.hottest)
  const low = shortest.value - own.low < own.high - longest.value
  const figure = low ? shortest : longest
  told.figures.push(figure)
  told.findings.push(
    light.judge(code, {
      title,
      where: whereOf(l),
      ...measuredBy(figure),
      limit: { value: low ? own.low : own.high, unit: "nm", kind: low ? "at least" : "at most" },
      amberBelow: 0,
      corner,
      source,
      atWorst: "amber",
    }),
  )
}
