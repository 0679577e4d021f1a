// The 1 KB EEPROM: guarded write, busy time, read. Contents survive resets.

const readEnable = 0x01
const programEnable = 0x02
const masterEnable = 0x04
const readyInterrupt = 0x08

export class Eeprom {
  readonly bytes = new Uint8Array(1024).fill(0xff)
  nextEvent = Number.POSITIVE_INFINITY
  /** Writes begun, for wear. */
  writes = 0
  private control = 0
  private data = 0
  private at = 0
  private armedUntil = -1
  private readonly writeCycles: number

  /** `writeCycles`: erase and write, 3.4 ms. */
  constructor(writeCycles: number) {
    this.writeCycles = writeCycles
  }

  reset(): void {
    this.control = 0
    this.data = 0
    this.at = 0
    this.armedUntil = -1
    this.nextEvent = Number.POSITIVE_INFINITY
  }

  /** EE READY asks for its interrupt as long as it is enabled and nothing is being written. */
  get pending(): boolean {
    return (this.control & (readyInterrupt | programEnable)) === readyInterrupt
  }

  read(address: number): number {
    return [this.control, this.data, this.at & 255, this.at >> 8][address - 0x3f]!
  }

  /** Returns the cycles the processor is halted. */
  write(address: number, value: number, mask: number, cycle: number): number {
    if (address === 0x40) this.data = value
    else if (address === 0x41) this.at = (this.at & 0x300) | value
    else if (address === 0x42) this.at = (this.at & 0xff) | ((value & 3) << 8)
    else return this.command((this.control & ~mask) | (value & mask), cycle)
    return 0
  }

  private command(value: number, cycle: number): number {
    const busy = (this.control & programEnable) !== 0
    this.control = (this.control & programEnable) | (value & (readyInterrupt | 0x30))
    if (value & readEnable && !busy) {
      this.data = this.bytes[this.at]!
      return 4
    }
    if (value & programEnable && cycle <= this.armedUntil && !busy) {
      const mode = (value >> 4) & 3
      if (mode === 0) this.bytes[this.at] = this.data
      else if (mode === 1) this.bytes[this.at] = 0xff
      else if (mode === 2) this.bytes[this.at]! &= this.data
      this.writes++
      this.control |= programEnable
      this.armedUntil = -1
      this.nextEvent = cycle + this.writeCycles
      return 2
    }
    if (value & masterEnable) this.armedUntil = cycle + 4
    return 0
  }

  done(): void {
    this.control &= ~programEnable
    this.nextEvent = Number.POSITIVE_INFINITY
  }
}
