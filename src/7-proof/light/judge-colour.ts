// The colour of each function: the right LED, and a wavelength that stays inside while junctions warm up.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import type { Source } from "../../0-ground/source.ts"
import { leds } from "../../1-stock/leds.ts"
import { colourOf, colourRegions, wavelengthDrift } from "../../1-stock/lighting-rules.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { given, nothingTold, type Told } from "../told.ts"
import type { FunctionLight } from "./function-light.ts"
import { factsOf } from "./led-of.ts"
import { light } from "./light-findings.ts"
import { placeOf, ruleFor, whereOf } from "./rules-for.ts"

const pulsed: Source = {
  document: "LED bins are sorted with short pulses: junction at 25 °C",
  known: "memory",
  confidence: "H",
}

export function judgeColour(lamp: Lamp, l: FunctionLight): Told {
  const told = nothingTold()
  const wanted = ruleFor(colourOf, lamp, l.function, placeOf(l.group, l.function))
  if (wanted && !wanted.colours.includes(l.led.colour)) {
    told.findings.push(
      light.state("colour-wanted", {
        severity: "amber",
        title: `${l.group.name} is ${l.led.colour}; a ${l.function} light must be ${wanted.colours.join(" or ")}`,
        where: whereOf(l),
        source: wanted.source,
        remedies: otherLeds(l, wanted.colours),
      }),
    )
  }
  if (l.led.colour === "white") judgeWhite(l, told)
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

/** White LEDs are sorted along the black bodies' line; where that line leaves the region of white is the limit. */
function judgeWhite(l: FunctionLight, told: Told): void {
  const band = l.led.colourTemperature
  const { temperature: own, source } = colourRegions.white
  if (!band) return
  const warm = band.low - own.low < own.high - band.high
  const [edge] = factsOf(l.led, warm ? "temperature-low" : "temperature-high")
  if (!edge) return
  const bin = band.low < own.low ? [2600, 3200] : [5000, 6500]
  told.figures.push(edge)
  told.findings.push(
    light.judge("colour", {
      title: `Colour temperature of ${l.group.name} as ${l.function}`,
      where: whereOf(l),
      ...measuredBy(edge),
      limit: { value: warm ? own.low : own.high, unit: "K", kind: warm ? "at least" : "at most" },
      amberBelow: 0,
      corner: "sorted at 25 °C; white LEDs shift little with warmth",
      source,
      remedies:
        band.low < own.low || band.high > own.high
          ? [
              {
                says: `Use LEDs of ${l.group.name} from a bin of ${bin[0]} to ${bin[1]} K.`,
                changes: [
                  {
                    path: `groups.${l.group.name}.bin.colour-temperature`,
                    value: bin.map((k) => `${k} K`),
                  },
                ],
                gives: { value: band.low < own.low ? bin[0]! : bin[1]!, unit: "K" },
              },
            ]
          : [],
      // Where on the line a bin lies is told; how far beside it is not.
      atWorst: "amber",
    }),
  )
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
        ...factsOf(l.led, `wavelength-${end}`),
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
      remedies:
        shortest.value < own.low || longest.value > own.high
          ? otherBin(l, shortest.value - band.low, longest.value - band.high, own)
          : [],
      stuck: `a bin would have to lie above ${(own.low - Math.min(0, shortest.value - band.low)).toFixed(1)} nm for the cold and below ${(own.high - Math.max(0, longest.value - band.high)).toFixed(1)} nm for the heat, between which packets are not sold`,
      atWorst: "amber",
    }),
  )
}

/** A bin that stays inside with the same drift either way, where there is room for one. */
function otherBin(
  l: FunctionLight,
  cold: number,
  hot: number,
  own: { readonly low: number; readonly high: number },
): Remedy[] {
  const low = Math.ceil(own.low - Math.min(0, cold) + 0.2)
  const high = Math.floor(Math.min(own.high, low + 30) - Math.max(0, hot) - 0.2)
  if (high < low) return []
  return [
    {
      says: `Use LEDs of ${l.group.name} from a bin of ${low} to ${high} nm.`,
      changes: [{ path: `groups.${l.group.name}.bin.wavelength`, value: [`${low} nm`, `${high} nm`] }],
      gives:
        low + cold - own.low < own.high - (high + hot)
          ? { value: low + cold, unit: "nm" }
          : { value: high + hot, unit: "nm" },
    },
  ]
}

/** LEDs of the stock with the same body in a right colour. */
const otherLeds = (l: FunctionLight, colours: readonly string[]): Remedy[] =>
  leds.all
    .filter((x) => colours.includes(x.colour) && x.body.diameter === l.led.body.diameter)
    .map((x) => ({
      says: `Use ${x.label} in ${l.group.name}.`,
      changes: [
        { path: `groups.${l.group.name}.led`, value: x.key },
        // The old packet's figures say nothing of another LED.
        ...(l.group.bin ? [{ path: `groups.${l.group.name}.bin`, value: null }] : []),
      ],
    }))
