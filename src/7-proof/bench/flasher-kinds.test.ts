import { describe, expect, test } from "vitest"
import { flashers, flashLimits } from "../../1-stock/flashers.ts"
import { type FlasherKind, flasherOf, habits } from "./flasher-kinds.ts"
import { liveSpans } from "./wires.ts"

const kinds = Object.keys(habits) as FlasherKind[]

test("every kind of the stock has its habits", () => {
  expect(kinds.sort()).toEqual(Object.keys(flashers).sort())
})

describe.each(kinds)("a %s flasher", (kind) => {
  const { rate, onShare, jitter = 0, bounce } = habits[kind]
  const edges = flasherOf(kind, { from: 0.1, until: 60, seed: 3 })
  const spans = liveSpans(edges, 70)
  const flashes = spans.filter(([a, b]) => b - a > 0.02)

  test("flashes at a lawful rate and on-share by itself", () => {
    expect(60 * rate).toBeGreaterThanOrEqual(flashLimits.rate.low)
    expect(60 * rate).toBeLessThanOrEqual(flashLimits.rate.high)
    expect(onShare).toBeGreaterThanOrEqual(flashLimits.onShare.low)
    expect(onShare).toBeLessThanOrEqual(flashLimits.onShare.high)
  })

  test("comes out with its rate, on-share and wandering", () => {
    const later = flashes.slice(2)
    const periods = later.slice(1).map(([a], i) => a - later[i]![0])
    const mean = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length
    expect(mean(periods)).toBeCloseTo(1 / rate, 2)
    expect(mean(later.map(([a, b]) => b - a)) * rate).toBeCloseTo(onShare, 1)
    const most = (bounce ? bounce.pulses * 2 * bounce.longest : 0) + 2 * jitter + 1e-9
    for (const p of periods) expect(Math.abs(p - 1 / rate)).toBeLessThanOrEqual(most)
    if (jitter > 0.01) expect(Math.max(...periods) - Math.min(...periods)).toBeGreaterThan(jitter)
  })

  test("has as many bounces as its contacts, none without contacts", () => {
    const pulses = spans.length - flashes.length
    if (bounce) {
      expect(pulses).toBeGreaterThan(flashes.length / 2)
      expect(pulses).toBeLessThanOrEqual(2 * bounce.pulses * flashes.length)
      const short = spans.filter(([a, b]) => b - a <= 0.02)
      expect(Math.max(...short.map(([a, b]) => b - a))).toBeLessThanOrEqual(bounce.longest + 1e-9)
    } else expect(pulses).toBe(0)
  })

  test("its first flash", () => {
    const [first, second] = flashes.map(([a, b]) => b - a)
    const longer = habits[kind].firstFlash ?? 1
    expect(first! / second!).toBeGreaterThan(0.75 * longer)
    expect(first! / second!).toBeLessThan(1.25 * longer)
  })
})

test("what is asked for goes before the habits", () => {
  const edges = flasherOf("thermal", {
    from: 0,
    until: 2,
    rate: 2,
    onShare: 0.3,
    jitter: 0,
    firstFlash: 1,
    bounce: { pulses: 0, longest: 0 },
  })
  expect(edges.slice(0, 4).map((e) => Math.round(1000 * e.t))).toEqual([0, 150, 500, 650])
})
