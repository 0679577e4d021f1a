// Ports B, C and D: direction, output latch and what the pins read, with the toggle on writes to PINx.

/** Index 0 = B, 1 = C, 2 = D; data addresses PINB 0x23 … PORTD 0x2B. */
export class Ports {
  readonly latch = new Uint8Array(3)
  readonly direction = new Uint8Array(3)
  /** Level the board puts on each pin. */
  readonly outside = new Uint8Array(3)
  /** Which pins the board drives at all; the others read the chip's own pull-up, else low. */
  readonly driven = new Uint8Array(3)
  /** Called after every write that may change what the chip puts on its pins. */
  onChange: (cycle: number, port: number) => void = () => {}
  /** Called when the program reads the pins of a port. */
  onRead: (port: number) => void = () => {}

  reset(cycle: number): void {
    this.latch.fill(0)
    this.direction.fill(0)
    for (let port = 0; port < 3; port++) this.onChange(cycle, port)
  }

  setOutside(port: number, bit: number, high: boolean): void {
    this.driven[port]! |= 1 << bit
    if (high) this.outside[port]! |= 1 << bit
    else this.outside[port]! &= ~(1 << bit)
  }

  read(address: number): number {
    const port = Math.floor((address - 0x23) / 3)
    const what = (address - 0x23) % 3
    if (what === 1) return this.direction[port]!
    const latch = this.latch[port]!
    if (what === 2) return latch
    this.onRead(port)
    const out = this.direction[port]!
    const driven = this.driven[port]!
    return (latch & out) | (~out & ((this.outside[port]! & driven) | (latch & ~driven)) & 255)
  }

  write(address: number, value: number, mask: number, cycle: number): void {
    const port = Math.floor((address - 0x23) / 3)
    const what = (address - 0x23) % 3
    if (what === 0) this.latch[port]! ^= value & mask
    else {
      const register = what === 1 ? this.direction : this.latch
      register[port] = (register[port]! & ~mask) | (value & mask)
    }
    this.onChange(cycle, port)
  }
}
