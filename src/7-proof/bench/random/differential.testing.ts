// A random lamp and a random story: what its image does on the emulated chip against what its description promises.

import fc from "fast-check"
import { expect, test } from "vitest"
import { finish } from "../../../0-ground/progress.ts"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import type { Behaviour } from "../../../4-behaviour/artefact.ts"
import { resetFlag } from "../chip/registers.ts"
import { type Comparison, compareWithModel } from "../compare.ts"
import type { Made } from "../lamp-on-bench.ts"
import type { BenchRun } from "../run-bench.ts"
import { startBench } from "../start-bench.ts"
import type { Stimulus } from "../wires.ts"
import { watchChip } from "./chip-contract.testing.ts"
import { holdLimits, type LimitsKept } from "./limits.testing.ts"
import { makePlan, orderedHoles } from "./made-lamp.testing.ts"
import { type Case, caseOf, stimulusOf } from "./plans.testing.ts"

export interface Outcome {
  readonly made: Made
  readonly run: BenchRun
  readonly comparison: Comparison
  readonly seconds: number
  readonly limits: LimitsKept
  /** What went wrong, in words; empty: nothing. */
  readonly faults: readonly string[]
}

/** `spoil` changes the image, `wrong` what it is made from, `misread` what the model reads: to see that it is noticed. */
export const tryCase = (
  of: Case,
  spoil?: (image: Uint8Array) => Uint8Array,
  wrong?: (b: Behaviour) => Behaviour,
  misread?: (lamp: Lamp) => Lamp,
): Outcome => tryMade(makePlan(of.plan, wrong), stimulusOf(of), spoil, { misread })

/** With `hasty` the run ends where the chip first breaks what is promised of it. */
export function tryMade(
  made: Made,
  { stimulus, seconds }: { stimulus: Stimulus; seconds: number },
  spoil?: (image: Uint8Array) => Uint8Array,
  {
    misread = (lamp) => lamp,
    hasty = false,
    before,
  }: {
    readonly misread?: ((lamp: Lamp) => Lamp) | undefined
    readonly hasty?: boolean | undefined
    readonly before?: (run: BenchRun) => void
  } = {},
): Outcome {
  const { controller } = startBench(made)
  if (!controller || controller.unreadable !== undefined) throw Error("no image to run")
  const run = controller.run(stimulus, spoil?.(controller.image.bytes.slice()))
  before?.(run)
  const watch = watchChip(
    run,
    made.behaviour.inputs.map((i) => i.wire),
  )
  const resets = stimulus.resets?.length ?? 0
  const spoilt = () => watch.broken() || run.chip.resets.length > resets + 1
  if (hasty) for (let t = 0.05; t < seconds && !spoilt() && run.advance(t); t += 0.05);
  if (!hasty || !spoilt()) run.advance(seconds)
  const comparison = finish(compareWithModel(misread(made.lamp), run, watch.told))
  const limits = holdLimits(made, run)
  const faults = [...faultsOf(run, comparison, resets), ...limits.broken, ...watch.faults()]
  return { made, run, comparison, seconds, limits, faults }
}

export function faultsOf(run: BenchRun, comparison: Comparison, resets: number): string[] {
  const { core } = run.chip
  const out: string[] = []
  if (core.fault) out.push(`stops at 0x${core.fault.address.toString(16)}: ${core.fault.reason}`)
  if (comparison.mismatches > 0)
    out.push(`${comparison.mismatches} frames differ: ${JSON.stringify(comparison.first)}`)
  if (run.chip.resets.length !== resets + 1) out.push(`${run.chip.resets.length - 1 - resets} resets`)
  // Places in RAM from firmware/TABLE.md.
  const vital = (at: number) => core.data[core.ram.start + at]!
  if ((vital(0) | (vital(1) << 8)) !== 0) out.push("overruns")
  if (vital(4) !== 1) out.push(`serves from ${vital(4)}`)
  const last = run.chip.resets.at(-1)!.cause
  if (vital(5) !== resetFlag[last]) out.push(`reset cause ${vital(5)} after ${last}`)
  const work = vital(2) | (vital(3) << 8)
  if (work === 0 || 8 * work > 13_650) out.push(`work ends after ${8 * work} cycles`)
  const spare = core.ram.end > 0x400 ? 512 : 32
  if (core.lowestSp - core.highestStatic < spare) out.push("the stack comes near the variables")
  return out
}

/** Seeds of the suite's halves; `LAMPWRIGHT_RANDOM_LAMPS` asks for another number of lamps than 500 in all. */
const seeds = [20261, 20262] as const
export const lampsAsked = Number(process.env.LAMPWRIGHT_RANDOM_LAMPS ?? 500)

/** One half of the suite. A failing case is made as small as it goes before it is shown. */
export function differentialSuite(half: 0 | 1): void {
  const numRuns = Math.ceil(lampsAsked / 2)
  test(`${numRuns} random lamps under random stimuli show the light they describe (seed ${seeds[half]})`, () => {
    let tried = 0
    let emulated = 0
    let compared = 0
    const held = { lit: 0, full: 0, dark: 0, sweeps: 0 }
    fc.assert(
      fc.property(caseOf, (of) => {
        const { made, comparison, seconds, limits, faults } = tryCase(of)
        expect(faults).toEqual([])
        made.lamp.groups.forEach((g, i) => {
          expect(g.leds.map((l) => Math.round(l.hole.x))).toEqual(orderedHoles(of.plan, i))
        })
        tried++
        emulated += seconds
        compared += comparison.compared
        for (const key of ["lit", "full", "dark", "sweeps"] as const) held[key] += limits[key]
      }),
      { numRuns, seed: seeds[half] },
    )
    console.log(
      `${tried} random lamps, ${emulated.toFixed(0)} s emulated, ${(compared / 1e6).toFixed(1)} million frames of outputs compared, 0 differ; ${held.lit} instants lit in time, ${held.full} at their level, ${held.dark} dark, ${held.sweeps} sweeps over in time`,
    )
    expect(compared / tried).toBeGreaterThan(10_000)
    expect(held.lit / tried).toBeGreaterThan(100)
    expect(held.full / tried).toBeGreaterThan(50)
    expect(held.dark / tried).toBeGreaterThan(100)
    expect(held.sweeps / tried).toBeGreaterThan(0.05)
  }, 3_600_000)
}
