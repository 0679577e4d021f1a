// Fuse bytes for a 16 MHz ceramic resonator, with the reason of every bit that is not as delivered.
// Programmed bits are 0.

import type { Firmware } from "./artefact.ts"

/**
 * Low 0xE6: clock not divided (CKDIV8 = 1), not brought out (CKOUT = 1), SUT = 10 and CKSEL = 0110: full-swing
 * oscillator, row "ceramic resonator, brown-out detector enabled" (1024 + 14 clocks = 65 µs).
 * High 0xC7: reset pin kept, no debug wire, serial programming kept (SPIEN = 0), watchdog always on (WDTON = 0), EEPROM
 * kept (EESAVE = 0), no boot section.
 * Extended 0xFC: brown-out at 4.3 V (BODLEVEL = 100).
 */
export const atmega328pFuses: Firmware["fuses"] = {
  low: 0xe6,
  high: 0xc7,
  extended: 0xfc,
  why:
    "Low E6: 16 MHz ceramic resonator on the full-swing oscillator (steadier near a spark ignition than the " +
    "low-power one), start-up 1K clocks because the brown-out detector guards the supply, clock not divided. " +
    "High C7: watchdog always on, EEPROM kept, serial programming kept, no boot section. " +
    "Extended FC: brown-out at 4.3 V (4.1 to 4.5 V); 16 MHz needs 3.78 V, the 2.7 V setting would not protect. " +
    "The setting as delivered (62 D9 FF) runs at 1 MHz from the inner oscillator and starts 65 ms late: " +
    "read the fuses back after programming. Bit names were read in the C library's header; the codes of the " +
    "oscillator rows are from memory: compare them with the data sheet before the first chip.",
}

/**
 * Low 0xEE: clock not divided (CKDIV8 = 1), not brought out (CKOUT = 1), SUT = 10 and CKSEL = 1110: crystal oscillator
 * above 8 MHz, row "ceramic resonator, brown-out detector enabled" (1024 + 14 clocks = 65 µs).
 * High 0xC4: reset pin kept, no debug wire, serial programming kept (SPIEN = 0), watchdog always on (WDTON = 0), EEPROM
 * kept (EESAVE = 0), brown-out at 4.3 V (BODLEVEL = 100).
 * Extended 0xFF: no self-programming.
 */
export const attiny84Fuses: Firmware["fuses"] = {
  low: 0xee,
  high: 0xc4,
  extended: 0xff,
  why:
    "Low EE: 16 MHz ceramic resonator, start-up 1K clocks because the brown-out detector guards the supply, clock " +
    "not divided. High C4: watchdog always on, EEPROM kept, serial programming kept, brown-out at 4.3 V (4.1 to " +
    "4.5 V); 16 MHz needs 3.78 V, the 2.7 V setting would not protect. Extended FF: the program cannot write its " +
    "own flash. The setting as delivered (62 DF FF) runs at 1 MHz from the inner oscillator and starts 65 ms late: " +
    "read the fuses back after programming. Bit names were read in the C library's header; the codes of the " +
    "oscillator rows are from memory: compare them with the data sheet before the first chip.",
}
