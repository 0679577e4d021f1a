// Which mutants provably do the same: the instruction takes the same cycles, and what it leaves otherwise in registers
// and flags is overwritten on every way on before anything depends on it. Never claimed where a jump, a store, a port or
// a load from an unknown place is concerned.

import { Core } from "../cpu/core.ts"
import { decodeFlash, type Program } from "../cpu/decode.ts"
import { operation as op } from "../cpu/operations.ts"
import { type Mutant, spoilt } from "./mutants.testing.ts"

const C = 1
const Z = 2
const H = 0x20
const T = 0x40
const nzv = 0x1e
const arithmetic = nzv | C | H

/** What an instruction reads and writes: registers and flags as bits. */
interface Effect {
  readonly reads: number
  readonly writes: number
  readonly flagsRead: number
  readonly flagsWritten: number
}

const bit = (register: number) => 1 << register
const pair = (register: number) => (1 << register) | (1 << (register + 1))

/** Of what only computes; undefined: it does more than that. */
function computing(kind: number, a: number, b: number): Effect | undefined {
  const of = (reads: number, writes: number, flagsRead = 0, flagsWritten = 0): Effect => ({
    reads,
    writes,
    flagsRead,
    flagsWritten,
  })
  const two = bit(a) | bit(b)
  // Whatever a register holds, it differs from itself by nothing.
  const own = a === b
  switch (kind) {
    case op.nop:
      return of(0, 0)
    case op.movw:
      return of(pair(b), pair(a))
    case op.mul:
    case op.muls:
    case op.mulsu:
    case op.fmul:
    case op.fmuls:
    case op.fmulsu:
      return of(two, pair(0), 0, Z | C)
    case op.cp:
      return of(own ? 0 : two, 0, 0, arithmetic)
    case op.cpc:
      return of(own ? 0 : two, 0, C | Z, arithmetic)
    case op.sub:
      return of(own ? 0 : two, bit(a), 0, arithmetic)
    case op.sbc:
      return of(own ? 0 : two, bit(a), C | Z, arithmetic)
    case op.add:
      return of(two, bit(a), 0, arithmetic)
    case op.adc:
      return of(two, bit(a), C, arithmetic)
    case op.eor:
      return of(own ? 0 : two, bit(a), 0, nzv)
    case op.and:
    case op.or:
      return of(two, bit(a), 0, nzv)
    case op.mov:
      return of(bit(b), bit(a))
    case op.ldi:
      return of(0, bit(a))
    case op.cpi:
      return of(bit(a), 0, 0, arithmetic)
    case op.subi:
      return of(bit(a), bit(a), 0, arithmetic)
    case op.sbci:
      return of(bit(a), bit(a), C | Z, arithmetic)
    case op.ori:
    case op.andi:
    case op.inc:
    case op.dec:
      return of(bit(a), bit(a), 0, nzv)
    case op.com:
    case op.asr:
    case op.lsr:
      return of(bit(a), bit(a), 0, nzv | C)
    case op.ror:
      return of(bit(a), bit(a), C, nzv | C)
    case op.neg:
      return of(bit(a), bit(a), 0, arithmetic)
    case op.swap:
      return of(bit(a), bit(a))
    case op.adiw:
    case op.sbiw:
      return of(pair(a), pair(a), 0, nzv | C)
    case op.bld:
      return of(bit(a), bit(a), T)
    case op.bst:
      return of(bit(a), 0, 0, T)
    case op.lpm:
      return of(pair(30), bit(a))
    case op.lpmPlus:
      return of(pair(30), pair(30) | bit(a))
    case op.bset:
    case op.bclr:
      // The interrupt flag is no matter of computing.
      return a === 0x80 ? undefined : of(0, 0, 0, a)
  }
  return undefined
}

const twoCycles = new Set<number>([op.mul, op.muls, op.mulsu, op.fmul, op.fmuls, op.fmulsu, op.adiw, op.sbiw])
const cyclesOf = (kind: number) => (kind === op.lpm || kind === op.lpmPlus ? 3 : twoCycles.has(kind) ? 2 : 1)

interface Instruction {
  readonly kind: number
  readonly a: number
  readonly b: number
  readonly words: number
}
const at = (p: Program, pc: number): Instruction => ({
  kind: p.operation[pc]!,
  a: p.a[pc]!,
  b: p.b[pc]!,
  words: p.words[pc]!,
})

/** What may differ somewhere after an instruction: registers and flags as bits. */
interface Taint {
  readonly registers: number
  readonly flags: number
}

export function isEquivalent(image: Uint8Array, mutant: Mutant): boolean {
  const sound = decodeFlash(image)
  const changed = decodeFlash(spoilt(mutant)(image.slice()))
  const [here, there] = [at(sound, mutant.word), at(changed, mutant.word)]
  if (here.words !== there.words) return false
  if (here.kind === there.kind && here.a === there.a && here.b === there.b) return true
  const both = (kind: number) => here.kind === kind && there.kind === kind
  const next = mutant.word + here.words
  const registers = bit(here.a) | bit(there.a)
  if (both(op.push)) return vanishes(sound, next, { registers: 0, flags: 0 }, ["differs"])
  if (both(op.pop)) return vanishes(sound, next, { registers, flags: 0 })
  if (waits(sound, mutant.word) && waits(changed, mutant.word)) return true
  const [one, other] = [here, there].map(({ kind, a, b }) => computing(kind, a, b))
  if (!one || !other || cyclesOf(here.kind) !== cyclesOf(there.kind)) return false
  const may: Taint = {
    registers: one.writes | other.writes,
    flags: one.flagsWritten | other.flagsWritten,
  }
  const involved = one.reads | other.reads | one.writes | other.writes
  const flagsIn = one.flagsRead | other.flagsRead | may.flags
  const taint =
    lpms.has(here.kind) || lpms.has(there.kind)
      ? may
      : differing(sound, changed, mutant.word, involved, flagsIn, may)
  return vanishes(sound, mutant.word + here.words, taint)
}

/** Jumps only, into an endless wait: whatever way it takes, the watchdog ends it. */
function waits(program: Program, from: number): boolean {
  let pc = from
  for (let steps = 0; steps < 8; steps++) {
    const { kind, b } = at(program, pc)
    if (kind !== op.jmp && kind !== op.rjmp && kind !== op.call && kind !== op.rcall) return false
    if (b === pc) return kind === op.jmp || kind === op.rjmp
    pc = b
  }
  return false
}

const lpms = new Set<number>([op.lpm, op.lpmPlus])

/** All values of two registers and the flags read are tried; with more registers everything written may differ. */
function differing(
  sound: Program,
  changed: Program,
  pc: number,
  involved: number,
  flagsIn: number,
  may: Taint,
): Taint {
  const registers = Array.from({ length: 32 }, (_, r) => r).filter((r) => (involved >>> r) & 1)
  if (registers.length > 2) return may
  const flags = [0, 1, 2, 3, 4, 5, 6, 7].filter((f) => (flagsIn >> f) & 1 && (1 << f) & (C | Z | T))
  const first = stepper(sound, pc)
  const second = stepper(changed, pc)
  const [r, s] = [registers[0] ?? 0, registers[1] ?? registers[0] ?? 0]
  let [differ, flagsDiffer] = [0, 0]
  for (let f = 0; f < 1 << flags.length; f++) {
    const sreg = flags.reduce((all, flag, i) => all | (((f >> i) & 1) << flag), 0)
    for (let x = 0; x < 256; x++)
      for (let y = 0; y < (r === s ? 1 : 256); y++) {
        const set = (core: Core) => {
          core.data[r] = x
          if (s !== r) core.data[s] = y
        }
        const [p, q] = [first(set, sreg), second(set, sreg)]
        flagsDiffer |= p.sreg ^ q.sreg
        for (const register of registers) if (p.data[register] !== q.data[register]) differ |= bit(register)
      }
  }
  // Products land in r1:r0, which may be beside the two.
  return { registers: differ | (may.registers & ~involved), flags: flagsDiffer & 0x7f }
}

function stepper(program: Program, pc: number) {
  let steps = 0
  const core: Core = new Core(program.bytes, {
    readIo: () => 0,
    writeIo: () => {},
    attend: () => {
      core.attention = core.cycles + 1
      return steps++ === 0
    },
    sleep: () => {},
    watchdogReset: () => {},
  })
  return (set: (core: Core) => void, sreg: number): Core => {
    steps = 0
    core.attention = 0
    core.cycles = 0
    core.pc = pc
    core.sreg = sreg
    set(core)
    core.run()
    return core
  }
}

/** Where a routine that holds the word may return to: behind every call of it. */
function callsOf(program: Program, word: number): number[] {
  const isCall = (pc: number) => program.operation[pc] === op.call || program.operation[pc] === op.rcall
  const calls = [...program.operation.keys()].filter(isCall)
  const holds = new Map<number, boolean>()
  const within = (entry: number): boolean => {
    const seen = new Set<number>()
    const open = [entry]
    while (open.length > 0) {
      const pc = open.pop()!
      if (pc === word) return true
      if (seen.has(pc)) continue
      seen.add(pc)
      const kind = program.operation[pc]!
      const next = pc + program.words[pc]!
      if (kind === op.ret || kind === op.reti || kind === op.illegal) continue
      if (kind === op.jmp || kind === op.rjmp) {
        open.push(program.b[pc]!)
        continue
      }
      open.push(next)
      if (kind === op.brbs || kind === op.brbc) open.push(program.b[pc]!)
      if ([op.cpse, op.sbrc, op.sbrs, op.sbic, op.sbis].some((skip) => skip === kind))
        open.push(next + program.words[next]!)
    }
    return false
  }
  return calls
    .filter((pc) => {
      const entry = program.b[pc]!
      if (!holds.has(entry)) holds.set(entry, within(entry))
      return holds.get(entry)
    })
    .map((pc) => pc + program.words[pc]!)
}

/** Places on the stack: an address to return to, or a pushed register, which may differ or not. */
type Pushed = number | "same" | "differs"

/** Follows every way on until nothing may differ any more; false: something comes to depend on it, or it is not known. */
function vanishes(program: Program, from: number, first: Taint, pushed: readonly Pushed[] = []): boolean {
  const sites = new Map<number, readonly number[]>()
  interface State extends Taint {
    readonly pc: number
    readonly stack: readonly Pushed[]
  }
  const open: State[] = [{ pc: from, ...first, stack: pushed }]
  const seen = new Set<string>()
  while (open.length > 0) {
    const { pc, registers, flags, stack } = open.pop()!
    if (registers === 0 && flags === 0 && !stack.includes("differs")) continue
    const key = `${pc} ${registers} ${flags} ${stack.join()}`
    if (seen.has(key)) continue
    seen.add(key)
    if (seen.size > 20_000 || stack.length > 60) return false
    const { kind, a, b, words } = at(program, pc)
    const next = pc + words
    const go = (to: number, more: Partial<State> = {}) =>
      open.push({ pc: to, registers, flags, stack, ...more })
    const tainted = (mask: number) => (registers & mask) !== 0
    const effect = computing(kind, a, b)
    if (effect) {
      const hit = tainted(effect.reads) || (flags & effect.flagsRead) !== 0
      go(next, {
        registers: hit ? registers | effect.writes : registers & ~effect.writes,
        flags: hit ? flags | effect.flagsWritten : flags & ~effect.flagsWritten,
      })
      continue
    }
    switch (kind) {
      case op.loadDisplaced:
        if (tainted(pair(b >> 8))) return false
        go(next, { registers: registers & ~bit(a) })
        break
      case op.loadX:
      case op.loadXPlus:
      case op.loadXMinus:
      case op.loadPlus:
      case op.loadMinus:
        if (tainted(pair(kind === op.loadX ? 26 : b))) return false
        go(next, { registers: registers & ~bit(a) })
        break
      case op.lds:
        go(next, { registers: registers & ~bit(a) })
        break
      case op.storeDisplaced:
        if (tainted(pair(b >> 8) | bit(a))) return false
        go(next)
        break
      case op.storeX:
      case op.storeXPlus:
      case op.storeXMinus:
      case op.storePlus:
      case op.storeMinus:
        if (tainted(pair(kind === op.storeX ? 26 : b) | bit(a))) return false
        go(next)
        break
      case op.sts:
        if (tainted(bit(a))) return false
        go(next)
        break
      case op.in:
        // The status register tells of the flags.
        go(next, {
          registers: b === 0x5f && flags !== 0 ? registers | bit(a) : registers & ~bit(a),
        })
        break
      case op.out:
        if (tainted(bit(a))) return false
        go(next, { flags: b === 0x5f ? 0 : flags })
        break
      case op.push:
        go(next, { stack: [...stack, tainted(bit(a)) ? "differs" : "same"] })
        break
      case op.pop: {
        // From an empty stack comes what was pushed before the difference.
        const top = stack.at(-1) ?? "same"
        if (typeof top === "number") return false
        go(next, {
          registers: top === "differs" ? registers | bit(a) : registers & ~bit(a),
          stack: stack.slice(0, -1),
        })
        break
      }
      case op.jmp:
      case op.rjmp:
        go(b)
        break
      case op.call:
      case op.rcall:
        go(b, { stack: [...stack, next] })
        break
      case op.ret: {
        const top = stack.at(-1)
        if (typeof top === "string") return false
        if (top === undefined) {
          const found = sites.get(pc) ?? callsOf(program, pc)
          sites.set(pc, found)
          for (const site of found) go(site)
        } else go(top, { stack: stack.slice(0, -1) })
        break
      }
      case op.brbs:
      case op.brbc:
        if (flags & a) return false
        go(next)
        go(b)
        break
      case op.cpse:
      case op.sbrc:
      case op.sbrs:
      case op.sbic:
      case op.sbis:
        if (kind === op.cpse ? tainted(bit(a) | bit(b)) : kind < op.sbrc ? false : tainted(bit(a)))
          return false
        go(next)
        go(next + program.words[next]!)
        break
      case op.sbi:
      case op.cbi:
      case op.wdr:
      case op.sleep:
        go(next)
        break
      case op.bset:
      case op.bclr:
        go(next)
        break
      default:
        // The end of an interrupt, a jump to a computed place, no instruction.
        return false
    }
  }
  return true
}
