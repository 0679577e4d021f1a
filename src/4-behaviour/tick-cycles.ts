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
  /** Wires of the sweeps, each counted for each sweep it paces. */
  readonly sweepWires: number
}

/** Cycles of each part, without the dimming interrupts. */
export const partCycles: { readonly [Part in "base" | keyof TableSize]: number } = {
  base: 520,
  inputs: 60,
  flashingInputs: 160,
  channels: 305,
  sweptChannels: 50,
  rules: 50,
  sweeps: 280,
  sweepWires: 140,
}

/** A frame has 4000 cycles, of which the dimming interrupts take 588 (their entry included); 12 for their edges. */
export const interruptsPerFrame = 600
const frame = 4000

/** Cycles from a tick's beginning to the end of its work, at most, interrupts included. */
export function worstTickCycles(size: TableSize): number {
  const work =
    partCycles.base +
    partCycles.inputs * size.inputs +
    partCycles.flashingInputs * size.flashingInputs +
    partCycles.channels * size.channels +
    partCycles.sweptChannels * size.sweptChannels +
    partCycles.rules * size.rules +
    partCycles.sweeps * size.sweeps +
    partCycles.sweepWires * size.sweepWires
  return work + interruptsPerFrame * Math.ceil(work / (frame - interruptsPerFrame))
}
