// Vehicle wire: greatest conductor resistance at 20 °C, flexible plain copper, IEC 60228 class 5.

import type { Source } from "../0-ground/source.ts"

export const wireSource: Source = {
  document: "IEC 60228 table 3, class 5 plain copper, as given in two published tables",
  known: "read",
}

/** mm² → Ω/m. */
export const wireTable: readonly { readonly size: number; readonly ohmPerMetre: number }[] = [
  { size: 0.5, ohmPerMetre: 0.039 },
  { size: 0.75, ohmPerMetre: 0.026 },
  { size: 1, ohmPerMetre: 0.0195 },
  { size: 1.5, ohmPerMetre: 0.0133 },
  { size: 2.5, ohmPerMetre: 0.00798 },
  { size: 4, ohmPerMetre: 0.00495 },
  { size: 6, ohmPerMetre: 0.0033 },
]

/**
 * mm² → ampere a single conductor may carry for long, 70 °C insulation in air of 30 °C (ISO 10133 table A.1, from
 * memory); half a square millimetre by the current density of 0.75 mm².
 */
export const wireCapacity: readonly { readonly size: number; readonly ampere: number }[] = [
  { size: 0.5, ampere: 6.7 },
  { size: 0.75, ampere: 10 },
  { size: 1, ampere: 14 },
  { size: 1.5, ampere: 18 },
  { size: 2.5, ampere: 25 },
  { size: 4, ampere: 35 },
  { size: 6, ampere: 45 },
]
export const capacitySource: Source = {
  document: "ISO 10133 table A.1, 70 °C insulation, recalled",
  known: "memory",
  confidence: "M",
}

/** What a conductor of that size may carry: the next smaller listed size counts; below 0.5 mm² in proportion. */
export function capacityOf(size: number): number {
  const listed = [...wireCapacity].reverse().find((w) => w.size <= size + 1e-9)
  return listed?.ampere ?? (wireCapacity[0]!.ampere * size) / wireCapacity[0]!.size
}

/** Change of copper's resistance for each kelvin above 20 °C (annealed copper, from memory of IEC 60028). */
export const copperPerKelvin = 0.00393

/** Ω of one conductor at 20 °C; sizes between the table's follow the 0.75 mm² conductor's Ω·mm². */
export function wireOhm(size: number, metres: number): number {
  const listed = wireTable.find((w) => Math.abs(w.size - size) < 1e-9)
  return (listed?.ohmPerMetre ?? 0.0195 / size) * metres
}
