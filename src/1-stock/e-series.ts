// Preferred values, IEC 60063 (E12, E24, E96 as read in published lists), and picking from them.
// Tie rule of `nearest`: nearest by ratio (equal steps on a logarithmic scale), and on a true tie the higher value,
// because a higher resistance means less current.

export type Series = "E12" | "E24" | "E96"

const e24 = [
  10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
] as const

/** One decade, 10 ≤ value < 100 (E96: 100 ≤ value < 1000). E24 cannot be worked out; E96 is round(100·10^(n/96)). */
export const decade: Readonly<Record<Series, readonly number[]>> = {
  E12: e24.filter((_, i) => i % 2 === 0),
  E24: e24,
  E96: Array.from({ length: 96 }, (_, n) => Math.round(100 * 10 ** (n / 96))),
}

/** Values that count as the same: far below the distance of any two neighbours. */
const same = 1e-9

/** The smallest preferred value ≥ `target`. Needs a positive, finite target; gives NaN otherwise. */
export function above(target: number, series: Series): number {
  return around(target, series).find((v) => v >= target * (1 - same)) ?? Number.NaN
}

/** The largest preferred value ≤ `target`. Needs a positive, finite target; gives NaN otherwise. */
export function below(target: number, series: Series): number {
  return around(target, series).findLast((v) => v <= target * (1 + same)) ?? Number.NaN
}

/** The preferred value nearest by ratio; the higher one on a tie. NaN for a target that is not positive. */
export function nearest(target: number, series: Series): number {
  const low = below(target, series)
  const high = above(target, series)
  return high / target <= (target / low) * (1 + same) ? high : low
}

/** True for a value of the series, in any decade. */
export const isPreferred = (value: number, series: Series): boolean =>
  Math.abs(nearest(value, series) / value - 1) < 1e-6

/** The next higher preferred value. */
export const next = (value: number, series: Series): number => above(value * 1.0001, series)
/** The next lower preferred value. */
export const previous = (value: number, series: Series): number => below(value / 1.0001, series)

/** The values of the target's decade and its two neighbours, rising. */
function around(target: number, series: Series): number[] {
  if (!(target > 0) || !Number.isFinite(target)) return []
  const digits = decade[series]
  const exponent = Math.floor(Math.log10(target)) - (series === "E96" ? 2 : 1)
  return [exponent - 1, exponent, exponent + 1].flatMap((e) => digits.map((d) => scale(d, e)))
}

/** d·10^e without the rounding dirt of a negative power: 47·10⁻¹ is 4.7. */
const scale = (d: number, e: number) => (e < 0 ? d / 10 ** -e : d * 10 ** e)

/** Resistance as printed on a parts list: `470 Ω`, `4.7 kΩ`. */
export function showOhm(value: number): string {
  const digits = (v: number) => String(Number(v.toPrecision(4)))
  if (value >= 1e6) return `${digits(value / 1e6)} MΩ`
  if (value >= 1e3) return `${digits(value / 1e3)} kΩ`
  return `${digits(value)} Ω`
}
