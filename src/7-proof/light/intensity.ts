// Light of LEDs that all look along the lamp's axis: a cosine power in each direction, current and warmth on the axis.

/** Exponent m of I(θ) = I₀·cosᵐθ for a full angle between half-intensity directions, degrees: −ln 2 ÷ ln cos(half). */
export function beamExponent(fullAngle: number): number {
  return -Math.LN2 / Math.log(Math.cos((fullAngle * Math.PI) / 360))
}

/** Share of the axis intensity in a direction `h` degrees sideways and `v` degrees up. 0 behind the lamp. */
export function beamShare(exponent: number, h: number, v: number): number {
  const cosine = Math.cos((h * Math.PI) / 180) * Math.cos((v * Math.PI) / 180)
  return cosine <= 0 ? 0 : cosine ** exponent
}

/** Luminous flux of a cosine-power beam, lumen: 2π·I₀ ÷ (m + 1). */
export const beamFlux = (axis: number, exponent: number): number => (2 * Math.PI * axis) / (exponent + 1)

/** Flux of a uniform cone of that half angle, lumen. */
export const coneFlux = (axis: number, halfAngle: number): number =>
  2 * Math.PI * axis * (1 - Math.cos((halfAngle * Math.PI) / 180))

/** Illuminance of a surface square to the light, lux. */
export const illuminance = (candela: number, metres: number): number => candela / metres ** 2

/** Intensity from a meter reading at a distance, candela. */
export const fromMeter = (lux: number, metres: number): number => lux * metres ** 2

export interface LedLight {
  /** At the test current, 25 °C, candela. */
  readonly intensity: number
  readonly testCurrent: number
  /** Share of light per kelvin, negative. */
  readonly perKelvin: number
}

/**
 * Axis intensity of one LED at `current`, its junction `warmer` kelvin above 25 °C. In proportion to current: the
 * usual first approximation for AlInGaP and InGaN lamps up to their test current; never below zero.
 */
export function ledAxis(led: LedLight, current: number, warmer: number): number {
  return Math.max(0, (led.intensity * current * (1 + led.perKelvin * warmer)) / led.testCurrent)
}
