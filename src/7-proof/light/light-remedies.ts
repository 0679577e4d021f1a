// What would bring a light to its limit, found by computing it: level, current, bin, beam.

import type { Remedy } from "../../0-ground/remedy.ts"
import { show, showNumber } from "../../0-ground/text/show.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { CornerState } from "../../3-drive/artefact.ts"
import type { Direction } from "./angle-light.ts"
import { kindsOf, shareTogether } from "./beam-shape.ts"
import type { FunctionLight } from "./function-light.ts"
import { beamExponent } from "./intensity.ts"
import { moreInRow } from "./more-holes.ts"

/** Resistors come in steps of 5 %: as much is aimed beyond the limit. */
const beyond = 0.05
/** Of an LED's steady rating; more is not proposed. */
const mostOfRating = 0.7

type End = "least" | "most"

/** `measured` must come up to `limit`; both in the same unit and in proportion to the light. */
export function brighter(lamp: Lamp, l: FunctionLight, measured: number, limit: number): Remedy[] {
  if (!(measured > 0)) return []
  const need = (limit / measured) * (1 + beyond)
  const gives = (factor: number) => ({ value: measured * factor, unit: "cd" })
  const out: Remedy[] = []
  const at = lamp.programme.indexOf(l.line)
  const { level } = l.line
  if (level < 1 && level * need <= mostLevel(lamp, l)) {
    const next = Math.ceil(100 * level * need - 1e-9)
    out.push({
      says: `Raise the level of ${l.group.name} as ${l.function} to ${next} %.`,
      changes: [{ path: `programme.${at}.level`, value: `${next} %` }],
      gives: gives(next / (100 * level)),
    })
  } else {
    const now = nominal(l)
    const most = mostOfRating * l.led.maximumCurrent
    let next = Math.ceil(1000 * now - 1e-9) + 1
    while (next <= 1000 * most && gain(l, "least", next / 1000 / now) < need) next++
    if (next <= 1000 * most && !held(l))
      out.push({
        says: `Raise the current of ${l.group.name} to ${next} mA.`,
        changes: [{ path: `groups.${l.group.name}.current`, value: `${next} mA` }],
        gives: gives(gain(l, "least", next / 1000 / now)),
      })
  }
  const low = Number((l.led.intensity.low * need).toPrecision(2)) * 1.0
  const edge = low < l.led.intensity.low * need ? low + step(low) : low
  const spread = l.led.intensity.high / l.led.intensity.low
  out.push({
    says: `Use LEDs from a bin of at least ${show(edge, "cd")} in ${l.group.name}.`,
    changes: [
      {
        path: `groups.${l.group.name}.bin.light`,
        value: [`${showNumber(edge)} cd`, `${showNumber(edge * spread)} cd`],
      },
    ],
    gives: gives(edge / l.led.intensity.low),
  })
  out.push(...moreInRow(lamp, l.group, need, gives))
  return out
}

/** `measured` must come down to `limit`. */
export function dimmer(lamp: Lamp, l: FunctionLight, measured: number, limit: number): Remedy[] {
  const need = limit / measured / (1 + beyond)
  const gives = (factor: number) => ({ value: measured * factor, unit: "cd" })
  const { level } = l.line
  if (level < 1) {
    const next = Math.floor(100 * level * need + 1e-9)
    if (next < 1) return []
    return [
      {
        says: `Lower the level of ${l.group.name} as ${l.function} to ${next} %.`,
        changes: [{ path: `programme.${lamp.programme.indexOf(l.line)}.level`, value: `${next} %` }],
        gives: gives(next / (100 * level)),
      },
    ]
  }
  const now = nominal(l)
  let next = Math.floor(1000 * now)
  while (next > 1 && gain(l, "most", next / 1000 / now) > need) next--
  const own = gain(l, "most", next / 1000 / now)
  return own > need
    ? []
    : [
        {
          says: `Lower the current of ${l.group.name} to ${next} mA.`,
          changes: [{ path: `groups.${l.group.name}.current`, value: `${next} mA` }],
          gives: gives(own),
        },
      ]
}

/** LEDs whose beam is wide enough in a direction, with the same light on their axis. */
export function wider(l: FunctionLight, at: Direction, limit: number): Remedy[] {
  if (l.group.beam) return []
  for (let angle = 5 * Math.ceil((l.led.fullAngle + 1) / 5); angle <= 140; angle += 5) {
    const kinds = kindsOf(l.group, l.led, l.face, beamExponent(angle))
    const light = l.strength.least.value * shareTogether(kinds, l.perLed.least)(at.h, at.v)
    if (light < limit * (1 + beyond)) continue
    return [
      {
        says: `LEDs with a beam of ${angle}° and the same light on their axis reach it; such LEDs give about ${showNumber((1 + beamExponent(l.led.fullAngle)) / (1 + beamExponent(angle)), 2)} times the lumens.`,
        changes: [{ path: `groups.${l.group.name}.bin.beam`, value: `${angle}°` }],
        gives: { value: light, unit: "cd" },
      },
    ]
  }
  return []
}

/** How many more LEDs like these would do, in words. */
export function moreLeds(l: FunctionLight, measured: number, limit: number): string {
  if (!(measured > 0)) return ""
  const more = Math.ceil((l.group.leds.length * limit) / measured) - l.group.leds.length
  return more > 0 && more <= 3 * l.group.leds.length
    ? `${more} more LED${more === 1 ? "" : "s"} like these would do as well. `
    : ""
}

/** True where the drive gives clearly less than the description asks, because parts could not bear it. */
const held = (l: FunctionLight): boolean =>
  l.group.current !== undefined && l.fullCurrent < 0.9 * l.group.current

/** LED current that the description asks for, or that was chosen: ampere at full level. */
const nominal = (l: FunctionLight): number =>
  l.group.current === undefined || held(l) ? l.fullCurrent : l.group.current

/** Light with all LED currents changed by a factor, against the light now; warmth counted. */
function gain(l: FunctionLight, end: End, factor: number): number {
  const corner = l.corners[end]
  const scaled: CornerState = {
    ...corner,
    ledCurrent: Object.fromEntries(Object.entries(corner.ledCurrent).map(([ref, i]) => [ref, i * factor])),
  }
  const sum = (c: CornerState) => l.ledLight(c, end).reduce((s, x) => s + x.light, 0)
  const now = sum(corner)
  return now > 0 ? sum(scaled) / now : 0
}

/** A tail light may not come nearer to its stop light than one fifth. */
function mostLevel(lamp: Lamp, l: FunctionLight): number {
  const stop = lamp.programme.find((p) => p !== l.line && p.light === l.line.light && p.level > l.line.level)
  return stop ? stop.level / 5.3 : 1
}

/** One in the last of two digits. */
const step = (n: number) => 10 ** (Math.floor(Math.log10(n)) - 1)
