// Water in closed air: Magnus' formula with the constants 17.62 and 243.12 °C (WMO guide no. 8, from memory).

const a = 17.62
const b = 243.12

/** Pressure of saturated water vapour over water, Pa. */
export const saturation = (celsius: number): number => 611.2 * Math.exp((a * celsius) / (b + celsius))

/** Temperature at which air of that temperature and humidity (share of 1) begins to wet what it touches, °C. */
export function dewPoint(celsius: number, humidity: number): number {
  const g = Math.log(humidity) + (a * celsius) / (b + celsius)
  return (b * g) / (a - g)
}

/** Water in air, g/m³: vapour as an ideal gas, 461.5 J/(kg·K). */
export const waterIn = (celsius: number, humidity: number): number =>
  (1000 * humidity * saturation(celsius)) / (461.5 * (celsius + 273.15))
