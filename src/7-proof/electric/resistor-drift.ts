// How far a resistor may lie from its value beyond its tolerance: warmth of the air and of its own body, and age.

import type { PartType } from "../../1-stock/artefact.ts"
import type { Conditions } from "./bound-currents.ts"

/** What age takes, share. */
const age = 0.005
/** A body at its rated power stands this far above the air, K (155 °C at 70 °C). */
const rise = 85
/** Where the part is no plain resistor. */
const usualPerKelvin = 1e-4

/** As a share, up or down. */
export function drift({ model }: Pick<PartType, "model">, { temperature }: Conditions): number {
  const perKelvin = model.kind === "resistor" ? model.perKelvin : usualPerKelvin
  return age + perKelvin * Math.max(25 - temperature.low, temperature.high + rise - 25)
}
