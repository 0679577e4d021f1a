// Current of one LED string between a wire and earth, as one unknown: everything in series drops more with more
// current, so the current is found between brackets. Used to choose values; the whole circuit is solved afterwards.

import type { DiodeModel, LedType } from "../1-stock/artefact.ts"
import { modelThermalVoltage } from "../1-stock/leds.ts"
import { modelOf } from "../1-stock/parts.ts"

export type End = "low" | "usual" | "high"

/** What lies between the wire's far end and earth beside LEDs and resistor. */
export interface Path {
  readonly led: LedType
  /** Stock key of the feed diode. */
  readonly diode: string
  /** Feed and earth wire together. */
  readonly wireOhm: number
  /** Strings that share the wire and the diode, and those that share the array section (0: no array). */
  readonly strings: number
  readonly onSection: number
}

/** Volt over a diode law at current i (0 for i ≤ 0), shifted by temperature. */
export const junctionVolt = (m: DiodeModel, i: number) =>
  i <= 0 ? 0 : m.emission * modelThermalVoltage * Math.log1p(i / m.saturation) + i * m.series

export const ledVolt = (led: LedType, end: End, i: number, celsius: number) =>
  junctionVolt(led.model[end], i) + led.voltagePerKelvin * (celsius - 25)

const diodeSpread = { low: -1, usual: 0, high: 1 } as const

export function diodeVolt(key: string, end: End, i: number, celsius: number): number {
  const m = modelOf(key, "diode")
  return junctionVolt(m.law, i) + diodeSpread[end] * m.spread + m.voltagePerKelvin * (celsius - 25)
}

/** Output voltage of an array section at current i, between the points of its data sheet. */
export function arrayVolt(end: End, i: number): number {
  const { dropAt } = modelOf("array-uln2803a", "low-side-array")
  let k = 1
  while (k < dropAt.length - 1 && i > dropAt[k]!.current) k++
  const a = dropAt[k - 1]!
  const b = dropAt[k]!
  const v = a[end] + ((b[end] - a[end]) * (i - a.current)) / (b.current - a.current)
  return Math.max(v, 0)
}

export interface Conditions {
  readonly supply: number
  readonly end: End
  readonly celsius: number
}

/** Volt that all but the resistor takes at string current i. */
export function dropsAt(path: Path, inSeries: number, i: number, at: Conditions): number {
  const total = i * path.strings
  return (
    inSeries * ledVolt(path.led, at.end, i, at.celsius) +
    diodeVolt(path.diode, at.end, total, at.celsius) +
    (path.onSection > 0 ? arrayVolt(at.end, i * path.onSection) : 0) +
    path.wireOhm * total
  )
}

/** String current with resistor `ohm`, ampere; 0 when the supply does not reach the LEDs' voltage. */
export function stringCurrent(path: Path, inSeries: number, ohm: number, at: Conditions): number {
  let low = 0
  let high = Math.max(at.supply / Math.max(ohm, 1), 1e-9)
  for (let k = 0; k < 60; k++) {
    const i = (low + high) / 2
    if (dropsAt(path, inSeries, i, at) + i * ohm < at.supply) low = i
    else high = i
  }
  return low < 1e-9 ? 0 : low
}

/** Resistor that gives current i; negative when there is no voltage left for it. */
export const ohmFor = (path: Path, inSeries: number, i: number, at: Conditions) =>
  (at.supply - dropsAt(path, inSeries, i, at)) / i
