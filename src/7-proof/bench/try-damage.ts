// Things go wrong: bits flip in flash, the program hangs, the chip resets in mid-flash, the chip is empty.
// Whatever happens, a live wire must give light.

import { type Random, random } from "../../0-ground/numbers/random.ts"
import type { Work } from "../../0-ground/progress.ts"
import type { Lamp, ProgrammeLine } from "../../2-lamp/artefact.ts"
import { lineSpans, longestDark } from "./measure-flashes.ts"
import type { BenchRun } from "./run-bench.ts"
import { type BenchController, watchdogSlow } from "./start-bench.ts"
import { channelLight } from "./watch-outputs.ts"
import { type Stimulus, steady, type WireEdge } from "./wires.ts"

export interface Trial {
  readonly what: string
  /** Longest dark time of any group while its wire is live, seconds. */
  readonly dark: number
  readonly group: string
}

const seconds = 0.24

/** Every wire of the lamp's one-wire lines live from 60 ms on. */
function allLive(lamp: Lamp): Stimulus {
  const names = new Set(lamp.programme.flatMap((l) => l.when))
  const wires: Record<string, readonly WireEdge[]> = {}
  for (const name of names) wires[name] = steady(0.06)
  return { wires }
}

/** Flips and wipes in what the program reads as data; `read` and `executed` from sound runs. */
export function* damageTables(
  lamp: Lamp,
  controller: BenchController,
  read: Uint8Array,
  executed: Uint8Array,
): Work<Trial[]> {
  const { image } = controller
  const chance = random(lamp.seed * 7919 + 13)
  const data = Array.from(image.given.keys()).filter(
    (at) => image.given[at] && read[at] && !executed[at >> 1],
  )
  const trials: { what: string; bytes: Uint8Array }[] = []
  const copy = () => image.bytes.slice()
  if (data.length > 0) {
    for (let i = 0; i < 6; i++) trials.push(flipped(copy(), data, chance, 1))
    for (let i = 0; i < 2; i++) trials.push(flipped(copy(), data, chance, 4))
  }
  // Blocks that hold no code: table, copy and whatever else the image keeps for bad times.
  const isCode = (r: (typeof image.runs)[number]) =>
    executed.subarray(r.from >> 1, (r.from + r.length + 1) >> 1).some((hit) => hit === 1)
  const blocks = image.runs.filter((r) => !isCode(r))
  for (const r of blocks)
    trials.push({ what: `block at 0x${r.from.toString(16)} wiped`, bytes: wiped(copy(), [r]) })
  for (let n = 2; n <= blocks.length; n++)
    trials.push({ what: `first ${n} blocks wiped`, bytes: wiped(copy(), blocks.slice(0, n)) })
  const out: Trial[] = []
  for (const [i, { what, bytes }] of trials.entries()) {
    yield { stage: "bench", done: i / trials.length, note: `damaged table: ${what}` }
    const run = controller.run(allLive(lamp), bytes)
    run.advance(seconds)
    out.push(...darkest(lamp, run, what))
  }
  return out
}

function flipped(bytes: Uint8Array, data: readonly number[], chance: Random, bits: number) {
  const places: string[] = []
  for (let i = 0; i < bits; i++) {
    const at = data[chance.below(data.length)]!
    const bit = chance.below(8)
    bytes[at]! ^= 1 << bit
    places.push(`0x${at.toString(16)} bit ${bit}`)
  }
  return { what: `${places.join(", ")} flipped`, bytes }
}

function wiped(bytes: Uint8Array, runs: readonly { readonly from: number; readonly length: number }[]) {
  for (const r of runs) bytes.fill(0xff, r.from, r.from + r.length)
  return bytes
}

/** An erased controller: its pins float. Gives the LEDs that stay dark although their wire is live. */
export function tryEmptyChip(lamp: Lamp, controller: BenchController): string[] {
  const run = controller.run(allLive(lamp), new Uint8Array(0))
  run.advance(0.1)
  const light = channelLight(run)
  const width = run.bench.channels.length
  const last = run.frames - 1
  return run.bench.channels.flatMap((c, i) => (light[last * width + i]! > 0.9 ? [] : c.leds))
}

export function* tryHangs(lamp: Lamp, controller: BenchController): Work<Trial[]> {
  const out: Trial[] = []
  for (const at of [0.0595, 0.0612, 0.0731, 0.1337]) {
    yield { stage: "bench", done: 0, note: `hang at ${(at * 1000).toFixed(1)} ms` }
    const run = controller.run(allLive(lamp), undefined, watchdogSlow)
    run.advance(at)
    run.chip.hang()
    run.advance(seconds)
    out.push(...darkest(lamp, run, `hang ${(at * 1000).toFixed(1)} ms after power-on`))
  }
  return out
}

export function* tryResets(lamp: Lamp, controller: BenchController): Work<Trial[]> {
  const out: Trial[] = []
  for (const at of [0.0595, 0.0647, 0.0987, 0.15]) {
    yield { stage: "bench", done: 0, note: `reset at ${(at * 1000).toFixed(1)} ms` }
    const run = controller.run(allLive(lamp))
    run.advance(at)
    run.chip.reset("brownOut")
    run.advance(seconds)
    out.push(...darkest(lamp, run, `brown-out ${(at * 1000).toFixed(1)} ms after power-on`))
  }
  return out
}

/** Per group with a one-wire line, the longest dark time while that wire is live. */
function darkest(lamp: Lamp, run: BenchRun, what: string): Trial[] {
  const light = channelLight(run)
  return lamp.groups.flatMap((group): Trial[] => {
    const channels = [...run.bench.channels.keys()].filter((c) => run.bench.channels[c]!.group === group.name)
    const line: ProgrammeLine | undefined = lamp.programme.find(
      (l) => l.light === group.name && l.when.length === 1,
    )
    if (channels.length === 0 || !line) return []
    return [{ what, group: group.name, dark: longestDark(run, light, channels, lineSpans(line, run)) }]
  })
}
