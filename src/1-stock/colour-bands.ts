// Colour bands of leaded resistors (IEC 60062): digits, power of ten, tolerance. Resistors of 2 % and tighter carry
// three digits and five bands, wider ones two digits and four.

import type { Source } from "../0-ground/source.ts"

export const colourSource: Source = {
  document: "IEC 60062, colour code of resistors: digits and multipliers from a page naming the 2016 edition",
  place: "tolerance colours recalled",
  known: "read",
}

const digits = [
  "black",
  "brown",
  "red",
  "orange",
  "yellow",
  "green",
  "blue",
  "violet",
  "grey",
  "white",
] as const
const powers: Readonly<Record<string, string>> = {
  "-3": "pink",
  "-2": "silver",
  "-1": "gold",
  ...Object.fromEntries(digits.map((colour, power) => [power, colour])),
}
const tolerances: readonly (readonly [share: number, colour: string])[] = [
  [0.0001, "grey"],
  [0.0002, "yellow"],
  [0.0005, "orange"],
  [0.001, "violet"],
  [0.0025, "blue"],
  [0.005, "green"],
  [0.01, "brown"],
  [0.02, "red"],
  [0.05, "gold"],
  [0.1, "silver"],
]

/**
 * The bands from the one nearest to an end; `tolerance` as a share. Undefined for a value the code cannot show: more
 * digits than the bands have, or a tolerance without a colour. 20 % carries no tolerance band.
 */
export function colourBands(ohm: number, tolerance: number): readonly string[] | undefined {
  if (!(ohm > 0) || !Number.isFinite(ohm)) return undefined
  const shown = tolerance <= 0.02 ? 3 : 2
  const power = Math.floor(Math.log10(ohm) + 1e-12) - (shown - 1)
  const whole = ohm / 10 ** power
  const number = Math.round(whole)
  if (Math.abs(whole - number) > 1e-6 * whole) return undefined
  const times = powers[power]
  const last = tolerances.find(([share]) => Math.abs(share - tolerance) < 1e-9 * share + 1e-12)?.[1]
  if (times === undefined || (last === undefined && tolerance !== 0.2)) return undefined
  const bands = [...String(number)].map((d) => digits[Number(d)]!)
  return bands.length === shown ? [...bands, times, ...(last === undefined ? [] : [last])] : undefined
}
