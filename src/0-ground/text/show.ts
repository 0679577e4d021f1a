// Quantities as a builder reads them: sensible digits, a prefix where the unit takes one.

const prefixed = new Set(["V", "A", "Ω", "W", "F", "Hz", "s"])
const steps: readonly (readonly [number, string])[] = [
  [1e9, "G"],
  [1e6, "M"],
  [1e3, "k"],
  [1, ""],
  [1e-3, "m"],
  [1e-6, "µ"],
  [1e-9, "n"],
  [1e-12, "p"],
]

/**
 * Three significant digits, trailing zeros dropped, never an exponent between 1e-6 and 1e9.
 * Below 1e-12 nothing a workshop could measure is left: "0".
 */
export function showNumber(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return String(value)
  if (Math.abs(value) < 1e-12) return "0"
  const rounded = Number(value.toPrecision(digits))
  const magnitude = Math.abs(rounded)
  if (magnitude >= 1e9 || magnitude < 1e-6) return rounded.toExponential()
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(magnitude)))
  return Number(rounded.toFixed(Math.min(decimals, 20))).toString()
}

/** `0.0218, "A"` → `21.8 mA`. Units without a prefix habit are shown as they are. */
export function show(value: number, unit: string, digits = 3): string {
  if (unit === "") return showNumber(value, digits)
  if (!prefixed.has(unit) || value === 0 || !Number.isFinite(value))
    return `${showNumber(value, digits)} ${unit}`
  const magnitude = Math.abs(Number(value.toPrecision(digits)))
  const [scale, prefix] = steps.find(([s]) => magnitude >= s) ?? steps[steps.length - 1]!
  return `${showNumber(value / scale, digits)} ${prefix}${unit}`
}
