// Fuse bytes → how the chip starts (ATmega328P data sheet, system clock and memory programming chapters).

import type { ChipOptions } from "./chip/atmega328p.ts"

export interface FuseReading {
  readonly options: Pick<ChipOptions, "watchdogAlwaysOn" | "powerOnCycles" | "resetCycles">
  /** Why the chip would not run as the firmware expects; empty when it does. */
  readonly faults: readonly string[]
  /** Brown-out level, volts; undefined when switched off. */
  readonly brownOut: number | undefined
}

/** Full swing and low power crystal oscillators: CKSEL0 and SUT1…0 → start-up clocks and extra delay. */
const crystalStart: readonly { readonly clocks: number; readonly delay: number }[] = [
  { clocks: 258, delay: 0.0041 },
  { clocks: 258, delay: 0.065 },
  { clocks: 1024, delay: 0 },
  { clocks: 1024, delay: 0.0041 },
  { clocks: 1024, delay: 0.065 },
  { clocks: 16384, delay: 0 },
  { clocks: 16384, delay: 0.0041 },
  { clocks: 16384, delay: 0.065 },
]

interface Bytes {
  readonly low: number
  readonly high: number
  readonly extended: number
}

/** The ATtiny84A has its brown-out level in the high byte, and crystals above 8 MHz from CKSEL 1110 on. */
export function readTinyFuses({ low, high }: Bytes, clockHz: number): FuseReading {
  const faults: string[] = []
  const select = low & 15
  if ((low & 0x80) === 0) faults.push("the low fuse divides the clock by 8 (CKDIV8)")
  if (clockHz > 8e6 && select < 14)
    faults.push(`the low fuse selects clock source ${select}, which cannot give ${clockHz / 1e6} MHz`)
  if ((high & 0x80) === 0) faults.push("the high fuse turns the reset pin into an I/O pin (RSTDISBL)")
  if ((high & 0x20) !== 0) faults.push("the high fuse forbids programming the chip again (SPIEN)")
  const start = crystalStart[((select & 1) << 2) | ((low >> 4) & 3)]!
  const delay = Math.round(start.delay * clockHz)
  return {
    options: {
      watchdogAlwaysOn: (high & 0x10) === 0,
      powerOnCycles: start.clocks + 14 + delay,
      resetCycles: 14 + delay,
    },
    faults,
    brownOut: brownOutLevels[high & 7],
  }
}

const brownOutLevels: Readonly<Record<number, number | undefined>> = { 4: 4.3, 5: 2.7, 6: 1.8 }

export function readFuses(fuses: Bytes, clockHz: number): FuseReading {
  const faults: string[] = []
  const select = fuses.low & 15
  if ((fuses.low & 0x80) === 0) faults.push("the low fuse divides the clock by 8 (CKDIV8)")
  if (clockHz > 8e6 && (select < 6 || select === 8 || select === 9))
    faults.push(`the low fuse selects clock source ${select}, which cannot give ${clockHz / 1e6} MHz`)
  if ((fuses.high & 1) === 0) faults.push("the high fuse starts the program in the boot section (BOOTRST)")
  if ((fuses.high & 0x80) === 0) faults.push("the high fuse turns the reset pin into an I/O pin (RSTDISBL)")
  if ((fuses.high & 0x20) !== 0) faults.push("the high fuse forbids programming the chip again (SPIEN)")
  const start = crystalStart[((select & 1) << 2) | ((fuses.low >> 4) & 3)]!
  const delay = Math.round(start.delay * clockHz)
  return {
    options: {
      watchdogAlwaysOn: (fuses.high & 0x10) === 0,
      powerOnCycles: start.clocks + 14 + delay,
      resetCycles: 14 + delay,
    },
    faults,
    brownOut: brownOutLevels[fuses.extended & 7],
  }
}
