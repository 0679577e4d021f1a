// Way in for the proof: the firmware's very bytes run on the emulated controller, wires do what vehicles do, and
// every claim about the light is judged with its margin.

import type { Figure } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import type { Work } from "../../0-ground/progress.ts"
import type { LightTrace } from "../artefact.ts"
import { tell } from "../told.ts"
import { bench as report } from "./bench-findings.ts"
import { compareWithModel } from "./compare.ts"
import { defaultStimulus, demonstrationSeconds, demonstrationStep } from "./default-stimulus.ts"
import { darkWhileLive, judgeLight, wrongWire } from "./judge-light.ts"
import { coverage, judgeFuses, judgeProgram } from "./judge-program.ts"
import { judgeEmptyChip, judgeTrials } from "./judge-trials.ts"
import type { Made } from "./lamp-on-bench.ts"
import { lightTrace } from "./light-trace.ts"
import { measureFlashes } from "./measure-flashes.ts"
import type { BenchRun } from "./run-bench.ts"
import { scenarios } from "./scenarios.ts"
import type { Seen } from "./seen.ts"
import { startBench, watchdogFast } from "./start-bench.ts"
import { damageTables, tryEmptyChip, tryHangs, tryResets } from "./try-damage.ts"
import { channelLight } from "./watch-outputs.ts"

export interface BenchProof {
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
  /** The demonstration, for playing. */
  readonly trace: LightTrace
}

/** Emulated seconds between two looks at whether to go on. */
const slice = 0.25

export function* proveBench(made: Made): Work<BenchProof> {
  const { lamp } = made
  const { bench, controller } = startBench(made)
  const findings: Finding[] = []
  const where = { text: "the controller", part: made.circuit.controller ?? "controller" }
  for (const fault of bench.faults)
    findings.push(report.state("not-connected", { severity: "red", title: fault, where }))
  const demonstration = defaultStimulus(lamp)
  const still = () =>
    lightTrace(made, bench, undefined, demonstration, demonstrationSeconds, demonstrationStep)
  if (!controller) return { findings, figures: [], trace: still() }
  if (controller.unreadable !== undefined) {
    const title = `The firmware file cannot be read: ${controller.unreadable}`
    findings.push(report.state("image-unreadable", { severity: "red", title, where }))
    return { findings, figures: [], trace: still() }
  }
  findings.push(...judgeFuses(controller, where))

  const seen: Seen[] = []
  const list = scenarios(
    made,
    bench.inputs.map((i) => i.wire),
  )
  const total = list.reduce((sum, s) => sum + s.seconds, 0)
  let done = 0
  let trace: LightTrace | undefined
  for (const scenario of list) {
    const run = controller.run(scenario.stimulus, undefined, watchdogFast)
    for (let t = 0; t < scenario.seconds; t += slice) {
      yield { stage: "bench", done: (0.8 * (done + t)) / total, note: scenario.name }
      run.advance(Math.min(scenario.seconds, t + slice))
    }
    done += scenario.seconds
    const comparison = yield* progressAt((0.8 * done) / total, compareWithModel(lamp, run))
    const light = channelLight(run)
    const pause = { stage: "bench", done: (0.8 * done) / total, note: scenario.name }
    yield pause
    const flashes = measureFlashes(lamp, run, light, scenario.name)
    yield pause
    seen.push({
      scenario,
      run,
      flashes,
      comparison,
      wrong: wrongWire(made, run),
      dark: darkWhileLive(made, run, light),
    })
    trace ??= lightTrace(made, bench, run, scenario.stimulus, scenario.seconds, demonstrationStep, light)
    if (run.chip.core.fault) break
  }
  const figures: Figure[] = []
  findings.push(...judgeProgram(seen, where, figures))
  findings.push(...judgeLight(made, seen, figures))
  if (!seen.some((s) => s.run.chip.core.fault)) {
    const union = (of: (r: BenchRun) => Uint8Array) => {
      const out = of(seen[0]!.run).slice()
      for (const { run } of seen) {
        const more = of(run)
        for (let i = 0; i < out.length; i++) out[i]! |= more[i]!
      }
      return out
    }
    const executed = union((r) => r.chip.core.executed)
    const read = union((r) => r.chip.core.flashRead)
    const damage = yield* progressAt(0.85, damageTables(lamp, controller, read, executed))
    const hangs = yield* progressAt(0.92, tryHangs(lamp, controller))
    const resets = yield* progressAt(0.96, tryResets(lamp, controller))
    tell(
      { findings, figures },
      judgeTrials("damaged-table", damage, 0.02, "With its table damaged"),
      judgeTrials("after-hang", hangs, 0.025, "After a hang"),
      judgeTrials("after-reset", resets, 0.02, "After a reset in mid-flash"),
    )
    findings.push(judgeEmptyChip(tryEmptyChip(lamp, controller)))
    figures.push(coverage(controller, executed))
  }
  return { findings, figures, trace: trace ?? still() }
}

/** Runs a step of the work, all of whose progress stands at one place of the whole. */
function* progressAt<T>(done: number, work: Work<T>): Work<T> {
  for (;;) {
    const step = work.next()
    if (step.done) return step.value
    yield { ...step.value, done }
  }
}
