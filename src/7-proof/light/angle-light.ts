// Light in a direction aside: the LEDs' light together times the share that their beams send there, with that factor
// told by itself.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import type { Source } from "../../0-ground/source.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { aimFigures, type FunctionLight } from "./function-light.ts"

export interface Direction {
  /** Degrees sideways (+ right, as seen by whoever faces the lamp) and up. */
  readonly h: number
  readonly v: number
}

/** Less light than this is told as none, cd: at three metres a tenth of a millilux, which no workshop meter shows. */
const leastLight = 1e-3

/** True where the beam is the same to the left and right, up and down. */
const even = (l: FunctionLight) => !l.group.beam && l.kinds.every((k) => !k.aim)

export function directionWords({ h, v }: Direction, l?: FunctionLight): string {
  if (h === 0 && v === 0) return "the axis"
  if (!l || even(l)) return `${Math.abs(h)}° aside, ${Math.abs(v)}° up or down`
  const side = h === 0 ? "" : `${Math.abs(h)}° ${h > 0 ? "right" : "left"}`
  const high = v === 0 ? "" : `${Math.abs(v)}° ${v > 0 ? "up" : "down"}`
  return [side, high].filter((w) => w !== "").join(", ")
}

/** Angle between a direction and the axis, degrees. */
export const offAxis = ({ h, v }: Direction): number =>
  (Math.acos(Math.cos((h * Math.PI) / 180) * Math.cos((v * Math.PI) / 180)) * 180) / Math.PI

/**
 * Data sheets give the axis and the half-intensity directions; up to twice that angle a cosine power follows their
 * curves, further out they show stray light that it leaves out. A measured table has no such end.
 */
export const farOff = (l: FunctionLight, at: Direction): boolean =>
  !l.group.beam && even(l) && offAxis(at) > l.led.fullAngle

const place = (l: FunctionLight, { h, v }: Direction) =>
  even(l) ? `h${Math.abs(h)}-v${Math.abs(v)}` : `h${h}-v${v}`.replaceAll("h-", "hm").replaceAll("v-", "vm")

/** Share of the LEDs' light in a direction. `asked`: where the direction comes from. */
export function angleFactor(
  lamp: Lamp,
  l: FunctionLight,
  at: Direction,
  asked: Source,
  end: "least" | "most" = "least",
): Figure {
  const plain = even(l) && l.kinds.every((k) => k.window.depth <= 0)
  const id = plain
    ? `${l.beam.id.replace(/\.beam$/, "")}.angle-factor.${place(l, at)}`
    : `light.${l.group.name}.${l.function}.${end}.angle-factor.${place(l, at)}`
  const law = l.group.beam ? "measured table in that direction ÷ on its axis" : "(cos aside · cos up)ⁿ"
  const turned = plain
    ? law
    : `mean over the LEDs, weighted by their light: ${law}, each from its own aim × share of the dome that the hole leaves open`
  const [h, v] = even(l) ? [Math.abs(at.h), Math.abs(at.v)] : [at.h, at.v]
  return result(
    id,
    `angle factor, ${directionWords(at, l)}`,
    l.share[end](at.h, at.v),
    "",
    farOff(l, at)
      ? `${turned}, an idealisation this far off the axis: data sheets show more stray light there`
      : turned,
    [
      fact(`light.angle.h${h}`, "angle aside", h, "°", asked),
      fact(`light.angle.v${v}`, "angle up or down", v, "°", asked),
      l.beam,
      ...(plain ? [] : aimFigures(lamp, l.group, l.kinds)),
    ],
  )
}

/** The least or the greatest light of a function in a direction, cd. */
export function lightAt(
  lamp: Lamp,
  l: FunctionLight,
  at: Direction,
  asked: Source,
  end: "least" | "most" = "least",
): Figure {
  const factor = angleFactor(lamp, l, at, asked, end)
  const strength = l.strength[end]
  const light = strength.value * factor.value
  return result(
    `light.${l.group.name}.${l.function}.${end === "most" ? "most." : ""}${place(l, at)}`,
    `${end === "least" ? "least" : "greatest"} light of ${l.group.name} as ${l.function}, ${directionWords(at, l)}`,
    light < leastLight ? 0 : light,
    "cd",
    `${end} intensity of the LEDs together × angle factor; less than ${leastLight} cd counts as none`,
    [strength, factor],
    strength.corner === undefined ? {} : { corner: strength.corner },
  )
}
