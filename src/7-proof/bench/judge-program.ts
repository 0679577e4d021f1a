// Claims about the program as a program: fuses, faults, resets, work in time, looks, dimming, stack.

import { type Figure, fact, measuredBy, result } from "../../0-ground/figure.ts"
import type { Finding } from "../../0-ground/finding.ts"
import { bench as report } from "./bench-findings.ts"
import { emulated, type Seen, slowClock } from "./seen.ts"
import type { BenchController } from "./start-bench.ts"

export function judgeFuses(controller: BenchController, where: Finding["where"]): Finding[] {
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

export function judgeProgram(seen: readonly Seen[], where: Finding["where"], figures: Figure[]): Finding[] {
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
    Math.max(
      ...seen.map(({ run: { chip } }) => {
        const { data, ram } = chip.core
        return data[ram.start + at]! | (data[ram.start + at + 1]! << 8)
      }),
    )
  // Places in RAM from firmware/TABLE.md, "RAM that may be read from outside".
  const overruns = vital(0)
  out.push(
    report.judge("overruns", {
      title: `${overruns} milliseconds whose work came late`,
      where,
      measured: { value: overruns, unit: "" },
      limit: { value: 0, unit: "", kind: "exactly" },
    }),
  )
  const serving = Math.max(...seen.map(({ run: { chip } }) => chip.core.data[chip.core.ram.start + 4]!))
  const serves =
    ["nothing", "its table", "the copy of its table", "the safe map"][serving] ?? "something unknown"
  out.push(
    report.state("table-intact", {
      severity: serving === 1 ? "green" : serving === 2 ? "amber" : "red",
      title: `The program serves from ${serves}`,
      where,
    }),
  )
  const latest = (vital(2) * 8) / 16000
  const work = fact("bench.tick-work", "longest work of a millisecond", 100 * latest, "%", emulated)
  figures.push(work)
  out.push(
    report.judge("tick-work", {
      title: "Longest work within a millisecond, seen on the bench",
      where,
      ...measuredBy(work),
      // Later than 13 650 of 16 000 cycles and the light comes a millisecond late (firmware/TABLE.md).
      limit: { value: (100 * 13650) / 16000, unit: "%", kind: "at most" },
    }),
  )
  out.push(...judgeLooks(seen, where, figures), ...judgeFrames(seen, where, figures))
  const stack = Math.min(...seen.map((s) => s.run.chip.core.lowestSp - s.run.chip.core.highestStatic))
  const room = fact(
    "bench.stack-margin",
    "bytes between variables and deepest stack",
    stack,
    "byte",
    emulated,
  )
  figures.push(room)
  // A small chip's interrupts and calls need no more than a large one's; its RAM allows less to spare.
  const ram = seen[0]!.run.chip.core.ram
  const least = ram.end - ram.start > 1024 ? 128 : 32
  out.push(
    report.judge("stack-margin", {
      title: "Room left between variables and stack",
      where,
      ...measuredBy(room),
      limit: { value: least, unit: "byte", kind: "at least" },
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
  const shown = fact(
    "bench.look-interval.seen",
    "longest time between two looks at the wires, seen",
    (1000 * longest) / seen[0]!.run.clockHz,
    "ms",
    emulated,
  )
  const interval = result(
    "bench.look-interval",
    "longest time between two looks at the wires, clock 0.5 % slow",
    shown.value * slowClock.value,
    "ms",
    "longest time seen × period of a slow clock",
    [shown, slowClock],
  )
  figures.push(interval)
  return [
    report.judge("look-interval", {
      title: "Longest time between two looks at the wires",
      where,
      ...measuredBy(interval),
      limit: { value: 1.1, unit: "ms", kind: "at most" },
      corner: "clock 0.5 % slow",
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
  const shown = fact(
    "bench.dimming-frequency.seen",
    "frames of light per second, seen",
    (frames * seen[0]!.run.clockHz) / cycles,
    "Hz",
    emulated,
  )
  const frequency = result(
    "bench.dimming-frequency",
    "frames of light per second, clock 0.5 % slow",
    shown.value / slowClock.value,
    "Hz",
    "frames per second seen ÷ period of a slow clock",
    [shown, slowClock],
  )
  figures.push(frequency)
  return [
    report.judge("dimming-frequency", {
      title: "Dimming frequency",
      where,
      ...measuredBy(frequency),
      limit: { value: 1250, unit: "Hz", kind: "at least" },
      atWorst: "amber",
      corner: "clock 0.5 % slow",
    }),
  ]
}

export function coverage(controller: BenchController, executed: Uint8Array): Figure {
  const code = controller.image.runs[0]!
  let words = 0
  let hit = 0
  for (let at = code.from >> 1; at < (code.from + code.length) >> 1; at++) {
    words++
    hit += executed[at]!
  }
  return fact("bench.coverage", "program words executed in the scenarios", (100 * hit) / words, "%", emulated)
}
