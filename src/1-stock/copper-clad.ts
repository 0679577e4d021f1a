// Copper-clad stock: what it is made of, how it behaves under the cutter and in the lamp.

import { type Figure, fact } from "../0-ground/figure.ts"
import type { Source } from "../0-ground/source.ts"

const trade: Source = {
  document: "trade figures for copper-clad, recalled",
  known: "memory",
  confidence: "M",
}
const texts: Source = {
  document: "textbook values for laminates, recalled",
  known: "memory",
  confidence: "M",
}
const resistivity: Source = {
  document: "100 % IACS annealed copper, IEC 60028, recalled",
  known: "memory",
  confidence: "H",
}
const ipcCurrent: Source = {
  document: "fit to IPC-2221: I = k·ΔT^0.44·A^0.725 (chip maker's page)",
  known: "read",
}

export interface CladType {
  readonly base: "FR1" | "FR4"
  readonly thicknesses: readonly number[]
  readonly thicknessTolerance: number
  /** Bow and twist as a share of length. */
  readonly flatness: number
  readonly youngModulus: number
  readonly poisson: number
  readonly density: number
  readonly maximumUse: number
  /** Share of its own weight of water it takes up. */
  readonly water: number
  readonly machining: string
}

export const copperClad: Readonly<Record<CladType["base"], CladType>> = {
  FR4: {
    base: "FR4",
    thicknesses: [0.8, 1, 1.2, 1.5, 1.6, 2, 2.4, 3.2],
    thicknessTolerance: 0.18,
    flatness: 0.015,
    youngModulus: 18.6e9,
    poisson: 0.15,
    density: 1850,
    maximumUse: 130,
    water: 0.002,
    machining: "glass dust: extraction and a mask, carbide tools",
  },
  FR1: {
    base: "FR1",
    thicknesses: [1, 1.2, 1.5, 1.6, 2],
    thicknessTolerance: 0.2,
    flatness: 0.03,
    youngModulus: 7e9,
    poisson: 0.3,
    density: 1400,
    maximumUse: 105,
    water: 0.01,
    machining: "kind to tools; lacquer the board in a wet lamp",
  },
}

/** ρ of copper at 20 °C, Ω·m. */
export const copperResistivity = 1.7241e-8
/** Share per kelvin. */
export const copperTemperature = 0.00393
/** IPC-2221 fit, external copper, area in square mils. */
export const trackCurrent = { k: 0.048, b: 0.44, c: 0.725, mil: 0.0254, source: ipcCurrent } as const

/** Current that heats an outer track by `kelvin`, ampere. Validity of the charts: 10–100 K, about 0.4–10 mm. */
export function trackAmpere(width: number, copper: number, kelvin: number): number {
  const area = (width * copper) / trackCurrent.mil ** 2
  return trackCurrent.k * kelvin ** trackCurrent.b * area ** trackCurrent.c
}

/** Width of an outer track that carries `ampere` with `kelvin` rise, millimetres. */
export function trackWidth(ampere: number, copper: number, kelvin: number): number {
  const area = (ampere / (trackCurrent.k * kelvin ** trackCurrent.b)) ** (1 / trackCurrent.c)
  return (area * trackCurrent.mil ** 2) / copper
}

/** Resistance of a track at `celsius`, ohm; width and copper thickness in millimetres. */
export const trackOhm = (length: number, width: number, copper: number, celsius = 20): number =>
  ((copperResistivity * 1000 * length) / (width * copper)) * (1 + copperTemperature * (celsius - 20))

export const cladFacts: readonly Figure[] = [
  ...Object.values(copperClad).flatMap((c) => [
    fact(
      `stock.clad.${c.base}.thickness-tolerance`,
      `${c.base} thickness tolerance at 1.6 mm`,
      c.thicknessTolerance,
      "mm",
      trade,
    ),
    fact(`stock.clad.${c.base}.flatness`, `${c.base} bow and twist`, c.flatness, "", trade),
    fact(`stock.clad.${c.base}.young`, `${c.base} Young's modulus`, c.youngModulus, "Pa", texts),
    fact(`stock.clad.${c.base}.poisson`, `${c.base} Poisson ratio`, c.poisson, "", texts),
    fact(`stock.clad.${c.base}.density`, `${c.base} density`, c.density, "kg/m³", texts),
    fact(
      `stock.clad.${c.base}.maximum-use`,
      `${c.base} greatest temperature in use`,
      c.maximumUse,
      "°C",
      texts,
    ),
    fact(`stock.clad.${c.base}.water`, `${c.base} water uptake`, c.water, "", texts),
  ]),
  fact("stock.copper.resistivity", "resistivity of copper at 20 °C", copperResistivity, "Ω·m", resistivity),
  fact(
    "stock.copper.temperature",
    "temperature coefficient of copper",
    copperTemperature,
    "1/K",
    resistivity,
  ),
]
