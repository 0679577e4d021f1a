// Random lamps of every way to drive a group: every corner converges, power balances, and the interval bounds enclose
// every corner and every lot drawn. 2,000 of them, in four files so that both cores have some. One in ten is judged
// as well, so that nothing in the judging falls over a lamp it did not expect.

import { expect } from "vitest"
import { finish } from "../../0-ground/progress.ts"
import { liveSets } from "../../3-drive/corners.ts"
import { designDrive } from "../../3-drive/design-drive.ts"
import { drawLamps } from "../../3-drive/monte-carlo.ts"
import { ways } from "../../3-drive/pinned.ts"
import { randomLamp } from "../../3-drive/random-lamps.testing.ts"
import { boundCurrents } from "./bound-currents.ts"
import { checkCurrents, conditions } from "./check-currents.ts"

const draws = 16

/** Every lamp from one seed to another; what is not as it must be fails. */
export function lookAtLamps(first: number, last: number): void {
  let seen = 0
  const met = { ways: new Set<string | undefined>(), groups: new Set<number>(), fewest: 99, most: 0 }
  for (let seed = first; seed <= last; seed++) {
    const lamp = randomLamp(seed)
    const circuit = designDrive(lamp, { lamps: 0, pulses: seed % 100 === 0, judged: seed % 10 === 0 })
    expect(circuit.findings.filter((f) => f.code === "drive.not-solved").map((f) => f.title)).toEqual([])
    const told = finish(checkCurrents(lamp, circuit)).findings
    expect(
      told
        .filter((f) => f.code === "proof.current-disagrees" && f.severity !== "green")
        .map((f) => `${seed}: ${f.title} ${f.corner}`),
    ).toEqual([])
    for (const d of circuit.drives) met.ways.add(d.way)
    met.groups.add(lamp.groups.length)
    const leds = lamp.groups.reduce((n, g) => n + g.leds.length, 0)
    met.fewest = Math.min(met.fewest, leds)
    met.most = Math.max(met.most, leds)
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
  expect(seen).toBeGreaterThan((last - first + 1) * draws)
  // Every 500 of them hold the whole mix.
  expect([...met.ways].sort()).toEqual([...ways].sort())
  expect([...met.groups].sort()).toEqual([1, 2, 3, 4, 5])
  expect(met.fewest).toBe(2)
  expect(met.most).toBeGreaterThan(54)
}
