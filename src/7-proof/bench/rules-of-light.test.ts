// Each rule of the programme language that the build sheet tells, on the firmware's very bytes: what happens at a first
// flash, on steady-on, fast flash, bounce, drop-outs, and at power-up in the middle of a flash.

import { describe, expect, test } from "vitest"
import type { ProgrammeLine } from "../../2-lamp/artefact.ts"
import type { Made } from "./lamp-on-bench.ts"
import { type Flash, measureFlashes } from "./measure-flashes.ts"
import type { BenchRun } from "./run-bench.ts"
import { startBench } from "./start-bench.ts"
import { exampleLamp, makeForBench } from "./tern.testing.ts"
import { channelLight } from "./watch-outputs.ts"
import { flasher, type Stimulus, steady, taps, tidy, type WireEdge } from "./wires.ts"

const tern = makeForBench(exampleLamp("tern"))
/** Left wing shown by the tail as well. */
const tailLine: ProgrammeLine = { when: ["tail"], light: "sweep-left", level: 0.2, rise: 0, fall: 0 }
const shared = makeForBench({ ...tern.lamp, programme: [...tern.lamp.programme, tailLine] })

function play(edges: readonly WireEdge[], seconds: number, made: Made = tern, more: Stimulus["wires"] = {}) {
  const run = startBench(made).controller!.run({ wires: { left: edges, ...more } })
  run.advance(seconds)
  return run
}
const wing = (run: BenchRun) =>
  [...run.bench.channels.keys()].filter((c) => run.bench.channels[c]!.group === "sweep-left")
/** Duty of every output of the left wing in the frame before `t`. */
const at = (run: BenchRun, t: number): number[] => {
  let f = Math.min(run.frames, Math.floor((t * run.clockHz) / 4000) + 1)
  while (f > 1 && run.frameStart[f]! > t * run.clockHz) f--
  return wing(run).map((c) => run.duty(f - 1, c))
}
const lit = (duties: readonly number[]) => duties.filter((d) => d > 0.98).length
const dark = (duties: readonly number[]) => duties.every((d) => d === 0)
const swept = (run: BenchRun): Flash[] =>
  measureFlashes(tern.lamp, run, channelLight(run), "").filter((f) => f.group === "sweep-left")
const sweeps = (run: BenchRun) => swept(run).map((f) => Math.round(1000 * f.complete!))
const told = (made: Made, when: RegExp) => made.behaviour.told!.find((t) => when.test(t.when))?.light
/** 90 flashes a minute. */
const flashes = (from: number, until: number, onShare = 0.5) => flasher({ from, until, rate: 1.5, onShare })

describe("rules of the light, as the build sheet tells them", () => {
  test("first flash: a short sweep, also after 2 s of darkness; then what the on-times allow", () => {
    const run = play(tidy([...flashes(0.05, 2.4), ...flashes(4.9, 5.2)]), 5.4)
    const [first, second, third, fourth, again] = sweeps(run)
    for (const short of [first!, second!, again!]) {
      expect(short).toBeGreaterThan(80)
      expect(short).toBeLessThanOrEqual(86)
    }
    for (const whole of [third!, fourth!]) {
      expect(whole).toBeGreaterThan(176)
      expect(whole).toBeLessThanOrEqual(181)
    }
    expect(told(tern, /^first flash of left, after 2 s dead/)).toContain("a short sweep of 85 ms")
    expect(told(tern, /^further flashes of left/)).toContain("180 ms at most")
  })

  test("first flash together: every LED at once, as described", () => {
    const programme = tern.lamp.programme.map((l) =>
      l.sweep ? { ...l, sweep: { ...l.sweep, firstFlash: "together" as const } } : l,
    )
    const made = makeForBench({ ...tern.lamp, programme })
    const run = play(flashes(0.05, 1.6), 1.8, made)
    expect(lit(at(run, 0.056))).toBe(8)
    expect(lit(at(run, 0.05 + 1 / 1.5 + 0.006))).toBe(8)
    expect(lit(at(run, 0.05 + 2 / 1.5 + 0.006))).toBeLessThan(8)
    expect(told(made, /^first flash of left/)).toContain("every LED at once")
  })

  test("steady on: full for as long as it lasts; held-back lines come back without waiting", () => {
    const run = play(steady(0.05, 2), 2.2, shared, { tail: steady(0.01) })
    for (const t of [0.3, 1.4, 1.6, 1.99]) expect(lit(at(run, t))).toBe(8)
    for (const d of at(run, 2.03)) expect(d).toBeCloseTo(0.2, 1)
    // A flash that was none of these holds it back.
    const flash = play(steady(0.05, 1), 2.2, shared, { tail: steady(0.01) })
    expect(dark(at(flash, 1.1))).toBe(true)
    expect(dark(at(flash, 1.74))).toBe(true)
    for (const d of at(flash, 1.78)) expect(d).toBeCloseTo(0.2, 1)
    expect(told(shared, /^between the flashes of left/)).toContain("750 ms after the last flash")
    expect(told(tern, /^steady on: live for 1\.5 s/)).toContain("every LED at its level")
  })

  test("fast flash, a lamp out: still sweeps, shortened, over before every fall", () => {
    const run = play(flasher({ from: 0.05, until: 1.8, rate: 3.3, onShare: 0.4 }), 2)
    expect(swept(run).length).toBe(6)
    for (const f of swept(run)) {
      expect(f.complete).toBeGreaterThan(0.08)
      expect(f.spare).toBeGreaterThan(0.003)
    }
    expect(told(tern, /^fast flash/)).toContain("down to flashes of 100 ms")
  })

  test("a flasher that changes its pace in the middle: that one flash may be cut, the next is not", () => {
    const run = play(
      tidy([...flashes(0.05, 2.6), ...flasher({ from: 2.72, until: 3.9, rate: 3.3, onShare: 0.4 })]),
      4.1,
    )
    const all = swept(run)
    const change = all.findIndex((f) => f.fall - f.rise < 0.2)
    expect(all[change]!.firstLight).toBeLessThanOrEqual(0.005)
    expect(all[change]!.spare).toBeUndefined()
    for (const f of all.slice(change + 1)) expect(f.spare).toBeGreaterThan(0.003)
    expect(told(tern, /^fast flash/)).toContain("may end before the last LED is lit")
  })

  test("too short and too fast: plain light for 2 s, then learnt anew", () => {
    const short = play(tidy([...steady(0.05, 0.13), ...flashes(0.4, 3.8)]), 4)
    expect(lit(at(short, 0.406))).toBe(8)
    expect(lit(at(short, 0.4 + 2 / 1.5 + 0.006))).toBe(8)
    expect(lit(at(short, 0.4 + 4 / 1.5 + 0.006))).toBeLessThan(8)
    const fast = play(flasher({ from: 0.05, until: 1.1, rate: 4.2, onShare: 0.5 }), 1.3)
    expect(lit(at(fast, 0.05 + 3 / 4.2 + 0.006))).toBeLessThan(8)
    expect(lit(at(fast, 0.05 + 4 / 4.2 + 0.006))).toBe(8)
    expect(told(tern, /^a flash shorter than 100 ms, or five within 1024 ms/)).toContain(
      "plain light for 2 s",
    )
  })

  test("bounce: pulses under 2 ms light nothing, gaps of up to 7 ms darken nothing", () => {
    const pulses = taps([0.05, 0.0518], [0.06, 0.0615], [0.08, 0.0818])
    const run = play(pulses, 0.12)
    for (let t = 0.05; t < 0.11; t += 0.001) expect(dark(at(run, t))).toBe(true)
    const gaps = taps([0.05, 0.2], [0.207, 0.25], [0.2569, 0.4])
    const whole = play(steady(0.05, 0.4), 0.5)
    const torn = play(gaps, 0.5)
    for (let t = 0.06; t < 0.45; t += 0.001) expect(at(torn, t)).toEqual(at(whole, t))
    expect(told(tern, /^a contact bounces or lets go for up to 7 ms/)).toBe("nothing of it is seen")
  })

  test("drop-outs: every LED at once on return, one flash to the measure; from 80 ms on a new flash", () => {
    for (const gap of [0.009, 0.03, 0.078]) {
      const run = play(taps([0.05, 0.11], [0.11 + gap, 0.4]), 0.5)
      expect(lit(at(run, 0.11 + gap + 0.0052))).toBe(8)
    }
    const parted = play(taps([0.05, 0.16], [0.16 + 0.085, 0.5]), 0.6)
    expect(lit(at(parted, 0.16 + 0.085 + 0.0052))).toBeLessThan(8)
    expect(told(tern, /^a contact lets go for longer, up to 80 ms/)).toContain("at once when it is back")
  })

  test("power-up in the middle of a flash: everything at once, and the flash is not measured", () => {
    const run = play(tidy([...steady(0, 0.12), ...flashes(0.45, 2.4)]), 2.5)
    expect(lit(at(run, 0.012))).toBe(8)
    // 120 ms would have been a known on-time: the sweeps to come would be short for long.
    expect(
      sweeps(run)
        .slice(1, 3)
        .every((ms) => ms <= 86),
    ).toBe(true)
    expect(sweeps(run)[3]).toBeGreaterThan(176)
    expect(told(tern, /^power comes on/)).toContain("not measured")
  })

  test("hazard: each group by its own wire, a line for both while both are live", () => {
    const both: ProgrammeLine = { when: ["left", "right"], light: "sweep-left", level: 0.5, rise: 0, fall: 0 }
    const made = makeForBench({ ...tern.lamp, programme: [...tern.lamp.programme, both] })
    const run = play(steady(0.05, 0.5), 0.6, made, { right: steady(0.054, 0.49) })
    for (const d of at(run, 0.3)) expect(d).toBeCloseTo(0.5, 1)
    expect(told(made, /^hazard: left and right/)).toContain("while both are live")
    expect(told(tern, /^hazard/)).toBe("each group flashes by its own wire")
  })
})
