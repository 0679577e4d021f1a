// A value with its unit, as written by hand: `20 mA`, `4k7`, `90 /min`, `-20 °C`, `70 × 45 mm`.
// Every dimension has one unit it comes out in; whatever cannot be read says what it found and what would be right.

import { nearMatch } from "../0-ground/text/near-match.ts"
import { showNumber } from "../0-ground/text/show.ts"

export type Dimension =
  | "length"
  | "foil"
  | "area"
  | "voltage"
  | "current"
  | "power"
  | "resistance"
  | "time"
  | "rate"
  | "temperature"
  | "angle"
  | "share"
  | "feed"
  | "acceleration"
  | "intensity"
  | "wavelength"
  | "colour-temperature"

interface Kind {
  /** As it stands in a sentence: "a length". */
  readonly asked: string
  readonly example: string
  /** What is suggested when no unit was written, and what values are shown in. */
  readonly unit: string
  /** From what `readQuantity` gives to `unit`, where the two differ. */
  readonly inverse?: (n: number) => number
  readonly units: Readonly<Record<string, (n: number) => number>>
}

const times = (factor: number) => (n: number) => n * factor
const same = times(1)
const prefixed = (unit: string, ...prefixes: string[]) =>
  Object.fromEntries(
    prefixes.map((p) => [p + unit, times({ M: 1e6, k: 1e3, "": 1, m: 1e-3, µ: 1e-6, u: 1e-6 }[p] ?? 1)]),
  )
// Conductor of an American wire gauge number (ASTM B258: d = 0.127 mm · 92^((36 − n)/39), from memory).
const gauge = (n: number) => (Math.PI / 4) * (0.127 * 92 ** ((36 - n) / 39)) ** 2

// 1 in = 25.4 mm exactly (international yard agreement, 1959).
const lengths = {
  mm: same,
  cm: times(10),
  m: times(1000),
  µm: times(0.001),
  um: times(0.001),
  in: times(25.4),
  inch: times(25.4),
  '"': times(25.4),
  ft: times(304.8),
  thou: times(0.0254),
  mil: times(0.0254),
}
/** Copper weighs 8.96 g/cm³ (textbooks, from memory): 1 g/m² is 1/8960 mm thick. */
const gramsPerSquareMetre = 1 / 8960
/** 1 oz avoirdupois = 28.349523125 g on 1 ft² = 0.09290304 m²: 305.15 g/m². */
const ounce = (28.349523125 / 0.09290304) * gramsPerSquareMetre

const kinds: Readonly<Record<Dimension, Kind>> = {
  length: { asked: "a length", example: "2 mm", unit: "mm", units: lengths },
  foil: {
    asked: "a copper thickness or weight",
    example: "35 µm",
    unit: "mm",
    units: {
      ...lengths,
      "g/m²": times(gramsPerSquareMetre),
      "g/m2": times(gramsPerSquareMetre),
      oz: times(ounce),
      "oz/ft²": times(ounce),
      "oz/ft2": times(ounce),
    },
  },
  area: {
    asked: "a wire cross-section",
    example: "0.75 mm²",
    unit: "mm²",
    units: { "mm²": same, mm2: same, "mm^2": same, AWG: gauge },
  },
  voltage: { asked: "a voltage", example: "13.5 V", unit: "V", units: prefixed("V", "k", "", "m", "µ", "u") },
  current: { asked: "a current", example: "20 mA", unit: "A", units: prefixed("A", "", "m", "µ", "u") },
  power: { asked: "a wattage", example: "21 W", unit: "W", units: prefixed("W", "k", "", "m") },
  resistance: {
    asked: "a resistance",
    example: "470 Ω",
    unit: "Ω",
    units: { ...prefixed("Ω", "M", "k", "", "m"), ohm: same, kohm: times(1e3), Mohm: times(1e6), R: same },
  },
  time: {
    asked: "a time",
    example: "180 ms",
    unit: "s",
    units: { ...prefixed("s", "", "m", "µ", "u"), min: times(60) },
  },
  rate: {
    asked: "a rate",
    example: "90 /min",
    unit: "/min",
    inverse: times(60),
    units: {
      "/min": times(1 / 60),
      "1/min": times(1 / 60),
      rpm: times(1 / 60),
      Hz: same,
      kHz: times(1e3),
      "/s": same,
    },
  },
  temperature: {
    asked: "a temperature",
    example: "-20 °C",
    unit: "°C",
    units: { "°C": same, degC: same, "°F": (n) => (n - 32) / 1.8, K: (n) => n - 273.15 },
  },
  angle: {
    asked: "an angle",
    example: "30°",
    unit: "°",
    units: { "°": same, deg: same, rad: times(180 / Math.PI) },
  },
  share: { asked: "a share", example: "12 %", unit: "%", inverse: times(100), units: { "%": times(0.01) } },
  feed: {
    asked: "a feed",
    example: "300 mm/min",
    unit: "mm/min",
    units: {
      "mm/min": same,
      "mm/s": times(60),
      "m/min": times(1000),
      "in/min": times(25.4),
      ipm: times(25.4),
    },
  },
  intensity: {
    asked: "a luminous intensity",
    example: "3.2 cd",
    unit: "cd",
    units: prefixed("cd", "k", "", "m"),
  },
  wavelength: {
    asked: "a wavelength",
    example: "590 nm",
    unit: "nm",
    units: { nm: same, µm: times(1000), um: times(1000) },
  },
  "colour-temperature": {
    asked: "a colour temperature",
    example: "3000 K",
    unit: "K",
    units: { K: same, kK: times(1000) },
  },
  acceleration: {
    asked: "an acceleration",
    example: "100 mm/s²",
    unit: "mm/s²",
    units: { "mm/s²": same, "mm/s2": same, "mm/s^2": same, "m/s²": times(1000), "m/s2": times(1000) },
  },
}

export type ReadQuantity =
  | { readonly ok: true; readonly value: number }
  | {
      readonly ok: false
      readonly problem: "no-number" | "no-unit" | "wrong-dimension" | "unknown-unit"
      /** What is wrong, as the end of a sentence. */
      readonly says: string
      readonly suggestion?: string
    }

const refuse = (
  problem: "no-number" | "no-unit" | "wrong-dimension" | "unknown-unit",
  says: string,
  suggestion?: string,
): ReadQuantity => ({ ok: false, problem, says, ...(suggestion === undefined ? {} : { suggestion }) })

/** Reads one value. Comes out in mm, mm², V, A, W, Ω, s, Hz, °C, degrees, share of 1, mm/min or mm/s². */
export function readQuantity(raw: string | number, dimension: Dimension): ReadQuantity {
  const kind = kinds[dimension]
  const text = tidy(String(raw))
  const found = quote(text)
  if (dimension === "resistance") {
    // IEC 60062: the multiplier letter stands where the decimal point would.
    const letter = /^(\d+)([RkKM])(\d+)$/.exec(text)
    if (letter)
      return {
        ok: true,
        value: Number(`${letter[1]}.${letter[3]}`) * { R: 1, k: 1e3, K: 1e3, M: 1e6 }[letter[2]!]!,
      }
    const bare = /^(\d+(?:\.\d+)?)([kKM])$/.exec(text)
    if (bare) return { ok: true, value: Number(bare[1]) * (bare[2] === "M" ? 1e6 : 1e3) }
  }
  const split = /^([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)$/s.exec(text)
  const inch = /^(\d+)\/(\d+)\s*(in|inch|")$/.exec(text)
  if (inch && (dimension === "length" || dimension === "foil") && Number(inch[2]) > 0)
    return { ok: true, value: (Number(inch[1]) / Number(inch[2])) * 25.4 }
  const gaugeFirst = /^AWG\s*(\d+)$/i.exec(text)
  if (gaugeFirst && dimension === "area") return { ok: true, value: gauge(Number(gaugeFirst[1])) }
  if (!split)
    return refuse("no-number", `${found} where ${kind.asked} is asked, such as ${kind.example}`, kind.example)
  const number = Number(split[1])
  const unit = split[2]!.trim()
  if (!Number.isFinite(number))
    return refuse("no-number", `${found} is not a number that can be used`, kind.example)
  if (unit === "")
    return refuse(
      "no-unit",
      `${found} has no unit where ${kind.asked} is asked`,
      written(split[1]!, kind.unit),
    )
  const comma = /^,(\d+)\s*(.*)$/.exec(unit)
  if (comma)
    return refuse(
      "no-number",
      `${found} has a decimal comma; a point is asked`,
      `${split[1]}.${comma[1]} ${comma[2] || kind.unit}`,
    )
  const convert = Object.hasOwn(kind.units, unit) ? kind.units[unit] : undefined
  if (convert) return { ok: true, value: convert(number) }
  const other = (Object.keys(kinds) as Dimension[]).find((d) => Object.hasOwn(kinds[d].units, unit))
  if (other)
    return refuse(
      "wrong-dimension",
      `${found} is ${kinds[other].asked} where ${kind.asked} is asked`,
      kind.example,
    )
  const known = Object.keys(kind.units)
  const near = known.find((u) => u.toLowerCase() === unit.toLowerCase()) ?? nearMatch(unit, known)
  return refuse(
    "unknown-unit",
    `the unit ${quote(unit)} in ${found} is not known for ${kind.asked}`,
    near === undefined ? kind.example : written(split[1]!, near),
  )
}

/** A size as two lengths: `70 × 45 mm`, `3 in x 2 in`. */
export function readSize(raw: string | number): ReadQuantity | { ok: true; w: number; h: number } {
  const text = tidy(String(raw))
  const parts = text.split(/\s*[×xX*]\s*/)
  if (parts.length !== 2 || parts[0] === "" || parts[1] === "")
    return refuse("no-number", `${quote(text)} where a size is asked, such as 70 × 45 mm`, "70 × 45 mm")
  const h = readQuantity(parts[1]!, "length")
  if (!h.ok) return h
  const unit = /[^\d.\s+-].*$/.exec(parts[1]!)?.[0] ?? "mm"
  const w = readQuantity(/^[+-]?[\d.]+$/.test(parts[0]!) ? `${parts[0]} ${unit}` : parts[0]!, "length")
  if (!w.ok) return w
  return { ok: true, w: w.value, h: h.value }
}

/** A value back in words, in the unit its dimension comes out in: shares as per cent. */
export function showQuantity(value: number, dimension: Dimension): string {
  return written(showNumber(inShownUnit(value, dimension), 4), kinds[dimension].unit)
}

/** A read value in the unit it is shown in. */
export const inShownUnit = (value: number, dimension: Dimension): number =>
  kinds[dimension].inverse?.(value) ?? value

export const unitOf = (dimension: Dimension): string => kinds[dimension].unit
export const exampleOf = (dimension: Dimension): string => kinds[dimension].example

/** One spelling for signs, spaces and letters that look alike. */
function tidy(text: string): string {
  return text
    .slice(0, 200)
    .replace(/[\s\u00a0\u2007\u2009\u202f]+/g, " ")
    .replace(/[\u2212\u2013]/g, "-")
    .replace(/\u03bc/g, "µ")
    .replace(/\u2126/g, "Ω")
    .replace(/º/g, "°")
    .trim()
}

const written = (number: string, unit: string) => (unit === "°" ? `${number}°` : `${number} ${unit}`)

/** User text inside a sentence: short and on one line. */
export const quote = (text: string): string => `“${text.length > 40 ? `${text.slice(0, 37)}…` : text}”`
