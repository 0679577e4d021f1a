// Chance that 26 LEDs enter, exact and with shared errors, to ±0.1 %.

import type { FacePoint } from "../src/0-ground/geometry/point.ts"
import { entersTogether } from "../src/7-proof/fit/shared-errors.ts"
import { type Entering, entersAll } from "../src/7-proof/fit/yield.ts"

const places = Array.from({ length: 26 }, (_, i) => ({ x: i * 5, y: 8 * Math.sin(i / 8) }) as FacePoint)
const run = (name: string, work: () => string) => {
  for (const n of [1, 2, 3]) {
    const since = performance.now()
    const said = work()
    console.log(
      `${name.padEnd(34)} run ${n} ${(performance.now() - since).toFixed(1).padStart(8)} ms  ${said}`,
    )
  }
}

for (const hole of [5.1, 5.2, 5.3]) {
  const e: Entering = { hole, body: 5, bodyTolerance: 0.1, play: 0.146, sigma: 0.0583 }
  const shared = {
    shift: 0.04,
    rotation: 0.001,
    scale: 0.0005,
    adjust: { shift: 0.05, rotation: 0.00125 },
  }
  run(`exact, each for itself, ${hole} mm`, () => `${(100 * entersAll(e, 26)).toFixed(3)} %`)
  run(`shared shift, turn, scale, ${hole} mm`, () => {
    const t = entersTogether(e, places, shared, 1)
    return `${(100 * t.chance).toFixed(3)} % ± ${(196 * t.error).toFixed(3)} %, ${t.draws} draws`
  })
}
