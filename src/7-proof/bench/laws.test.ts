import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { random } from "../../0-ground/numbers/random.ts"
import { finish } from "../../0-ground/progress.ts"
import { designBehaviour } from "../../4-behaviour/design-behaviour.ts"
import { makeFirmware } from "../../4-behaviour/make-firmware.ts"
import {
  circuit,
  flashingWire,
  group,
  lamp,
  pinsInOrder,
  plainLine,
  steadyWire,
  sweepLine,
  wings,
} from "../../4-behaviour/wings.testing.ts"
import { compareWithModel } from "./compare.ts"
import { lineSpans, longestDark } from "./measure-flashes.ts"
import { slotMisses } from "./slots.testing.ts"
import { type BenchController, startBench } from "./start-bench.ts"
import { exampleLamp, makeForBench } from "./tern.testing.ts"
import { channelLight } from "./watch-outputs.ts"
import { flasher, type Stimulus, steady, tidy, type WireEdge } from "./wires.ts"

/** Sweeps beside tail, stop and a group with both kinds of lines; slow rises and falls. */
const mixed = lamp(
  [flashingWire("left"), flashingWire("right"), steadyWire("tail"), steadyWire("brake")],
  [group("sweep-left", 6), group("stop", 4, { functions: ["stop", "rear-position"] }), group("mix", 4)],
  [
    sweepLine("left", "sweep-left"),
    sweepLine("right", "mix", { level: 0.8 }),
    plainLine("tail", "mix", 0.1),
    { ...plainLine("tail", "stop", 0.12), rise: 0.1, fall: 0.15 },
    { ...plainLine("brake", "stop", 1), rise: 0.03, fall: 0.05 },
  ],
)

function controllerOf(of: typeof mixed): BenchController {
  const c = circuit(of)
  const behaviour = designBehaviour(of, c)
  const made = { lamp: of, circuit: c, behaviour, firmware: makeFirmware(c, behaviour, pinsInOrder(c)) }
  return startBench(made).controller!
}

/** Spans of 1 ms to 0.7 s, with many near the times that contacts and filters make. */
const storm = fc
  .array(
    fc.oneof(
      fc.integer({ min: 1, max: 25 }),
      fc.integer({ min: 20, max: 140 }),
      fc.integer({ min: 100, max: 700 }),
    ),
    { minLength: 1, maxLength: 14 },
  )
  .chain((spans) =>
    fc.record({
      spans: fc.constant(spans),
      from: fc.integer({ min: 0, max: 300 }),
      off: fc.integer({ max: 999, min: 0 }),
    }),
  )
  .map(({ spans, from, off }): WireEdge[] => {
    let t = from / 1000 + off / 1e6
    return spans.map((span, i) => {
      const edge = { t, live: i % 2 === 0 }
      t += span / 1000
      return edge
    })
  })
const storms = fc.record({ left: storm, right: storm, tail: storm, brake: storm })

describe.each([
  ["the wings", wings],
  ["a lamp of every kind of line", mixed],
])("whatever happens on the wires of %s (seed 20250)", (_, of) => {
  const controller = controllerOf(of)

  test("every frame of light is the described one, without reset or overrun", () => {
    fc.assert(
      fc.property(storms, (wires) => {
        const run = controller.run({ wires })
        expect(run.advance(1.6)).toBe(true)
        expect(finish(compareWithModel(of, run))).toMatchObject({ mismatches: 0 })
        expect(run.chip.resets.length).toBe(1)
        expect(run.chip.core.data[0x100]).toBe(0)
      }),
      { numRuns: 20, seed: 20250 },
    )
  })

  test("ports change only at the slots of a frame: 95 of 100 within 4 cycles, all within 8", () => {
    const run = controller.run({
      wires: { left: flasher({ from: 0.02, until: 0.5, rate: 1.5, onShare: 0.5 }) },
    })
    const off = slotMisses(run, 0.4)
    expect(off.length).toBeGreaterThan(300)
    expect(Math.max(...off)).toBeLessThanOrEqual(8)
    expect(off.filter((m) => m <= 4).length / off.length).toBeGreaterThan(0.95)
  })
})

describe("safety laws on the Tern", () => {
  const made = makeForBench(exampleLamp("tern"))
  const controller = startBench(made).controller!
  const darkest = (run: ReturnType<BenchController["run"]>, wire: string) => {
    const line = made.lamp.programme.find((l) => l.when[0] === wire)!
    const own = [...run.bench.channels.keys()].filter((c) => run.bench.channels[c]!.group === line.light)
    return longestDark(run, channelLight(run), own, lineSpans(line, run))
  }

  test("a live wire is lit within 25 ms even if the program hangs at any instruction (seed 7)", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1000, max: 400_000 }), (microseconds) => {
        const run = controller.run({ wires: { left: steady(0.1), right: steady(0.15) } })
        run.advance(microseconds / 1e6)
        run.chip.hang()
        run.advance(0.45)
        expect(darkest(run, "left")).toBeLessThanOrEqual(0.025)
        expect(darkest(run, "right")).toBeLessThanOrEqual(0.025)
      }),
      { numRuns: 12, seed: 7 },
    )
  })

  test("garbage at 10 kHz on both inputs never resets or overruns the program (seed 3)", () => {
    const chance = random(3)
    const noise = (): WireEdge[] => {
      const out: WireEdge[] = []
      for (let t = 0.01; t < 0.8; t += 0.0001 * chance.next()) out.push({ t, live: out.length % 2 === 0 })
      return tidy(out)
    }
    const run = controller.run({ wires: { left: noise(), right: noise() } })
    expect(run.advance(1)).toBe(true)
    expect(run.chip.resets.length).toBe(1)
    expect(run.chip.core.data[0x100]).toBe(0)
  })

  test("the same run gives the same frames", () => {
    const stimulus: Stimulus = {
      wires: { left: flasher({ from: 0.05, until: 0.8, rate: 2, onShare: 0.4, jitter: 0.02 }) },
    }
    const frames = () => {
      const run = controller.run(stimulus)
      run.advance(1)
      return [...run.onCycles.subarray(0, run.frames * 16)]
    }
    expect(frames()).toEqual(frames())
  })
})

describe("the bench notices a single flipped bit of the program", () => {
  const made = makeForBench(exampleLamp("tern"))
  const controller = startBench(made).controller!
  const seconds = 2
  const common = { until: 1.7, rate: 1.6, onShare: 0.5, bounce: { pulses: 2, longest: 0.0015 } }
  const stimulus: Stimulus = {
    wires: {
      left: flasher({ from: 0.03, dropOut: { chance: 0.5, length: 0.03 }, seed: 3, ...common }),
      right: flasher({ from: 0.05, dropOut: { chance: 0.5, length: 0.012 }, seed: 5, ...common }),
    },
  }
  const sane = (image?: Uint8Array) => {
    const run = controller.run(stimulus, image)
    run.advance(seconds)
    const { mismatches, compared } = finish(compareWithModel(made.lamp, run))
    const { core, resets } = run.chip
    const ok =
      !core.fault &&
      resets.length === 1 &&
      mismatches === 0 &&
      compared > 15 * 4000 * seconds &&
      core.data[0x100] === 0 &&
      core.data[0x104] === 1
    return { ok }
  }

  test("in at least half of the words executed after the start, from one scenario alone (32 flips, seed 11)", () => {
    expect(sane().ok).toBe(true)
    const running = controller.run(stimulus)
    running.advance(0.02)
    running.chip.core.executed.fill(0)
    running.advance(seconds)
    const { executed } = running.chip.core
    const words = [...executed.keys()].filter((at) => executed[at])
    const chance = random(11)
    let caught = 0
    for (let i = 0; i < 32; i++) {
      const image = controller.image.bytes.slice()
      const bit = chance.below(16)
      image[2 * words[chance.below(words.length)]! + (bit >> 3)]! ^= 1 << (bit & 7)
      if (!sane(image).ok) caught++
    }
    // The rest change what one scenario does not show: high bytes of counters, vitals, tests that never fail.
    expect(caught).toBeGreaterThanOrEqual(16)
  })

  test("and any flipped byte of the table", () => {
    const table = controller.image.runs[1]!
    const chance = random(12)
    for (let i = 0; i < 8; i++) {
      const image = controller.image.bytes.slice()
      image[table.from + chance.below(table.length)]! ^= 1 << chance.below(8)
      expect(sane(image).ok).toBe(false)
    }
  })
})
