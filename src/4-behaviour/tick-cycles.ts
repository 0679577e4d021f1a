// Bound on the work of one tick in cycles, from the size of the table. The cycles of each part were counted on the
// compiled runtime with everything starting at once, rounded up; the emulator test holds the bound against
// measured worst cases.

/** Cycles after a tick's beginning at which new patterns must be ready to be shown from the next tick on. */
export const tickDeadline = 13_650

/** Cycles of every 4000-cycle frame spent in the dimming interrupts, their entry included. */
const interruptShare = 595 / 4000

export function worstTickCycles(table: {
  readonly inputs: number
  readonly flashingInputs: number
  readonly channels: number
  readonly rules: number
  readonly sweeps: number
}): number {
  const work =
    500 +
    120 * table.inputs +
    330 * table.flashingInputs +
    75 * table.rules +
    400 * table.sweeps +
    320 * table.channels +
    160 +
    30 * table.channels
  return Math.ceil(work / (1 - interruptShare))
}
