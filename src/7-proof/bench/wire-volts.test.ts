import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { lagOf, type PinNetwork, pinEdges, type WireVolts, wireEdges } from "./wire-volts.ts"
import { atPin, steady, taps, type WireEdge } from "./wires.ts"

/** 47 kΩ over 33 kΩ with 10 nF, thresholds 7.8 V and 3.4 V of the wire: delays of a step of 13.5 V. */
const lag = 47e3 * (33e3 / 80e3) * 10e-9
const network: PinNetwork = {
  liveAbove: 7.8,
  deadBelow: 3.4,
  riseDelay: lag * Math.log(13.5 / (13.5 - 7.8)),
  fallDelay: lag * Math.log(13.5 / 3.4),
  usual: 13.5,
}
const at = (volts: Partial<WireVolts> = {}): WireVolts => ({
  live: 13.5,
  dead: 0,
  ramp: 0,
  seed: 1,
  ...volts,
})
const alternates = (edges: readonly WireEdge[]) =>
  edges.every((e, i) => e.live === (i % 2 === 0) && (i === 0 || e.t >= edges[i - 1]!.t))
/** The first edge from which the pin stays as it is, at or after `t`. */
const settles = (edges: readonly WireEdge[], live: boolean) => edges.findLast((e) => e.live === live)!.t

describe("the solved network", () => {
  test("has the time constant of its resistance and capacitor", () => {
    expect(lagOf(network)).toBeCloseTo(lag, 12)
    expect(lagOf({ ...network, riseDelay: 0, fallDelay: 0 })).toBe(0)
  })

  test("without volts shifts steps by its delays", () => {
    const edges = taps([0.1, 0.2], [0.3, 0.4])
    expect(pinEdges(edges, undefined, network)).toEqual(atPin(edges, network.riseDelay, network.fallDelay))
  })

  // Worked by hand: a step of V through R and C comes to v after RC · ln(V / (V − v)), falls to v after RC · ln(V / v).
  test.each([9, 13.5, 16])("a step of %i V comes to the thresholds when a capacitor does", (live) => {
    const pin = pinEdges(taps([0.1, 0.2]), at({ live }), network)
    expect(settles(pin, true)).toBeLessThanOrEqual(0.1 + lag * Math.log(live / (live - 7.8)) + 1e-8)
    expect(pin[0]!.t).toBeGreaterThanOrEqual(0.1 + lag * Math.log(live / (live - 3.4)) - 1e-8)
    expect(settles(pin, false)).toBeLessThanOrEqual(0.2 + lag * Math.log(live / 3.4) + 1e-8)
    expect(alternates(pin)).toBe(true)
  })

  test("a low supply comes later than a high one", () => {
    const late = (live: number) => settles(pinEdges(steady(0.1), at({ live }), network), true)
    expect(late(9)).toBeGreaterThan(late(16) + 100e-6)
  })

  test("a ramp much slower than the network crosses a threshold one time constant after the wire", () => {
    const ramp = 0.01
    const pin = pinEdges(steady(0.1), at({ ramp }), network)
    const wireAt = (volt: number) => 0.1 + (ramp * volt) / 13.5
    expect(pin[0]!.t).toBeGreaterThan(wireAt(3.4) + lag - 1e-6)
    expect(settles(pin, true)).toBeLessThan(wireAt(7.8) + lag + 1e-6)
    expect(settles(pin, true)).toBeGreaterThan(wireAt(7.8) + lag - 2 * 0.0004)
    // Between the thresholds it reads either way: 3.3 ms at 0.04 to 0.4 ms a turn.
    expect(pin.length).toBeGreaterThan(5)
  })

  test("pulses too short for it vanish, longer ones do not", () => {
    expect(pinEdges(taps([0.1, 0.1 + 20e-6]), at(), network)).toEqual([])
    expect(settles(pinEdges(taps([0.1, 0.102]), at(), network), false)).toBeGreaterThan(0.102)
  })
})

describe("voltages", () => {
  test("below what surely reads dead nothing is seen, above it everything", () => {
    expect(pinEdges([], at({ dead: 3.3 }), network)).toEqual([])
    expect(pinEdges(taps([0.1, 0.2]), at({ live: 3.3 }), network)).toEqual([])
    expect(pinEdges([], at({ dead: 9 }), network)).toEqual([{ t: 0, live: true }])
  })

  test("a leak between the thresholds reads either way, the same each time, for 5 s", () => {
    const pin = pinEdges([], at({ dead: 5 }), network)
    expect(pin.length).toBeGreaterThan(10_000)
    expect(pin.at(-1)!.t).toBeLessThan(5)
    expect(alternates(pin)).toBe(true)
    expect(pinEdges([], at({ dead: 5 }), network)).toEqual(pin)
    expect(pinEdges([], at({ dead: 5, seed: 2 }), network)).not.toEqual(pin)
  })

  test("a dip to nothing reads dead while it lasts, one above the threshold is not seen", () => {
    const dip = (volt: number) =>
      pinEdges(steady(0.1), at({ dips: [{ from: 0.2, until: 0.25, volt }] }), network)
    const gone = dip(0).find((e) => e.t > 0.15)!
    expect(gone.live).toBe(false)
    expect(gone.t).toBeGreaterThan(0.2 + lag * Math.log(13.5 / 7.8))
    expect(gone.t).toBeLessThan(0.2 + lag * Math.log(13.5 / 3.4) + 1e-6)
    expect(settles(dip(0), true)).toBeGreaterThan(0.25)
    expect(settles(dip(0), true)).toBeLessThan(0.25 + lag * Math.log(13.5 / (13.5 - 7.8)) + 1e-6)
    expect(dip(8).filter((e) => e.t > 0.15)).toEqual([])
  })

  test("the wire itself crosses a voltage where its ramp does, and at the ends of a dip", () => {
    const volts = at({ dead: 2, ramp: 0.001, dips: [{ from: 0.2, until: 0.3, volt: 5 }] })
    const edges = wireEdges(taps([0.1, 0.4]), volts, 7.8)
    const up = (0.001 * (7.8 - 2)) / 11.5
    const down = 0.001 - up
    const back = (0.001 * (7.8 - 5)) / 11.5
    expect(edges.map((e) => Number(e.t.toFixed(6)))).toEqual(
      [0.1 + up, 0.2 + down, 0.3 + back, 0.4 + down].map((t) => Number(t.toFixed(6))),
    )
    expect(wireEdges(taps([0.1, 0.4]), volts, 4.9).length).toBe(2)
  })

  test("whatever the wire does, the pin follows a settled wire within 5 time constants (seed 4)", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 3000, max: 60_000 }), { minLength: 1, maxLength: 9 }),
        fc.double({ min: 0, max: 3.3, noNaN: true }),
        fc.double({ min: 8.5, max: 16, noNaN: true }),
        fc.integer({ min: 0, max: 1500 }),
        (spans, dead, live, ramp) => {
          let t = 0.01
          const edges = spans.map((span, i) => {
            t += span / 1e6
            return { t, live: i % 2 === 0 }
          })
          const pin = pinEdges(edges, at({ dead, live, ramp: ramp / 1e6 }), network)
          expect(alternates(pin)).toBe(true)
          const reads = (time: number) => pin.findLast((e) => e.t <= time)?.live ?? false
          for (const [i, e] of edges.entries()) {
            const settled = e.t + ramp / 1e6 + 5 * lag
            if (settled < (edges[i + 1]?.t ?? Number.POSITIVE_INFINITY)) expect(reads(settled)).toBe(e.live)
          }
        },
      ),
      { numRuns: 200, seed: 4 },
    )
  })
})
