// What a track carries: the IPC-2221 curve fit for outer layers, I = k · ΔT^0.44 · A^0.725, A in square mils.

import type { Ampere, Mm } from "../0-ground/units/brand.ts"

const k = 0.048
const mil = 0.0254

/** Current that warms a track by `rise` kelvin. */
export function trackCurrent(width: Mm, copper: Mm, rise: number): Ampere {
  return k * rise ** 0.44 * ((width / mil) * (copper / mil)) ** 0.725
}

/** Least width that carries `current` with at most `rise` kelvin. */
export function trackWidth(current: Ampere, copper: Mm, rise: number): Mm {
  if (current <= 0) return 0
  const area = (current / (k * rise ** 0.44)) ** (1 / 0.725)
  return (area * mil * mil) / copper
}
