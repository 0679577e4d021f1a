// Bound on the work of one tick in cycles, from the size of the table. The cycles of each part were measured on the
// compiled runtime with everything starting at once, and rounded up; the emulator test holds the bound against
// measured worst cases of many tables.

/** Cycles after a tick's beginning at which new patterns must be ready to be shown from the next tick on. */
export const tickDeadline = 13_650

export interface TableSize {
  readonly inputs: number
  readonly flashingInputs: number
  readonly channels: number
  /** Channels that some sweep lights. */
  readonly sweptChannels: number
  readonly rules: number
  readonly sweeps: number
  /** Sweeps whose rise takes less than 1/255 of them. */
  readonly steepSweeps: number
  /** Wires of the sweeps, each counted for each sweep it paces. */
  readonly sweepWires: number
}

/** Cycles of each part without the dimming interrupts, and of these in a frame (their entry and edges included). */
export type PartCycles = { readonly [Part in "base" | "interruptsPerFrame" | keyof TableSize]: number }

export const atmega328pCycles: PartCycles = {
  base: 1400,
  inputs: 30,
  flashingInputs: 365,
  channels: 260,
  sweptChannels: 25,
  rules: 80,
  sweeps: 395,
  steepSweeps: 190,
  sweepWires: 190,
  interruptsPerFrame: 600,
}

/** Without a multiplier and compiled for size. */
export const attiny84Cycles: PartCycles = {
  base: 800,
  inputs: 145,
  flashingInputs: 515,
  channels: 545,
  sweptChannels: 30,
  rules: 95,
  sweeps: 345,
  steepSweeps: 240,
  sweepWires: 550,
  interruptsPerFrame: 580,
}

const frame = 4000

/** Cycles from a tick's beginning to the end of its work, at most, interrupts included. */
export function worstTickCycles(size: TableSize, cycles: PartCycles): number {
  const work = cycles.base + partNames.reduce((sum, part) => sum + cycles[part] * size[part], 0)
  return work + cycles.interruptsPerFrame * Math.ceil(work / (frame - cycles.interruptsPerFrame))
}

const partNames = [
  "inputs",
  "flashingInputs",
  "channels",
  "sweptChannels",
  "rules",
  "sweeps",
  "steepSweeps",
  "sweepWires",
] as const
