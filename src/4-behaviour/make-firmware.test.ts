import MemoryMap from "nrf-intel-hex"
import { describe, expect, test } from "vitest"
import { atmega328p } from "./controllers.ts"
import { designBehaviour } from "./design-behaviour.ts"
import { makeFirmware } from "./make-firmware.ts"
import { unasked } from "./unasked.testing.ts"
import { circuit, pinsInOrder, portPins, wings } from "./wings.testing.ts"

const { imageHex, buildIdAt, copyAt, safeMapAt, tableAt } = atmega328p
const made = circuit(wings)
const behaviour = designBehaviour(wings, made)
const pins = pinsInOrder(made)
const firmware = makeFirmware(made, behaviour, pins)!
const memory = (hex: string) => MemoryMap.fromHex(hex).join()
const at = (hex: string, address: number, length: number) =>
  MemoryMap.fromHex(hex).slicePad(address, length, 0xff)

describe("the Tern's firmware, read by a general-purpose library", () => {
  test("holds the runtime untouched", () => {
    const whole = memory(firmware.hex)
    for (const [address, bytes] of memory(imageHex)) expect(whole.get(address)).toEqual(bytes)
  })

  test("holds the table and its copy, the safe map and the build id at their places", () => {
    const table = at(firmware.hex, tableAt, firmware.tableBytes)
    expect(String.fromCharCode(table[0]!, table[1]!)).toBe("LT")
    expect(table[6]! | (table[7]! << 8)).toBe(firmware.tableBytes)
    expect(at(firmware.hex, copyAt, firmware.tableBytes)).toEqual(table)
    expect(at(firmware.hex, tableAt + firmware.tableBytes, 4)).toEqual(Uint8Array.from([255, 255, 255, 255]))
    expect(String.fromCharCode(...at(firmware.hex, safeMapAt, 2))).toBe("LS")
    expect(String.fromCharCode(...at(firmware.hex, buildIdAt, 21))).toBe(`${firmware.buildId}\0`)
  })

  test("is plain Intel HEX: 16-byte records, LF, end record", () => {
    expect(firmware.hex).toMatch(/^(:[0-9A-F]{10,42}\n)+:00000001FF\n$/)
    expect(firmware.hex).not.toContain("\r")
  })

  test("nothing red or amber; sizes and speeds as promised", () => {
    expect(firmware.findings.filter((f) => f.severity !== "green")).toEqual([])
    expect(firmware.tableBytes).toBe(26 + 4 * 2 + 4 * 16 + 12 * 2 + 2 * 16 * 2)
    expect(firmware.codeBytes).toBeLessThan(7 * 1024)
    expect(firmware.pwmFrequency).toBe(4000)
    expect(firmware.tickLoad).toBeLessThan(0.8)
    expect(firmware.tickLoad).toBeGreaterThan(0.3)
  })

  test("the same input gives the same bytes; another pin gives another build id", () => {
    expect(makeFirmware(made, behaviour, pins)).toEqual(firmware)
    const swapped = {
      controller: {
        ...pins.controller,
        "output-0": pins.controller["output-1"]!,
        "output-1": pins.controller["output-0"]!,
      },
    }
    const other = makeFirmware(made, behaviour, swapped)!
    expect(other.buildId).not.toBe(firmware.buildId)
    expect(other.hex.split("\n").length).toBe(firmware.hex.split("\n").length)
    expect(other.pinOf["output-0"]).toBe("PB3")
  })

  test("every measured number can be asked why, and an id names one value", () => {
    expect(unasked(firmware)).toEqual([])
  })
})

// Bit names as in the data sheet (parts reference, read in the C library's header; oscillator rows from memory).
test("fuses: resonator, no divider, watchdog on, EEPROM kept, programming kept, brown-out 4.3 V", () => {
  const { low, high, extended } = firmware.fuses
  const bit = (byte: number, n: number) => (byte >> n) & 1
  expect({ CKDIV8: bit(low, 7), CKOUT: bit(low, 6), SUT: (low >> 4) & 3, CKSEL: low & 15 }).toEqual({
    CKDIV8: 1,
    CKOUT: 1,
    SUT: 0b10,
    CKSEL: 0b0110,
  })
  expect([7, 6, 5, 4, 3, 0].map((n) => bit(high, n))).toEqual([1, 1, 0, 0, 0, 1])
  expect(extended & 7).toBe(0b100)
})

test("no controller, no firmware", () => {
  expect(makeFirmware({ ...made, controller: undefined }, behaviour, pins)).toBeUndefined()
})

describe("pins that cannot be", () => {
  const withPin = (signal: string, pin: string | undefined) => {
    const { [signal]: _, ...rest } = pins.controller
    return makeFirmware(made, behaviour, {
      controller: pin === undefined ? rest : { ...rest, [signal]: pin },
    })!
  }
  const red = (f: typeof firmware) => f.findings.filter((x) => x.severity === "red").map((x) => x.code)

  test("missing, outside the ports, or not allowed for the signal: red, and an image without a table", () => {
    for (const pin of [undefined, "PB6", "XX"]) {
      const broken = withPin("output-3", pin)
      expect(red(broken)).toEqual(["behaviour.pin-missing"])
      expect(memory(broken.hex).has(tableAt)).toBe(false)
    }
    const strict = {
      ...made,
      signals: made.signals.map((s) => (s.name === "output-3" ? { ...s, allowed: ["PD7"] } : s)),
    }
    expect(red(makeFirmware(strict, behaviour, pins)!)).toEqual(["behaviour.pin-missing"])
  })

  test("taken twice: red", () => {
    expect(red(withPin("output-3", pins.controller["output-4"]))).toEqual(["behaviour.pin-taken"])
  })
})

test("a table too full for a millisecond's work is red", () => {
  const rules = Array.from({ length: 16 }, (_, i) => ({
    live: [i % 2],
    targets: Array.from({ length: 16 }, (_, channel) => ({
      channel,
      level: 255,
      startShare: 0,
      riseMs: 20,
      fallMs: 0,
    })),
    sweepWithinMs: 180,
  }))
  const full = makeFirmware(made, { ...behaviour, rules }, pins)!
  expect(full.findings.find((f) => f.code === "behaviour.tick-load")!.severity).toBe("red")
  expect(portPins.length).toBe(20)
})
