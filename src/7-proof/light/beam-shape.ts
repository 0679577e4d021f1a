// The light of one LED in any direction as a share of its own axis light: the beam's law or its measured table, turned
// to where the LED looks, and cut off by the wall of its hole.

import { type IntensityTable, intensityAt, onAxis } from "../../0-ground/photometry/intensity-table.ts"
import type { LedType } from "../../1-stock/artefact.ts"
import type { Aim, Face, Group } from "../../2-lamp/artefact.ts"

export type Share = (h: number, v: number) => number

const rad = Math.PI / 180

/** Where the LED's light leaves: a disc as wide as its body at the foot of the dome, so deep inside the hole. */
export interface Window {
  /** Radius of the disc and of the hole, mm. */
  readonly disc: number
  readonly hole: number
  /** From the disc to the face's front, mm; 0 and less: nothing is cut off. */
  readonly depth: number
}

/**
 * The dome of an LED is half a ball; its foot lies half a body's width below the tip. The flange rests behind the metal.
 */
export function windowOf(led: LedType, face: Pick<Face, "thickness"> | undefined, hole: number): Window {
  const { diameter, heightAboveSeat, flangeThickness } = led.body
  const beyond = heightAboveSeat - flangeThickness - (face?.thickness ?? 0)
  return { disc: diameter / 2, hole: hole / 2, depth: diameter / 2 - beyond }
}

/**
 * Share of the disc that is seen through the hole's front rim from `angle` degrees off the hole's axis: the overlap of
 * two circles whose middles seem depth × tan(angle) apart.
 */
export function openShare({ disc, hole, depth }: Window, angle: number): number {
  if (depth <= 0) return 1
  if (angle >= 90) return 0
  const apart = depth * Math.tan(angle * rad)
  return overlap(disc, hole, apart) / (Math.PI * disc ** 2)
}

/** Area that two circles share, mm². */
function overlap(r: number, s: number, d: number): number {
  if (d >= r + s) return 0
  if (d <= Math.abs(r - s)) return Math.PI * Math.min(r, s) ** 2
  const a = Math.acos((d * d + r * r - s * s) / (2 * d * r))
  const b = Math.acos((d * d + s * s - r * r) / (2 * d * s))
  return r * r * (a - Math.sin(2 * a) / 2) + s * s * (b - Math.sin(2 * b) / 2)
}

/** `exponent`: of the cosine power, where there is no measured table. The lamp's axis is square to the face. */
export function shareOf(
  exponent: number,
  table: IntensityTable | undefined,
  aim: Aim | undefined,
  window: Window,
): Share {
  const whole = table ? onAxis(table) : 1
  const [r, u] = [(aim?.right ?? 0) * rad, (aim?.up ?? 0) * rad]
  const [sr, cr, su, cu] = [Math.sin(r), Math.cos(r), Math.sin(u), Math.cos(u)]
  return (h, v) => {
    const x = Math.sin(h * rad) * Math.cos(v * rad)
    const y = Math.sin(v * rad)
    const z = Math.cos(h * rad) * Math.cos(v * rad)
    const side = x * cr - z * sr
    const ahead = x * sr + z * cr
    const cosine = y * su + ahead * cu
    const open = window.depth > 0 ? openShare(window, Math.acos(Math.max(-1, Math.min(1, z))) / rad) : 1
    if (!table) return cosine <= 0 ? 0 : open * cosine ** exponent
    const up = Math.asin(Math.max(-1, Math.min(1, y * cu - ahead * su))) / rad
    return (open * intensityAt(table, Math.atan2(side, cosine) / rad, up)) / whole
  }
}

/** LEDs of a group that share one shape: the same aim behind the same hole. */
export interface Kind {
  readonly aim: Aim | undefined
  readonly window: Window
  readonly refs: readonly string[]
  readonly share: Share
}

export function kindsOf(group: Group, led: LedType, face: Face | undefined, exponent: number): Kind[] {
  const kinds = new Map<string, { aim: Aim | undefined; window: Window; refs: string[]; share: Share }>()
  for (const { ref, hole, aim } of group.leds) {
    const key = `${aim?.right ?? 0} ${aim?.up ?? 0} ${hole.diameter}`
    const known = kinds.get(key)
    if (known) {
      known.refs.push(ref)
      continue
    }
    const window = windowOf(led, face, hole.diameter)
    kinds.set(key, { aim, window, refs: [ref], share: shareOf(exponent, group.beam?.table, aim, window) })
  }
  // Where nothing is cut off the hole's width does not matter.
  const merged = new Map<string, Kind>()
  for (const kind of kinds.values()) {
    const hole = kind.window.depth > 0 ? kind.window.hole : 0
    const key = `${kind.aim?.right ?? 0} ${kind.aim?.up ?? 0} ${hole}`
    const known = merged.get(key)
    merged.set(key, known ? { ...known, refs: [...known.refs, ...kind.refs] } : kind)
  }
  return [...merged.values()]
}

/** The LEDs' share together, each weighted by its own light. */
export function shareTogether(
  kinds: readonly Kind[],
  weights: readonly { readonly ref: string; readonly light: number }[],
): Share {
  if (kinds.length === 1) return kinds[0]!.share
  const whole = weights.reduce((s, l) => s + l.light, 0)
  const parts = kinds.map((k) => {
    const refs = new Set(k.refs)
    return weights.reduce((s, l) => s + (refs.has(l.ref) ? l.light : 0), 0) / (whole || 1)
  })
  return (h, v) => kinds.reduce((s, k, i) => s + k.share(h, v) * parts[i]!, 0)
}
