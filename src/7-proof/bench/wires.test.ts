import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { atPin, flasher, liveSpans, liveTime, steady, taps, tidy, type WireEdge } from "./wires.ts"

const alternates = (edges: readonly WireEdge[]) =>
  edges.every((e, i) => e.live === (i % 2 === 0) && (i === 0 || e.t > edges[i - 1]!.t))

describe("flashers", () => {
  test("90 a minute, half on: on for 333 ms, off for 333 ms, the last flash whole", () => {
    const edges = flasher({ from: 0.1, until: 1.5, rate: 1.5, onShare: 0.5 })
    expect(edges.map((e) => Math.round(e.t * 1000))).toEqual([100, 433, 767, 1100, 1433, 1767])
    const cut = flasher({ from: 0.1, until: 1.5, rate: 1.5, onShare: 0.5, cut: true })
    expect(cut.at(-1)).toEqual({ t: 1.5, live: false })
  })

  test("a long first flash moves the rest", () => {
    const edges = flasher({ from: 0, until: 1, rate: 2, onShare: 0.4, firstFlash: 1.5 })
    expect(edges.slice(0, 3).map((e) => Math.round(e.t * 1000))).toEqual([0, 300, 600])
  })

  test("are in order and alternate whatever jitter, bounce and drop-outs are asked for (seed 1)", () => {
    fc.assert(
      fc.property(
        fc.record({
          rate: fc.double({ min: 0.5, max: 8, noNaN: true }),
          onShare: fc.double({ min: 0.05, max: 0.95, noNaN: true }),
          jitter: fc.double({ min: 0, max: 0.05, noNaN: true }),
          pulses: fc.integer({ min: 0, max: 5 }),
          longest: fc.double({ min: 0.0001, max: 0.01, noNaN: true }),
          chance: fc.double({ min: 0, max: 1, noNaN: true }),
          seed: fc.integer({ min: 0, max: 1e6 }),
        }),
        ({ rate, onShare, jitter, pulses, longest, chance, seed }) => {
          const edges = flasher({
            from: 0.01,
            until: 2,
            rate,
            onShare,
            jitter,
            bounce: { pulses, longest },
            dropOut: { chance, length: 0.02 },
            seed,
          })
          expect(alternates(edges)).toBe(true)
          expect(edges.length % 2).toBe(0)
          expect(edges[0]!.t).toBeGreaterThanOrEqual(0.01)
        },
      ),
      { numRuns: 200, seed: 1 },
    )
  })

  test("a drop-out is in the flash and as long as asked", () => {
    const edges = flasher({
      from: 0,
      until: 0.1,
      rate: 1,
      onShare: 0.5,
      dropOut: { chance: 1, length: 0.03 },
    })
    expect(edges.length).toBe(4)
    expect(edges[2]!.t - edges[1]!.t).toBeCloseTo(0.03, 12)
  })
})

describe("input network", () => {
  test("shifts each edge by its own delay", () => {
    expect(atPin(taps([1, 2]), 0.1, 0.3)).toEqual([
      { t: 1.1, live: true },
      { t: 2.3, live: false },
    ])
  })
  test("swallows pulses and gaps too short for it", () => {
    expect(atPin(taps([1, 1.05]), 0.2, 0.1)).toEqual([])
    expect(atPin(taps([1, 2], [2.05, 3]), 0.1, 0.3)).toEqual([
      { t: 1.1, live: true },
      { t: 3.3, live: false },
    ])
  })
})

test("live time of several wires counts overlaps once", () => {
  const a = taps([1, 3])
  const b = taps([2, 4], [6, 7])
  expect(liveTime([a, b], 0, 10)).toBeCloseTo(4, 12)
  expect(liveTime([a, b], 2.5, 6.5)).toBeCloseTo(2, 12)
  expect(liveTime([], 0, 10)).toBe(0)
  expect(liveSpans(steady(2), 5)).toEqual([[2, 5]])
})

test("tidy drops edges that change nothing and keeps the last of equal times", () => {
  const edge = (t: number, live: boolean) => ({ t, live })
  expect(tidy([edge(2, false), edge(1, true), edge(1.5, true), edge(2, true), edge(3, false)])).toEqual([
    edge(1, true),
    edge(3, false),
  ])
})
