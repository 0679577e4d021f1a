// Any single bit of the table, its copy or the safe map turned over: the lamp still follows its wires.

import { describe, expect, test } from "vitest"
import { startBench } from "./start-bench.ts"
import { exampleLamp, makeForBench } from "./tern.testing.ts"
import { channelLight } from "./watch-outputs.ts"
import { type Stimulus, taps } from "./wires.ts"

const made = makeForBench(exampleLamp("tern"))
const { bench, controller } = startBench(made)
const image = controller!.image
/** Blocks of an ATmega328P by address (firmware/TABLE.md). */
const block = (at: number) => image.runs.find((r) => r.from === at)!
const table = block(0x7000)
const copy = block(0x7400)
const safe = block(0x7e00)

const seconds = 0.2
/** Both wires one after the other: a flash long enough for the short sweep and its end. */
const stimulus: Stimulus = { wires: { left: taps([0.012, 0.125]), right: taps([0.03, 0.14]) } }
const own = (group: string) => [...bench.channels.keys()].filter((c) => bench.channels[c]!.group === group)
const sides = [
  { channels: own("sweep-left"), rise: 0.012, fall: 0.125 },
  { channels: own("sweep-right"), rise: 0.03, fall: 0.14 },
]

/** What keeps an image from following its wires, in words; and what it says it serves from. */
function follows(bytes: Uint8Array): { faults: string[]; serving: number } {
  const run = controller!.run(stimulus, bytes)
  run.advance(seconds)
  const faults: string[] = []
  const { core, resets } = run.chip
  if (core.fault) faults.push(core.fault.reason)
  const light = channelLight(run)
  const width = bench.channels.length
  const at = (t: number) => Math.floor((t * run.clockHz) / 4000)
  for (const { channels, rise, fall } of sides) {
    const lit = (t: number) => channels.filter((c) => light[at(t) * width + c]! > 0.02).length
    if (lit(rise + 0.006) === 0) faults.push(`dark ${rise} s + 6 ms`)
    if (lit(fall - 0.002) !== channels.length) faults.push(`not all lit before ${fall} s`)
    if (lit(fall + 0.021) !== 0) faults.push(`lit 20 ms after ${fall} s`)
  }
  return { faults: resets.length > 1 ? [...faults, "reset"] : faults, serving: core.data[0x104]! }
}

const flip = (bytes: Uint8Array, bit: number, from: number) => {
  bytes[from + (bit >> 3)]! ^= 1 << (bit & 7)
  return bytes
}
const wiped = (...runs: readonly (typeof table)[]) => {
  const bytes = image.bytes.slice()
  for (const r of runs) bytes.fill(0xff, r.from, r.from + r.length)
  return bytes
}
/** Every bit on demand (`LAMPWRIGHT_EVERY_BIT=1`), else every seventh from a place of its own in each block. */
const step = process.env.LAMPWRIGHT_EVERY_BIT ? 1 : 7
const bitsOf = (r: typeof table, first: number) =>
  Array.from({ length: Math.ceil((8 * r.length - first) / step) }, (_, i) => first + step * i)

describe("on the Tern, with a bit turned over", () => {
  test("sound: follows, from its table", () => {
    expect(follows(image.bytes)).toEqual({ faults: [], serving: 1 })
  })

  test("in the table: the copy serves, the light is the same", () => {
    const wrong = bitsOf(table, 0).flatMap((bit) => {
      const { faults, serving } = follows(flip(image.bytes.slice(), bit, table.from))
      return faults.length > 0 || serving !== 2 ? [{ bit, faults, serving }] : []
    })
    expect(wrong).toEqual([])
  }, 600_000)

  test("in the copy: the table serves on", () => {
    const wrong = bitsOf(copy, 0).flatMap((bit) => {
      const { faults, serving } = follows(flip(image.bytes.slice(), bit, copy.from))
      return faults.length > 0 || serving !== 1 ? [{ bit, faults, serving }] : []
    })
    expect(wrong).toEqual([])
  }, 600_000)

  test("in the table with the copy gone: plain follow from the safe map", () => {
    const wrong = bitsOf(table, 3).flatMap((bit) => {
      const { faults, serving } = follows(flip(wiped(copy), bit, table.from))
      return faults.length > 0 || serving !== 3 ? [{ bit, faults, serving }] : []
    })
    expect(wrong).toEqual([])
  }, 600_000)

  test("in the safe map with both tables gone: the circuit's pull-ups light what is live", () => {
    const wrong = bitsOf(safe, 0).flatMap((bit) => {
      const { faults, serving } = follows(flip(wiped(table, copy), bit, safe.from))
      // Nothing to serve from: the watchdog tries again and again with the pins as inputs.
      const bad = faults.filter((f) => f !== "reset")
      return bad.length > 0 || serving !== 0 ? [{ bit, faults, serving }] : []
    })
    expect(wrong).toEqual([])
  }, 600_000)
})
