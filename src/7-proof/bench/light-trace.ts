// The bench's light in even steps, as the app and the command line play it.

import type { LightTrace } from "../artefact.ts"
import type { LampOnBench, Made } from "./lamp-on-bench.ts"
import type { BenchRun } from "./run-bench.ts"
import { channelLight, hardwareLevels, liveAt } from "./watch-outputs.ts"
import type { Stimulus } from "./wires.ts"

/** `run` is absent for a lamp without a controller; `light` where its channels' light is known already. */
export function lightTrace(
  made: Pick<Made, "lamp" | "circuit">,
  bench: LampOnBench,
  run: BenchRun | undefined,
  stimulus: Stimulus,
  seconds: number,
  step: number,
  light?: Float32Array,
): LightTrace {
  const samples = Math.max(1, Math.round(seconds / step))
  const wires: Record<string, number[]> = {}
  for (const wire of made.lamp.vehicle.wires) {
    if (wire.role === "supply" || wire.role === "earth") continue
    wires[wire.name] = new Array<number>(samples).fill(0)
  }
  const leds: Record<string, number[]> = {}
  for (const led of bench.leds) leds[led.ref] = new Array<number>(samples).fill(0)
  const hardware = bench.leds.filter((l) => l.channel === undefined)
  const levelOf = hardwareLevels(made)
  let before = ""
  let levels: readonly number[] = []
  for (let i = 0; i < samples; i++) {
    const live = liveAt(stimulus, (i + 0.5) * step)
    for (const name of live) if (wires[name]) wires[name][i] = 1
    const key = [...live].join(" ")
    if (key !== before) levels = hardware.map((led) => Math.round(255 * levelOf(led, live)))
    before = key
    if (live.size > 0) for (const [n, led] of hardware.entries()) leds[led.ref]![i] = levels[n]!
  }
  if (run) switched(bench, run, light ?? channelLight(run), samples, step, leds)
  return { step, samples, wires, leds }
}

/** Means of the channels' light over each step. */
function switched(
  bench: LampOnBench,
  run: BenchRun,
  light: Float32Array,
  samples: number,
  step: number,
  leds: Record<string, number[]>,
): void {
  const width = bench.channels.length
  const sums = new Float64Array(width)
  let frame = 0
  for (let i = 0; i < samples; i++) {
    const from = i * step * run.clockHz
    const until = from + step * run.clockHz
    sums.fill(0)
    let weight = 0
    while (frame < run.frames && run.frameStart[frame + 1]! <= from) frame++
    for (let f = frame; f < run.frames && run.frameStart[f]! < until; f++) {
      const part = Math.min(until, run.frameStart[f + 1]!) - Math.max(from, run.frameStart[f]!)
      weight += part
      for (let c = 0; c < width; c++) sums[c]! += part * light[f * width + c]!
    }
    for (const led of bench.leds) {
      if (led.channel === undefined || weight === 0) continue
      leds[led.ref]![i] = Math.min(255, Math.round((255 * sums[led.channel]!) / weight))
    }
  }
}
