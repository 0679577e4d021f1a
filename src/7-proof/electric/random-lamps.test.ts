// Random lamps: every corner converges, power balances, and the interval bounds enclose every corner and every lot
// drawn. 60 of them here; LAMPWRIGHT_LAMPS=2000 npx vitest run src/7-proof/electric/random-lamps for all.

import { expect, test } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import { liveSets } from "../../3-drive/corners.ts"
import { designDrive } from "../../3-drive/design-drive.ts"
import { drawLamps } from "../../3-drive/monte-carlo.ts"
import { randomLamp } from "../../3-drive/random-lamps.testing.ts"
import { boundCurrents } from "./bound-currents.ts"
import { checkCurrents, conditions } from "./check-currents.ts"

const lamps = Number(process.env.LAMPWRIGHT_LAMPS ?? 60)
const draws = 24

test(`${lamps} random lamps`, { timeout: 1e7 }, () => {
  let seen = 0
  for (let seed = 1; seed <= lamps; seed++) {
    const lamp = randomLamp(seed)
    const circuit = designDrive(lamp, { lamps: 0, pulses: false })
    expect(circuit.findings.filter((f) => f.code === "drive.not-solved").map((f) => f.title)).toEqual([])
    const told = finish(checkCurrents(lamp, circuit)).findings
    expect(
      told
        .filter((f) => f.code === "proof.current-disagrees" && f.severity !== "green")
        .map((f) => `${seed}: ${f.title} ${f.corner}`),
    ).toEqual([])
    const groupOf = new Map(circuit.channels.map((c) => [c.index, c.group]))
    const bounds = new Map<string, ReturnType<typeof boundCurrents>>()
    const { supply, ambient } = lamp.vehicle
    const report = drawLamps(circuit, lamp, groupOf, liveSets(lamp, []), draws, (draw) => {
      const key = draw.live.join("+")
      const mine =
        bounds.get(key) ??
        boundCurrents(
          circuit,
          conditions(
            lamp,
            draw.live,
            { low: supply.lowest, high: supply.highest },
            { low: ambient.lowest, high: ambient.highest },
          ),
        )
      bounds.set(key, mine)
      for (const s of circuit.strings) {
        const bound = mine.get(s.name)!
        for (const led of s.leds) {
          const i = draw.current(led)
          seen++
          const low = s.channel !== undefined && i < 2e-4 ? 0 : bound.low
          if (!(i >= low - 1e-5 && i <= bound.high + 1e-5))
            expect.fail(`lamp ${seed}, ${led}: ${i} A outside ${low}…${bound.high} A (${key})`)
        }
      }
    })
    expect(report.stuck, `lamp ${seed}`).toBe(0)
    expect(report.powerError, `lamp ${seed}`).toBeLessThan(1e-6)
  }
  expect(seen).toBeGreaterThan(lamps * draws)
})
