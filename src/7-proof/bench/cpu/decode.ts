// Instruction words → operation and operands, once for the whole flash. Encodings after the AVR instruction
// set manual; what the ATmega328P does not have (ELPM, EIJMP, SPM in this bench, DES, …) decodes as illegal.

import { operation as op } from "./operations.ts"

/** Flash of the ATmega328P in 16-bit words. */
export const flashWords = 0x4000

export interface Program {
  /** Operation number of every word address. */
  readonly operation: Uint8Array
  /** First operand: destination or source register, register pair, or bit number of a status flag. */
  readonly a: Uint8Array
  /** Second operand: register, constant, displacement, bit mask, I/O or data address, or target word address. */
  readonly b: Uint16Array
  /** 2 where the instruction at this word takes two words. */
  readonly words: Uint8Array
  readonly bytes: Uint8Array
}

/** Decodes every word of a 32 KB flash; `image` may be shorter, the rest is erased (0xFF). */
export function decodeFlash(image: Uint8Array): Program {
  const bytes = new Uint8Array(flashWords * 2).fill(0xff)
  bytes.set(image.subarray(0, bytes.length))
  const program: Program = {
    operation: new Uint8Array(flashWords),
    a: new Uint8Array(flashWords),
    b: new Uint16Array(flashWords),
    words: new Uint8Array(flashWords).fill(1),
    bytes,
  }
  // Most of the flash is erased, and every trial on the bench decodes anew.
  const erased = decodeWord(0xffff, 0xffff, 0)
  program.operation.fill(erased[0])
  program.a.fill(erased[1])
  program.b.fill(erased[2])
  for (let at = 0; at < flashWords; at++) {
    const next = (at + 1) % flashWords
    const word = bytes[2 * at]! | (bytes[2 * at + 1]! << 8)
    if (word === 0xffff) continue
    const after = bytes[2 * next]! | (bytes[2 * next + 1]! << 8)
    const [operation, a, b, words] = decodeWord(word, after, at)
    program.operation[at] = operation
    program.a[at] = a
    program.b[at] = b
    program.words[at] = words
  }
  markDelays(program)
  return program
}

/** A DEC that the BRNE after it goes back to, a loop that only lets time pass, has 1 as its second operand. */
function markDelays({ operation, a, b }: Program): void {
  for (let at = 0; at + 1 < flashWords; at++) {
    const isBack = operation[at + 1] === op.brbc && a[at + 1] === zeroFlag && b[at + 1] === at
    if (operation[at] === op.dec && isBack) b[at] = 1
  }
}

const zeroFlag = 0x02

type Decoded = readonly [operation: number, a: number, b: number, words: 1 | 2]

const illegal: Decoded = [op.illegal, 0, 0, 1]

function decodeWord(w: number, after: number, at: number): Decoded {
  const d5 = (w >> 4) & 31
  const r5 = (w & 15) | ((w >> 5) & 16)
  const d4 = 16 + ((w >> 4) & 15)
  const k8 = (w & 15) | ((w >> 4) & 0xf0)
  const relative = (offset: number) => (at + 1 + offset) & (flashWords - 1)

  switch (w >> 12) {
    case 0x0:
      if (w === 0) return [op.nop, 0, 0, 1]
      switch (w >> 8) {
        case 0x01:
          return [op.movw, ((w >> 4) & 15) * 2, (w & 15) * 2, 1]
        case 0x02:
          return [op.muls, d4, 16 + (w & 15), 1]
        case 0x03: {
          const kind = [op.mulsu, op.fmul, op.fmuls, op.fmulsu][((w >> 6) & 2) | ((w >> 3) & 1)]!
          return [kind, 16 + ((w >> 4) & 7), 16 + (w & 7), 1]
        }
      }
      if (w >> 10 === 1) return [op.cpc, d5, r5, 1]
      if (w >> 10 === 2) return [op.sbc, d5, r5, 1]
      if (w >> 10 === 3) return [op.add, d5, r5, 1]
      return illegal
    case 0x1:
      return [[op.cpse, op.cp, op.sub, op.adc][(w >> 10) & 3]!, d5, r5, 1]
    case 0x2:
      return [[op.and, op.eor, op.or, op.mov][(w >> 10) & 3]!, d5, r5, 1]
    case 0x3:
      return [op.cpi, d4, k8, 1]
    case 0x4:
      return [op.sbci, d4, k8, 1]
    case 0x5:
      return [op.subi, d4, k8, 1]
    case 0x6:
      return [op.ori, d4, k8, 1]
    case 0x7:
      return [op.andi, d4, k8, 1]
    case 0x8:
    case 0xa: {
      const displacement = (w & 7) | ((w >> 7) & 0x18) | ((w >> 8) & 0x20)
      const pair = w & 8 ? 28 : 30
      // The base register rides in the upper byte of b.
      const b = displacement | (pair << 8)
      return [w & 0x200 ? op.storeDisplaced : op.loadDisplaced, d5, b, 1]
    }
    case 0x9:
      return decode9(w, after, d5, r5)
    case 0xb:
      return [w & 0x800 ? op.out : op.in, d5, 0x20 + ((w & 15) | ((w >> 5) & 0x30)), 1]
    case 0xc:
      return [op.rjmp, 0, relative(((w & 0xfff) << 20) >> 20), 1]
    case 0xd:
      return [op.rcall, 0, relative(((w & 0xfff) << 20) >> 20), 1]
    case 0xe:
      return [op.ldi, d4, k8, 1]
    default:
      if ((w & 0x0800) === 0)
        return [w & 0x400 ? op.brbc : op.brbs, 1 << (w & 7), relative((((w >> 3) & 127) << 25) >> 25), 1]
      if (w & 8) return illegal
      return [[op.bld, op.bst, op.sbrc, op.sbrs][(w >> 9) & 3]!, d5, 1 << (w & 7), 1]
  }
}

function decode9(w: number, after: number, d5: number, r5: number): Decoded {
  if ((w & 0xfc00) === 0x9c00) return [op.mul, d5, r5, 1]
  if ((w & 0xfc00) === 0x9800) {
    const kind = [op.cbi, op.sbic, op.sbi, op.sbis][(w >> 8) & 3]!
    return [kind, 0x20 + ((w >> 3) & 31), 1 << (w & 7), 1]
  }
  if ((w & 0xfe00) === 0x9600) {
    const k = (w & 15) | ((w >> 2) & 0x30)
    return [w & 0x100 ? op.sbiw : op.adiw, 24 + ((w >> 3) & 6), k, 1]
  }
  if ((w & 0xfc00) === 0x9000) return decodeLoadStore(w, after, d5)
  // 1001 010x: one-operand arithmetic, flags, flow.
  const low = w & 15
  const arithmetic = [op.com, op.neg, op.swap, op.inc, 0, op.asr, op.lsr, op.ror, 0, 0, op.dec][low]
  if (arithmetic) return [arithmetic, d5, 0, 1]
  if ((w & 0xff8f) === 0x9408) return [op.bset, 1 << ((w >> 4) & 7), 0, 1]
  if ((w & 0xff8f) === 0x9488) return [op.bclr, 1 << ((w >> 4) & 7), 0, 1]
  // Flash has 14 word-address bits; the chip ignores the upper ones.
  if ((w & 0xfe0e) === 0x940c) return [op.jmp, 0, after & (flashWords - 1), 2]
  if ((w & 0xfe0e) === 0x940e) return [op.call, 0, after & (flashWords - 1), 2]
  switch (w) {
    case 0x9409:
      return [op.ijmp, 0, 0, 1]
    case 0x9509:
      return [op.icall, 0, 0, 1]
    case 0x9508:
      return [op.ret, 0, 0, 1]
    case 0x9518:
      return [op.reti, 0, 0, 1]
    case 0x9588:
      return [op.sleep, 0, 0, 1]
    case 0x95a8:
      return [op.wdr, 0, 0, 1]
    case 0x95c8:
      return [op.lpm, 0, 0, 1]
  }
  return illegal
}

function decodeLoadStore(w: number, after: number, d5: number): Decoded {
  const store = (w & 0x200) !== 0
  switch (w & 15) {
    case 0x0:
      return [store ? op.sts : op.lds, d5, after, 2]
    case 0x1:
      return [store ? op.storePlus : op.loadPlus, d5, 30, 1]
    case 0x2:
      return [store ? op.storeMinus : op.loadMinus, d5, 30, 1]
    case 0x9:
      return [store ? op.storePlus : op.loadPlus, d5, 28, 1]
    case 0xa:
      return [store ? op.storeMinus : op.loadMinus, d5, 28, 1]
    case 0xc:
      return [store ? op.storeX : op.loadX, d5, 26, 1]
    case 0xd:
      return [store ? op.storeXPlus : op.loadXPlus, d5, 26, 1]
    case 0xe:
      return [store ? op.storeXMinus : op.loadXMinus, d5, 26, 1]
    case 0xf:
      return [store ? op.push : op.pop, d5, 0, 1]
    case 0x4:
      return store ? illegal : [op.lpm, d5, 0, 1]
    case 0x5:
      return store ? illegal : [op.lpmPlus, d5, 0, 1]
  }
  return illegal
}
