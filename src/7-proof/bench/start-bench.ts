// Everything needed before a run: the lamp on the bench, the image read, the fuses understood.

import type { ChipOptions } from "./chip/atmega328p.ts"
import { attiny84 } from "./chip/attiny84.ts"
import { type FuseReading, readFuses, readTinyFuses } from "./fuses.ts"
import { type LampOnBench, type Made, putOnBench } from "./lamp-on-bench.ts"
import { type FlashImage, readImage } from "./read-image.ts"
import { BenchRun } from "./run-bench.ts"
import type { Stimulus } from "./wires.ts"

export interface BenchStart {
  readonly bench: LampOnBench
  /** Absent for a lamp without a controller. */
  readonly controller?: BenchController
}

export interface BenchController {
  readonly image: FlashImage
  /** Why the image could not be read; it runs as erased flash then. */
  readonly unreadable?: string
  readonly fuses: FuseReading
  readonly clockHz: number
  /**
   * A fresh chip at power-on; `image` in place of the firmware's own bytes where damage is tried. The watchdog's
   * oscillator is nominally 128 kHz and may be a tenth off either way (from memory).
   */
  readonly run: (stimulus: Stimulus, image?: Uint8Array, watchdogHz?: number) => BenchRun
}

/** The watchdog's oscillator at its ends. */
export const watchdogFast = 141e3
export const watchdogSlow = 115e3

const erased: FlashImage = { bytes: new Uint8Array(0), given: new Uint8Array(0), runs: [] }

export function startBench(made: Made): BenchStart {
  const bench = putOnBench(made)
  const { firmware } = made
  if (!firmware) return { bench }
  const read = readImage(firmware.hex)
  const image = "image" in read ? read.image : erased
  const tiny = bench.controller === "ATtiny84A"
  const fuses = (tiny ? readTinyFuses : readFuses)(firmware.fuses, firmware.clockHz)
  const options: ChipOptions = {
    clockHz: firmware.clockHz,
    watchdogHz: 128e3,
    ramSeed: made.lamp.seed,
    ...(tiny ? { kin: attiny84 } : {}),
    ...fuses.options,
  }
  return {
    bench,
    controller: {
      image,
      ...("fault" in read ? { unreadable: `record ${read.fault.record}: ${read.fault.reason}` } : {}),
      fuses,
      clockHz: firmware.clockHz,
      run: (stimulus, damaged, watchdogHz = options.watchdogHz) =>
        new BenchRun(bench, damaged ?? image.bytes, stimulus, { ...options, watchdogHz }),
    },
  }
}
