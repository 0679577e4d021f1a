// What a photometer at a finite distance makes of a lamp: every LED is seen from its own place, under its own angle and
// at its own distance.

import type { FunctionLight, LedShare } from "./function-light.ts"

const rad = Math.PI / 180

/**
 * Candela as told from the illuminance at a photometer `distance` metres from the middle of the group's LEDs in the
 * direction (h, v), facing that middle: E · d² with E = Σ I(direction from the LED) · cos ÷ r².
 */
export function asMeasured(
  l: FunctionLight,
  lights: readonly LedShare[],
  distance: number,
  h: number,
  v: number,
): number {
  const { leds } = l.group
  const far = 1000 * distance
  const n = Math.max(1, leds.length)
  const middle = {
    x: leds.reduce((s, p) => s + p.hole.x, 0) / n,
    y: leds.reduce((s, p) => s + p.hole.y, 0) / n,
  }
  const axis = [
    Math.sin(h * rad) * Math.cos(v * rad),
    Math.sin(v * rad),
    Math.cos(h * rad) * Math.cos(v * rad),
  ]
  const own = new Map(lights.map((x) => [x.ref, x.light]))
  const kind = new Map(l.kinds.flatMap((k) => k.refs.map((ref) => [ref, k] as const)))
  let sum = 0
  for (const { ref, hole } of leds) {
    const x = far * axis[0]! - (hole.x - middle.x)
    const y = far * axis[1]! - (hole.y - middle.y)
    const z = far * axis[2]!
    const r = Math.hypot(x, y, z)
    const cosine = (x * axis[0]! + y * axis[1]! + z * axis[2]!) / r
    const share = kind.get(ref)!.share(Math.atan2(x, z) / rad, Math.asin(y / r) / rad)
    sum += ((own.get(ref) ?? 0) * share * cosine) / (r * r)
  }
  return sum * far * far
}
