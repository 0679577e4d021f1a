// Everything that is tried on a compiled program, as trials that an image passes or not: random lamps, damaged and odd
// tables, a program gone astray, too much work, more time than its counters hold. For both controllers.

import fc from "fast-check"
import { type Random, random } from "../../../0-ground/numbers/random.ts"
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
import { type Case, caseOf, type Scene, stimulusOf } from "./plans.testing.ts"

export type Spoil = (image: Uint8Array) => Uint8Array
export interface Trial {
  readonly name: string
  /** `hasty`: ends at the first broken promise about the chip. */
  readonly run: (spoil: Spoil, hasty?: boolean) => TrialResult
}
export interface TrialResult {
  readonly faults: readonly string[]
  readonly executed: Uint8Array
  /** Of every edge on every pin with its cycle, of resets and of the vitals at the end: to compare two images. */
  readonly seen: number
}

/** Follows what an outsider sees of a run. */
function follow(run: BenchRun): () => number {
  const { ports, core } = run.chip
  let hash = 0x811c9dc5
  const fold = (n: number) => {
    hash = Math.imul(hash ^ n, 0x01000193)
  }
  const last = new Uint8Array(6)
  const { onChange } = ports
  ports.onChange = (cycle, port) => {
    const [latch, direction] = [ports.latch[port]!, ports.direction[port]!]
    if (latch !== last[port] || direction !== last[port + 3]) {
      last[port] = latch
      last[port + 3] = direction
      fold(cycle)
      fold((port << 16) | (latch << 8) | direction)
    }
    onChange(cycle, port)
  }
  return () => {
    for (const reset of run.chip.resets) fold(reset.cycle)
    for (let i = 0; i < 8; i++) fold(core.data[core.ram.start + i]!)
    return hash >>> 0
  }
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
      const seen = follow(run)
      const watch = of.stranger ? undefined : watchChip(run)
      of.meanwhile?.(run)
      run.advance(of.seconds)
      const fault = run.chip.core.fault
      const told: readonly (string | false)[] = [fault ? fault.reason : false, ...of.judge(run)]
      const faults = told.flatMap((f) => (f === false ? [] : [f]))
      return {
        faults: [...faults, ...(watch?.faults() ?? [])],
        executed: run.chip.core.executed,
        seen: seen(),
      }
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

/**
 * Lamps whose flashers do everything a flasher may do: trains of even flashes that are learnt, drop-outs, flashes too
 * short and too fast, steady light, new operations; limits so short that a story of seconds passes all of them. Sweeps,
 * shared LEDs, fades and held-back lines on two groups.
 */
export function flasherCases(small: boolean, seed: number, number: number): Case[] {
  const cases: Case[] = []
  for (let n = 0; cases.length < number; n++) {
    const of = flasherCase(small, random(seed + n))
    if (startable(of)) cases.push(of)
  }
  return cases
}

function flasherCase(small: boolean, chance: Random): Case {
  const from = (least: number, most: number) => least + chance.below(most - least + 1)
  // One in three takes long enough for its times to need two bytes.
  const slow = chance.below(3) === 0 ? 3 : 1
  const one = <V>(...list: readonly V[]): V => list[chance.below(list.length)]!
  const seconds = (least: number, most: number) => from(slow * least, slow * most) / 1000
  const flashing = {
    shortestOn: seconds(30, 45),
    contactGap: seconds(22, 40),
    steadyAfter: seconds(240, 320),
    newOperationAfter: seconds(230, 400),
    fiveFlashesWithin: seconds(350, 700),
    unstableFor: seconds(200, 500),
    heldBackFor: seconds(60, 170),
  }
  const sweeping = (wires: readonly number[], group: number): LinePlan => {
    const sweep = from(20, slow * 200)
    return {
      ...line,
      wires,
      group,
      level: from(40, 100),
      sweep,
      rise: one(0, from(1, 20), from(2, sweep)),
      fall: one(0, from(1, 60)),
      step: one(1, 1, 2),
      share: one(0, 0, from(20, 85)),
      together: chance.below(4) === 0,
      othersBetween: chance.below(4) === 0,
    }
  }
  const steadily = (group: number): LinePlan => ({
    ...line,
    wires: [2],
    group,
    level: from(4, 60),
    rise: one(0, from(1, 90)),
    fall: one(0, from(1, 90)),
  })
  const lines = [sweeping([0], 0), sweeping([1], 0), steadily(0), sweeping([0, 1], 0)]
  const more = [sweeping([1], 1), steadily(1), sweeping([0, 2], 1)]
  const filter = () => one(undefined, [from(1, 6), from(1, 9)] as const, [from(8, 14), 1] as const)
  const flashes = () => {
    const scenes: Scene[] = []
    const span = (gap: number, on: number) => scenes.push({ what: "span", gap: slow * gap, on: slow * on })
    let gap = from(5, 60)
    for (let train = 0; train < 5; train++) {
      const [on, off] = [from(48, 120), from(48, 120)]
      for (let i = from(2, 6); i > 0; i--) {
        span(gap, on + from(0, 6))
        gap = off + from(0, 6)
      }
      if (chance.below(2)) gap = one(from(9, 20), from(150, 420), from(60, 90))
      const odd = chance.below(4)
      if (odd === 0) span(gap, from(12, 26))
      else if (odd === 1) span(gap, from(300, 380))
      if (odd < 2) gap = from(50, 120)
    }
    return scenes
  }
  const wire = (scenes: readonly Scene[]) => ({ scenes, late: chance.below(1000), volts: undefined })
  const spans = Array.from(
    { length: 9 },
    (): Scene => ({ what: "span", gap: from(20, 260), on: from(30, 420) }),
  )
  return {
    plan: fitted({
      wires: [
        { flasher: "electronic", filter: filter() },
        { flasher: "electronic", filter: filter() },
        { flasher: "none", filter: one(undefined, [from(1, 20), from(1, 20)] as const) },
      ],
      groups: [
        { leds: from(3, 4), order: "drawn", centre: 0, stop: false, perOutput: 1 },
        { leds: from(2, 5), order: "drawn", centre: 0, stop: false, perOutput: 1 },
      ],
      lines: small ? [...lines.slice(0, 3), one(...more)] : [...lines, ...more],
      limits: flashing,
      activeHigh: chance.below(2) === 0,
      inverted: chance.below(4) === 0,
      small,
      scramble: chance.below(40),
    }),
    story: {
      wires: [wire(flashes()), wire(flashes()), wire(spans)],
      dips: [],
      resets: [],
      until: slow * 2600,
    },
  }
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
  return { limits: flashing, wires }
}

/** What the suite tries on a controller. */
export function suiteCases({ name }: Chip): Case[] {
  const small = name === "ATtiny84A"
  return [...flasherCases(small, 900, 12), ...randomCases(small, 5, 20)]
}

const startable = (of: Case): boolean => {
  const { firmware } = makePlan(of.plan)
  return (firmware?.tableBytes ?? 0) > 0 && firmware!.findings.every((f) => f.severity !== "red")
}

const randomTrials = (cases: readonly Case[]): Trial[] =>
  cases.map((of, i) => modelled(`random lamp ${i}`, () => makePlan(of.plan), stimulusOf(of)))

/** The light must be the model's. */
function modelled(name: string, make: () => Made, told: ReturnType<typeof stimulusOf>): Trial {
  let made: Made | undefined
  return {
    name,
    run: (spoil, hasty) => {
      made ??= make()
      let seen = () => 0
      const { faults, run } = tryMade(made, told, spoil, {
        hasty,
        before: (begun) => {
          seen = follow(begun)
        },
      })
      return { faults, executed: run.chip.core.executed, seen: seen() }
    },
  }
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
    ...randomTrials(randoms),
    ...odd(small),
    ...astray(chip, host),
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
  // Counts that a signed comparison would take for negative; their tables are long and need the large flash.
  const huge = chip === "ATmega328P" ? [0, 1, 2] : []
  const bad: (readonly [string, readonly number[]])[] = [
    ...huge.map((i) => [`200 of block ${i}`, table([0, 1, 2].map((at) => (at === i ? 200 : 0)))] as const),
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
    ...bad.map(([what, bytes]) => trial(what, 3, [...tables(bytes)].slice(0, bytes.length > 1024 ? 1 : 2))),
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
  const again = held("astray at the beginning, without a reset", {
    made,
    stimulus: both,
    seconds: 0.12,
    stranger: true,
    judge: (r) => [resets(r, 0), serving(r, 1), lit(r, 0.1, true), vital(r, 0) !== 0 && "overruns"],
    meanwhile: (r) => {
      r.advance(0.03)
      r.chip.core.pc = 0
    },
  })
  // Every vector but those in use: the program waits for the watchdog.
  const lost = Array.from({ length: vectors }, (_, v) => v)
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
  return [again, ...lost]
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
  const steep = makePlan({
    ...plan,
    small,
    wires: plan.wires.slice(1, 2),
    groups: [{ leds: 5, order: "drawn", centre: 0, stop: false, perOutput: 1 }],
    lines: [{ ...line, sweep: 1200, rise: 3, fall: 30 }],
  })
  const all = small ? [0, 1, 2, 3] : [0, 1, 2, 3, 4]
  const heavy = makePlan(
    {
      ...plan,
      small,
      wires: all.map(() => ({ flasher: "thermal" })),
      groups: groups.map(() => ({
        leds: 5,
        order: "drawn",
        centre: 0,
        stop: true,
        perOutput: 1,
      })),
      lines: [[0], [1], [0, 1]].flatMap((wires) =>
        groups.map((group) => ({ ...line, wires, group, sweep: 120, rise: 100, fall: 300 })),
      ),
    },
    // Twice the rules, and every sweep paced by every wire: more than is ever let through.
    (b) => ({
      ...b,
      rules: b.rules
        .flatMap((r) => [r, r])
        .slice(0, small ? 6 : 16)
        .map((r) => ({ ...r, live: all, firstTogether: true })),
    }),
  )
  const quiet: Judge = (r) => [serving(r, 1), resets(r, 0)]
  return [
    held("many lines on one group", { made: many, stimulus: apart, seconds: 0.6, judge: quiet }),
    held("too much work", {
      made: heavy,
      stimulus: {
        wires: Object.fromEntries(
          all.map((i) => [wireName(i), taps([0.05, 0.3], [0.45, 0.7], [0.9, 1.1], [1.3, 1.5])]),
        ),
      },
      seconds: 1.6,
      stranger: true,
      judge: (r) => [...quiet(r), vital(r, 0) === 0 && "no overrun is counted"],
    }),
    modelled("a short rise in a long sweep", () => steep, {
      stimulus: { wires: { wire0: taps([0.05, 1.4]) } },
      seconds: 1.5,
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
