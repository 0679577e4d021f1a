import { describe, expect, test } from "vitest"
import { readFuses } from "./fuses.ts"

// ATmega328P data sheet, tables of clock sources and fuse bytes (from memory).
describe("fuse bytes", () => {
  test("ceramic resonator with brown-out: 1K clocks, no delay", () => {
    const { options, faults, brownOut } = readFuses({ low: 0xe6, high: 0xc7, extended: 0xfc }, 16e6)
    expect(faults).toEqual([])
    expect(options).toEqual({ watchdogAlwaysOn: true, powerOnCycles: 1038, resetCycles: 14 })
    expect(brownOut).toBe(4.3)
  })
  test("crystal with the long delay starts 65 ms late", () => {
    const { options } = readFuses({ low: 0xf7, high: 0xd9, extended: 0xff }, 16e6)
    expect(options.powerOnCycles).toBe(16384 + 14 + 1_040_000)
    expect(options.watchdogAlwaysOn).toBe(false)
  })
  test("as delivered: divided inner oscillator is refused for a 16 MHz program", () => {
    const { faults, brownOut } = readFuses({ low: 0x62, high: 0xd9, extended: 0xff }, 16e6)
    expect(faults.length).toBe(2)
    expect(brownOut).toBeUndefined()
  })
  test.each([
    ["boot section", 0xc6],
    ["reset pin", 0x47],
    ["programming", 0xe7],
  ])("a high byte that costs the %s is refused", (_, high) => {
    expect(readFuses({ low: 0xe6, high, extended: 0xfc }, 16e6).faults.length).toBe(1)
  })
})
