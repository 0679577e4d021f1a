// Light in a direction aside: the axis light times the beam's cosⁿ, with the angle factor told by itself.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import type { Source } from "../../0-ground/source.ts"
import type { FunctionLight } from "./function-light.ts"
import { beamShare } from "./intensity.ts"

export interface Direction {
  /** Degrees sideways (+ right) and up. */
  readonly h: number
  readonly v: number
}

/** Less light than this is told as none, cd: at three metres a tenth of a millilux, which no workshop meter shows. */
const leastLight = 1e-3

/** The beam is the same to the left and right, up and down. */
export const directionWords = ({ h, v }: Direction): string =>
  h === 0 && v === 0 ? "the axis" : `${Math.abs(h)}° aside, ${Math.abs(v)}° up or down`

/** Angle between a direction and the axis, degrees. */
export const offAxis = ({ h, v }: Direction): number =>
  (Math.acos(Math.cos((h * Math.PI) / 180) * Math.cos((v * Math.PI) / 180)) * 180) / Math.PI

/**
 * Data sheets give the axis and the half-intensity directions; up to twice that angle a cosine power follows their
 * curves, further out they show stray light that it leaves out.
 */
export const farOff = (l: FunctionLight, at: Direction): boolean => offAxis(at) > l.led.fullAngle

const place = ({ h, v }: Direction) => `h${Math.abs(h)}-v${Math.abs(v)}`

/** Share of the axis light in a direction. `asked`: where the direction comes from. */
export function angleFactor(l: FunctionLight, at: Direction, asked: Source): Figure {
  const id = `light.${l.led.key}.angle-factor.${place(at)}`
  return result(
    id,
    `angle factor, ${directionWords(at)}`,
    beamShare(l.beam.value, at.h, at.v),
    "",
    farOff(l, at)
      ? "(cos aside · cos up)ⁿ, an idealisation this far off the axis: data sheets show more stray light there"
      : "(cos aside · cos up)ⁿ",
    [
      fact(`light.angle.h${Math.abs(at.h)}`, "angle aside", Math.abs(at.h), "°", asked),
      fact(`light.angle.v${Math.abs(at.v)}`, "angle up or down", Math.abs(at.v), "°", asked),
      l.beam,
    ],
  )
}

/** The least light of a function in a direction, cd. */
export function lightAt(l: FunctionLight, at: Direction, asked: Source): Figure {
  const factor = angleFactor(l, at, asked)
  const light = l.least.value * factor.value
  return result(
    `light.${l.group.name}.${l.function}.${place(at)}`,
    `least light of ${l.group.name} as ${l.function}, ${directionWords(at)}`,
    light < leastLight ? 0 : light,
    "cd",
    `least intensity on the axis × angle factor; less than ${leastLight} cd counts as none`,
    [l.least, factor],
    l.least.corner === undefined ? {} : { corner: l.least.corner },
  )
}
