// The thirteen properties a lamp's light must have, each on the Tern and on random programmes (fixed seeds).

import fc from "fast-check"
import { describe, expect, it } from "vitest"
import { random } from "../../0-ground/numbers/random.ts"
import { finish } from "../../0-ground/progress.ts"
import { compareWithModel } from "./compare.ts"
import { flasherOf } from "./flasher-kinds.ts"
import { wrongWire } from "./judge-light.ts"
import type { Made } from "./lamp-on-bench.ts"
import { type Flash, lineSpans, longestDark, measureFlashes } from "./measure-flashes.ts"
import { faultsOf, tryCase } from "./random/differential.testing.ts"
import { holdLimits } from "./random/limits.testing.ts"
import { type LampPlan, type LinePlan, makePlan, wireName } from "./random/made-lamp.testing.ts"
import { caseOf } from "./random/plans.testing.ts"
import type { BenchRun } from "./run-bench.ts"
import { scenarios } from "./scenarios.ts"
import { slotMisses } from "./slots.testing.ts"
import { startBench } from "./start-bench.ts"
import { exampleLamp, makeForBench } from "./tern.testing.ts"
import { channelLight } from "./watch-outputs.ts"
import { liveSpans, type Stimulus, steady, taps, tidy, type WireEdge } from "./wires.ts"

const sweepOnly: LinePlan = {
  wires: [0],
  group: 0,
  level: 100,
  sweep: 0,
  rise: 0,
  fall: 0,
  step: 1,
  share: 0,
  together: false,
  othersBetween: false,
}
const flashing = { flasher: "electronic" } as const
const still = { flasher: "none" } as const

/** Up to two groups, each swept by a flashing wire of its own. */
const sweeper: fc.Arbitrary<LampPlan> = fc
  .array(
    fc.record({
      leds: fc.integer({ min: 2, max: 8 }),
      order: fc.constantFrom("drawn", "left-to-right", "right-to-left", "outward", "inward"),
      centre: fc.constantFrom(0, 0.5, 1),
      perOutput: fc.constantFrom(1, 1, 2),
      level: fc.integer({ min: 30, max: 100 }),
      sweep: fc.integer({ min: 40, max: 195 }),
      rise: fc.integer({ min: 0, max: 30 }),
      fall: fc.integer({ min: 0, max: 30 }),
      step: fc.constantFrom(1, 1, 2),
      share: fc.constantFrom(0, 0, 40, 80),
      together: fc.boolean(),
    }),
    { minLength: 1, maxLength: 2 },
  )
  .map((groups) => ({
    wires: groups.map(() => flashing),
    groups: groups.map(({ leds, order, centre, perOutput }) => ({
      leds,
      order,
      centre,
      perOutput,
      stop: false,
    })),
    lines: groups.map((g, i) => ({ ...sweepOnly, ...g, wires: [i], group: i })),
    activeHigh: groups.length === 1,
    scramble: 7 * groups[0]!.leds,
  }))

const tern = makeForBench(exampleLamp("tern"))
const sweepers = fc.sample(sweeper, { numRuns: 8, seed: 901 }).map((plan) => makePlan(plan))
/** The Tern and the random lamps, by name. */
const lamps: readonly (readonly [string, Made])[] = [
  ["the Tern", tern],
  ...sweepers.map((made, i) => [`random programme ${i}`, made] as const),
]
const flashers = (made: Made) =>
  made.lamp.vehicle.wires.filter((w) => w.role === "flashing").map((w) => w.name)

function play(made: Made, stimulus: Stimulus, seconds: number): BenchRun {
  const run = startBench(made).controller!.run(stimulus)
  run.advance(seconds)
  return run
}

const all = (made: Made, edges: (wire: number) => readonly WireEdge[]): Stimulus => ({
  wires: Object.fromEntries(flashers(made).map((name, i) => [name, edges(i)])),
})
/** Lawful flashers of every kind and rate. */
const lawful = (made: Made, seed: number): Stimulus => {
  const chance = random(seed)
  return all(made, (i) =>
    flasherOf((["thermal", "load-sensing", "electronic"] as const)[chance.below(3)]!, {
      from: 0.03 + 0.05 * i,
      until: 1.9,
      rate: 1 + chance.next(),
      onShare: 0.3 + 0.45 * chance.next(),
      jitter: 0.004,
      seed: seed + i,
    }),
  )
}
const flashesOf = (made: Made, run: BenchRun): Flash[] =>
  measureFlashes(made.lamp, run, channelLight(run), "")
const own = (run: BenchRun, group: string) =>
  [...run.bench.channels.keys()].filter((c) => run.bench.channels[c]!.group === group)
const frame = (run: BenchRun, t: number) => Math.floor((t * run.clockHz) / 4000)
/** Duties of some channels in the frame at a time. */
const duties = (run: BenchRun, channels: readonly number[], t: number) => {
  // Frames begin with the timer, not with the clock: the frame whose span holds the time.
  let f = Math.min(run.frames - 1, frame(run, t))
  while (f > 0 && run.frameStart[f]! > t * run.clockHz) f--
  while (f + 1 < run.frames && run.frameStart[f + 1]! <= t * run.clockHz) f++
  return channels.map((c) => run.duty(f, c))
}
const level = (made: Made, group: string) => made.lamp.programme.find((l) => l.light === group)!.level
const groupsSwitched = (made: Made, run: BenchRun) =>
  made.lamp.groups.map((g) => g.name).filter((g) => own(run, g).length > 0)

/** What the product's bench does to the Tern, and random lamps under random stories. */
const seenOnTern = scenarios(tern, ["left", "right"]).map((s) => ({
  ...s,
  run: play(tern, s.stimulus, s.seconds),
}))
const cases = fc.sample(caseOf, { numRuns: 16, seed: 902 }).map((of) => ({ of, ...tryCase(of) }))
const lawfulRuns = sweepers.map((made, i) => ({ made, run: play(made, lawful(made, 50 + i), 2.3) }))

describe("properties of the light, on the Tern and on random programmes", () => {
  it("1. equality: every frame of every output is the model's, every change of a port lies on a slot", () => {
    for (const { run, name } of seenOnTern)
      expect([name, finish(compareWithModel(tern.lamp, run)).mismatches]).toEqual([name, 0])
    for (const { made, run } of lawfulRuns)
      expect(finish(compareWithModel(made.lamp, run)).mismatches).toBe(0)
    for (const { comparison } of cases) expect(comparison.mismatches).toBe(0)
    for (const [, made] of lamps.slice(0, 5)) {
      const off = slotMisses(startBench(made).controller!.run(lawful(made, 3)), 0.35)
      expect(Math.max(...off)).toBeLessThanOrEqual(8)
      expect(off.filter((m) => m <= 4).length / off.length).toBeGreaterThan(0.95)
    }
  })

  it("2. first light: within 5 ms of a settled wire, within 10 ms of power-on", () => {
    const flashes = [
      ...seenOnTern.flatMap(({ run }) => flashesOf(tern, run)),
      ...lawfulRuns.flatMap(({ made, run }) => flashesOf(made, run)),
    ].filter((f) => f.rise > 0.015)
    expect(flashes.length).toBeGreaterThan(80)
    for (const f of flashes) expect(f.firstLight).toBeLessThanOrEqual(0.005)
    for (const [name, made] of lamps) {
      const run = play(
        made,
        all(made, () => steady(0)),
        0.03,
      )
      for (const g of groupsSwitched(made, run))
        expect([name, duties(run, own(run, g), 0.01).every((d) => d > 0.02)]).toEqual([name, true])
    }
  })

  it("3. sweeps: from the first flash on all at their level 3 ms before every fall, in order, lit until then", () => {
    const clean = seenOnTern.filter((s) => s.clean).flatMap(({ run }) => flashesOf(tern, run))
    const flashes = [...clean, ...lawfulRuns.flatMap(({ made, run }) => flashesOf(made, run))]
    const long = flashes.filter((f) => f.fall - f.rise >= 0.1)
    expect(long.length).toBeGreaterThan(70)
    for (const f of long) {
      expect(f.spare).toBeGreaterThanOrEqual(0.003)
      expect([f.disorder, f.darker]).toEqual([0, 0])
    }
  })

  it("4. sweep time: the last LED is full within the described time, and 200 ms, of the first light, clock slow", () => {
    const flashes = [
      ...seenOnTern.flatMap(({ run, clean }) => (clean ? flashesOf(tern, run) : [])),
      ...lawfulRuns.flatMap(({ made, run }) => flashesOf(made, run)),
    ].filter((f) => f.line.sweep && f.complete !== undefined)
    expect(flashes.length).toBeGreaterThan(70)
    for (const { complete, line, fall, rise } of flashes) {
      const { within, share, atMost } = line.sweep!
      const most = share === undefined ? within : Math.min(atMost ?? 5, 1.1 * share * (fall - rise))
      expect(complete! * 1.005).toBeLessThanOrEqual(Math.min(0.2, most * 1.005 + 0.002))
    }
    const longest = Math.max(...flashes.map((f) => f.complete! / f.line.sweep!.within))
    expect(longest).toBeGreaterThan(0.95)
  })

  it("5. dark: nothing is lit by a wire that has been dead for 20 ms, its fall apart", () => {
    for (const { run } of seenOnTern) {
      expect(wrongWire(tern, run).frames).toBe(0)
      expect(holdLimits(tern, run).broken).toEqual([])
    }
    for (const { made, run } of [...lawfulRuns, ...cases]) expect(holdLimits(made, run).broken).toEqual([])
    expect(cases.reduce((sum, c) => sum + c.limits.dark, 0)).toBeGreaterThan(5000)
  })

  it("6. brake: full within 5 ms in every interleaving, never less while it lasts; the tail within 5 ms and its rise", () => {
    const held = (made: Made, tail: string, brake: string, seed: number) => {
      const chance = random(seed)
      const spans = () => {
        let t = 0.02
        return taps(
          ...Array.from({ length: 9 }, (): [number, number] => {
            const from = t + 0.025 + 0.08 * chance.next()
            t = from + 0.012 + 0.1 * chance.next()
            return [from, t]
          }),
        )
      }
      const stimulus: Stimulus = { wires: { [tail]: spans(), [brake]: spans() } }
      const run = play(made, stimulus, 2)
      const { group } = run.bench.channels[0]!
      const lines = made.lamp.programme.filter((l) => l.light === group)
      const [low, high] = [tail, brake].map((w) => lines.find((l) => l.when[0] === w)!)
      let looked = 0
      for (const [rise, fall] of liveSpans(stimulus.wires[brake]!, 2))
        for (let t = rise + 0.005; t < fall; t += 0.0005) {
          looked++
          for (const d of duties(run, own(run, group), t)) expect(d).toBeGreaterThanOrEqual(0.99)
        }
      const quiet = (t: number, before: number) =>
        !stimulus.wires[brake]!.some((e) => e.t > t - before && e.t <= t) &&
        stimulus.wires[brake]!.findLast((e) => e.t <= t)?.live !== true
      for (const [rise, fall] of liveSpans(stimulus.wires[tail]!, 2))
        for (let t = rise + 0.005; t < fall; t += 0.003) {
          if (!quiet(t, 0.03 + high!.fall)) continue
          looked++
          for (const d of duties(run, own(run, group), t)) expect(d).toBeGreaterThan(0.02)
          if (t - rise > 0.006 + 1.02 * low!.rise && quiet(t, 0.03 + high!.fall + low!.rise))
            for (const d of duties(run, own(run, group), t))
              expect(Math.abs(d - low!.level)).toBeLessThan(0.01 + 0.03 * low!.level)
        }
      return looked
    }
    let looked = 0
    for (let seed = 1; seed <= 6; seed++) {
      const chance = random(600 + seed)
      const of: LampPlan = {
        wires: [still, still],
        groups: [{ leds: 1 + chance.below(5), order: "drawn", centre: 0, stop: true, perOutput: 1 }],
        lines: [
          {
            ...sweepOnly,
            wires: [0],
            level: 8 + chance.below(60),
            rise: chance.below(30),
            fall: chance.below(50),
          },
          { ...sweepOnly, wires: [1], level: 100, fall: chance.below(60) },
        ].sort(() => (seed % 2 === 0 ? -1 : 1)),
        activeHigh: seed % 2 === 0,
        scramble: seed,
      }
      looked += held(makePlan(of), wireName(0), wireName(1), seed)
    }
    expect(looked).toBeGreaterThan(3000)
    // The Tern's stop light needs no controller: its wire is its current.
    expect(startBench(tern).bench.channels.some((c) => c.group === "tail-stop")).toBe(false)
    const parts = tern.circuit.corners.filter((c) => c.parts === "usual" && c.live.includes("brake"))
    const least = Math.min(...parts.map((c) => c.ledCurrent["tail-stop-1"]! / c.supply))
    const alone = tern.circuit.corners.filter((c) => c.parts === "usual" && c.live.join() === "tail")
    expect(least).toBeGreaterThan(3 * Math.max(...alone.map((c) => c.ledCurrent["tail-stop-1"]! / c.supply)))
  })

  it("7. drop-outs: up to 7 ms invisible; longer ones come back with every LED at its level within 5 ms", () => {
    for (const [n, [name, made]] of lamps.entries()) {
      const chance = random(700 + n)
      const at = 0.15 + 0.1 * chance.next()
      const short = 0.001 + 0.006 * chance.next()
      const flash = taps([0.03, 0.45])
      const gap = (length: number) => taps([0.03, at], [at + length, 0.45])
      const whole = play(
        made,
        all(made, () => flash),
        0.6,
      )
      const dropped = play(
        made,
        all(made, () => gap(short)),
        0.6,
      )
      const frames = (run: BenchRun) => run.onCycles.slice(0, frame(run, 0.59) * run.bench.channels.length)
      expect([name, frames(dropped)]).toEqual([name, frames(whole)])
      const long = 0.012 + 0.06 * chance.next()
      const back = play(
        made,
        all(made, () => gap(long)),
        0.6,
      )
      for (const g of groupsSwitched(made, back))
        for (let t = at + long + 0.005; t < 0.449; t += 0.01)
          for (const d of duties(back, own(back, g), t))
            expect([name, d]).toEqual([name, expect.closeTo(level(made, g), 1)])
    }
  })

  it("8. shared LEDs: dark between the flashes and 750 ms after the last, then the tail again", () => {
    const wings = exampleLamp("tern")
    const shared: Made = makeForBench({
      ...wings,
      programme: [
        ...wings.programme,
        { when: ["tail"], light: "sweep-left", level: 0.2, rise: 0.02, fall: 0.01 },
      ],
    })
    const lampOf = (seed: number): Made => {
      const chance = random(800 + seed)
      return makePlan({
        wires: [flashing, still],
        groups: [{ leds: 1 + chance.below(5), order: "drawn", centre: 0, stop: false, perOutput: 1 }],
        lines: [
          { ...sweepOnly, wires: [1], level: 10 + chance.below(60), rise: chance.below(40) },
          { ...sweepOnly, wires: [0], sweep: chance.below(2) * 120, fall: chance.below(30) },
        ],
        activeHigh: false,
        scramble: seed,
      })
    }
    const trials: [Made, string, string, string][] = [
      [shared, "left", "tail", "sweep-left"],
      ...[1, 2, 3].map((s): [Made, string, string, string] => [lampOf(s), "wire0", "wire1", "group0"]),
    ]
    for (const [made, flasher, tail, group] of trials) {
      const flashes = flasherOf("electronic", { from: 0.2, until: 1.5, rate: 1.5, onShare: 0.45 })
      const run = play(made, { wires: { [flasher]: flashes, [tail]: steady(0.01) } }, 2.8)
      const channels = own(run, group)
      const line = made.lamp.programme.find((l) => l.when[0] === flasher)!
      const low = made.lamp.programme.find((l) => l.when[0] === tail && l.light === group)!
      const isTail = (t: number) => {
        for (const d of duties(run, channels, t)) expect(Math.abs(d - low.level)).toBeLessThan(0.03)
      }
      isTail(0.18)
      const spans = liveSpans(flashes, 3)
      for (const [i, [, fall]] of spans.entries()) {
        const next = spans[i + 1]?.[0] ?? fall + 0.74
        for (let t = fall + 0.0205 + line.fall; t < next; t += 0.01)
          expect(duties(run, channels, t).every((d) => d === 0)).toBe(true)
      }
      isTail(spans.at(-1)![1] + 0.75 + 0.012 + 1.05 * low.rise)
      isTail(2.7)
    }
  })

  it("9. faulty flashers never darken: steady, fast and unstable light follows the wire, 5 ms on, 20 ms off", () => {
    for (const [n, [name, made]] of lamps.entries()) {
      const chance = random(900 + n)
      const mad = all(made, (i) => {
        let t = 0.02 + 0.013 * i
        const spans = Array.from({ length: 14 }, (): [number, number] => {
          const from = t
          t += 0.015 + 0.09 * chance.next() ** 2
          const until = t
          t += 0.025 + 0.1 * chance.next()
          return [from, until]
        })
        return tidy([...taps(...spans), ...steady(t + 0.3)])
      })
      const run = play(made, mad, 4)
      const { broken, lit, dark } = holdLimits(made, run)
      expect([name, broken]).toEqual([name, []])
      expect(Math.min(lit, dark)).toBeGreaterThan(100)
      const light = channelLight(run)
      for (const line of made.lamp.programme) {
        const channels = own(run, line.light)
        const spans = lineSpans(line, run).filter(([a, b]) => b - a > 0.006)
        if (channels.length > 0) expect(longestDark(run, light, channels, spans)).toBeLessThanOrEqual(0.005)
      }
    }
  })

  it("10. damage: a turned bit changes nothing, two leave plain light, three the pull-ups; 10 kHz on the pins no reset", () => {
    // Blocks by address (firmware/TABLE.md).
    const [table, copy, safe] = [0x7000, 0x7400, 0x7e00]
    for (const [n, [name, made]] of lamps.slice(0, 4).entries()) {
      const chance = random(1000 + n)
      const { controller } = startBench(made)
      const { bytes, runs } = controller!.image
      const turned = (...blocks: readonly number[]) => {
        const out = bytes.slice()
        for (const at of blocks) {
          const { length } = runs.find((r) => r.from === at)!
          out[at + chance.below(length)]! ^= 1 << chance.below(8)
        }
        return out
      }
      const stimulus = all(made, (i) => taps([0.02 + 0.003 * i, 0.12]))
      const outcome = (image: Uint8Array) => {
        const run = controller!.run(stimulus, image)
        run.advance(0.16)
        return run
      }
      const sound = outcome(bytes)
      for (let i = 0; i < 3; i++) {
        const one = outcome(turned(table))
        expect([name, one.chip.core.data[0x104], holdLimits(made, one).broken]).toEqual([name, 2, []])
        const two = outcome(turned(table, copy))
        expect(two.chip.core.data[0x104]).toBe(3)
        for (const g of groupsSwitched(made, two)) {
          for (const t of [0.03, 0.07, 0.118])
            expect(duties(two, own(two, g), t).every((d) => d > 0.99)).toBe(true)
          expect(duties(two, own(two, g), 0.15).every((d) => d === 0)).toBe(true)
        }
        const none = outcome(turned(table, copy, safe))
        expect(none.chip.core.data[0x104]).toBe(0)
        expect([...none.chip.ports.direction]).toEqual([0, 0, 0])
      }
      expect(sound.chip.core.data[0x104]).toBe(1)
      const noise = all(made, () => {
        const out: WireEdge[] = []
        for (let t = 0.01; t < 0.3; t += 0.0001 * chance.next()) out.push({ t, live: out.length % 2 === 0 })
        return tidy(out)
      })
      const storm = play(made, noise, 0.4)
      expect([storm.chip.resets.length, storm.chip.core.data[0x100], storm.chip.core.fault]).toEqual([
        1,
        0,
        undefined,
      ])
    }
  })

  it("11. soundness: no reset, no overrun, 1 KB of stack to spare in any run; after a hang light within 25 ms", () => {
    const runs = [...seenOnTern, ...lawfulRuns].map((s) => s.run)
    for (const run of runs) {
      const { core, resets } = run.chip
      expect([resets.length, core.data[0x100]! | core.data[0x101]!, core.fault]).toEqual([1, 0, undefined])
      expect(core.lowestSp - core.highestStatic).toBeGreaterThanOrEqual(1024)
    }
    for (const { run, comparison, of } of cases) {
      expect(faultsOf(run, comparison, of.story.resets.length)).toEqual([])
      expect(run.chip.core.lowestSp - run.chip.core.highestStatic).toBeGreaterThanOrEqual(1024)
    }
    for (const [n, [name, made]] of lamps.entries()) {
      const chance = random(1100 + n)
      for (let i = 0; i < 3; i++) {
        const at = 0.05 + 0.1 * chance.next()
        const run = play(
          made,
          all(made, () => steady(0.02)),
          at,
        )
        run.chip.hang()
        run.advance(at + 0.04)
        for (const g of groupsSwitched(made, run))
          for (const t of [at + 0.025, at + 0.038])
            expect([name, duties(run, own(run, g), t).every((d) => d > 0.02)]).toEqual([name, true])
      }
    }
  })

  it("12. power cut at any instant, memory kept, lost or spoiled: first light, sweeps and darkness as before", () => {
    for (const [n, [name, made]] of lamps.entries()) {
      const chance = random(1200 + n)
      for (const memory of ["kept", "lost", "spoiled"] as const) {
        const cut = 0.2 + 0.5 * chance.next()
        const stimulus = all(made, (i) =>
          flasherOf("electronic", { from: 0.03 + 0.02 * i, until: 1.6, rate: 1.7, onShare: 0.4 }),
        )
        const run = startBench(made).controller!.run(stimulus)
        run.advance(cut)
        const { core } = run.chip
        for (let at = core.ram.start; memory !== "kept" && at < core.ram.end; at++)
          if (memory === "lost" || chance.next() < 0.1) core.data[at] = chance.below(256)
        run.chip.reset(memory === "lost" ? "powerOn" : "brownOut")
        run.advance(1.9)
        expect([name, memory, core.fault]).toEqual([name, memory, undefined])
        expect(holdLimits(made, run).broken).toEqual([])
        const later = flashesOf(made, run).filter((f) => f.rise > cut + 0.02)
        expect(later.length).toBeGreaterThan(0)
        for (const f of later) {
          expect(f.firstLight).toBeLessThanOrEqual(0.005)
          expect(f.spare).toBeGreaterThanOrEqual(0.003)
        }
      }
    }
  })

  it("13. sameness: the same run gives the same frames to the cycle", () => {
    const hash = (run: BenchRun) => {
      let h = 2166136261
      const mix = (value: number) => {
        h = Math.imul(h ^ value, 16777619) >>> 0
      }
      for (let f = 0; f <= run.frames; f++) mix(run.frameStart[f]!)
      for (const on of run.onCycles.subarray(0, run.frames * run.bench.channels.length)) mix(on)
      return h
    }
    for (const s of seenOnTern.slice(1, 4)) expect(hash(play(tern, s.stimulus, s.seconds))).toBe(hash(s.run))
    for (const [i, { made, run }] of lawfulRuns.entries())
      expect(hash(play(made, lawful(made, 50 + i), 2.3))).toBe(hash(run))
    for (const { of, run } of cases.slice(0, 5)) expect(hash(tryCase(of).run)).toBe(hash(run))
    const others = seenOnTern.map((s) => hash(s.run))
    expect(new Set(others).size).toBe(others.length)
  })
})
