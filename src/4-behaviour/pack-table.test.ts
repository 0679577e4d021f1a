import { readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import type { Behaviour } from "./artefact.ts"
import { atmega328p, attiny84, buildIdRoom, controllers, ioPinCount, pinCode } from "./controllers.ts"
import { crc16 } from "./crc16.ts"
import { flasherTiming } from "./flasher-timing.ts"
import { packSafeMap, packTable } from "./pack-table.ts"
import * as layout from "./table-layout.ts"

const target = (channel: number, more: object = {}) => ({
  channel,
  level: 255,
  startShare: channel / 4,
  riseMs: 20,
  fallMs: 10,
  ...more,
})
const behaviour: Behaviour = {
  inputs: [
    { wire: "left", signal: "input-left", flashing: true, assertMs: 3, releaseMs: 8 },
    { wire: "tail", signal: "input-tail", flashing: false, assertMs: 5, releaseMs: 10 },
  ],
  channels: [0, 1, 2].map((index) => ({ index, activeHigh: true })),
  rules: [
    { live: [0], targets: [0, 1, 2].map((c) => target(c)), sweepWithinMs: 180 },
    { live: [], flashing: [0], targets: [target(2, { level: 0, startShare: 0, riseMs: 0, fallMs: 0 })] },
    { live: [1], targets: [target(2, { level: 31, startShare: 0 })] },
  ],
  findings: [],
  figures: [],
}
const pins = { inputs: [0x00, 0x01], channels: [0x25, 0x02, 0x13] }
const table = packTable(behaviour, flasherTiming, pins)

const inputsAt = 24
const channelsAt = inputsAt + 4 * 2
const rulesAt = channelsAt + 4 * 3
const targetsAt = rulesAt + 12 * 3
const crcAt = targetsAt + 2 * 3 * 3

const header = readFileSync(join(import.meta.dirname, "../../firmware/runtime/layout.h"), "utf8")
/** What a text defines as numbers. */
const defines = (text: string) =>
  new Map(
    [...text.matchAll(/^#define (\w+) (0x[0-9A-F]+|\d+)\b/gm)].map(([, name, value]) => [
      name,
      Number(value),
    ]),
  )

test("layout.h and table-layout.ts give the same sizes", () => {
  const defined = defines(header)
  const same: readonly (readonly [string, number])[] = [
    ["TABLE_VERSION", layout.tableVersion],
    ["T_BODY", layout.tableHeader],
    ["INPUT_FLASHING", layout.inputFlashing],
    ["INPUT_INVERTED", layout.inputInverted],
    ["CHANNEL_ACTIVE_HIGH", layout.channelActiveHigh],
    ["RULE_SWEEP", layout.ruleSweep],
    ["RULE_FIRST_TOGETHER", layout.ruleFirstTogether],
    ["RULE_STEEP", layout.ruleSteep],
    ["FRAMES_PER_TICK", layout.framesPerTick],
    ...layout.slotCycles.map((cycles, i) => [`SLOT_${i}`, cycles] as const),
  ]
  for (const [name, value] of same) expect([name, defined.get(name)]).toEqual([name, value])
  expect(layout.slotCycles.reduce((a, b) => a + b)).toBe(layout.frameCycles)
})

test.each([
  [atmega328p, "__AVR_ATmega328P__"],
  [attiny84, "__AVR_ATtiny84__"],
] as const)("layout.h and controllers.ts give the same places: $name", (controller, macro) => {
  const part = header.slice(header.indexOf(`defined(${macro})`)).split(/^#el/m)[0]!
  const defined = defines(part)
  const same: readonly (readonly [string, number])[] = [
    ["TABLE_AT", controller.tableAt],
    ["COPY_AT", controller.copyAt],
    ["TABLE_ROOM", controller.tableRoom],
    ["SAFE_MAP_AT", controller.safeMapAt],
    ["BUILD_ID_AT", controller.buildIdAt],
    ["MOST_INPUTS", controller.mostInputs],
    ["MOST_CHANNELS", controller.mostChannels],
    ["MOST_RULES", controller.mostRules],
    ["PORTS", controller.ports.length],
    ...controller.usable.map((pins, i) => [`USABLE_${i}`, pins] as const),
  ]
  for (const [name, value] of same) expect([name, defined.get(name)]).toEqual([name, value])
  expect(defined.size).toBe(same.length)
})

test("the table has the layout of TABLE.md", () => {
  expect(table.length).toBe(crcAt + 2)
  expect([...table.subarray(0, 10)]).toEqual([0x4c, 0x54, 2, 2, 3, 3, table.length, 0, 8, 2])
  expect([...table.subarray(10, 24)]).toEqual(
    [100, 1500, 80, 2000, 2000, 1024, 750].flatMap((n) => [n & 255, n >> 8]),
  )
  expect([...table.subarray(inputsAt, channelsAt)]).toEqual([0x00, 1, 3, 8, 0x01, 0, 5, 10])
  // Channels by pin: 0x02 (channel 1), 0x13 (channel 2), 0x25 (channel 0).
  expect([...table.subarray(channelsAt, rulesAt)]).toEqual([
    ...[0x02, 1, 0b001, 0],
    ...[0x13, 1, 0b111, 0],
    ...[0x25, 1, 0b001, 0],
  ])
  // 256 · 180 / 20 = 2304 = 0x0900; 65536 / 20 → 3277 = 0x0CCD; 65536 / 10 → 6554 = 0x199A.
  expect([...table.subarray(rulesAt, targetsAt)]).toEqual([
    ...[0b01, 0, 1, 218, 180, 0, 0x00, 0x09, 0xcd, 0x0c, 0x9a, 0x19],
    ...[0, 0b01, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0],
    ...[0b10, 0, 0, 0, 0, 0, 0, 0, 0xcd, 0x0c, 0x9a, 0x19],
  ])
  expect([...table.subarray(targetsAt, crcAt)]).toEqual([
    ...[255, 64, 255, 128, 255, 0],
    ...[0, 0, 0, 0, 0, 0],
    ...[0, 0, 31, 0, 0, 0],
  ])
  expect(table[crcAt]! | (table[crcAt + 1]! << 8)).toBe(crc16(table.subarray(0, crcAt)))
})

describe("changing one field changes its own bytes and the CRC, nothing else", () => {
  const changedAt = (other: Uint8Array): number[] =>
    [...table.keys()].filter((i) => table[i] !== other[i] && i < crcAt)
  const input = (i: number, more: object) =>
    ({ ...behaviour, inputs: behaviour.inputs.map((x, j) => (i === j ? { ...x, ...more } : x)) }) as Behaviour
  const rule = (i: number, more: object) =>
    ({ ...behaviour, rules: behaviour.rules.map((x, j) => (i === j ? { ...x, ...more } : x)) }) as Behaviour
  const targets = (more: object) => ({ targets: behaviour.rules[2]!.targets.map((t) => ({ ...t, ...more })) })
  const timed = (more: object) => packTable(behaviour, { ...flasherTiming, ...more }, pins)
  const made = (b: Behaviour, p = pins) => packTable(b, flasherTiming, p)
  const cases: readonly (readonly [string, Uint8Array, readonly number[]])[] = [
    ["sweep share", timed({ sweepShare: 200 }), [rulesAt + 3]],
    ["shortest on-time", timed({ shortestOnMs: 120 }), [10]],
    ["steady after", timed({ steadyAfterMs: 0x0101 }), [12, 13]],
    ["contact gap", timed({ contactGapMs: 90 }), [14]],
    ["operation gap", timed({ operationGapMs: 0x0101 }), [16, 17]],
    ["unstable for", timed({ unstableForMs: 0x0101 }), [18, 19]],
    ["rise window", timed({ riseWindowMs: 0x0101 }), [20, 21]],
    ["flash gap", timed({ flashGapMs: 0x0101 }), [22, 23]],
    ["trusted", timed({ trusted: 3 }), [9]],
    ["input pin", made(behaviour, { ...pins, inputs: [0x03, 0x01] }), [inputsAt]],
    ["flashing", made(input(1, { flashing: true })), [inputsAt + 5]],
    ["inverted", made(input(0, { inverted: true })), [inputsAt + 1]],
    ["assert", made(input(0, { assertMs: 4 })), [inputsAt + 2]],
    ["release", made(input(1, { releaseMs: 12 })), [inputsAt + 7]],
    ["channel pin", made(behaviour, { ...pins, channels: [0x24, 0x02, 0x13] }), [channelsAt + 8]],
    [
      "polarity",
      made({
        ...behaviour,
        channels: behaviour.channels.map((c) => (c.index === 2 ? { ...c, activeHigh: false } : c)),
      }),
      [channelsAt + 5],
    ],
    ["wires of a rule", made(rule(2, { live: [0, 1] })), [rulesAt + 24]],
    ["flashers of a rule", made(rule(1, { flashing: [1] })), [rulesAt + 13]],
    ["no sweep", made(rule(0, { sweepWithinMs: undefined })), [2, 3, 4, 7].map((n) => rulesAt + n)],
    ["sweep", made(rule(0, { sweepWithinMs: 160 })), [rulesAt + 4, rulesAt + 7]],
    ["a long sweep", made(rule(0, { sweepWithinMs: 437 })), [4, 5, 6, 7].map((n) => rulesAt + n)],
    ["its own share", made(rule(0, { sweepShare: 128 })), [rulesAt + 3]],
    ["sweep for the rise", made(rule(0, { sweepNominalMs: 90 })), [rulesAt + 6, rulesAt + 7]],
    ["first flash together", made(rule(0, { firstTogether: true })), [rulesAt + 2]],
    ["rise", made(rule(2, targets({ riseMs: 30 }))), [rulesAt + 32, rulesAt + 33]],
    ["fall", made(rule(2, targets({ fallMs: 30 }))), [rulesAt + 34, rulesAt + 35]],
    ["level", made(rule(2, targets({ level: 40 }))), [targetsAt + 14]],
    ["start", made(rule(2, targets({ startShare: 0.25 }))), [targetsAt + 15]],
  ]
  for (const [name, bytes, at] of cases)
    test(name, () => {
      expect(changedAt(bytes)).toEqual(at)
      expect(bytes.subarray(crcAt)).not.toEqual(table.subarray(crcAt))
    })
})

test("the safe map lights each channel from the wires of its single-wire lines", () => {
  const map = packSafeMap(behaviour, pins)
  expect([...map.subarray(0, -2)]).toEqual([
    ...[0x4c, 0x53, 2, 3],
    ...[0x00, 0, 0x01, 0],
    ...[0x02, 1, 0b01],
    ...[0x13, 1, 0b11],
    ...[0x25, 1, 0b01],
  ])
})

test("the safe map takes several-wire lines where a channel has no others", () => {
  const both: Behaviour = { ...behaviour, rules: [{ live: [0, 1], targets: [target(1)] }] }
  const map = packSafeMap(both, pins)
  expect([map[10], map[13], map[16]]).toEqual([0b11, 0, 0])
})

test.each(controllers)("$name: the largest table and safe map have room in flash", (controller) => {
  const { mostChannels, mostRules, mostInputs } = controller
  const most: Behaviour = {
    ...behaviour,
    inputs: Array.from({ length: mostInputs }, () => behaviour.inputs[0]!),
    channels: Array.from({ length: mostChannels }, (_, index) => ({ index, activeHigh: true })),
    rules: Array.from({ length: mostRules }, () => ({ live: [0], targets: [target(0)] })),
  }
  const all = {
    inputs: Array.from({ length: mostInputs }, (_, i) => i),
    channels: Array.from({ length: mostChannels }, (_, i) => i + mostInputs),
  }
  expect(packTable(most, flasherTiming, all).length).toBeLessThanOrEqual(controller.tableRoom)
  expect(packSafeMap(most, all).length).toBeLessThanOrEqual(controller.buildIdAt - controller.safeMapAt)
  expect(controller.copyAt - controller.tableAt).toBeGreaterThanOrEqual(controller.tableRoom)
  expect(controller.safeMapAt - controller.copyAt).toBeGreaterThanOrEqual(controller.tableRoom)
  expect(controller.buildIdAt + buildIdRoom).toBeLessThanOrEqual(controller.flashBytes)
})

test("pins that resonator and reset need are refused", () => {
  expect(["PB0", "PB5", "PC5", "PD7"].map((p) => pinCode(p))).toEqual([0x00, 0x05, 0x15, 0x27])
  expect(["PB6", "PB7", "PC6", "PE0", "PB8", "PA0", "B0", ""].map((p) => pinCode(p))).toEqual(
    Array.from({ length: 8 }, () => undefined),
  )
  expect(["PA0", "PA7", "PB2"].map((p) => pinCode(p, attiny84))).toEqual([0x00, 0x07, 0x12])
  expect(["PB0", "PB1", "PB3", "PC0", "PD0"].map((p) => pinCode(p, attiny84))).toEqual(
    Array.from({ length: 5 }, () => undefined),
  )
  expect(controllers.map(ioPinCount)).toEqual([9, 20])
})
