// Everything that is tried on a compiled program, as trials that an image passes or not: random lamps, damaged and odd
// tables, a program gone astray, too much work, more time than its counters hold. For both controllers.

import fc from "fast-check"
import { random } from "../../../0-ground/numbers/random.ts"
import { crc16 } from "../../../4-behaviour/crc16.ts"
import type { Made } from "../lamp-on-bench.ts"
import { type BenchRun, edgesAt } from "../run-bench.ts"
import { startBench } from "../start-bench.ts"
import { exampleLamp, makeForBench } from "../tern.testing.ts"
import { channelLight } from "../watch-outputs.ts"
import { flasher, type Stimulus, steady, taps } from "../wires.ts"
import { watchChip } from "./chip-contract.testing.ts"
import { tryMade } from "./differential.testing.ts"
import { fitted, type LampPlan, type LinePlan, makePlan, wireName } from "./made-lamp.testing.ts"
import { type Case, caseOf, stimulusOf } from "./plans.testing.ts"

export type Spoil = (image: Uint8Array) => Uint8Array
export interface Trial {
  readonly name: string
  /** `hasty`: ends at the first broken promise about the chip. */
  readonly run: (spoil: Spoil, hasty?: boolean) => TrialResult
}
export interface TrialResult {
  readonly faults: readonly string[]
  readonly executed: Uint8Array
  /** Everything that an outsider could see, to compare two runs of one trial. */
  readonly run: BenchRun
}

export const same: Spoil = (image) => image

/** A controller: where its blocks lie (firmware/TABLE.md), what its table holds at most, its vectors. */
export interface Chip {
  readonly name: "ATmega328P" | "ATtiny84A"
  readonly tableAt: number
  readonly copyAt: number
  readonly safeMapAt: number
  readonly most: readonly [inputs: number, channels: number, rules: number]
  readonly vectors: number
  readonly vectorWords: number
  /** Reset and the three of timer 1. */
  readonly vectorsUsed: readonly number[]
}
export const chips: readonly Chip[] = [
  {
    name: "ATmega328P",
    tableAt: 0x7000,
    copyAt: 0x7400,
    safeMapAt: 0x7e00,
    most: [8, 18, 16],
    vectors: 26,
    vectorWords: 2,
    vectorsUsed: [0, 11, 12, 13],
  },
  {
    name: "ATtiny84A",
    tableAt: 0x1c00,
    copyAt: 0x1d00,
    safeMapAt: 0x1e00,
    most: [4, 8, 6],
    vectors: 17,
    vectorWords: 1,
    vectorsUsed: [0, 6, 7, 8],
  },
]

const line: LinePlan = {
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
const plan: LampPlan = {
  wires: (["thermal", "none", "none", "none", "none"] as const).map((kind) => ({ flasher: kind })),
  groups: [{ leds: 3, order: "drawn", centre: 0, stop: true, perOutput: 1 }],
  lines: [],
  activeHigh: false,
  scramble: 3,
}

/** A lamp with two flashing wires that each sweep a side of their own. */
interface Host {
  readonly made: Made
  readonly wires: readonly [string, string]
}

function hostOf(small: boolean): Host {
  if (!small) return { made: makeForBench(exampleLamp("tern")), wires: ["left", "right"] }
  const two = [0, 1]
  const made = makePlan({
    ...plan,
    small,
    wires: two.map(() => ({ flasher: "electronic" as const })),
    groups: two.map(() => ({ leds: 3, order: "drawn" as const, centre: 0, stop: false, perOutput: 1 })),
    lines: two.map((i) => ({ ...line, wires: [i], group: i, sweep: 180, rise: 20, fall: 10 })),
  })
  return { made, wires: [wireName(0), wireName(1)] }
}

/** What must be true of a run beside what is watched; false: it is. */
type Judge = (run: BenchRun) => readonly (string | false)[]

interface Held {
  readonly made: Made
  readonly stimulus: Stimulus
  readonly seconds: number
  readonly change?: Spoil
  readonly judge: Judge
  readonly meanwhile?: (run: BenchRun) => void
  /** The image serves another table than the lamp's: its pins are not the bench's. */
  readonly stranger?: boolean
}

/** A run of which some facts must hold, beside the chip's own promises. */
function held(name: string, of: Held): Trial {
  const controller = startBench(of.made).controller!
  return {
    name,
    run: (spoil) => {
      const run = controller.run(of.stimulus, spoil((of.change ?? same)(controller.image.bytes.slice())))
      const watch = of.stranger ? undefined : watchChip(run)
      of.meanwhile?.(run)
      run.advance(of.seconds)
      const fault = run.chip.core.fault
      const told: readonly (string | false)[] = [fault ? fault.reason : false, ...of.judge(run)]
      const faults = told.flatMap((f) => (f === false ? [] : [f]))
      return { faults: [...faults, ...(watch?.faults() ?? [])], executed: run.chip.core.executed, run }
    },
  }
}

/** One bit of a byte in the body of each block named is wrong. */
const broken =
  (...at: readonly number[]): Spoil =>
  (image) => {
    for (const a of at) image[a + 8]! ^= 1
    return image
  }

/** Puts a block with its check-word. */
const put = (image: Uint8Array, at: number, bytes: readonly number[]) => {
  const crc = crc16(Uint8Array.from(bytes))
  image.set([...bytes, crc & 255, crc >> 8], at)
}

/** Every output as `wanted` says for its group, else what is not. */
const lit = (run: BenchRun, t: number, wanted: boolean | ((group: string) => boolean)): string | false => {
  const light = channelLight(run)
  const { channels } = run.bench
  const frame = Math.floor((t * run.clockHz) / 4000)
  const as = typeof wanted === "boolean" ? () => wanted : wanted
  const wrong = channels.flatMap((c, i) => {
    const share = light[frame * channels.length + i]!
    return (as(c.group) ? share > 0.9 : share < 0.1) ? [] : [i]
  })
  return wrong.length > 0 && `outputs ${wrong} at ${t} s`
}
const vital = (run: BenchRun, at: number) => run.chip.core.data[run.chip.core.ram.start + at]!
const serving = (run: BenchRun, wanted: number) => vital(run, 4) !== wanted && `serves from ${vital(run, 4)}`
const resets = (run: BenchRun, least: number, most = least) =>
  (run.chip.resets.length - 1 < least || run.chip.resets.length - 1 > most) &&
  `${run.chip.resets.length - 1} resets`
const cause = (run: BenchRun, wanted: number) => vital(run, 5) !== wanted && `reset cause ${vital(run, 5)}`
const watchdogFlag = 8

export interface ImageTrials {
  readonly chip: Chip
  /** Its image with a table in it. */
  readonly image: Uint8Array
  /** Quick ones first; the last ones are long. */
  readonly trials: readonly Trial[]
}

/**
 * Random lamps of one controller. Two in three have filters and limits of their own, short enough for a story of two
 * seconds to pass every one of them.
 */
export function randomCases(small: boolean, seed: number, number: number): Case[] {
  const drawn = fc.sample(caseOf, { numRuns: small ? 3 * number : number, seed })
  return drawn
    .map((of, i) => ({
      ...of,
      plan: fitted({ ...of.plan, small, ...(i % 3 === 0 ? {} : limits(of, seed + i)) }),
    }))
    .filter((of) => startable(of))
    .slice(0, number)
}

function limits({ plan }: Case, seed: number): Pick<LampPlan, "limits" | "wires"> {
  const chance = random(seed)
  const within = (least: number, most: number) => (least + chance.below(most - least)) / 1000
  const flashing = {
    shortestOn: within(30, 140),
    steadyAfter: within(180, 600),
    contactGap: within(15, 120),
    newOperationAfter: within(150, 900),
    fiveFlashesWithin: within(300, 1600),
    unstableFor: within(150, 900),
    heldBackFor: within(60, 400),
  }
  const wires = plan.wires.map((w) =>
    chance.below(2) ? w : { ...w, filter: [1 + chance.below(12), 1 + chance.below(20)] as const },
  )
  return { flashing, wires }
}

const startable = (of: Case): boolean => {
  const { firmware } = makePlan(of.plan)
  return (firmware?.tableBytes ?? 0) > 0 && firmware!.findings.every((f) => f.severity !== "red")
}

export function randomTrials(cases: readonly Case[]): Trial[] {
  return cases.map((of, i) => {
    let made: Made | undefined
    return {
      name: `random lamp ${i}`,
      run: (spoil, hasty) => {
        made ??= makePlan(of.plan)
        const { faults, run } = tryMade(made, stimulusOf(of), spoil, hasty)
        return { faults, executed: run.chip.core.executed, run }
      },
    }
  })
}

/** Both tables gone: every output follows the wires that may light it alone (SEMANTICS.md section 7), within 0.1 ms. */
function safeTrials({ tableAt, copyAt }: Chip, cases: readonly Case[]): Trial[] {
  return cases.map((of, i) => {
    const made = makePlan(of.plan)
    const { lamp } = made
    const lighting = (group: string) => {
      const lines = lamp.programme.filter((l) => l.light === group && l.level > 0)
      const single = lines.filter((l) => l.when.length === 1)
      return new Set((single.length > 0 ? single : lines).flatMap((l) => l.when))
    }
    const chance = random(77 + i)
    const wires: Record<string, { t: number; live: boolean }[]> = {}
    for (const name of new Set(lamp.programme.flatMap((l) => l.when))) {
      const edges = Array.from({ length: 8 }, () => 0.008 + chance.next() * 0.04).sort((a, b) => a - b)
      wires[name] = edges.map((t, n) => ({ t, live: n % 2 === 0 }))
    }
    // Every wire feeds the rail of these lamps, so that an output's pin alone tells its light.
    const lit = new Map<number, boolean>()
    const judge: Judge = (run) => {
      const edges = run.bench.inputs.flatMap((input) =>
        edgesAt(input, run.stimulus).map((e) => ({ ...e, name: input.wire })),
      )
      edges.sort((a, b) => a.t - b.t)
      const { channels } = run.bench
      const live = new Set<string>()
      const faults: string[] = []
      const pins = pinLog.get(run) ?? []
      let next = 0
      edges.forEach((e, n) => {
        if (e.live) live.add(e.name)
        else live.delete(e.name)
        const until = edges[n + 1]?.t ?? 0.05
        if (until - e.t < 0.0002) return
        for (; next < pins.length && pins[next]!.cycle <= (e.t + 0.0001) * run.clockHz; next++)
          lit.set(pins[next]!.channel, pins[next]!.lit)
        channels.forEach((c, at) => {
          const wanted = [...lighting(c.group)].some((w) => live.has(w))
          if ((lit.get(at) ?? false) !== wanted) faults.push(`output ${at} after ${e.t} s`)
        })
      })
      return [serving(run, 3), resets(run, 0), faults[0] ?? false]
    }
    const pinLog = new WeakMap<BenchRun, { cycle: number; channel: number; lit: boolean }[]>()
    return held(`safe map of random lamp ${i}`, {
      made,
      stimulus: { wires },
      seconds: 0.05,
      change: broken(tableAt, copyAt),
      judge,
      meanwhile: (run) => {
        const log: { cycle: number; channel: number; lit: boolean }[] = []
        pinLog.set(run, log)
        lit.clear()
        run.onPin = (cycle, channel, lights) => log.push({ cycle, channel, lit: lights })
      },
    })
  })
}

export function imageTrials(chip: Chip, randoms: readonly Case[]): ImageTrials {
  const small = chip.name === "ATtiny84A"
  const host = hostOf(small)
  const trials = [
    ...damaged(chip, host),
    ...heads(chip, host),
    ...safeTrials(chip, randoms.slice(0, 8)),
    ...astray(chip, host),
    ...odd(small),
    ...randomTrials(randoms),
    ...long(host),
  ]
  return { chip, image: startBench(host.made).controller!.image.bytes, trials }
}

function damaged({ tableAt, copyAt, safeMapAt }: Chip, { made, wires }: Host): Trial[] {
  const [a, b] = wires
  const groupsOf = (wire: string) =>
    new Set(made.lamp.programme.flatMap((l) => (l.when.includes(wire) ? [l.light] : [])))
  const [sideA, sideB] = [groupsOf(a), groupsOf(b)]
  const both: Stimulus = { wires: { [a]: taps([0.02, 0.15]), [b]: taps([0.02, 0.15]) } }
  const apart: Stimulus = { wires: { [a]: taps([0.02, 0.06], [0.1, 0.1201]), [b]: taps([0.04, 0.08]) } }
  const small = made.firmware!.controller === "ATtiny84A"
  const low = makePlan(fitted({ ...plan, small, lines: plan.wires.map((_, i) => ({ ...line, wires: [i] })) }))
  const lowWires = low.lamp.vehicle.wires.map((w) => w.name).filter((n) => n.startsWith("wire"))
  const tapped: Stimulus = { wires: Object.fromEntries(lowWires.map((n) => [n, taps([0.02, 0.15])])) }
  const end: Judge = (r) => [lit(r, 0.14, true), lit(r, 0.175, false)]
  const follows: Judge = (r) => [
    lit(r, 0.015, false),
    lit(r, 0.0215, (g) => sideA.has(g)),
    lit(r, 0.05, true),
    lit(r, 0.07, (g) => sideB.has(g)),
    lit(r, 0.085, false),
    lit(r, 0.11, (g) => sideA.has(g)),
    lit(r, 0.1215, false),
  ]
  /** The safe map keeps neither pull-ups nor the timer. */
  const bare: Judge = ({ chip: { ports, timer }, bench }) => {
    const outputs = [0, 1, 2].map((p) =>
      bench.channels.reduce((all, c) => (c.port === p ? all | (1 << c.bit) : all), 0),
    )
    return outputs.flatMap((o, p): (string | false)[] => [
      ports.direction[p] !== o && `port ${p} drives ${ports.direction[p]}`,
      (ports.latch[p]! & ~o) !== 0 && `port ${p} pulls up`,
      timer.enabled !== 0 && "the timer's interrupts are on",
    ])
  }
  const undriven: Judge = ({ chip: { ports } }) => [
    [...ports.direction].some((d) => d !== 0) && "pins are driven",
  ]
  const turned = (name: string, at: (image: Uint8Array) => number): Trial =>
    held(name, {
      made,
      stimulus: both,
      seconds: 0.4,
      judge: (r) => [serving(r, 2), resets(r, 1), cause(r, watchdogFlag), lit(r, 0.14, true)],
      meanwhile: (r) => {
        r.advance(0.05)
        const { bytes } = r.chip.core.program
        bytes[at(bytes)]! ^= 1
      },
    })
  const length = (image: Uint8Array) => image[tableAt + 6]! | (image[tableAt + 7]! << 8)
  return [
    held("a bit of the table", {
      made,
      stimulus: both,
      seconds: 0.2,
      change: broken(tableAt),
      judge: (r) => [serving(r, 2), resets(r, 0), cause(r, 1), ...end(r)],
    }),
    held("a bit of the copy", {
      made,
      stimulus: both,
      seconds: 0.2,
      change: broken(copyAt),
      judge: (r) => [serving(r, 1), resets(r, 0), ...end(r)],
    }),
    held("a bit of both tables", {
      made,
      stimulus: apart,
      seconds: 0.13,
      change: broken(tableAt, copyAt),
      judge: (r) => [serving(r, 3), resets(r, 0), ...follows(r), ...bare(r)],
    }),
    held("both tables of a lamp lit by low pins", {
      made: low,
      stimulus: tapped,
      seconds: 0.2,
      change: broken(tableAt, copyAt),
      judge: (r) => [serving(r, 3), resets(r, 0), ...end(r)],
    }),
    held("nothing whole", {
      made,
      stimulus: both,
      seconds: 0.2,
      change: broken(tableAt, copyAt, safeMapAt),
      judge: (r) => [
        serving(r, 0),
        resets(r, 8, 14),
        cause(r, watchdogFlag),
        lit(
          r,
          0.14,
          r.bench.channels.every((c) => c.floatsLit),
        ),
        ...undriven(r),
      ],
    }),
    turned("a bit of the table turns while the lamp runs", () => tableAt + 8),
    turned("the table's last byte turns while the lamp runs", (i) => tableAt + length(i) - 3),
    turned("the table's check-word turns while the lamp runs", (i) => tableAt + length(i) - 1),
  ]
}

/** Blocks whole by their check-words that are, or are not, to be served. */
function heads({ tableAt, copyAt, safeMapAt, most, name: chip }: Chip, { made, wires }: Host): Trial[] {
  const stimulus: Stimulus = { wires: { [wires[0]]: taps([0.02, 0.15]) } }
  const settings = [8, 2, 100, 0, 220, 5, 80, 0, 208, 7, 208, 7, 0, 4, 238, 2]
  /** A table of so many inputs, channels and rules, all on the first pin and without effect. */
  const table = (counts: readonly number[], more: Partial<Record<number, number>> = {}) => {
    const [inputs, channels, rules] = counts as [number, number, number]
    const length = 26 + 4 * inputs + 4 * channels + 12 * rules + 2 * channels * rules
    const head = [0x4c, 0x54, 2, inputs, channels, rules, length & 255, length >> 8, ...settings]
    const bytes = [...head, ...Array<number>(length - 26).fill(0)]
    for (const [at, value] of Object.entries(more)) bytes[Number(at)] = value!
    return bytes
  }
  const safe = (inputs: number, channels: number, magic = [0x4c, 0x53]) => [
    ...magic,
    inputs,
    channels,
    ...Array<number>(2 * inputs + 3 * channels).fill(0),
  ]
  const trial = (name: string, serves: number, blocks: readonly (readonly [number, readonly number[]])[]) =>
    held(`${name}: serves ${serves}`, {
      made,
      stimulus,
      seconds: 0.045,
      stranger: true,
      change: (image) => {
        for (const [at, bytes] of blocks) put(image, at, bytes)
        return image
      },
      judge: (r) => [serving(r, serves), serves > 0 && resets(r, 0)],
    })
  const tables = (bytes: readonly number[]) =>
    [
      [tableAt, bytes],
      [copyAt, bytes],
    ] satisfies [number, readonly number[]][]
  const one = [1, 1, 1]
  const over = (i: number) => one.map((n, at) => (at === i ? most[at]! + 1 : chip === "ATtiny84A" ? 0 : n))
  const bad: (readonly [string, readonly number[]])[] = [
    ["the first letter", table(one, { 0: 0x4d })],
    ["the second letter", table(one, { 1: 0x55 })],
    ["the version before", table(one, { 2: 1 })],
    ["the version after", table(one, { 2: 3 })],
    ["an input too many", table(over(0))],
    ["a channel too many", table(over(1))],
    ["a rule too many", table(over(2))],
    ["a length that is not its counts'", table(one, { 6: 49 })],
    ["a length that is far from its counts'", table(one, { 7: 1 })],
  ]
  return [
    trial("nothing in the table", 1, [...tables(table([0, 0, 0]))]),
    trial("one of each", 1, [...tables(table(one))]),
    trial("as much as there may be", 1, [...tables(table(most))]),
    ...bad.map(([what, bytes]) => trial(what, 3, [...tables(bytes)])),
    trial("nothing in the safe map", 3, [...tables(table(one, { 0: 0 })), [safeMapAt, safe(0, 0)]]),
    trial("a full safe map", 3, [...tables(table(one, { 0: 0 })), [safeMapAt, safe(most[0], most[1])]]),
    ...(
      [
        ["an input too many in the safe map", safe(most[0] + 1, 1)],
        ["a channel too many in the safe map", safe(1, most[1] + 1)],
        ["the safe map's first letter", safe(1, 1, [0x4d, 0x53])],
        ["the safe map's second letter", safe(1, 1, [0x4c, 0x52])],
      ] as const
    ).map(([what, bytes]) => trial(what, 0, [...tables(table(one, { 0: 0 })), [safeMapAt, bytes]])),
  ]
}

function astray({ vectors, vectorWords, vectorsUsed }: Chip, { made, wires }: Host): Trial[] {
  const both: Stimulus = { wires: { [wires[0]]: steady(0.02), [wires[1]]: steady(0.02) } }
  // Every vector but those in use: the program waits for the watchdog.
  return Array.from({ length: vectors }, (_, v) => v)
    .filter((v) => !vectorsUsed.includes(v))
    .map((v) =>
      held(`astray at vector ${v}`, {
        made,
        stimulus: both,
        seconds: 0.08,
        judge: (r) => [resets(r, 1), cause(r, watchdogFlag), serving(r, 1), lit(r, 0.07, true)],
        meanwhile: (r) => {
          r.advance(0.03)
          r.chip.core.pc = vectorWords * v
        },
      }),
    )
}

function odd(small: boolean): Trial[] {
  const names = plan.wires.map((_, i) => wireName(i))
  const pairs = names.flatMap((_, i) => names.flatMap((_, j) => (j >= i ? [[i, j]] : [])))
  const many = makePlan(
    fitted({
      ...plan,
      small,
      activeHigh: true,
      lines: pairs.slice(0, 11).map((wires, i) => ({ ...line, wires, level: 5 * i + 5, rise: i, fall: 20 })),
    }),
  )
  const apart: Stimulus = {
    wires: Object.fromEntries(names.map((n, i) => [n, steady(0.05 + 0.02 * i, 0.3 + 0.03 * ((7 * i) % 5))])),
  }
  const groups = small ? [0] : [0, 1, 2]
  const heavy = makePlan(
    {
      ...plan,
      small,
      wires: plan.wires.slice(1, 3),
      groups: groups.map(() => ({ leds: 6, order: "drawn", centre: 0, stop: true, perOutput: 1 })),
      lines: [[0], [1], [0, 1]].flatMap((wires) =>
        groups.map((group) => ({ ...line, wires, group, sweep: 120, rise: 100, fall: 300 })),
      ),
    },
    // Twice the rules, and sweeps of a millisecond: more than is ever let through.
    (b) => ({
      ...b,
      rules: b.rules.flatMap((r) => [{ ...r, sweepWithinMs: 1 }, r]).slice(0, small ? 6 : 16),
    }),
  )
  const quiet: Judge = (r) => [serving(r, 1), resets(r, 0)]
  return [
    held("many lines on one group", { made: many, stimulus: apart, seconds: 0.6, judge: quiet }),
    held("too much work", {
      made: heavy,
      stimulus: { wires: { wire0: taps([0.05, 0.3], [0.35, 0.4]), wire1: taps([0.05, 0.3], [0.32, 0.4]) } },
      seconds: 0.8,
      stranger: true,
      judge: quiet,
    }),
  ]
}

function long({ made, wires }: Host): Trial[] {
  const stimulus: Stimulus = {
    wires: {
      [wires[0]]: taps([0.1, 66.5], [134, 134.3]),
      [wires[1]]: [
        ...flasher({ from: 0.1, until: 3, rate: 6, onShare: 0.5 }),
        ...flasher({ from: 5.5, until: 7, rate: 2, onShare: 0.12 }),
      ],
    },
  }
  return [held(longTrial, { made, stimulus, seconds: 135, judge: (r) => [serving(r, 1), resets(r, 0)] })]
}
export const longTrial = "longer than its counters hold"
