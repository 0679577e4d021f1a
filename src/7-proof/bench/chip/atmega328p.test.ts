import { describe, expect, test } from "vitest"
import { wordsToBytes } from "../random-program.testing.ts"
import {
  masked,
  ourPorts,
  type PortRun,
  portRuns,
  portsInput,
  programImage,
} from "../simavr/compare-ports.testing.ts"
import { liveSimavr } from "../simavr/live.testing.ts"
import captured from "../simavr/port-changes.json" with { type: "json" }
import { Chip, plainChip } from "./atmega328p.ts"

/**
 * Same values in the same order. Times may differ by what simavr leaves out (interrupt entry and wake-up) and
 * by the instruction it happens to be in: at most 10 cycles, and ours never earlier.
 */
function expectSamePorts(run: PortRun, theirs: readonly string[]) {
  const ours = ourPorts(run)
  const values = (lines: readonly string[]) => lines.map((l) => l.slice(l.indexOf(" ") + 1))
  const times = (lines: readonly string[]) => lines.map((l) => Number.parseInt(l, 10))
  // The end of the run may fall between the two emulators' times of one change.
  const shared = Math.min(ours.length, theirs.length)
  expect(Math.abs(ours.length - theirs.length), run.program).toBeLessThanOrEqual(1)
  expect(shared).toBeGreaterThan(15)
  expect(values(ours.slice(0, shared))).toEqual(values(theirs.slice(0, shared)))
  const late = times(ours.slice(0, shared)).map((t, i) => t - times(theirs.slice(0, shared))[i]!)
  // Every watchdog reset adds its own two cycles in the long run.
  expect(Math.min(...late)).toBeGreaterThanOrEqual(0)
  expect(Math.max(...late)).toBeLessThanOrEqual(10)
}

describe("port changes agree with captured simavr 1.6", () => {
  for (const run of portRuns)
    test(run.program, () =>
      expectSamePorts(run, captured.runs.find((r) => r.program === run.program)!.changes),
    )
})

describe("live simavr", () => {
  const live = liveSimavr("ports")
  const here = "run" in live
  if (!here) console.log(`not run here: comparison of port changes with a live simavr needs ${live.missing}`)
  for (const run of portRuns)
    test.skipIf(!here)(`changes the ports of ${run.program} alike`, () => {
      if (!("run" in live)) return
      const longer = { ...run, cycles: run.program === "bite" ? run.cycles : run.cycles * 3 }
      expectSamePorts(
        longer,
        masked(
          live
            .run([String(longer.cycles)], portsInput(longer))
            .trim()
            .split("\n"),
          run,
        ),
      )
    })
})

describe("timer 1 in fast PWM mode 14", () => {
  test("sets flags as the count leaves OCR1x and TOP, on the prescaler's grid", () => {
    // From the data sheet's timing diagrams: with divider 8 and ICR1 = 499, a flag rises 8·(k + 1) cycles after
    // the count was 0, and every 4000 cycles after that.
    const chip = new Chip(programImage("slots").bytes)
    const seen: number[] = []
    chip.ports.onChange = (cycle) => {
      if (chip.ports.latch[0]! & 1) seen.push(cycle)
    }
    chip.run(100_000)
    const starts = seen.filter((c, i) => i === 0 || c - seen[i - 1]! > 1000)
    const gaps = new Set(starts.slice(1).map((c, i) => c - starts[i]!))
    expect([...gaps]).toEqual([4000])
    // Flag at a multiple of 8, then wake-up and entry 8, JMP 3, SBI 2 cycles.
    expect((starts[0]! - 13) % 8).toBe(0)
    expect(chip.timer.lastWrap % 8).toBe(0)
  })
})

describe("watchdog", () => {
  test("resets after 2048 periods of 128 kHz, floats every pin and sets WDRF", () => {
    const chip = new Chip(programImage("bite").bytes)
    chip.run(2_000_000)
    const bites = chip.resets.filter((r) => r.cause === "watchdog").map((r) => r.cycle)
    expect(bites.length).toBe(2)
    // Last WDR just after 600 066 cycles; 16 ms at 16 MHz are 256 000.
    expect(bites[0]! - 600_066).toBeGreaterThan(255_990)
    expect(bites[0]! - 600_066).toBeLessThan(256_010)
    expect([...chip.ports.direction]).toEqual([1, 0x3f, 0])
    expect(chip.ports.latch[1]).toBe(8)
  })

  test("with its fuse always on, needs no enabling and cannot be stopped", () => {
    // MCUSR = 0; WDTCSR = WDCE|WDE; WDTCSR = 0; then a loop without WDR.
    const words = [0x2400, 0xbe04, 0xe118, 0x9310, 0x0060, 0x9200, 0x0060, 0xcfff]
    const image = wordsToBytes(Uint16Array.from(words))
    const free = new Chip(image)
    free.run(1_000_000)
    expect(free.resets.length).toBe(1)
    const held = new Chip(image, { ...plainChip, watchdogAlwaysOn: true })
    held.run(1_000_000)
    expect(held.resets.filter((r) => r.cause === "watchdog").length).toBe(3)
  })

  test("keeps its time-out when the timed sequence comes late", () => {
    // WDCE|WDE, then five cycles later WDE|WDP3: the change is not taken, 16 ms stay.
    const late = [0xe118, 0xe228, 0x9310, 0x0060, 0, 0, 0, 0, 0x9320, 0x0060, 0xcfff]
    const inTime = [0xe118, 0xe228, 0x9310, 0x0060, 0x9320, 0x0060, 0xcfff]
    const bitesWithin20ms = (words: readonly number[]) => {
      const chip = new Chip(wordsToBytes(Uint16Array.from(words)))
      chip.run(320_000)
      return chip.resets.length - 1
    }
    expect(bitesWithin20ms(late)).toBe(1)
    expect(bitesWithin20ms(inTime)).toBe(0)
  })
})

describe("interrupts", () => {
  test("one instruction runs after SEI and after RETI before the next interrupt", () => {
    // OCR1A = OCR1B = 0 raise both flags in normal mode; each handler counts; the main program counts between.
    const words = new Uint16Array(0x40).fill(0)
    words.set([0x940c, 0x0030], 0)
    words.set([0x9503, 0x9518], 0x16) // compare A: INC r16, RETI
    words.set([0x2f31, 0x9518], 0x18) // compare B: MOV r19, r17; RETI
    // main: TIMSK1 = 6, TCCR1B = 1, NOPs, SEI, INC r17, INC r17, INC r17, loop
    words.set(
      [0xe026, 0x9320, 0x006f, 0xe021, 0x9320, 0x0081, 0, 0, 0, 0x9478, 0x9513, 0x9513, 0x9513, 0xcfff],
      0x30,
    )
    const chip = new Chip(wordsToBytes(words))
    chip.core.data[16] = 0
    chip.core.data[17] = 0
    chip.run(200)
    expect(chip.core.data[16]).toBe(1)
    // B came after A's RETI and one more main instruction: r17 was 2 by then.
    expect(chip.core.data[19]).toBe(2)
    expect(chip.core.data[17]).toBe(3)
  })
})

describe("ports", () => {
  test("writing PINx toggles the latch, bit instructions only their bit", () => {
    // DDRB = 0xff; PORTB = 0xf0; PINB = 0x3c; SBI PINB,0
    const words = [0xef0f, 0xb904, 0xef00, 0xb905, 0xe30c, 0xb903, 0x9a18, 0xcfff]
    const chip = new Chip(wordsToBytes(Uint16Array.from(words)))
    chip.run(100)
    expect(chip.ports.latch[0]).toBe(0xcd)
  })

  test("an input reads the board, an undriven one the chip's pull-up", () => {
    const chip = new Chip(wordsToBytes(Uint16Array.from([0xe003, 0xb90b, 0xb119, 0xcffe])))
    chip.ports.setOutside(2, 1, false)
    chip.ports.setOutside(2, 7, true)
    chip.run(100)
    expect(chip.core.data[17]).toBe(0x81)
  })
})

test("refuses a peripheral it does not model, with its name and address", () => {
  const words = [0xe001, 0xbd05, 0xcfff] // TCCR0B = 1
  const chip = new Chip(wordsToBytes(Uint16Array.from(words)))
  expect(chip.run(100)).toBe(false)
  expect(chip.core.fault?.reason).toMatch(/timer 0 \(TCCR0B\)/)
  expect(chip.core.fault?.address).toBe(2)
})

test("EEPROM keeps what was written under the guard, and only that", () => {
  // EEDR = 0x5a, EEAR = 3; EEPE without guard; then EEMPE, EEPE.
  const words = [0xe50a, 0xbd00, 0xe003, 0xbd01, 0xe000, 0xbd02, 0x9af9, 0x9afa, 0x9af9, 0xcfff]
  const unguarded = new Chip(wordsToBytes(Uint16Array.from([...words.slice(0, 7), 0xcfff])))
  unguarded.run(100_000)
  expect(unguarded.eeprom.bytes[3]).toBe(0xff)
  const chip = new Chip(wordsToBytes(Uint16Array.from(words)))
  chip.run(100_000)
  expect(chip.eeprom.bytes[3]).toBe(0x5a)
  expect(chip.eeprom.writes).toBe(1)
})
