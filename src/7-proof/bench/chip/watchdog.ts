// The watchdog: its own oscillator, the timed sequence that guards its settings, the always-on fuse.

export interface WatchdogClock {
  /** Processor cycles in one period of the watchdog oscillator (nominal 128 kHz). */
  readonly cyclesPerTick: number
  /** Fuse WDTON programmed: always on, reset mode only. */
  readonly alwaysOn: boolean
}

const interruptFlag = 0x80
const interruptEnable = 0x40
const changeEnable = 0x10
const enable = 0x08

export class Watchdog {
  nextEvent = Number.POSITIVE_INFINITY
  /** WDIF with WDIE, waiting for its interrupt. */
  pending = false
  private settings = 0
  private kicked = 0
  private changeUntil = -1
  private readonly clock: WatchdogClock

  constructor(clock: WatchdogClock) {
    this.clock = clock
  }

  /** After any reset the shortest time-out applies; `forced` while WDRF stands. */
  reset(cycle: number, forced: boolean): void {
    this.settings = this.clock.alwaysOn || forced ? enable : 0
    this.kicked = cycle
    this.changeUntil = -1
    this.pending = false
    this.schedule()
  }

  kick(cycle: number): void {
    this.kicked = cycle
    this.schedule()
  }

  read(cycle: number): number {
    return this.settings | (this.pending ? interruptFlag : 0) | (cycle <= this.changeUntil ? changeEnable : 0)
  }

  /** `forced`: WDRF stands in MCUSR, so WDE cannot be cleared. */
  write(value: number, cycle: number, forced: boolean): void {
    if (value & interruptFlag) this.pending = false
    let next = (this.settings & ~interruptEnable) | (value & interruptEnable)
    if ((value & (changeEnable | enable)) === (changeEnable | enable)) {
      this.changeUntil = cycle + 4
      next |= enable
    } else if (cycle <= this.changeUntil) {
      this.changeUntil = -1
      next = (next & interruptEnable) | (value & 0x2f)
      if (forced) next |= enable
    } else next |= value & enable
    if (this.clock.alwaysOn) next = (next & ~interruptEnable) | enable
    this.settings = next
    this.schedule()
  }

  /** Time is up: true when the chip must be reset. */
  expire(cycle: number): boolean {
    this.kicked = cycle
    let bite = true
    if (this.settings & interruptEnable) {
      this.pending = true
      bite = false
      if (this.settings & enable) this.settings &= ~interruptEnable
    }
    this.schedule()
    return bite
  }

  private schedule(): void {
    if ((this.settings & (enable | interruptEnable)) === 0) {
      this.nextEvent = Number.POSITIVE_INFINITY
      return
    }
    const choice = Math.min((this.settings & 7) | ((this.settings >> 2) & 8), 9)
    this.nextEvent = this.kicked + Math.round((2048 << choice) * this.clock.cyclesPerTick)
  }
}
