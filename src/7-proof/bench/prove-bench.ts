// Way in for the proof: the firmware's very bytes run on the emulated controller, wires do what vehicles do, and
// every claim about the light is judged with its margin.

import { type Figure, fact, result } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import type { Work } from "../../0-ground/progress.ts"
import type { Source } from "../../0-ground/source.ts"
import type { LightTrace } from "../artefact.ts"
import { bench as report } from "./bench-findings.ts"
import { type Comparison, compareWithModel } from "./compare.ts"
import { defaultStimulus, demonstrationSeconds } from "./default-stimulus.ts"
import type { Made } from "./lamp-on-bench.ts"
import { lightTrace } from "./light-trace.ts"
import { type Flash, lineSpans, longestDark, measureFlashes } from "./measure-flashes.ts"
import type { BenchRun } from "./run-bench.ts"
import { type Scenario, scenarios } from "./scenarios.ts"
import { type BenchController, startBench, watchdogFast } from "./start-bench.ts"
import { damageTables, type Trial, tryEmptyChip, tryHangs, tryResets } from "./try-damage.ts"
import { channelLight } from "./watch-outputs.ts"

export interface BenchProof {
  readonly findings: readonly Finding[]
  readonly figures: readonly Figure[]
  /** The demonstration, for playing. */
  readonly trace: LightTrace
}

/** Seconds between the trace's samples. */
const traceStep = 0.004
/** Emulated seconds between two looks at whether to go on. */
const slice = 0.25
/** The ceramic resonator and its load may be this much slow. */
const clockSlow = 1.005

const emulated: Source = {
  document: "virtual bench: the firmware file on the emulated controller",
  known: "computed",
}

/** What one scenario showed. */
interface Seen {
  readonly scenario: Scenario
  readonly run: BenchRun
  readonly flashes: readonly Flash[]
  readonly comparison: Comparison
  readonly wrong: { readonly frames: number; readonly where?: string }
  readonly dark: number
}

export function* proveBench(made: Made): Work<BenchProof> {
  const { lamp } = made
  const { bench, controller } = startBench(made)
  const findings: Finding[] = []
  const where = { text: "the controller", part: made.circuit.controller ?? "controller" }
  for (const fault of bench.faults)
    findings.push(report.state("not-connected", { severity: "red", title: fault, where }))
  const demonstration = defaultStimulus(lamp)
  const still = () => lightTrace(made, bench, undefined, demonstration, demonstrationSeconds, traceStep)
  if (!controller) return { findings, figures: [], trace: still() }
  if (controller.unreadable !== undefined) {
    const title = `The firmware file cannot be read: ${controller.unreadable}`
    findings.push(report.state("image-unreadable", { severity: "red", title, where }))
    return { findings, figures: [], trace: still() }
  }
  findings.push(...judgeFuses(controller, where))

  const seen: Seen[] = []
  const list = scenarios(
    lamp,
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
    trace ??= lightTrace(made, bench, run, scenario.stimulus, scenario.seconds, traceStep, light)
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
    findings.push(...judgeTrials("damaged-table", damage, 0.02, "With its table damaged"))
    findings.push(...judgeTrials("after-hang", hangs, 0.025, "After a hang"))
    findings.push(...judgeTrials("after-reset", resets, 0.02, "After a reset in mid-flash"))
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

function judgeFuses(controller: BenchController, where: Finding["where"]): Finding[] {
  const { faults, options, brownOut } = controller.fuses
  const wrong = faults.map((title) =>
    report.state("fuses", { severity: "red", title: `Fuses: ${title}`, where }),
  )
  if (!options.watchdogAlwaysOn)
    wrong.push(
      report.state("fuses", {
        severity: "amber",
        title: "The watchdog is not always on: a program that never starts it can hang for good",
        where,
      }),
    )
  if (brownOut === undefined || (controller.clockHz > 10e6 && brownOut < 4))
    wrong.push(
      report.state("fuses", {
        severity: "red",
        title: `The brown-out level (${brownOut ?? "off"} V) does not protect a ${controller.clockHz / 1e6} MHz program`,
        where,
      }),
    )
  if (wrong.length > 0) return wrong
  const title = "Fuses give the clock, start-up, watchdog and brown-out the program needs"
  return [report.state("fuses", { severity: "green", title, where })]
}

function judgeProgram(seen: readonly Seen[], where: Finding["where"], figures: Figure[]): Finding[] {
  const out: Finding[] = []
  const fault = seen.map((s) => s.run.chip.core.fault).find((f) => f)
  const running = seen.reduce((sum, s) => sum + s.scenario.seconds, 0)
  const faultTitle = fault
    ? `The program stops at address 0x${fault.address.toString(16)}: ${fault.reason}`
    : `The program ran ${running.toFixed(1)} s on the bench without leaving what the chip defines`
  out.push(report.state("program-fault", { severity: fault ? "red" : "green", title: faultTitle, where }))

  const bites = seen.reduce((sum, s) => sum + s.run.chip.resets.length - 1, 0)
  out.push(
    report.judge("resets", {
      title: `${bites} unwanted resets in ${running.toFixed(1)} s`,
      where,
      measured: { value: bites, unit: "" },
      limit: { value: 0, unit: "", kind: "exactly" },
    }),
  )
  const vital = (at: number) =>
    Math.max(...seen.map((s) => s.run.chip.core.data[at]! | (s.run.chip.core.data[at + 1]! << 8)))
  // RAM addresses from firmware/TABLE.md, "RAM that may be read from outside".
  const overruns = vital(0x100)
  out.push(
    report.judge("overruns", {
      title: `${overruns} milliseconds whose work came late`,
      where,
      measured: { value: overruns, unit: "" },
      limit: { value: 0, unit: "", kind: "exactly" },
    }),
  )
  const serving = Math.max(...seen.map((s) => s.run.chip.core.data[0x104]!))
  const serves =
    ["nothing", "its table", "the copy of its table", "the safe map"][serving] ?? "something unknown"
  out.push(
    report.state("table-intact", {
      severity: serving === 1 ? "green" : serving === 2 ? "amber" : "red",
      title: `The program serves from ${serves}`,
      where,
    }),
  )
  const latest = (vital(0x102) * 8) / 16000
  figures.push(fact("bench.tick-work", "longest work of a millisecond", 100 * latest, "%", emulated))
  out.push(
    report.judge("tick-work", {
      title: "Longest work within a millisecond, seen on the bench",
      where,
      measured: { value: 100 * latest, unit: "%" },
      // Later than 13 650 of 16 000 cycles and the light comes a millisecond late (firmware/TABLE.md).
      limit: { value: (100 * 13650) / 16000, unit: "%", kind: "at most" },
      figure: "bench.tick-work",
    }),
  )
  out.push(...judgeLooks(seen, where, figures), ...judgeFrames(seen, where, figures))
  const stack = Math.min(...seen.map((s) => s.run.chip.core.lowestSp - s.run.chip.core.highestStatic))
  figures.push(
    fact("bench.stack-margin", "bytes between variables and deepest stack", stack, "byte", emulated),
  )
  out.push(
    report.judge("stack-margin", {
      title: "Room left between variables and stack",
      where,
      measured: { value: stack, unit: "byte" },
      limit: { value: 128, unit: "byte", kind: "at least" },
      figure: "bench.stack-margin",
    }),
  )
  return out
}

function judgeLooks(seen: readonly Seen[], where: Finding["where"], figures: Figure[]): Finding[] {
  let longest = 0
  for (const { run } of seen)
    for (let k = 2; k < run.looks.length; k++)
      longest = Math.max(longest, run.looks[k]!.cycle - run.looks[k - 1]!.cycle)
  if (longest === 0) return []
  const ms = (1000 * longest * clockSlow) / seen[0]!.run.clockHz
  figures.push(fact("bench.look-interval", "longest time between two looks at the wires", ms, "ms", emulated))
  return [
    report.judge("look-interval", {
      title: "Longest time between two looks at the wires",
      where,
      measured: { value: ms, unit: "ms" },
      limit: { value: 1.1, unit: "ms", kind: "at most" },
      corner: "clock 0.5 % slow",
      figure: "bench.look-interval",
    }),
  ]
}

function judgeFrames(seen: readonly Seen[], where: Finding["where"], figures: Figure[]): Finding[] {
  let cycles = 0
  let frames = 0
  for (const { run } of seen)
    for (let f = 1; f < run.frames; f++)
      if (run.timed[f] && run.timed[f + 1]) {
        cycles += run.frameStart[f + 1]! - run.frameStart[f]!
        frames++
      }
  if (frames === 0) return []
  const hz = (frames * seen[0]!.run.clockHz) / cycles / clockSlow
  figures.push(fact("bench.dimming-frequency", "frames of light per second", hz, "Hz", emulated))
  return [
    report.judge("dimming-frequency", {
      title: "Dimming frequency",
      where,
      measured: { value: hz, unit: "Hz" },
      limit: { value: 1250, unit: "Hz", kind: "at least" },
      atWorst: "amber",
      corner: "clock 0.5 % slow",
      figure: "bench.dimming-frequency",
    }),
  ]
}

function judgeLight(made: Made, seen: readonly Seen[], figures: Figure[]): Finding[] {
  const out: Finding[] = []
  const mismatches = seen.reduce((sum, s) => sum + s.comparison.mismatches, 0)
  const compared = seen.reduce((sum, s) => sum + s.comparison.compared, 0)
  const first = seen.find((s) => s.comparison.first)
  const at = first?.comparison.first
  const channel = at && first.run.bench.channels[at.channel]
  const share = (x: number) => `${(100 * x).toFixed(1)} %`
  figures.push(
    fact("bench.frames-compared", "frames of outputs compared with the model", compared, "", emulated),
  )
  out.push(
    report.judge("follows-model", {
      title:
        at && channel
          ? `${channel.leds.join(", ")} shows ${share(at.duty)} where ${share(at.low)} to ${share(at.high)} are described, ${at.seconds.toFixed(4)} s into "${first.scenario.name}"`
          : `All ${compared} frames of light are as described`,
      where: channel
        ? { text: channel.leds.join(", "), group: channel.group }
        : { text: "all switched LEDs" },
      measured: { value: mismatches, unit: "" },
      limit: { value: 0, unit: "", kind: "exactly" },
      ...(first ? { corner: first.scenario.name } : {}),
      figure: "bench.frames-compared",
    }),
  )
  const wrong = seen.filter((s) => s.wrong.frames > 0)
  out.push(
    report.judge("wrong-wire", {
      title: wrong[0]?.wrong.where
        ? `${wrong[0].wrong.where} is switched on although none of its wires is live`
        : "No output is on without its wire",
      where: { text: wrong[0]?.wrong.where ?? "all switched LEDs" },
      measured: { value: wrong.reduce((sum, s) => sum + s.wrong.frames, 0), unit: "" },
      limit: { value: 0, unit: "", kind: "exactly" },
      ...(wrong[0] ? { corner: wrong[0].scenario.name } : {}),
    }),
  )
  const darkest = seen.reduce<Seen | undefined>((a, b) => (a && a.dark >= b.dark ? a : b), undefined)
  if (darkest)
    out.push(
      report.judge("steady-light", {
        title: "Longest dark time of a group while its wire is live",
        where: { text: "all switched LEDs" },
        measured: { value: 1000 * darkest.dark, unit: "ms" },
        limit: { value: 20, unit: "ms", kind: "at most" },
        corner: darkest.scenario.name,
      }),
    )
  for (const group of made.lamp.groups) {
    const flashes = seen.flatMap((s) =>
      s.flashes.filter((f) => f.group === group.name).map((flash) => ({ flash, clean: s.scenario.clean })),
    )
    out.push(...judgeGroup(group.name, flashes, figures))
  }
  return out
}

function judgeGroup(
  group: string,
  all: readonly { readonly flash: Flash; readonly clean: boolean }[],
  figures: Figure[],
): Finding[] {
  if (all.length === 0) return []
  const out: Finding[] = []
  const where = { text: `group ${group}`, group, path: `groups.${group}` }
  const worst = (list: readonly Flash[], of: (f: Flash) => number) =>
    list.reduce((a, b) => (of(b) > of(a) ? b : a))
  const figure = (name: string, title: string, ms: number, from: readonly Flash[]) => {
    const id = `bench.${group}.${name}`
    const count = fact(`${id}.flashes`, "flashes measured", from.length, "", emulated)
    figures.push(result(id, title, ms, "ms", "worst of all flashes measured", [count]))
    return id
  }
  const flashes = all.map((f) => f.flash)
  const light = (f: Flash) => 1000 * (f.firstLight ?? f.fall - f.rise)
  const slow = worst(flashes, light)
  out.push(
    report.judge("first-light", {
      title: `First light of ${group} after its wire goes live`,
      where,
      measured: { value: light(slow), unit: "ms" },
      limit: { value: 20, unit: "ms", kind: "at most" },
      corner: slow.scenario,
      figure: figure("first-light", "wire live to first light", light(slow), flashes),
    }),
  )
  const glow = worst(flashes, (f) => f.afterglow)
  out.push(
    report.judge("dark-after-fall", {
      title: `Light of ${group} left after its wire went dead`,
      where,
      measured: { value: 1000 * glow.afterglow, unit: "ms" },
      limit: { value: Math.max(30, 1000 * glow.line.fall + 15), unit: "ms", kind: "at most" },
      corner: glow.scenario,
    }),
  )
  // Shorter flashes are no flashes to the lamp; they only have to give light.
  const clean = all.filter((f) => f.clean && f.flash.fall - f.flash.rise >= 0.1).map((f) => f.flash)
  if (clean.length > 0) out.push(...judgeSweep(group, clean, where, figure))
  return out
}

function judgeSweep(
  group: string,
  clean: readonly Flash[],
  where: Finding["where"],
  figure: (name: string, title: string, ms: number, from: readonly Flash[]) => string,
): Finding[] {
  const out: Finding[] = []
  const count = (code: "sweep-order" | "stays-lit", title: string, of: (f: Flash) => number) => {
    const bad = clean.find((f) => of(f) > 0)
    out.push(
      report.judge(code, {
        title,
        where,
        measured: { value: clean.reduce((sum, f) => sum + of(f), 0), unit: "" },
        limit: { value: 0, unit: "", kind: "exactly" },
        ...(bad ? { corner: bad.scenario } : {}),
      }),
    )
  }
  count("stays-lit", `LEDs of ${group} that get darker before their wire falls`, (f) => f.darker)
  const sweeps = clean.filter((f) => f.line.sweep)
  const spare = (f: Flash) => f.spare ?? Number.NEGATIVE_INFINITY
  const tight = clean.reduce((a, b) => (spare(b) < spare(a) ? b : a))
  const left = 1000 * (tight.spare ?? -(tight.fall - tight.rise))
  out.push(
    report.judge("full-before-fall", {
      title:
        tight.spare === undefined
          ? `Not every LED of ${group} becomes full before the wire falls`
          : `Time the last LED of ${group} is full before the wire falls`,
      where,
      measured: { value: left, unit: "ms" },
      limit: { value: 0, unit: "ms", kind: "at least" },
      corner: tight.scenario,
      figure: figure("full-before-fall", "last LED full before the wire falls", left, clean),
    }),
  )
  if (sweeps.length === 0) return out
  count("sweep-order", `LEDs of ${group} that begin out of order`, (f) => f.disorder)
  const took = (f: Flash) => 1000 * (f.complete ?? f.fall - f.rise) * clockSlow
  const long = sweeps.reduce((a, b) => (took(b) > took(a) ? b : a))
  const id = figure("sweep-time", "first light to last LED full, clock 0.5 % slow", took(long), sweeps)
  const within = 1000 * long.line.sweep!.within
  const measured = { value: took(long), unit: "ms" }
  out.push(
    report.judge("sweep-time", {
      title: `Sweep of ${group}, first light to last LED full`,
      where,
      measured,
      // A look either way and the clock's 0.5 % belong to the time as described.
      limit: { value: within * clockSlow + 2, unit: "ms", kind: "at most" },
      amberBelow: 0,
      corner: `${long.scenario}; clock 0.5 % slow`,
      figure: id,
    }),
    report.judge("sweep-rule", {
      title: `Sweep of ${group} against the rule for sweeping indicators`,
      where,
      measured,
      limit: { value: 200, unit: "ms", kind: "at most" },
      atWorst: "amber",
      corner: `${long.scenario}; clock 0.5 % slow`,
      figure: id,
    }),
  )
  return out
}

function judgeTrials(
  code: "damaged-table" | "after-hang" | "after-reset",
  trials: readonly Trial[],
  limit: number,
  title: string,
): Finding[] {
  if (trials.length === 0) return []
  const worst = trials.reduce((a, b) => (b.dark > a.dark ? b : a))
  return [
    report.judge(code, {
      title: `${title}: longest dark time while the wire is live (${new Set(trials.map((t) => t.what)).size} trials)`,
      where: { text: `group ${worst.group}`, group: worst.group },
      measured: { value: 1000 * worst.dark, unit: "ms" },
      limit: { value: 1000 * limit, unit: "ms", kind: "at most" },
      corner: worst.what,
    }),
  ]
}

function judgeEmptyChip(dark: readonly string[]): Finding {
  return report.judge("dead-controller", {
    title:
      dark.length > 0
        ? `Dark with an empty controller: ${dark.join(", ")}`
        : "With an empty controller every LED lights when its wire is live",
    where: { text: dark[0] ?? "all switched LEDs" },
    measured: { value: dark.length, unit: "" },
    limit: { value: 0, unit: "", kind: "exactly" },
  })
}

function coverage(controller: BenchController, executed: Uint8Array): Figure {
  const code = controller.image.runs[0]!
  let words = 0
  let hit = 0
  for (let at = code.from >> 1; at < (code.from + code.length) >> 1; at++) {
    words++
    hit += executed[at]!
  }
  return fact("bench.coverage", "program words executed in the scenarios", (100 * hit) / words, "%", emulated)
}

/** Frames in which an output is on although no wire of its group was live shortly before. */
function wrongWire({ lamp }: Made, run: BenchRun): Seen["wrong"] {
  const { channels, inputs } = run.bench
  const delay = Math.max(0, ...inputs.map((i) => i.fallDelay))
  let frames = 0
  let where: string | undefined
  for (const group of lamp.groups) {
    const own = [...channels.keys()].filter((c) => channels[c]!.group === group.name)
    const lines = lamp.programme.filter((l) => l.light === group.name)
    if (own.length === 0) continue
    // Longest release filter, a look, a millisecond to show, and the fall.
    const after = delay + 0.013 + Math.max(0, ...lines.map((l) => l.fall))
    const spans = lines.flatMap((l) => lineSpans(l, run)).sort((a, b) => a[0] - b[0])
    let next = 0
    let until = 0
    for (let f = 1; f < run.frames; f++) {
      const start = run.frameStart[f]! / run.clockHz
      while (next < spans.length && spans[next]![0] <= run.frameStart[f + 1]! / run.clockHz)
        until = Math.max(until, spans[next++]![1] + after)
      // Pins float until the program drives them.
      if (start < until || !run.timed[f]) continue
      for (const c of own) {
        if (run.duty(f, c) < 0.005) continue
        frames++
        where ??= channels[c]!.leds.join(", ")
      }
    }
  }
  return { frames, ...(where === undefined ? {} : { where }) }
}

/** Longest dark time of any group while a line of its own has all its wires live. */
function darkWhileLive({ lamp }: Made, run: BenchRun, light: Float32Array): number {
  const { channels } = run.bench
  let longest = 0
  for (const group of lamp.groups) {
    const own = [...channels.keys()].filter((c) => channels[c]!.group === group.name)
    const lines = lamp.programme.filter((l) => l.light === group.name)
    const flashes = (l: (typeof lines)[number]) =>
      l.when.some((w) => lamp.vehicle.wires.find((v) => v.name === w)?.role === "flashing")
    // Steady lines of a group that also flashes are held dark between flashes on purpose.
    const held = lines.some(flashes) ? lines.filter(flashes) : lines
    for (const line of held) {
      const spans = lineSpans(line, run).filter(([a, b]) => b - a > 0.02)
      if (own.length > 0) longest = Math.max(longest, longestDark(run, light, own, spans))
    }
  }
  return longest
}
