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

/** Change of copper's resistance for each kelvin above 20 °C (annealed copper, from memory of IEC 60028). */
export const copperPerKelvin = 0.00393

/** Ω of one conductor at 20 °C; sizes between the table's follow the 0.75 mm² conductor's Ω·mm². */
export function wireOhm(size: number, metres: number): number {
  const listed = wireTable.find((w) => Math.abs(w.size - size) < 1e-9)
  return (listed?.ohmPerMetre ?? 0.0195 / size) * metres
}
