// Random lamps and what happens on their wires, as plain plans that fast-check draws from a seed and makes smaller.

import fc from "fast-check"
import { type FlasherKind, flasherOf } from "../flasher-kinds.ts"
import type { WireVolts } from "../wire-volts.ts"
import { type Stimulus, steady, tidy, type WireEdge } from "../wires.ts"
import {
  type FlashingPlan,
  fitted,
  type GroupPlan,
  type LampPlan,
  type LinePlan,
  type WirePlan,
  wireName,
} from "./made-lamp.testing.ts"

/** One thing after another on a wire; milliseconds. */
export type Scene =
  | { readonly what: "span"; readonly gap: number; readonly on: number }
  | {
      readonly what: "flasher"
      readonly gap: number
      readonly kind: FlasherKind
      /** Per minute. */
      readonly rate: number
      /** Per cent. */
      readonly onShare: number
      readonly flashes: number
      readonly cut: boolean
      readonly dropOut: number
      readonly seed: number
    }

export interface WireStory {
  readonly scenes: readonly Scene[]
  /** Microseconds by which everything on the wire comes later. */
  readonly late: number
  /** What stands behind the edges; undefined: steps. */
  readonly volts: { readonly dead: number; readonly ramp: number; readonly seed: number } | undefined
}

export interface Story {
  readonly wires: readonly WireStory[]
  /** Supply sags, ms and volts. */
  readonly dips: readonly { readonly from: number; readonly lasts: number; readonly volt: number }[]
  /** The controller's own supply breaks down, ms. */
  readonly resets: readonly { readonly at: number; readonly cause: "powerOn" | "brownOut" }[]
  /** Milliseconds at most. */
  readonly until: number
}

const kinds = ["electronic", "load-sensing", "thermal"] as const

/** Mostly as the language has it, sometimes as the description asks. */
const asked = (min: number, max: number) => fc.option(fc.integer({ min, max }), { nil: undefined, freq: 1 })
const seldom = <T>(of: fc.Arbitrary<T>) =>
  fc.oneof({ weight: 3, arbitrary: fc.constant(undefined) }, { weight: 1, arbitrary: of })
const wirePlan: fc.Arbitrary<WirePlan> = fc.record({
  flasher: fc.constantFrom("none", ...kinds),
  liveAfter: seldom(fc.integer({ min: 1, max: 50 })),
  deadAfter: seldom(fc.integer({ min: 1, max: 50 })),
})
const flashingPlan: fc.Arbitrary<FlashingPlan> = fc.record({
  "shortest-on": asked(30, 250),
  "steady-after": asked(300, 2500),
  "contact-gap": asked(20, 200),
  "new-operation-after": asked(500, 3000),
  "unstable-for": asked(200, 3000),
  "five-flashes-within": asked(200, 2500),
  "held-back-for": asked(50, 1500),
})
const groupPlan: fc.Arbitrary<GroupPlan> = fc.record({
  leds: fc.integer({ min: 1, max: 9 }),
  order: fc.constantFrom("drawn", "left-to-right", "right-to-left", "outward", "inward"),
  centre: fc.constantFrom(0, 0.5, 1),
  stop: fc.boolean(),
  perOutput: fc.constantFrom(1, 1, 1, 2, 3),
})
const fade = fc.oneof(
  { weight: 3, arbitrary: fc.constant(0) },
  { weight: 4, arbitrary: fc.integer({ min: 1, max: 60 }) },
  { weight: 1, arbitrary: fc.integer({ min: 61, max: 600 }) },
)
const linePlan: fc.Arbitrary<LinePlan> = fc.record({
  wires: fc.array(fc.nat(4), { minLength: 1, maxLength: 2 }),
  group: fc.nat(3),
  level: fc.oneof(fc.constant(100), fc.integer({ min: 0, max: 100 })),
  sweep: fc.oneof(
    { weight: 4, arbitrary: fc.constant(0) },
    { weight: 4, arbitrary: fc.integer({ min: 2, max: 250 }) },
    { weight: 1, arbitrary: fc.integer({ min: 251, max: 4000 }) },
  ),
  rise: fade,
  fall: fade,
  step: fc.constantFrom(1, 1, 1, 2, 3),
  share: fc.oneof(
    { weight: 3, arbitrary: fc.constant(0) },
    { weight: 1, arbitrary: fc.integer({ min: 20, max: 85 }) },
  ),
  together: fc.constantFrom(false, false, true),
  othersBetween: fc.constantFrom(false, false, true),
})

export const lampPlan: fc.Arbitrary<LampPlan> = fc
  .record({
    wires: fc.array(wirePlan, { minLength: 1, maxLength: 5 }),
    groups: fc.array(groupPlan, { minLength: 1, maxLength: 4 }),
    lines: fc.array(linePlan, { minLength: 1, maxLength: 6 }),
    flashing: seldom(flashingPlan),
    activeHigh: fc.boolean(),
    scramble: fc.nat(50),
  })
  .map(fitted)

const span = fc.oneof(
  fc.integer({ min: 1, max: 25 }),
  fc.integer({ min: 20, max: 140 }),
  fc.integer({ min: 100, max: 700 }),
)
const spanScene = fc.record({ what: fc.constant("span" as const), gap: span, on: span })
const flasherScene = fc.record({
  what: fc.constant("flasher" as const),
  gap: span,
  kind: fc.constantFrom(...kinds),
  rate: fc.oneof(fc.integer({ min: 60, max: 120 }), fc.integer({ min: 100, max: 330 })),
  onShare: fc.oneof(fc.integer({ min: 30, max: 75 }), fc.integer({ min: 12, max: 85 })),
  flashes: fc.integer({ min: 1, max: 7 }),
  cut: fc.boolean(),
  dropOut: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 100 })),
  seed: fc.nat(1000),
})
const wireStory: fc.Arbitrary<WireStory> = fc.record({
  scenes: fc.oneof(
    fc.array(fc.oneof({ weight: 2, arbitrary: spanScene }, { weight: 1, arbitrary: flasherScene }), {
      maxLength: 3,
    }),
    fc.array(spanScene, { maxLength: 8 }),
  ),
  late: fc.nat(999),
  volts: fc.option(
    fc.record({
      dead: fc.constantFrom(0, 0.8, 1.2, 3),
      ramp: fc.constantFrom(0.0001, 0.0006, 0.002, 0.01),
      seed: fc.nat(1000),
    }),
    { nil: undefined, freq: 2 },
  ),
})

/** Most runs are short; one in twelve outlasts what the lamp remembers. */
export const story: fc.Arbitrary<Story> = fc.record({
  wires: fc.array(wireStory, { minLength: 1, maxLength: 5 }),
  dips: fc.oneof(
    { weight: 4, arbitrary: fc.constant([]) },
    {
      weight: 1,
      arbitrary: fc.array(
        fc.record({
          from: fc.nat(1500),
          lasts: fc.integer({ min: 1, max: 400 }),
          volt: fc.integer({ min: 0, max: 9 }),
        }),
        { maxLength: 2 },
      ),
    },
  ),
  resets: fc.oneof(
    { weight: 5, arbitrary: fc.constant([]) },
    {
      weight: 1,
      arbitrary: fc.array(
        fc.record({
          at: fc.integer({ min: 20, max: 1500 }),
          cause: fc.constantFrom("brownOut" as const, "powerOn" as const),
        }),
        { maxLength: 2 },
      ),
    },
  ),
  until: fc.oneof({ weight: 11, arbitrary: fc.constant(2000) }, { weight: 1, arbitrary: fc.constant(6500) }),
})

export interface Case {
  readonly plan: LampPlan
  readonly story: Story
}
export const caseOf: fc.Arbitrary<Case> = fc.record({ plan: lampPlan, story })

/** Time given to the light after the last edge, seconds: the longest fade and the gap between flashes. */
const settles = 0.9

export function stimulusOf({ plan, story }: Case): { stimulus: Stimulus; seconds: number } {
  const wires: Record<string, readonly WireEdge[]> = {}
  const volts: Record<string, WireVolts> = {}
  const dips = story.dips.map((d) => ({
    from: d.from / 1000,
    until: (d.from + d.lasts) / 1000,
    volt: d.volt,
  }))
  const most = story.until / 1000
  let last = 0
  for (const i of plan.wires.keys()) {
    const told = story.wires[i]
    if (!told) continue
    const { edges, kind } = play(told, most)
    if (edges.length === 0) continue
    wires[wireName(i)] = edges
    last = Math.max(last, edges.at(-1)!.t)
    if (told.volts || kind || dips.length > 0)
      volts[wireName(i)] = {
        live: 13.5,
        dead: told.volts?.dead ?? 0,
        ramp: told.volts?.ramp ?? 0,
        dips,
        seed: told.volts?.seed ?? 1,
      }
  }
  const resets = story.resets.map((r) => ({ t: r.at / 1000, cause: r.cause })).sort((a, b) => a.t - b.t)
  const end = Math.min(most, Math.max(last, resets.at(-1)?.t ?? 0) + settles)
  return { stimulus: { wires, volts, ...(resets.length > 0 ? { resets } : {}) }, seconds: end }
}

function play(told: WireStory, most: number): { edges: WireEdge[]; kind?: FlasherKind } {
  const edges: WireEdge[] = []
  let kind: FlasherKind | undefined
  let t = told.late / 1e6
  for (const s of told.scenes) {
    t += s.gap / 1000
    if (t >= most) break
    if (s.what === "span") {
      edges.push(...steady(t, t + s.on / 1000))
      t += s.on / 1000
      continue
    }
    kind = s.kind
    const rate = s.rate / 60
    const until = t + (s.flashes - 0.5) / rate
    const made = flasherOf(s.kind, {
      from: t,
      until,
      cut: s.cut,
      rate,
      onShare: s.onShare / 100,
      ...(s.dropOut > 0 ? { dropOut: { chance: 0.5, length: s.dropOut / 1000 } } : {}),
      seed: s.seed,
    })
    edges.push(...made)
    t = made.at(-1)?.t ?? t
  }
  return { edges: tidy(edges).filter((e) => e.t < most), ...(kind ? { kind } : {}) }
}
