// Any single bit of the table, its copy or the safe map turned over: the lamp still follows its wires. For both
// controllers; every bit on demand (`LAMPWRIGHT_EVERY_BIT=1`).

import { describe, expect, test } from "vitest"
import { flashingWire, group, lamp, sweepLine } from "../../4-behaviour/wings.testing.ts"
import type { Made } from "./lamp-on-bench.ts"
import { startBench } from "./start-bench.ts"
import { exampleLamp, makeForBench } from "./tern.testing.ts"
import { channelLight } from "./watch-outputs.ts"
import { type Stimulus, taps } from "./wires.ts"

const small = lamp(
  [flashingWire("left"), flashingWire("right")],
  [group("sweep-left", 3), group("sweep-right", 3)],
  [sweepLine("left", "sweep-left"), sweepLine("right", "sweep-right")],
)
const lamps = [
  {
    name: "the Tern (ATmega328P)",
    lamp: exampleLamp("tern"),
    tableAt: 0x7000,
    copyAt: 0x7400,
    safeAt: 0x7e00,
  },
  { name: "a small lamp (ATtiny84A)", lamp: small, tableAt: 0x1c00, copyAt: 0x1d00, safeAt: 0x1e00 },
]

const seconds = 0.2
/** Both wires one after the other: a flash long enough for the short sweep and its end. */
const stimulus: Stimulus = { wires: { left: taps([0.012, 0.125]), right: taps([0.03, 0.14]) } }
/** Every bit on demand, else every thirteenth from a place of its own in each block. */
const step = process.env.LAMPWRIGHT_EVERY_BIT ? 1 : 13

interface Block {
  readonly from: number
  readonly length: number
}

function bench(made: Made) {
  const { bench, controller } = startBench(made)
  const image = controller!.image
  const own = (name: string) => [...bench.channels.keys()].filter((c) => bench.channels[c]!.group === name)
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
    return {
      faults: resets.length > 1 ? [...faults, "reset"] : faults,
      serving: core.data[core.ram.start + 4]!,
    }
  }

  const block = (at: number) => image.runs.find((r) => r.from === at)!
  const wiped = (...runs: readonly Block[]) => {
    const bytes = image.bytes.slice()
    for (const r of runs) bytes.fill(0xff, r.from, r.from + r.length)
    return bytes
  }
  return { follows, block, wiped, image }
}

const flip = (bytes: Uint8Array, bit: number, from: number) => {
  bytes[from + (bit >> 3)]! ^= 1 << (bit & 7)
  return bytes
}
const bitsOf = (r: Block, first: number) =>
  Array.from({ length: Math.ceil((8 * r.length - first) / step) }, (_, i) => first + step * i)

describe.each(lamps)("on $name, with a bit turned over", ({ lamp: of, tableAt, copyAt, safeAt }) => {
  const { follows, block, wiped, image } = bench(makeForBench(of))
  const [table, copy, safe] = [block(tableAt), block(copyAt), block(safeAt)]
  /** The flips after which it does not follow, or serves from elsewhere than it should. */
  const wrong = (r: Block, first: number, from: () => Uint8Array, serves: number, allowed?: string) =>
    bitsOf(r, first).flatMap((bit) => {
      const { faults, serving } = follows(flip(from(), bit, r.from))
      const bad = faults.filter((f) => f !== allowed)
      return bad.length > 0 || serving !== serves ? [{ bit, faults, serving }] : []
    })

  test("sound: follows, from its table", () => {
    expect(follows(image.bytes)).toEqual({ faults: [], serving: 1 })
  })

  test("in the table: the copy serves, the light is the same", () => {
    expect(wrong(table, 0, () => image.bytes.slice(), 2)).toEqual([])
  }, 600_000)

  test("in the copy: the table serves on", () => {
    expect(wrong(copy, 0, () => image.bytes.slice(), 1)).toEqual([])
  }, 600_000)

  test("in the table with the copy gone: plain follow from the safe map", () => {
    expect(wrong(table, 3, () => wiped(copy), 3)).toEqual([])
  }, 600_000)

  test("in the safe map with both tables gone: the circuit's pull-ups light what is live", () => {
    // Nothing to serve from: the watchdog tries again and again with the pins as inputs.
    expect(wrong(safe, 0, () => wiped(table, copy), 0, "reset")).toEqual([])
  }, 600_000)
})
