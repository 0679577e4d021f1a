// Data addresses and bits of the ATmega328P's I/O registers used by the bench (data sheet, register summary).

export const address = {
  pinB: 0x23,
  portD: 0x2b,
  tifr1: 0x36,
  eecr: 0x3f,
  eedr: 0x40,
  eearL: 0x41,
  eearH: 0x42,
  gtccr: 0x43,
  smcr: 0x53,
  mcusr: 0x54,
  mcucr: 0x55,
  wdtcsr: 0x60,
  clkpr: 0x61,
  prr: 0x64,
  timsk1: 0x6f,
  tccr1a: 0x80,
  ocr1bH: 0x8b,
} as const

/** Word addresses of the interrupt vectors that can occur here, most urgent first. */
export interface Vectors {
  readonly watchdog: number
  readonly timer1Capture: number
  readonly timer1CompareA: number
  readonly timer1CompareB: number
  readonly timer1Overflow: number
  readonly eepromReady: number
}
export const vector: Vectors = {
  watchdog: 0x0c,
  timer1Capture: 0x14,
  timer1CompareA: 0x16,
  timer1CompareB: 0x18,
  timer1Overflow: 0x1a,
  eepromReady: 0x2c,
}

/** Reset causes in MCUSR. */
export const resetFlag = { powerOn: 1, external: 2, brownOut: 4, watchdog: 8 } as const
export type ResetCause = keyof typeof resetFlag

/** What an image could switch on that this bench does not model; doing so stops the run. */
export const notModelled: Readonly<Record<number, { readonly bits: number; readonly what: string }>> = {
  61: { bits: 0x03, what: "external interrupts (EIMSK)" },
  69: { bits: 0x07, what: "timer 0 (TCCR0B)" },
  76: { bits: 0x40, what: "the serial peripheral interface (SPCR)" },
  80: { bits: 0x08, what: "the analogue comparator's interrupt (ACSR)" },
  87: { bits: 0xff, what: "self-programming (SPMCSR)" },
  104: { bits: 0x07, what: "pin change interrupts (PCICR)" },
  122: { bits: 0x80, what: "the analogue converter (ADCSRA)" },
  177: { bits: 0x07, what: "timer 2 (TCCR2B)" },
  188: { bits: 0x04, what: "the two-wire interface (TWCR)" },
  193: { bits: 0x18, what: "the serial port (UCSR0B)" },
}
