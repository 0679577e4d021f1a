// Everything that is tried on the ATmega328P's compiled program, as trials that an image passes or not: random lamps,
// damaged and odd tables, a program gone astray, too much work, more time than its counters hold.

import fc from "fast-check"
import { crc16 } from "../../../4-behaviour/crc16.ts"
import type { BenchRun } from "../run-bench.ts"
import { type BenchController, startBench } from "../start-bench.ts"
import { exampleLamp, makeForBench } from "../tern.testing.ts"
import { channelLight } from "../watch-outputs.ts"
import { flasher, type Stimulus, steady, taps } from "../wires.ts"
import { tryCase } from "./differential.testing.ts"
import { type LampPlan, type LinePlan, makePlan, wireName } from "./made-lamp.testing.ts"
import { caseOf } from "./plans.testing.ts"

export type Spoil = (image: Uint8Array) => Uint8Array
export interface Trial {
  readonly name: string
  readonly run: (spoil: Spoil) => { readonly faults: readonly string[]; readonly executed: Uint8Array }
}

export const same: Spoil = (image) => image

/** Blocks of an ATmega328P (firmware/TABLE.md). */
const tableAt = 0x7000
const copyAt = 0x7400
const safeMapAt = 0x7e00

export const tern = startBench(makeForBench(exampleLamp("tern"))).controller!
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

function random(): Trial[] {
  return fc.sample(caseOf, { numRuns: 70, seed: 5 }).map((of, i) => ({
    name: `random lamp ${i}`,
    run: (spoil) => {
      const { faults, run } = tryCase(of, spoil)
      return { faults, executed: run.chip.core.executed }
    },
  }))
}

/** A run of which some facts must hold. */
function held(
  name: string,
  from: BenchController,
  stimulus: Stimulus,
  seconds: number,
  change: Spoil,
  judge: (run: BenchRun) => readonly (string | false)[],
  meanwhile?: (run: BenchRun) => void,
): Trial {
  return {
    name,
    run: (spoil) => {
      const run = from.run(stimulus, spoil(change(from.image.bytes.slice())))
      meanwhile?.(run)
      run.advance(seconds)
      const fault = run.chip.core.fault
      const told: readonly (string | false)[] = [fault ? fault.reason : false, ...judge(run)]
      const faults = told.flatMap((f) => (f === false ? [] : [f]))
      return { faults, executed: run.chip.core.executed }
    },
  }
}

const broken =
  (...at: readonly number[]): Spoil =>
  (image) => {
    for (const a of at) image[a + 8]! ^= 1
    return image
  }

/** Blocks of no inputs, channels and rules, whole by their check-words. */
const empty: Spoil = (image) => {
  const put = (at: number, bytes: readonly number[]) => {
    const crc = crc16(Uint8Array.from(bytes))
    image.set([...bytes, crc & 255, crc >> 8], at)
  }
  const head = [...image.slice(tableAt, tableAt + 24)]
  head.splice(3, 5, 0, 0, 0, 26, 0)
  put(tableAt, head)
  put(safeMapAt, [0x4c, 0x53, 0, 0])
  return image
}
const noTables: Spoil = (image) => broken(tableAt, copyAt)(image)

/** Every output lit `share` of the frame at `t`, else what is not. */
const lit = (run: BenchRun, t: number, wanted: boolean): string | false => {
  const light = channelLight(run)
  const width = run.bench.channels.length
  const frame = Math.floor((t * run.clockHz) / 4000)
  const wrong = [...run.bench.channels.keys()].filter((c) => light[frame * width + c]! > 0.9 !== wanted)
  return wrong.length > 0 && `outputs ${wrong} at ${t} s`
}
const serving = (run: BenchRun, wanted: number) =>
  run.chip.core.data[0x104] !== wanted && `serves from ${run.chip.core.data[0x104]}`
const resets = (run: BenchRun, least: number, most = least) =>
  (run.chip.resets.length - 1 < least || run.chip.resets.length - 1 > most) &&
  `${run.chip.resets.length - 1} resets`

function damaged(): Trial[] {
  const both: Stimulus = { wires: { left: taps([0.02, 0.15]), right: taps([0.02, 0.15]) } }
  const low = startBench(makePlan({ ...plan, lines: plan.wires.map((_, i) => ({ ...line, wires: [i] })) }))
    .controller!
  const tapped: Stimulus = {
    wires: Object.fromEntries(plan.wires.map((_, i) => [wireName(i), taps([0.02, 0.15])])),
  }
  const end = (run: BenchRun) => [lit(run, 0.14, true), lit(run, 0.175, false)]
  return [
    held("a bit of the table", tern, both, 0.2, broken(tableAt), (r) => [
      serving(r, 2),
      resets(r, 0),
      ...end(r),
    ]),
    held("a bit of both tables", tern, both, 0.2, noTables, (r) => [serving(r, 3), resets(r, 0), ...end(r)]),
    held("both tables of a lamp lit by low pins", low, tapped, 0.2, noTables, (r) => [
      serving(r, 3),
      resets(r, 0),
      ...end(r),
    ]),
    held("nothing whole", tern, both, 0.2, broken(tableAt, copyAt, safeMapAt), (r) => [
      serving(r, 0),
      resets(r, 8, 14),
      lit(r, 0.14, true),
    ]),
    held("an empty table", tern, both, 0.1, empty, (r) => [serving(r, 1), resets(r, 0)]),
    held(
      "an empty safe map",
      tern,
      both,
      0.1,
      (i) => broken(tableAt, copyAt)(empty(i)),
      (r) => [serving(r, 3), resets(r, 0)],
    ),
    held(
      "a bit of the table turns while the lamp runs",
      tern,
      both,
      0.4,
      same,
      (r) => [serving(r, 2), resets(r, 1), lit(r, 0.14, true)],
      (r) => {
        r.advance(0.05)
        r.chip.core.program.bytes[tableAt + 8]! ^= 1
      },
    ),
  ]
}

function astray(): Trial[] {
  const both: Stimulus = { wires: { left: steady(0.02), right: steady(0.02) } }
  // Every vector but reset and the three in use: the program waits for the watchdog.
  return Array.from({ length: 26 }, (_, v) => v)
    .filter((v) => ![0, 11, 12, 13].includes(v))
    .map((v) =>
      held(
        `astray at vector ${v}`,
        tern,
        both,
        0.1,
        same,
        (r) => [resets(r, 1), serving(r, 1), lit(r, 0.09, true)],
        (r) => {
          r.advance(0.03)
          r.chip.core.pc = 2 * v
        },
      ),
    )
}

function odd(): Trial[] {
  const names = plan.wires.map((_, i) => wireName(i))
  const pairs = names.flatMap((_, i) => names.flatMap((_, j) => (j >= i ? [[i, j]] : [])))
  const many = makePlan({
    ...plan,
    activeHigh: true,
    lines: pairs.slice(0, 11).map((wires, i) => ({ ...line, wires, level: 5 * i + 5, rise: i, fall: 20 })),
  })
  const apart: Stimulus = {
    wires: Object.fromEntries(names.map((n, i) => [n, steady(0.05 + 0.02 * i, 0.3 + 0.03 * ((7 * i) % 5))])),
  }
  const three = [0, 1, 2]
  const heavy = makePlan(
    {
      ...plan,
      wires: plan.wires.slice(1, 3),
      groups: three.map(() => ({ leds: 6, order: "drawn", centre: 0, stop: true, perOutput: 1 })),
      lines: [[0], [1], [0, 1]].flatMap((wires) =>
        three.map((group) => ({ ...line, wires, group, sweep: 120, rise: 100, fall: 300 })),
      ),
    },
    // Twice the rules, and sweeps of a millisecond: more than is ever let through.
    (b) => ({ ...b, rules: b.rules.flatMap((r) => [{ ...r, sweepWithinMs: 1 }, r]).slice(0, 16) }),
  )
  const at = startBench(heavy).controller!
  const long: Stimulus = {
    wires: {
      left: taps([0.1, 66.5], [134, 134.3]),
      right: [
        ...flasher({ from: 0.1, until: 3, rate: 6, onShare: 0.5 }),
        ...flasher({ from: 5.5, until: 7, rate: 2, onShare: 0.12 }),
      ],
    },
  }
  return [
    held("eleven lines on one group", startBench(many).controller!, apart, 0.8, same, (r) => [
      serving(r, 1),
      resets(r, 0),
    ]),
    held(
      "too much work",
      at,
      { wires: { wire0: taps([0.05, 0.3], [0.35, 0.4]), wire1: taps([0.05, 0.3], [0.32, 0.4]) } },
      0.8,
      same,
      (r) => [serving(r, 1), resets(r, 0)],
    ),
    held("longer than its counters hold", tern, long, 135, same, (r) => [serving(r, 1), resets(r, 0)]),
  ]
}

/** Quick ones first. */
export const imageTrials = (): Trial[] => [...damaged(), ...random(), ...astray(), ...odd()]
