// The ATtiny84A on the bench: the same core, 16-bit timer, watchdog and ports as the ATmega328P, with its registers
// at its own addresses (data sheet, register summary; checked against the C library's header). It has no multiplier and no
// long jumps; what its image uses beyond the registers named here stops the run.

import type { Kin } from "./atmega328p.ts"

/** Own data address → the ATmega328P's for the same register. Ports A and B stand for B and C. */
const same: readonly (readonly [own: number, there: number])[] = [
  [0x39, 0x23], // PINA
  [0x3a, 0x24],
  [0x3b, 0x25],
  [0x36, 0x26], // PINB
  [0x37, 0x27],
  [0x38, 0x28],
  [0x2b, 0x36], // TIFR1
  [0x2c, 0x6f], // TIMSK1
  [0x4f, 0x80], // TCCR1A
  [0x4e, 0x81],
  [0x42, 0x82],
  [0x4c, 0x84], // TCNT1
  [0x4d, 0x85],
  [0x44, 0x86], // ICR1
  [0x45, 0x87],
  [0x4a, 0x88], // OCR1A
  [0x4b, 0x89],
  [0x48, 0x8a], // OCR1B
  [0x49, 0x8b],
  [0x41, 0x60], // WDTCSR
  [0x54, 0x54], // MCUSR
]

const gpior = [0x33, 0x34, 0x35]
const mcucr = 0x55
const prr = 0x20
const clkpr = 0x46
const acsr = 0x28

const registers = new Uint8Array(0x60)
for (const [own, there] of same) registers[own] = there

export const attiny84: Kin = {
  ram: { start: 0x60, end: 0x260 },
  vectors: {
    watchdog: 4,
    timer1Capture: 5,
    timer1CompareA: 6,
    timer1CompareB: 7,
    timer1Overflow: 8,
    eepromReady: 14,
  },
  registers,
  write(at, value, { data }) {
    if (at === prr && value & 0x08) return "timer 1 switched off for power (PRR)"
    if (at === clkpr && value & 0x0f) return "a divided system clock (CLKPR)"
    if (at === acsr && value & 0x08) return "the analogue comparator's interrupt (ACSR)"
    if (at === mcucr && value & 0x03) return "external interrupts (MCUCR)"
    if (![...gpior, mcucr, prr, clkpr, acsr].includes(at)) return `the register at 0x${at.toString(16)}`
    data[at] = at === clkpr ? 0 : value
    return undefined
  },
  // Bit 5 enables sleep, bits 4 and 3 choose its mode.
  sleep: ({ data }) => ({ enabled: (data[mcucr]! & 0x20) !== 0, deep: (data[mcucr]! & 0x18) !== 0 }),
}
