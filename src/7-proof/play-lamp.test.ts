import { expect, test } from "vitest"
import { finish } from "../0-ground/progress.ts"
import { lightTrace } from "./bench/light-trace.ts"
import { startBench } from "./bench/start-bench.ts"
import { exampleLamp, makeForBench } from "./bench/tern.testing.ts"
import { defaultStimulus, playing, playLamp, playPins } from "./play-lamp.ts"

const tern = makeForBench(exampleLamp("tern"))

test("plays in steps of 2 ms unless asked otherwise, every LED as long as the run", () => {
  const trace = playLamp(tern, defaultStimulus(tern.lamp), 0.5)
  expect(trace.step).toBe(0.002)
  expect(trace.samples).toBe(250)
  expect(Object.values(trace.leds).every((l) => l.length === 250)).toBe(true)
  expect(playLamp(tern, defaultStimulus(tern.lamp), 0.5, 0.01).samples).toBe(50)
})

test("a wing sweeps on its own wire and goes dark with it", () => {
  const trace = playLamp(
    tern,
    {
      wires: {
        left: [
          { t: 0.1, live: true },
          { t: 0.4, live: false },
        ],
      },
    },
    0.5,
    0.001,
  )
  const lit = (ref: string, ms: number) => trace.leds[ref]![ms]! > 5
  expect(lit("sweep-left-1", 99)).toBe(false)
  expect(lit("sweep-left-1", 110)).toBe(true)
  expect(lit("sweep-left-8", 110)).toBe(false)
  for (let n = 1; n <= 8; n++) {
    expect(trace.leds[`sweep-left-${n}`]![300]).toBe(255)
    expect(trace.leds[`sweep-left-${n}`]![401]).toBe(0)
    expect(Math.max(...trace.leds[`sweep-right-${n}`]!)).toBe(0)
  }
})

test("tail and stop light without the controller, each at its level", () => {
  const trace = playLamp(
    tern,
    { wires: { tail: [{ t: 0.01, live: true }], brake: [{ t: 0.05, live: true }] } },
    0.1,
  )
  const level = (t: number) => trace.leds["tail-stop-5"]![Math.round(t / trace.step)]!
  expect(level(0.005)).toBe(0)
  expect(level(0.03) / 255).toBeGreaterThan(0.08)
  expect(level(0.03) / 255).toBeLessThan(0.2)
  expect(level(0.08)).toBe(255)
})

test("a lamp without a controller plays from its wires", () => {
  const marker = makeForBench(exampleLamp("marker"))
  const trace = playLamp(marker, { wires: { tail: [{ t: 0.02, live: true }] } }, 0.04)
  expect(trace.leds["marker-3"]!.slice(8, 12)).toEqual([0, 0, 255, 255])
})

test("an unreadable firmware file plays as an empty controller: lit while the wire is live", () => {
  const firmware = { ...tern.firmware!, hex: "not a hex file" }
  const trace = playLamp({ ...tern, firmware }, { wires: { right: [{ t: 0.02, live: true }] } }, 0.06)
  expect(trace.leds["sweep-right-8"]!.at(-1)).toBe(255)
  expect(trace.leds["sweep-left-8"]!.at(-1)).toBe(0)
})

test("wires the lamp does not know are no harm", () => {
  const trace = playLamp(tern, { wires: { horn: [{ t: 0, live: true }] } }, 0.05)
  expect(trace.wires).not.toHaveProperty("horn")
})

test("pins float, so light, until the program drives them; then they follow", () => {
  const { pins, trace } = playPins(tern, { wires: { left: [{ t: 0.02, live: true }] } }, 0.1)
  expect(pins.length).toBe(16)
  for (const pin of pins) {
    expect(pin.changes[0]).toEqual([0, true])
    expect(pin.changes[1]![1]).toBe(false)
    // Power-on to driven pins: start-up clocks and the program's start.
    expect(pin.changes[1]![0]).toBeLessThan(0.003)
    expect(pin.changes.every((c, i) => i === 0 || c[1] !== pin.changes[i - 1]![1])).toBe(true)
  }
  expect(trace.samples).toBe(50)
})

test("played in breaths it is the same light, sample for sample, and it can be stopped", () => {
  const stimulus = defaultStimulus(tern.lamp)
  const breaths: number[] = []
  const inBreaths = finish(playing(tern, stimulus, 2), ({ done }) => breaths.push(done))
  const { bench, controller } = startBench(tern)
  const run = controller!.run(stimulus)
  run.advance(2)
  expect(inBreaths).toEqual(lightTrace(tern, bench, run, stimulus, 2, 0.002))
  expect(breaths.length).toBeGreaterThan(15)
})
