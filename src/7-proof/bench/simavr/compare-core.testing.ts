// The state of our core after every instruction, in the form the simavr harness prints it.

import { Core } from "../cpu/core.ts"
import { randomProgram, wordsToBytes } from "../random-program.testing.ts"

export interface CoreRun {
  /** "cycle pc sreg sp hash(registers)" after every `every`-th instruction, numbers but the first in hex. */
  readonly states: readonly string[]
  readonly ram: string
}

export function fnv(bytes: Uint8Array): string {
  let h = 0x811c9dc5
  for (const b of bytes) h = Math.imul(h ^ b, 0x01000193)
  return (h >>> 0).toString(16)
}

export const programUnits = 400
export const programOf = (seed: number) => randomProgram(seed, programUnits)

/** Runs `count` instructions with registers and RAM set up as the harness sets them. */
export function runCore(words: Uint16Array, count: number, every: number): CoreRun {
  const io = new Uint8Array(256)
  const states: string[] = []
  let done = -1
  const core: Core = new Core(wordsToBytes(words), {
    readIo: (at) => io[at]!,
    writeIo: (at, value, mask) => {
      io[at] = (io[at]! & ~mask) | (value & mask)
    },
    attend: () => {
      done++
      if (done > 0 && done % every === 0)
        states.push(
          `${core.cycles} ${core.pc.toString(16)} ${core.sreg.toString(16)} ${core.sp.toString(16)} ${fnv(core.data.subarray(0, 32))}`,
        )
      core.attention = core.cycles + 1
      return done < count
    },
    sleep: () => {},
    watchdogReset: () => {},
  })
  for (let i = 0; i < 0x900; i++) if (i < 32 || i >= 0x100) core.data[i] = (i * 37 + 11) & 255
  core.sp = 0x8ff
  core.run()
  if (core.fault) states.push(`fault ${core.fault.reason} at ${core.fault.address.toString(16)}`)
  return { states, ram: fnv(core.data.subarray(0x100)) }
}

export function harnessInput(words: Uint16Array): string {
  return `words ${words.length}\n${[...words].map((w) => w.toString(16)).join(" ")}\n`
}
