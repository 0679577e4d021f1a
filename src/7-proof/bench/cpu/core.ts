// The AVRe+ core of the ATmega328P: registers, status, stack, one instruction after another with its cycles.
// It knows nothing of peripherals: addresses outside RAM go through `Surroundings`, and whenever `cycles`
// reaches `attention` the surroundings may raise interrupts, skip sleep or stop the run.
// Flag formulas and cycle counts after the AVR instruction set manual (AVRe+ column, 16-bit program counter).

import { decodeFlash, flashWords, type Program } from "./decode.ts"

/** First data address of the RAM, and the first behind it. */
export interface Ram {
  readonly start: number
  readonly end: number
}

/** The ATmega328P's. */
export const megaRam: Ram = { start: 0x100, end: 0x900 }

export interface Surroundings {
  /** I/O register at data address 0x20…0xFF; `core.cycles` is the cycle at which the instruction began. */
  readIo(address: number): number
  /** Only the bits in `mask` are written; `core.cycles` is the cycle at which the instruction ends. */
  writeIo(address: number, value: number, mask: number): void
  /** Must leave `attention` > `cycles`, or return false to stop. May change pc, sp, sreg and cycles. */
  attend(): boolean
  sleep(): void
  watchdogReset(): void
}

/** Why a run could not go on: the image did what the chip does not define or this bench does not model. */
export interface Fault {
  readonly reason: string
  /** Byte address of the instruction. */
  readonly address: number
  readonly cycle: number
}

const carry = 0x01
const zero = 0x02
const signBit = 0x10
const transfer = 0x40
const interrupts = 0x80

/** N, Z, S and V of a result; index: result | (overflow ? 256 : 0). */
const nzsv = new Uint8Array(512)
for (let i = 0; i < 512; i++) {
  const n = (i >> 7) & 1
  const v = i >> 8
  nzsv[i] = (n << 2) | (v << 3) | ((n ^ v) << 4) | ((i & 255) === 0 ? zero : 0)
}

export class Core {
  readonly program: Program
  /** Registers 0…31, I/O 32…255 (kept by the surroundings), RAM 256…2303. */
  readonly data: Uint8Array
  pc = 0
  sp = 0
  sreg = 0
  cycles = 0
  attention = 0
  /** No interrupt is taken before this cycle: one instruction follows whatever set the I flag. */
  shadow = 0
  fault: Fault | undefined
  /** Deepest stack pointer and highest statically used address seen, for the stack margin. */
  lowestSp: number
  highestStatic: number
  /** Word addresses executed. */
  readonly executed = new Uint8Array(flashWords)
  /** Byte addresses read as data by LPM. */
  readonly flashRead = new Uint8Array(flashWords * 2)
  private readonly around: Surroundings

  readonly ram: Ram

  constructor(image: Uint8Array, around: Surroundings, ram: Ram = megaRam) {
    this.ram = ram
    this.data = new Uint8Array(ram.end)
    this.lowestSp = ram.end - 1
    this.highestStatic = ram.start - 1
    this.program = decodeFlash(image)
    this.around = around
  }

  stop(reason: string, address = this.pc * 2): void {
    this.fault ??= { reason, address, cycle: this.cycles }
    this.attention = 0
  }

  /** Pushes the program counter and jumps to an interrupt vector; the caller has counted nothing yet. */
  enterInterrupt(vectorWord: number, cost: number): void {
    this.pushPc(this.pc)
    this.sreg &= ~interrupts
    this.pc = vectorWord
    this.cycles += cost
  }

  private pushPc(pc: number): void {
    const { data, sp, ram } = this
    if (sp - 1 < ram.start || sp >= ram.end) {
      this.stop(
        `stack pointer 0x${sp.toString(16)} outside the RAM: the stack overflowed or was never set up`,
      )
      return
    }
    data[sp] = pc & 255
    data[sp - 1] = pc >> 8
    this.sp = sp - 2
    if (this.sp < this.lowestSp) this.lowestSp = this.sp
  }

  private popPc(sp: number): number {
    if (sp + 2 >= this.ram.end || sp + 1 < this.ram.start) {
      this.stop(`return with the stack pointer at 0x${sp.toString(16)}: more was popped than pushed`)
      return this.pc
    }
    return ((this.data[sp + 1]! << 8) | this.data[sp + 2]!) & (flashWords - 1)
  }

  /** A read outside RAM. */
  private readFar(at: number): number {
    if (at < 0x20) return this.data[at]!
    if (at === 0x5d) return this.sp & 255
    if (at === 0x5e) return this.sp >> 8
    if (at === 0x5f) return this.sreg
    if (at < this.ram.start) return this.around.readIo(at)
    this.stop(`read from data address 0x${at.toString(16)}, where the chip has no memory`)
    return 0
  }

  /** A write outside RAM; the loop reloads sreg and sp afterwards. */
  private writeFar(at: number, value: number, mask: number): void {
    if (at < 0x20) this.data[at] = value
    // The low byte is written last, so only then is the pointer whole.
    else if (at === 0x5d) {
      this.sp = (this.sp & 0xff00) | value
      if (this.sp < this.lowestSp) this.lowestSp = this.sp
    } else if (at === 0x5e) this.sp = (this.sp & 0xff) | ((value & 0x0f) << 8)
    else if (at === 0x5f) {
      if (value & ~this.sreg & interrupts) this.shadow = this.cycles + 1
      this.sreg = value
      this.attention = 0
    } else if (at < this.ram.start) this.around.writeIo(at, value, mask)
    else this.stop(`write to data address 0x${at.toString(16)}, where the chip has no memory`)
  }

  /** Runs until the surroundings stop it or a fault does. */
  run(): void {
    const { data, executed, flashRead, around } = this
    const { start: ramStart, end: ramEnd } = this.ram
    const { operation, a: first, b: second, words, bytes } = this.program
    let { pc, sp, sreg, cycles } = this
    for (;;) {
      if (cycles >= this.attention) {
        this.pc = pc
        this.sp = sp
        this.sreg = sreg
        this.cycles = cycles
        if (this.fault || !around.attend() || this.fault) return
        pc = this.pc
        sp = this.sp
        sreg = this.sreg
        cycles = this.cycles
      }
      const a = first[pc]!
      const b = second[pc]!
      executed[pc] = 1
      switch (operation[pc]) {
        case 1: // NOP
          break
        case 2: // MOVW
          data[a] = data[b]!
          data[a + 1] = data[b + 1]!
          break
        case 3: // MULS
        case 4: // MULSU
        case 5: // FMUL
        case 6: // FMULS
        case 7: // FMULSU
        case 66: {
          // MUL
          const kind = operation[pc]!
          const d = kind === 66 || kind === 5 ? data[a]! : (data[a]! << 24) >> 24
          const r = kind === 3 || kind === 6 ? (data[b]! << 24) >> 24 : data[b]!
          const product = (d * r) & 0xffff
          const result = kind >= 5 && kind <= 7 ? (product << 1) & 0xffff : product
          data[0] = result & 255
          data[1] = result >> 8
          sreg = (sreg & 0xfc) | (product >> 15) | (result === 0 ? zero : 0)
          cycles++
          break
        }
        case 8: {
          // CPC
          const d = data[a]!
          const s = data[b]!
          const r = d - s - (sreg & 1)
          const f = subFlags(d, s, r)
          sreg = (sreg & 0xc0) | (f & ~zero) | (f & sreg & zero)
          break
        }
        case 9: {
          // SBC
          const d = data[a]!
          const s = data[b]!
          const r = d - s - (sreg & 1)
          const f = subFlags(d, s, r)
          sreg = (sreg & 0xc0) | (f & ~zero) | (f & sreg & zero)
          data[a] = r
          break
        }
        case 10: {
          // ADD
          const d = data[a]!
          const s = data[b]!
          const r = d + s
          sreg = (sreg & 0xc0) | addFlags(d, s, r)
          data[a] = r
          break
        }
        case 11: // CPSE
          if (data[a] === data[b]) {
            pc = (pc + 1) & 0x3fff
            cycles += words[pc]!
            pc = (pc + words[pc]! - 1) & 0x3fff
          }
          break
        case 12: {
          // CP
          const d = data[a]!
          const s = data[b]!
          sreg = (sreg & 0xc0) | subFlags(d, s, d - s)
          break
        }
        case 13: {
          // SUB
          const d = data[a]!
          const s = data[b]!
          sreg = (sreg & 0xc0) | subFlags(d, s, d - s)
          data[a] = d - s
          break
        }
        case 14: {
          // ADC
          const d = data[a]!
          const s = data[b]!
          const r = d + s + (sreg & 1)
          sreg = (sreg & 0xc0) | addFlags(d, s, r)
          data[a] = r
          break
        }
        case 15: // AND
          data[a]! &= data[b]!
          sreg = (sreg & 0xe1) | nzsv[data[a]!]!
          break
        case 16: // EOR
          data[a]! ^= data[b]!
          sreg = (sreg & 0xe1) | nzsv[data[a]!]!
          break
        case 17: // OR
          data[a]! |= data[b]!
          sreg = (sreg & 0xe1) | nzsv[data[a]!]!
          break
        case 18: // MOV
          data[a] = data[b]!
          break
        case 19: {
          // CPI
          const d = data[a]!
          sreg = (sreg & 0xc0) | subFlags(d, b, d - b)
          break
        }
        case 20: {
          // SBCI
          const d = data[a]!
          const r = d - b - (sreg & 1)
          const f = subFlags(d, b, r)
          sreg = (sreg & 0xc0) | (f & ~zero) | (f & sreg & zero)
          data[a] = r
          break
        }
        case 21: {
          // SUBI
          const d = data[a]!
          sreg = (sreg & 0xc0) | subFlags(d, b, d - b)
          data[a] = d - b
          break
        }
        case 22: // ORI
          data[a]! |= b
          sreg = (sreg & 0xe1) | nzsv[data[a]!]!
          break
        case 23: // ANDI
          data[a]! &= b
          sreg = (sreg & 0xe1) | nzsv[data[a]!]!
          break
        case 24: // LDD
        case 26: // LD X
        case 27: // LD X+
        case 28: // LD −X
        case 29: // LD Y+, Z+
        case 30: // LD −Y, −Z
        case 36: {
          // LDS
          let at = b
          switch (operation[pc]) {
            case 24:
              at = ((data[b >> 8]! | (data[(b >> 8) + 1]! << 8)) + (b & 63)) & 0xffff
              break
            case 26:
              at = data[26]! | (data[27]! << 8)
              break
            case 27:
            case 29:
              at = data[b]! | (data[b + 1]! << 8)
              data[b] = at + 1
              data[b + 1] = (at + 1) >> 8
              break
            case 28:
            case 30:
              at = ((data[b]! | (data[b + 1]! << 8)) - 1) & 0xffff
              data[b] = at
              data[b + 1] = at >> 8
              break
            default:
              pc = (pc + 1) & 0x3fff
          }
          if (at >= ramStart && at < ramEnd) data[a] = data[at]!
          else {
            this.pc = pc
            this.sp = sp
            this.sreg = sreg
            this.cycles = cycles
            data[a] = this.readFar(at)
          }
          cycles++
          break
        }
        case 25: // STD
        case 31: // ST X
        case 32: // ST X+
        case 33: // ST −X
        case 34: // ST Y+, Z+
        case 35: // ST −Y, −Z
        case 37: {
          // STS
          // The register is read before the pointer moves (the manual leaves ST X+, XL undefined).
          const value = data[a]!
          let at = b
          switch (operation[pc]) {
            case 25:
              at = ((data[b >> 8]! | (data[(b >> 8) + 1]! << 8)) + (b & 63)) & 0xffff
              break
            case 31:
              at = data[26]! | (data[27]! << 8)
              break
            case 32:
            case 34:
              at = data[b]! | (data[b + 1]! << 8)
              data[b] = at + 1
              data[b + 1] = (at + 1) >> 8
              break
            case 33:
            case 35:
              at = ((data[b]! | (data[b + 1]! << 8)) - 1) & 0xffff
              data[b] = at
              data[b + 1] = at >> 8
              break
            default:
              pc = (pc + 1) & 0x3fff
          }
          cycles++
          if (at >= ramStart && at < ramEnd) {
            data[at] = value
            if (at <= sp && at > this.highestStatic) this.highestStatic = at
          } else {
            this.pc = pc
            this.sp = sp
            this.sreg = sreg
            this.cycles = cycles + 1
            this.writeFar(at, value, 255)
            sp = this.sp
            sreg = this.sreg
          }
          break
        }
        case 38: // LPM
        case 39: {
          // LPM Z+
          const z = data[30]! | (data[31]! << 8)
          if (operation[pc] === 39) {
            data[30] = z + 1
            data[31] = (z + 1) >> 8
          }
          data[a] = bytes[z & 0x7fff]!
          flashRead[z & 0x7fff] = 1
          cycles += 2
          break
        }
        case 40: // POP
          sp++
          if (sp >= ramEnd || sp < ramStart) {
            this.pc = pc
            this.cycles = cycles
            this.stop(`POP with the stack pointer at 0x${sp.toString(16)}: more was popped than pushed`)
          } else data[a] = data[sp]!
          cycles++
          break
        case 41: // PUSH
          if (sp < ramStart || sp >= ramEnd) {
            this.pc = pc
            this.cycles = cycles
            this.stop(`PUSH with the stack pointer at 0x${sp.toString(16)}: the stack left the RAM`)
          } else data[sp] = data[a]!
          sp--
          if (sp < this.lowestSp) this.lowestSp = sp
          cycles++
          break
        case 42: // COM
          data[a]! ^= 255
          sreg = (sreg & 0xe0) | nzsv[data[a]!]! | carry
          break
        case 43: {
          // NEG
          const d = data[a]!
          data[a] = -d
          sreg = (sreg & 0xc0) | subFlags(0, d, -d)
          break
        }
        case 44: {
          // SWAP
          const d = data[a]!
          data[a] = (d << 4) | (d >> 4)
          break
        }
        case 45: {
          // INC
          const r = (data[a]! + 1) & 255
          data[a] = r
          sreg = (sreg & 0xe1) | nzsv[r === 0x80 ? r | 256 : r]!
          break
        }
        case 46: // ASR
        case 47: // LSR
        case 48: {
          // ROR
          const d = data[a]!
          const top = operation[pc] === 46 ? d & 128 : operation[pc] === 48 ? (sreg & 1) << 7 : 0
          const r = (d >> 1) | top
          data[a] = r
          const c = d & 1
          sreg = (sreg & 0xe0) | nzsv[(((r >> 7) ^ c) << 8) | r]! | c
          break
        }
        case 49: {
          // DEC
          if (b !== 0) {
            // A delay loop: its rounds of three cycles at once, up to the last or to what must be attended to.
            const left = data[a]! === 0 ? 256 : data[a]!
            const rounds = Math.min(left - 1, Math.floor((this.attention - 1 - cycles) / 3))
            if (rounds > 0) {
              data[a] = left - rounds
              cycles += 3 * rounds
              executed[pc + 1] = 1
            }
          }
          const r = (data[a]! - 1) & 255
          data[a] = r
          sreg = (sreg & 0xe1) | nzsv[r === 0x7f ? r | 256 : r]!
          break
        }
        case 50: // BSET
          if (a & ~sreg & interrupts) {
            this.shadow = cycles + 2
            this.attention = 0
          }
          sreg |= a
          break
        case 51: // BCLR
          sreg &= ~a
          break
        case 52: // IJMP
          pc = ((data[30]! | (data[31]! << 8)) - 1) & 0x3fff
          cycles++
          break
        case 53: // ICALL
        case 59: // CALL
        case 70: {
          // RCALL
          const kind = operation[pc]
          const target = kind === 53 ? (data[30]! | (data[31]! << 8)) & 0x3fff : b
          this.sp = sp
          this.pc = pc
          this.cycles = cycles
          this.pushPc((pc + words[pc]!) & 0x3fff)
          sp = this.sp
          cycles += kind === 59 ? 3 : 2
          pc = (target - 1) & 0x3fff
          break
        }
        case 54: // RET
        case 55: {
          // RETI
          const reti = operation[pc] === 55
          this.pc = pc
          this.cycles = cycles
          pc = (this.popPc(sp) - 1) & 0x3fff
          sp += 2
          cycles += 3
          if (reti) {
            sreg |= interrupts
            this.shadow = cycles + 2
            this.attention = 0
          }
          break
        }
        case 56: // SLEEP
          this.cycles = cycles + 1
          this.pc = pc
          around.sleep()
          break
        case 57: // WDR
          this.cycles = cycles + 1
          around.watchdogReset()
          break
        case 58: // JMP
          pc = b - 1
          cycles += 2
          break
        case 60: {
          // ADIW
          const d = data[a]! | (data[a + 1]! << 8)
          const r = (d + b) & 0xffff
          data[a] = r
          data[a + 1] = r >> 8
          const v = (~d & r) >> 15
          const c = (d & ~r) >> 15
          sreg = (sreg & 0xe0) | wordFlags(r, v & 1) | (c & 1)
          cycles++
          break
        }
        case 61: {
          // SBIW
          const d = data[a]! | (data[a + 1]! << 8)
          const r = (d - b) & 0xffff
          data[a] = r
          data[a + 1] = r >> 8
          const v = (d & ~r) >> 15
          const c = (~d & r) >> 15
          sreg = (sreg & 0xe0) | wordFlags(r, v & 1) | (c & 1)
          cycles++
          break
        }
        case 62: // CBI
        case 64: {
          // SBI
          this.pc = pc
          this.sp = sp
          this.sreg = sreg
          this.cycles = cycles + 2
          around.writeIo(a, operation[pc] === 64 ? b : 0, b)
          cycles++
          break
        }
        case 63: // SBIC
        case 65: {
          // SBIS
          this.pc = pc
          this.sp = sp
          this.sreg = sreg
          this.cycles = cycles
          const set = (this.readFar(a) & b) !== 0
          if (set === (operation[pc] === 65)) {
            pc = (pc + 1) & 0x3fff
            cycles += words[pc]!
            pc = (pc + words[pc]! - 1) & 0x3fff
          }
          break
        }
        case 67: // IN
          this.pc = pc
          this.sp = sp
          this.sreg = sreg
          this.cycles = cycles
          data[a] = this.readFar(b)
          break
        case 68: // OUT
          this.pc = pc
          this.sp = sp
          this.sreg = sreg
          this.cycles = cycles + 1
          this.writeFar(b, data[a]!, 255)
          sp = this.sp
          sreg = this.sreg
          break
        case 69: // RJMP
          // One to itself waits for an interrupt or a reset.
          if (b === pc && this.attention > cycles + 2)
            cycles += 2 * Math.ceil((this.attention - cycles - 2) / 2)
          pc = b - 1
          cycles++
          break
        case 71: // LDI
          data[a] = b
          break
        case 72: // BRBS
          if (sreg & a) {
            pc = b - 1
            cycles++
          }
          break
        case 73: // BRBC
          if (!(sreg & a)) {
            pc = b - 1
            cycles++
          }
          break
        case 74: // BLD
          if (sreg & transfer) data[a]! |= b
          else data[a]! &= ~b
          break
        case 75: // BST
          sreg = data[a]! & b ? sreg | transfer : sreg & ~transfer
          break
        case 76: // SBRC
        case 77: // SBRS
          if (((data[a]! & b) !== 0) === (operation[pc] === 77)) {
            pc = (pc + 1) & 0x3fff
            cycles += words[pc]!
            pc = (pc + words[pc]! - 1) & 0x3fff
          }
          break
        default:
          this.pc = pc
          this.cycles = cycles
          this.stop(
            `word ${hexWord(bytes, pc)} is no instruction this bench knows (erased flash, data or self-programming)`,
          )
          pc--
          cycles--
      }
      pc = (pc + 1) & 0x3fff
      cycles++
    }
  }
}

function addFlags(d: number, s: number, r: number): number {
  return nzsv[(((d ^ r) & (s ^ r) & 0x80) << 1) | (r & 255)]! | ((r >> 8) & 1) | (((d ^ s ^ r) & 0x10) << 1)
}

function subFlags(d: number, s: number, r: number): number {
  return nzsv[(((d ^ s) & (d ^ r) & 0x80) << 1) | (r & 255)]! | ((r >> 8) & 1) | (((d ^ s ^ r) & 0x10) << 1)
}

function wordFlags(r: number, v: number): number {
  const n = r >> 15
  return (n << 2) | (v << 3) | (n ^ v ? signBit : 0) | (r === 0 ? zero : 0)
}

function hexWord(bytes: Uint8Array, pc: number): string {
  const word = bytes[2 * pc]! | (bytes[2 * pc + 1]! << 8)
  return `0x${word.toString(16).padStart(4, "0")}`
}
