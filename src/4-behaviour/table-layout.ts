// Addresses and sizes of the blocks in the controller's flash and RAM. `firmware/TABLE.md` tells what they hold; the
// same numbers stand in `firmware/runtime/layout.h`, and a test compares the two.

export const tableAt = 0x7000
export const copyAt = 0x7400
export const tableRoom = 0x400
export const safeMapAt = 0x7e00
export const safeMapRoom = 0x80
export const buildIdAt = 0x7f00
export const buildIdRoom = 0x20
export const tableVersion = 1

export const mostInputs = 8
export const mostChannels = 18
export const mostRules = 16
/** Port pins of the ATmega328P left free by resonator and reset. */
export const ioPins = 20

export const inputFlashing = 0x01
export const inputInverted = 0x02
export const channelActiveHigh = 0x01
export const ruleSweep = 0x01

/** Least code a changing or lit LED is shown at: 8 = 128 of 4000 cycles = 8 µs, long against the switches' delays. */
export const floorCode = 8
/** Longest rise or fall the table can hold exactly enough. */
export const longestFadeMs = 5000
/** Longest sweep the table can hold. */
export const longestSweepMs = 250

/** Cycles of the slot of each code bit; together one frame. */
export const slotCycles: readonly number[] = [16, 32, 64, 128, 248, 504, 1000, 2008]
export const frameCycles = 4000
export const framesPerTick = 4
export const clockHz = 16_000_000

/** `PB3` → port << 4 | bit; undefined for what is no usable pin. */
export function pinCode(pin: string): number | undefined {
  const [, port, bit] = /^P([BCD])([0-7])$/.exec(pin) ?? []
  if (port === undefined || (port !== "D" && Number(bit) > 5)) return undefined
  return ("BCD".indexOf(port) << 4) | Number(bit)
}
