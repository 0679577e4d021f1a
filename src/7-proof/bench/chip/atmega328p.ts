// The whole controller: core, ports, timer 1, watchdog, EEPROM, resets, interrupts and idle sleep, cycle by
// cycle but by events. What the image switches on beyond these stops the run with its reason.

import { random } from "../../../0-ground/numbers/random.ts"
import { Core, megaRam, type Ram } from "../cpu/core.ts"
import { Eeprom } from "./eeprom.ts"
import { Ports } from "./ports.ts"
import { address, notModelled, type ResetCause, resetFlag, type Vectors, vector } from "./registers.ts"
import { flagCapture, flagCompareA, flagCompareB, flagOverflow, Timer1 } from "./timer1.ts"
import { Watchdog } from "./watchdog.ts"

export interface ChipOptions {
  readonly clockHz: number
  /** Fuse WDTON programmed. */
  readonly watchdogAlwaysOn: boolean
  /** Nominal 128 kHz; the real oscillator is a few per cent off. */
  readonly watchdogHz: number
  /** Cycles from a power-on reset until the first instruction. */
  readonly powerOnCycles: number
  /** Cycles from any other reset until the first instruction. */
  readonly resetCycles: number
  /** What RAM and registers hold at power-on is undefined; this seeds it. */
  readonly ramSeed: number
  /** Another chip of the family; absent: the ATmega328P. */
  readonly kin?: Kin
}

/** A chip with the same core, timer, watchdog and ports, and its registers at other addresses. */
export interface Kin {
  readonly ram: Ram
  readonly vectors: Vectors
  /** Own data address → that of the same register here; 0 where there is none. */
  readonly registers: Uint8Array
  /** Carries out a write to a register without a counterpart: a string says what is not modelled. */
  readonly write: (at: number, value: number, core: Core) => string | undefined
  /** Sleep enabled, and a mode other than idle, from its own registers. */
  readonly sleep: (core: Core) => { readonly enabled: boolean; readonly deep: boolean }
}

export const plainChip: ChipOptions = {
  clockHz: 16e6,
  watchdogAlwaysOn: false,
  watchdogHz: 128e3,
  powerOnCycles: 0,
  resetCycles: 0,
  ramSeed: 1,
}

const { tifr1, timsk1, tccr1a, ocr1bH, eecr, eearH, wdtcsr, mcusr } = address

/** Interrupt entry, and the extra cycles when it ends idle sleep (data sheet, interrupt response time). */
const entryCycles = 4
const wakeCycles = 4

export class Chip {
  readonly core: Core
  readonly ports = new Ports()
  readonly timer: Timer1
  readonly eeprom: Eeprom
  readonly options: ChipOptions
  /** Every reset since construction, with its cycle. */
  readonly resets: { readonly cause: ResetCause; readonly cycle: number }[] = []
  /** Cycles spent asleep. */
  sleptCycles = 0
  private readonly watchdog: Watchdog
  private readonly kin: Kin | undefined
  private readonly vectors: Vectors
  private causes = 0
  private sleeping = false
  private hung = false
  private until = 0
  /** The processor stands still for some cycles after it starts the EEPROM. */
  private haltCycles = 0

  constructor(image: Uint8Array, options: ChipOptions = plainChip) {
    this.options = options
    this.kin = options.kin
    this.vectors = options.kin?.vectors ?? vector
    this.core = new Core(image, this, options.kin?.ram ?? megaRam)
    this.timer = new Timer1((what) => this.refuse(what))
    this.eeprom = new Eeprom(Math.round(0.0034 * options.clockHz))
    this.watchdog = new Watchdog({
      cyclesPerTick: options.clockHz / options.watchdogHz,
      alwaysOn: options.watchdogAlwaysOn,
    })
    const chance = random(options.ramSeed)
    const { data } = this.core
    for (let i = 0; i < 32; i++) data[i] = chance.below(256)
    for (let i = this.core.ram.start; i < this.core.ram.end; i++) data[i] = chance.below(256)
    this.causes = 0
    this.reset("powerOn")
  }

  get cycle(): number {
    return this.core.cycles
  }

  /** Resets the chip: I/O cleared, pins high-impedance, RAM, registers and EEPROM kept. */
  reset(cause: ResetCause): void {
    const { core } = this
    this.resets.push({ cause, cycle: core.cycles })
    this.causes = (cause === "powerOn" ? 0 : this.causes) | resetFlag[cause]
    core.data.fill(0, 0x20, core.ram.start)
    this.ports.reset(core.cycles)
    core.cycles += cause === "powerOn" ? this.options.powerOnCycles : this.options.resetCycles
    core.pc = 0
    core.sp = core.ram.end - 1
    core.sreg = 0
    core.shadow = 0
    core.attention = 0
    this.sleeping = false
    this.hung = false
    this.timer.reset(core.cycles)
    this.eeprom.reset()
    this.watchdog.reset(core.cycles, (this.causes & resetFlag.watchdog) !== 0)
  }

  /** The program stands still, as after a disturbance, until a reset frees it; timer and watchdog go on. */
  hang(): void {
    this.hung = true
    this.core.attention = 0
  }

  /** Runs to the first instruction boundary at or after `cycle`; false when a fault stopped it. */
  run(cycle: number): boolean {
    this.until = cycle
    this.core.attention = 0
    if (!this.core.fault) this.core.run()
    return this.core.fault === undefined
  }

  readIo(own: number): number {
    const { cycles } = this.core
    const at = this.kin ? this.kin.registers[own]! : own
    if (at === 0) return this.core.data[own]!
    if (at >= 0x23 && at <= 0x2b) return this.ports.read(at)
    if (isTimer(at)) return this.timer.read(at, cycles)
    if (at >= eecr && at <= eearH) return this.eeprom.read(at)
    if (at === wdtcsr) return this.watchdog.read(cycles)
    if (at === mcusr) return this.causes
    return this.core.data[at]!
  }

  writeIo(own: number, value: number, mask: number): void {
    const { core } = this
    const at = this.kin ? this.kin.registers[own]! : own
    if (at === 0) {
      const whole = (core.data[own]! & ~mask) | (value & mask)
      const refused = this.kin!.write(own, whole, core)
      if (refused !== undefined) this.refuse(refused)
      return
    }
    if (at >= 0x23 && at <= 0x2b) {
      this.ports.write(at, value, mask, core.cycles)
      return
    }
    core.attention = 0
    if (isTimer(at)) this.timer.write(at, value, mask, core.cycles)
    else if (at >= eecr && at <= eearH) this.haltCycles += this.eeprom.write(at, value, mask, core.cycles)
    else if (at === wdtcsr) this.watchdog.write(value, core.cycles, (this.causes & resetFlag.watchdog) !== 0)
    else if (at === mcusr) this.causes &= value
    else this.writePlain(at, (core.data[at]! & ~mask) | (value & mask))
  }

  sleep(): void {
    const control = this.core.data[address.smcr]!
    const { enabled, deep } = this.kin?.sleep(this.core) ?? {
      enabled: (control & 1) === 1,
      deep: (control & 0x0e) !== 0,
    }
    if (!enabled) return
    if (deep) this.refuse("a sleep mode other than idle")
    this.sleeping = true
    this.core.attention = 0
  }

  watchdogReset(): void {
    this.watchdog.kick(this.core.cycles)
    this.core.attention = 0
  }

  attend(): boolean {
    const { core, timer, watchdog, eeprom } = this
    core.cycles += this.haltCycles
    this.haltCycles = 0
    for (;;) {
      const now = core.cycles
      if (timer.nextEvent <= now) timer.process(now)
      if (eeprom.nextEvent <= now) eeprom.done()
      if (watchdog.nextEvent <= now && watchdog.expire(now)) {
        this.reset("watchdog")
        continue
      }
      if (now >= this.until) return false
      const next = Math.min(timer.nextEvent, watchdog.nextEvent, eeprom.nextEvent, this.until)
      if (this.hung) {
        core.cycles = next
        continue
      }
      const vectorWord = core.sreg & 0x80 ? this.pending() : 0
      if (vectorWord && now >= core.shadow) {
        this.acknowledge(vectorWord)
        core.enterInterrupt(vectorWord, this.sleeping ? entryCycles + wakeCycles : entryCycles)
        this.sleeping = false
        if (core.fault) return false
        continue
      }
      if (this.sleeping) {
        this.sleptCycles += next - now
        core.cycles = next
        continue
      }
      core.attention = vectorWord ? Math.min(next, core.shadow) : next
      return true
    }
  }

  private pending(): number {
    const vector = this.vectors
    if (this.watchdog.pending) return vector.watchdog
    const timer = this.timer.flags & this.timer.enabled
    if (timer) {
      if (timer & flagCapture) return vector.timer1Capture
      if (timer & flagCompareA) return vector.timer1CompareA
      if (timer & flagCompareB) return vector.timer1CompareB
      if (timer & flagOverflow) return vector.timer1Overflow
    }
    return this.eeprom.pending ? vector.eepromReady : 0
  }

  private acknowledge(vectorWord: number): void {
    const vector = this.vectors
    if (vectorWord === vector.watchdog) this.watchdog.pending = false
    else if (vectorWord === vector.timer1Capture) this.timer.flags &= ~flagCapture
    else if (vectorWord === vector.timer1CompareA) this.timer.flags &= ~flagCompareA
    else if (vectorWord === vector.timer1CompareB) this.timer.flags &= ~flagCompareB
    else if (vectorWord === vector.timer1Overflow) this.timer.flags &= ~flagOverflow
  }

  private writePlain(at: number, value: number): void {
    const refused = notModelled[at]
    if (refused && value & refused.bits) this.refuse(refused.what)
    if (at === address.gtccr) {
      if (value & 0x80) this.refuse("holding the prescaler (TSM in GTCCR)")
      if (value & 1) this.timer.resetPrescaler(this.core.cycles)
      return
    }
    if (at === address.clkpr && value & 0x0f) this.refuse("a divided system clock (CLKPR)")
    if (at === address.prr && value & 0x08) this.refuse("timer 1 switched off for power (PRR)")
    if (at === address.mcucr && value & 0x02) this.refuse("interrupt vectors in the boot section (MCUCR)")
    this.core.data[at] = at === address.clkpr ? 0 : value
  }

  private refuse(what: string): void {
    this.core.stop(`the image uses ${what}, which this bench does not model`)
  }
}

function isTimer(at: number): boolean {
  return at === tifr1 || at === timsk1 || (at >= tccr1a && at <= ocr1bH)
}
