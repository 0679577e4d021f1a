// Way in: the lamp played on the bench. The firmware's very bytes run on the emulated controller, the wires do what
// the stimulus says, and the light of every LED comes back in even steps.

import { finish, type Work } from "../0-ground/progress.ts"
import type { LightTrace } from "./artefact.ts"
import { type CsvChannel, exportCsv } from "./bench/export-csv.ts"
import type { PinTrack } from "./bench/export-vcd.ts"
import type { Made } from "./bench/lamp-on-bench.ts"
import { lightTrace } from "./bench/light-trace.ts"
import { type BenchStart, startBench } from "./bench/start-bench.ts"
import type { Stimulus } from "./bench/wires.ts"

export { defaultStimulus, demonstrationSeconds, demonstrationStep } from "./bench/default-stimulus.ts"
export { exportPinsVcd, exportVcd, type PinTrack } from "./bench/export-vcd.ts"
export type { FlasherKind } from "./bench/flasher-kinds.ts"
export type { Made } from "./bench/lamp-on-bench.ts"
export { readWiresVcd, type WireThresholds } from "./bench/read-vcd.ts"
export type { Stimulus, WireEdge } from "./bench/wires.ts"

/** Seconds between samples unless asked otherwise. */
export const playStep = 0.002

/**
 * Light levels for `seconds` from power-on. A lamp whose firmware cannot run (an unreadable image) plays with the
 * pins floating, as the real one would with an empty controller; `proveBench` says why.
 */
export function playLamp(made: Made, stimulus: Stimulus, seconds: number, step = playStep): LightTrace {
  return finish(playing(made, stimulus, seconds, step))
}

/** Seconds of the lamp between two breaths: some milliseconds of work. */
const breath = 0.1

/** The same in breaths, so that whoever waits can be told how far it is, and can stop it. */
export function* playing(made: Made, stimulus: Stimulus, seconds: number, step = playStep): Work<LightTrace> {
  const start: BenchStart = startBench(made)
  const run = start.controller?.run(stimulus)
  if (run) {
    for (let at = breath; at < seconds && run.advance(at); at += breath)
      yield { stage: "playing", done: at / seconds }
    run.advance(seconds)
  }
  return lightTrace(made, start.bench, run, stimulus, seconds, step)
}

/** A run as CSV: wires, every controller output by its port pin, every LED. */
export function playedCsv(made: Made, trace: LightTrace): string {
  const { bench } = startBench(made)
  const ports = bench.controller === "ATtiny84A" ? "AB" : "BCD"
  const channels = bench.channels.map((c): CsvChannel => {
    const name = `output ${c.index} (P${ports[c.port]}${c.bit}, ${c.group})`
    return { name, led: c.leds[0] ?? "" }
  })
  return exportCsv(trace, channels)
}

/** The same run with every change of the controller's output pins; no pins for a lamp without a controller. */
export function playPins(
  made: Made,
  stimulus: Stimulus,
  seconds: number,
  step = playStep,
): { readonly trace: LightTrace; readonly pins: readonly PinTrack[] } {
  const start = startBench(made)
  const run = start.controller?.run(stimulus)
  const changes: [number, boolean][][] = start.bench.channels.map((c) => [[0, c.floatsLit]])
  if (run) {
    run.onPin = (cycle, channel, lit) => changes[channel]!.push([cycle / run.clockHz, lit])
    run.advance(seconds)
  }
  const pins = start.bench.channels.map((c, i) => ({
    name: `P${"BCD"[c.port]}${c.bit}`,
    changes: changes[i]!,
  }))
  return { trace: lightTrace(made, start.bench, run, stimulus, seconds, step), pins }
}
