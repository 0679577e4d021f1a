// Timer 1 by events: nothing is done per tick. Between events the count follows from the cycle number.
// Modelled: normal, clear-on-compare and fast PWM modes, all internal prescaler choices, compare A and B,
// overflow and capture-as-top flags. A flag rises on the timer clock that ends the matching count
// (data sheet, figures "Timer/Counter Timing Diagram, with Prescaler": the flag rises as the count leaves
// OCR1x, and as it goes from TOP to BOTTOM). Phase-correct modes, capture pin and output pins are refused.

export const flagCapture = 0x20
export const flagCompareB = 0x04
export const flagCompareA = 0x02
export const flagOverflow = 0x01

const dividers = [0, 1, 8, 64, 256, 1024] as const

export class Timer1 {
  flags = 0
  /** TIMSK1. */
  enabled = 0
  nextEvent = Number.POSITIVE_INFINITY
  /** Cycle of the latest TOP → BOTTOM step; −1 before the first. */
  lastWrap = -1

  private controlA = 0
  private controlB = 0
  private compareA = 0
  private compareB = 0
  private bufferA = 0
  private bufferB = 0
  private icr = 0
  private temporary = 0
  /** The count was `count` from cycle `base` on, `base` on a prescaler edge. */
  private base = 0
  private count = 0
  private prescalerZero = 0
  /** A count written by the program does not match in its first tick. */
  private blocked = -1
  private readonly refuse: (what: string) => void

  constructor(refuse: (what: string) => void) {
    this.refuse = refuse
  }

  reset(cycle: number): void {
    this.flags = 0
    this.enabled = 0
    this.controlA = 0
    this.controlB = 0
    this.compareA = 0
    this.compareB = 0
    this.bufferA = 0
    this.bufferB = 0
    this.icr = 0
    this.temporary = 0
    this.base = cycle
    this.count = 0
    this.prescalerZero = cycle
    this.blocked = -1
    this.lastWrap = -1
    this.schedule()
  }

  resetPrescaler(cycle: number): void {
    this.synchronise(cycle)
    this.prescalerZero = cycle
    this.base = cycle
    this.schedule()
  }

  read(address: number, cycle: number): number {
    switch (address) {
      case 0x36:
        return this.flags
      case 0x6f:
        return this.enabled
      case 0x80:
        return this.controlA
      case 0x81:
        return this.controlB
      case 0x84: {
        this.process(cycle)
        this.synchronise(cycle)
        this.temporary = this.count >> 8
        return this.count & 255
      }
      case 0x86:
        this.temporary = this.icr >> 8
        return this.icr & 255
      case 0x85:
      case 0x87:
        return this.temporary
      case 0x88:
        return this.bufferA & 255
      case 0x89:
        return this.bufferA >> 8
      case 0x8a:
        return this.bufferB & 255
      case 0x8b:
        return this.bufferB >> 8
    }
    return 0
  }

  write(address: number, value: number, mask: number, cycle: number): void {
    if (address === 0x36) {
      this.flags &= ~(value & mask)
      return
    }
    if (address === 0x6f) {
      this.enabled = value & 0x27
      return
    }
    this.process(cycle)
    this.synchronise(cycle)
    switch (address) {
      case 0x80:
        if (value & 0xf0) this.refuse("timer 1 driving its output pins (COM1 bits in TCCR1A)")
        this.controlA = value
        break
      case 0x81:
        if ((value & 7) > 5) this.refuse("timer 1 counting an external clock (TCCR1B)")
        // The prescaler runs all the time; a timer that starts waits for its next edge.
        this.controlB = value
        if (this.divider > 0) this.base = cycle - ((cycle - this.prescalerZero) % this.divider)
        break
      case 0x82:
        break
      case 0x85:
      case 0x87:
      case 0x89:
      case 0x8b:
        this.temporary = value
        return
      case 0x84:
        this.count = (this.temporary << 8) | value
        this.blocked = this.count
        break
      case 0x86:
        this.icr = (this.temporary << 8) | value
        break
      case 0x88:
        this.bufferA = (this.temporary << 8) | value
        if (!this.buffered) this.compareA = this.bufferA
        break
      case 0x8a:
        this.bufferB = (this.temporary << 8) | value
        if (!this.buffered) this.compareB = this.bufferB
        break
    }
    if (this.divider > 0 && [1, 2, 3, 8, 9, 10, 11, 13].includes(this.mode))
      this.refuse(`timer 1 in waveform mode ${this.mode} (phase correct or reserved)`)
    this.schedule()
  }

  /** Carries out every event up to and including `cycle`. */
  process(cycle: number): void {
    while (this.nextEvent <= cycle) {
      const at = this.nextEvent
      const passed = this.count + (at - this.base) / this.divider - 1
      const limit = this.limit
      if (passed === this.compareA && this.blocked !== passed) this.flags |= flagCompareA
      if (passed === this.compareB && this.blocked !== passed) this.flags |= flagCompareB
      this.blocked = -1
      this.base = at
      this.count = passed + 1
      if (passed === limit) this.wrap(at, limit)
      this.schedule()
    }
  }

  private wrap(at: number, limit: number): void {
    if (this.fast || limit === 0xffff) this.flags |= flagOverflow
    if ((this.mode === 14 || this.mode === 12) && limit === this.icr) this.flags |= flagCapture
    this.count = 0
    this.lastWrap = at
    if (this.buffered) {
      this.compareA = this.bufferA
      this.compareB = this.bufferB
    }
  }

  private get divider(): number {
    return dividers[this.controlB & 7] ?? 0
  }
  private get mode(): number {
    return (this.controlA & 3) | ((this.controlB >> 1) & 0x0c)
  }
  private get fast(): boolean {
    return (this.mode >= 5 && this.mode <= 7) || this.mode >= 14
  }
  private get buffered(): boolean {
    return this.fast
  }
  private get top(): number {
    switch (this.mode) {
      case 4:
      case 15:
        return this.compareA
      case 12:
      case 14:
        return this.icr
      case 5:
        return 0xff
      case 6:
        return 0x1ff
      case 7:
        return 0x3ff
    }
    return 0xffff
  }
  /** The count after which it goes to 0: TOP, or the last one when TOP was lowered under the count. */
  private get limit(): number {
    const top = this.top
    return this.count <= top ? top : 0xffff
  }

  private synchronise(cycle: number): void {
    const divider = this.divider
    if (divider === 0) return
    const ticks = Math.floor((cycle - this.base) / divider)
    if (ticks > 0) this.blocked = -1
    this.count += ticks
    this.base += ticks * divider
  }

  private schedule(): void {
    const divider = this.divider
    if (divider === 0) {
      this.nextEvent = Number.POSITIVE_INFINITY
      return
    }
    const limit = this.limit
    let passed = limit
    if (this.compareA >= this.count && this.compareA < passed) passed = this.compareA
    if (this.compareB >= this.count && this.compareB < passed) passed = this.compareB
    this.nextEvent = this.base + (passed - this.count + 1) * divider
  }
}
