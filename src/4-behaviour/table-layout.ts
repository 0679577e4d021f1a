// What is the same in every controller's table and light. `firmware/TABLE.md` tells what the fields hold; the same
// numbers stand in `firmware/runtime/layout.h`, and a test compares the two.

export const tableVersion = 2
export const tableHeader = 24

export const inputFlashing = 0x01
export const inputInverted = 0x02
export const channelActiveHigh = 0x01
export const ruleSweep = 0x01
export const ruleFirstTogether = 0x02
/** Its gain counts in steps of 16. */
export const ruleSteep = 0x04

/** Least code a changing or lit LED is shown at: 8 = 128 of 4000 cycles = 8 µs, long against the switches' delays. */
export const floorCode = 8
/** Longest rise or fall the table can hold exactly enough. */
export const longestFadeMs = 5000
/** Longest sweep the table can hold. */
export const longestSweepMs = 5000

/** Cycles of the slot of each code bit; together one frame. */
export const slotCycles: readonly number[] = [16, 32, 64, 128, 248, 504, 1000, 2008]
export const frameCycles = 4000
export const framesPerTick = 4
export const clockHz = 16_000_000
