import { describe, expect, test } from "vitest"
import { contentHash } from "../../../0-ground/numbers/hash.ts"
import { controllers } from "../../../4-behaviour/controllers.ts"
import { Chip } from "../chip/atmega328p.ts"
import { chips } from "../random/image-trials.testing.ts"
import { reachableWords } from "../random/reachable-words.testing.ts"
import { wordsToBytes } from "../random-program.testing.ts"
import { readImage } from "../read-image.ts"
import { harnessInput, programOf, runCore } from "../simavr/compare-core.testing.ts"
import { programImage } from "../simavr/compare-ports.testing.ts"
import captured from "../simavr/core-states.json" with { type: "json" }
import { liveSimavr } from "../simavr/live.testing.ts"
import { Core } from "./core.ts"
import { decodeFlash } from "./decode.ts"
import { operation } from "./operations.ts"

test("agrees with the captured states of simavr 1.6 in cycles, flow, flags, registers and RAM", () => {
  expect(captured.programs.length).toBeGreaterThanOrEqual(24)
  for (const { seed, image, states, ram } of captured.programs) {
    const words = programOf(seed)
    expect(contentHash(words.join()), `program ${seed} is the one captured`).toBe(image)
    const run = runCore(words, captured.instructions, captured.every)
    expect(run.states, `program ${seed}`).toEqual(states)
    expect(run.ram, `RAM of program ${seed}`).toBe(ram)
  }
})

/** Operations that the captured programs run through. */
function compared(): Set<number> {
  const seen = new Set<number>()
  for (const { seed } of captured.programs) {
    const words = programOf(seed)
    const core = new Core(
      wordsToBytes(words),
      quiet(100_000, () => core),
    )
    core.sp = 0x8ff
    core.run()
    core.executed.forEach((hit, at) => {
      if (hit) seen.add(core.program.operation[at]!)
    })
  }
  return seen
}

test("the captured programs execute every operation of the core but SLEEP", () => {
  const seen = compared()
  const missing = Object.entries(operation).filter(([, n]) => !seen.has(n))
  expect(missing.map(([name]) => name)).toEqual(["illegal", "sleep"])
})

test("every instruction that either image can come to is compared with simavr; SLEEP by the pins after each waking", () => {
  const seen = compared()
  // `slots` sleeps between its interrupts; its port changes are held against simavr's (atmega328p.test.ts).
  const slots = new Chip(programImage("slots").bytes)
  slots.run(400_000)
  expect(slots.sleptCycles).toBeGreaterThan(200_000)
  slots.core.executed.forEach((hit, at) => {
    if (hit) seen.add(slots.core.program.operation[at]!)
  })
  for (const { name, vectors, vectorWords } of chips) {
    const { imageHex } = controllers.find((c) => c.name === name)!
    const read = readImage(imageHex)
    if (!("image" in read)) throw Error(read.fault.reason)
    const entries = Array.from({ length: vectors }, (_, v) => v * vectorWords)
    const reached = reachableWords(read.image.bytes, entries)
    const { operation: kinds } = decodeFlash(read.image.bytes)
    const used = new Set([...reached.keys()].filter((at) => reached[at]).map((at) => kinds[at]!))
    expect(used.size).toBeGreaterThan(45)
    expect(used.has(operation.sleep)).toBe(true)
    const names = Object.entries(operation).filter(([, n]) => used.has(n) && !seen.has(n))
    expect([name, names.map(([n]) => n)]).toEqual([name, []])
  }
})

describe("live simavr", () => {
  const live = liveSimavr("states")
  const here = "run" in live
  if (!here) console.log(`not run here: comparison with a live simavr needs ${live.missing}`)
  test.skipIf(!here)("agrees after every single instruction of 60 further programs", () => {
    if (!("run" in live)) return
    for (let seed = 1001; seed <= 1060; seed++) {
      const words = programOf(seed)
      const lines = live.run(["2000", "1"], harnessInput(words)).trim().split("\n")
      const run = runCore(words, 2000, 1)
      expect(run.states, `program ${seed}`).toEqual(lines.filter((l) => /^\d/.test(l)))
      expect(`ram ${run.ram}`).toBe(lines.find((l) => l.startsWith("ram ")))
    }
  })
})

test("decodes the published example words", () => {
  // AVR instruction set manual, encodings of the entries named.
  const decode = (...w: number[]) => {
    const p = decodeFlash(wordsToBytes(Uint16Array.from(w)))
    return [p.operation[0], p.a[0], p.b[0], p.words[0]]
  }
  expect(decode(0x0000)).toEqual([operation.nop, 0, 0, 1])
  expect(decode(0xe5a5)).toEqual([operation.ldi, 26, 0x55, 1])
  expect(decode(0x940c, 0x0034)).toEqual([operation.jmp, 0, 0x34, 2])
  expect(decode(0x9508)).toEqual([operation.ret, 0, 0, 1])
  expect(decode(0x95e8)[0]).toBe(operation.illegal)
  expect(decode(0xffff)[0]).toBe(operation.illegal)
})

describe("stops with address and reason", () => {
  test.each([
    ["erased flash", [0x0000, 0xffff], 2, /0xffff is no instruction/],
    ["self-programming", [0x95e8], 0, /no instruction this bench knows/],
    ["a stack below the RAM", [0x920f, 0xcffe], 0, /stack left the RAM/],
    ["a return too many", [0x9508], 0, /more was popped than pushed/],
    ["a read behind the RAM", [0x9000, 0x0900], 2, /read from data address 0x900/],
    ["a write behind the RAM", [0x9200, 0x4000], 2, /write to data address 0x4000/],
  ])("%s", (_, words, address, reason) => {
    const core = new Core(
      wordsToBytes(Uint16Array.from(words)),
      quiet(1_000_000, () => core),
    )
    core.sp = 0x8ff
    core.run()
    expect(core.fault?.reason).toMatch(reason)
    expect(core.fault?.address).toBe(address)
  })
})

test("a delay loop stands at every moment where it stands when run instruction by instruction", () => {
  for (const count of [0, 1, 2, 7, 79]) {
    // LDI r24, count; DEC r24; BRNE to it; SEC; RJMP to itself.
    const words = Uint16Array.from([
      0xe080 | ((count & 0xf0) << 4) | (count & 15),
      0x958a,
      0xf7f1,
      0x9408,
      0xcfff,
    ])
    const stateAt = (end: number, stride: number) => {
      const core = new Core(wordsToBytes(words), {
        ...quiet(end, () => core),
        attend: () => {
          if (core.cycles >= end) return false
          core.attention = Math.min(end, core.cycles + stride)
          return true
        },
      })
      core.sreg = 0xd5
      core.run()
      return [core.cycles, core.pc, core.sreg, core.data[24], [...core.executed.subarray(0, 6)].join("")]
    }
    for (let end = 1; end < 3 * 256 + 12; end += 5)
      for (const stride of [1e6, 17, 2])
        expect(stateAt(end, stride), `${count} to ${end}`).toEqual(stateAt(end, 1))
  }
})

function quiet(cycles: number, core: () => Core) {
  return {
    readIo: () => 0,
    writeIo: () => {},
    attend: () => {
      if (core().cycles >= cycles) return false
      core().attention = cycles
      return true
    },
    sleep: () => {},
    watchdogReset: () => {},
  }
}
