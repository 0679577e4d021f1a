// A group's LED as its packet describes it: the stock's figures, with the description's bin in their place.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import { described } from "../../0-ground/source.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import { leds } from "../../1-stock/leds.ts"
import type { Group } from "../../2-lamp/artefact.ts"

/** Undefined for an LED the stock does not have. */
export function ledOf(group: Group): LedType | undefined {
  const led = leds.find(group.led)
  const { bin } = group
  if (!led || !bin) return led
  const path = `groups.${group.name}.bin`
  const said = (name: string, key: string, title: string, value: number, unit: string): Figure =>
    fact(`description.${path}.${name}`, title, value, unit, described(`${path}.${key}`))
  const own: Figure[] = []
  if (bin.light) {
    const low = said("intensity-low", "light", "intensity on the axis, lower bin edge", bin.light.low, "cd")
    const high = said(
      "intensity-high",
      "light",
      "intensity on the axis, upper bin edge",
      bin.light.high,
      "cd",
    )
    const middle = (bin.light.low + bin.light.high) / 2
    own.push(
      low,
      high,
      result(
        `description.${path}.intensity`,
        "intensity on the axis, middle of the bin",
        middle,
        "cd",
        "(lower edge + upper edge) ÷ 2",
        [low, high],
      ),
    )
  }
  if (bin.wavelength)
    own.push(
      said("wavelength-low", "wavelength", "dominant wavelength, low", bin.wavelength.low, "nm"),
      said("wavelength-high", "wavelength", "dominant wavelength, high", bin.wavelength.high, "nm"),
    )
  if (bin.beam !== undefined)
    own.push(said("full-angle", "beam", "angle between the half-intensity directions", bin.beam, "°"))
  if (bin.temperature)
    own.push(
      said("temperature-low", "colour-temperature", "colour temperature, low", bin.temperature.low, "K"),
      said("temperature-high", "colour-temperature", "colour temperature, high", bin.temperature.high, "K"),
    )
  const replaced = new Set(own.map(nameOf))
  return {
    ...led,
    ...(bin.light ? { intensity: { ...bin.light, usual: (bin.light.low + bin.light.high) / 2 } } : {}),
    ...(bin.wavelength ? { dominantWavelength: bin.wavelength } : {}),
    ...(bin.beam === undefined ? {} : { fullAngle: bin.beam }),
    ...(bin.temperature ? { colourTemperature: bin.temperature } : {}),
    facts: [...led.facts.filter((f) => !replaced.has(nameOf(f))), ...own],
  }
}

const nameOf = (f: Figure) => f.id.slice(f.id.lastIndexOf(".") + 1)

/** Facts of an LED by their short names, in the order asked. */
export const factsOf = (led: LedType, ...names: readonly string[]): Figure[] =>
  names.flatMap((name) => led.facts.filter((f) => nameOf(f) === name))
