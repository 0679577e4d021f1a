// Order in which a steady group's LEDs are taken into strings: along a short path through their holes, so that the
// LEDs of one string are neighbours. Swept groups keep their own order.

import { distance } from "../0-ground/geometry/point.ts"
import type { LedPlace } from "../2-lamp/artefact.ts"

export function chainLeds(leds: readonly LedPlace[]): readonly LedPlace[] {
  if (leds.length < 4) return leds
  const left = [...leds]
  // From the leftmost (then lowest) to the nearest not yet taken.
  left.sort((a, b) => a.hole.x - b.hole.x || a.hole.y - b.hole.y || leds.indexOf(a) - leds.indexOf(b))
  const path = [left.shift()!]
  while (left.length > 0) {
    const from = path[path.length - 1]!.hole
    let best = 0
    for (let i = 1; i < left.length; i++) {
      if (distance(from, left[i]!.hole) < distance(from, left[best]!.hole) - 1e-9) best = i
    }
    path.push(...left.splice(best, 1))
  }
  straighten(path)
  return path
}

/** Turns pieces of the path round while that shortens it; bounded. */
function straighten(path: LedPlace[]): void {
  const n = path.length
  const d = (i: number, j: number) => (i < 0 || j >= n ? 0 : distance(path[i]!.hole, path[j]!.hole))
  for (let round = 0; round < 20; round++) {
    let better = false
    for (let i = 0; i < n - 1; i++) {
      for (let j = i + 1; j < n; j++) {
        const was = d(i - 1, i) + d(j, j + 1)
        const would = (i > 0 ? d(i - 1, j) : 0) + (j < n - 1 ? d(i, j + 1) : 0)
        if (would < was - 1e-9) {
          path.splice(i, j - i + 1, ...path.slice(i, j + 1).reverse())
          better = true
        }
      }
    }
    if (!better) return
  }
}
