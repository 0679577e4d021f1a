// Transistors, regulators with limits and relays as elements, against closed forms and worked examples. Ids E-… are
// those of the reference sheet of electrical worked examples; its sources are named beside each.

import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { type BipolarLaw, bipolarCurrents, channelCharge, type MosLaw, Network } from "./network.ts"
import { exact, type OperatingPoint, operatingPoint, real } from "./operating-point.ts"
import { PreparedNetwork } from "./prepared-network.ts"

const near = (got: number, want: number, relative: number) =>
  expect(Math.abs(got - want), `${got} against ${want}`).toBeLessThanOrEqual(relative * Math.abs(want))

const solve = (write: (n: Network) => void): OperatingPoint => {
  const n = new Network()
  write(n)
  const point = operatingPoint(n)
  expect(point.converged).toBe(true)
  expect(powerMiss(n, point)).toBeLessThan(1e-7)
  return point
}

/** Power of the sources against what everything else takes: Tellegen's theorem, written apart from the solver. */
function powerMiss(n: Network, point: OperatingPoint, leak = 0): number {
  const v = (k: number) => (k === 0 ? 0 : point.voltage(n.names[k]!))
  let given = 0
  let taken = 0
  for (const e of n.elements) {
    const i = point.current(e.ref)
    if (e.kind === "source") {
      given += e.volt * i
      taken += e.ohm * i * i
    } else if (e.kind === "regulator") {
      const own = e.quiescent * Math.min(Math.max((v(e.a) - v(e.c)) / 2, 0), 1)
      taken += (v(e.a) - v(e.b)) * i + (v(e.a) - v(e.c)) * own
    } else {
      taken += (v(e.a) - v(e.b)) * i
      if (e.kind === "diode" && e.share !== undefined) {
        const across = e.base === "b" ? v(e.b) - v(e.c!) : v(e.c!) - v(e.a)
        taken += e.share * i * across
        if (e.early !== undefined && across > 0)
          taken += ((e.share * i * across) / e.early) * Math.abs(v(e.c!) - v(e.base === "b" ? e.a : e.b))
      }
    }
  }
  for (const name of n.names.slice(1)) taken += leak * point.voltage(name) ** 2
  // A milliwatt is the least yardstick: what leaks through an open switch is rounding.
  return Math.abs(given - taken) / Math.max(Math.abs(given), 1e-3)
}

const nVt = 0.0259
const npn: BipolarLaw = { type: "npn", saturation: 2e-14, nVt, gain: 100, reverseGain: 4, series: 0 }
const pnp: BipolarLaw = { ...npn, type: "pnp" }

describe("bipolar transistor", () => {
  test("in its active region the collector takes gain times the base current", () => {
    const point = solve((n) => {
      n.source("V", "c", "0", 5)
      n.source("B", "drive", "0", 5)
      n.resistor("RB", "drive", "b", 430e3)
      n.bipolar("Q", { collector: "c", base: "b", emitter: "0" }, npn)
    })
    const { collector, base } = bipolarCurrents(point.current, "Q", npn)
    near(collector, 100 * base, 1e-6)
    near(base, point.current("RB"), 1e-9)
    near(point.voltage("b"), nVt * Math.log(collector / npn.saturation / (100 / 101)), 1e-4)
  })

  // Ic = β·Ib·(1 + Vcb/VA): J. M. Early, Proc. IRE 40 (1952), p. 1401.
  test.each(["npn", "pnp"] as const)(
    "Early effect, %s: the collector current rises with its voltage",
    (type) => {
      const at = (volt: number) => {
        const law = { ...npn, type, early: 80 }
        const s = type === "npn" ? 1 : -1
        const point = solve((n) => {
          n.source("V", "c", "0", s * volt)
          n.source("B", "drive", "0", s * 5)
          n.resistor("RB", "drive", "b", 430e3)
          n.bipolar("Q", { collector: "c", base: "b", emitter: "0" }, law)
        })
        const across = point.voltage("c") - point.voltage("b")
        const { collector, base } = bipolarCurrents(point.current, "Q", law, across)
        near(collector, point.current("V"), 1e-6)
        near(collector, 100 * base * (1 + (s * across) / 80), 1e-6)
        near(point.current("Q.C"), collector, 1e-12)
      }
      at(2)
      at(12)
    },
  )

  // V_CEsat = nVt·ln[(1 + (1 + βf)/βR) ÷ (1 − βf/βF)] with the forced gain βf: Ebers and Moll 1954; textbook form.
  test.each([1, 5, 10, 50, 90])("saturation voltage at a forced gain of %s, NPN and PNP", (forced) => {
    const ib = 1e-3
    const volt = nVt * Math.log((1 + (1 + forced) / npn.reverseGain) / (1 - forced / npn.gain))
    const stiff = 1e9
    const low = solve((n) => {
      n.source("IB", "b", "0", ib * stiff, stiff)
      n.source("IC", "c", "0", forced * ib * stiff, stiff)
      n.bipolar("Q", { collector: "c", base: "b", emitter: "0" }, npn)
    })
    near(low.voltage("c"), volt, 1e-5)
    const high = solve((n) => {
      n.source("V", "rail", "0", 12)
      n.source("IB", "rail", "b", ib * stiff, stiff)
      n.source("IC", "rail", "c", forced * ib * stiff, stiff)
      n.bipolar("Q", { collector: "c", base: "b", emitter: "rail" }, pnp)
    })
    near(12 - high.voltage("c"), volt, 1e-5)
    const into = bipolarCurrents(high.current, "Q", pnp)
    near(into.base, -ib, 1e-6)
    near(into.collector, -forced * ib, 1e-6)
  })

  /** Saturation current for which the junction drops `volt` at `amps`. */
  const junctionAt = (volt: number, amps: number) => amps / Math.expm1(volt / nVt)
  // E-10: 5 V, 1 kΩ, 0.7 V gives 4.3 mA (read: prometeo.blog/en/base-biasing-with-resistor); 20 mA load, forced gain
  // 4.65 (computed). E-12: forced gain 10, 150 mA from 5 V at 0.8 V needs at most 280 Ω; 60 mA at 0.7 V at most 716.7 Ω
  // (rule of ten from memory, computed).
  test.each([
    ["E-10", 1000, 0.7, 0.0043, 0.02],
    ["E-12", 280, 0.8, 0.015, 0.15],
    ["E-12", 716.6666666666666, 0.7, 0.006, 0.06],
  ])("%s: base drive of a saturated switch through %s Ω", (_, ohm, vbe, ib, load) => {
    // Both junctions conduct: If from Ib = (1 − αF)If + (1 − αR)Ir and Ic = αF·If − Ir.
    const [aF, aR] = [npn.gain / (1 + npn.gain), npn.reverseGain / (1 + npn.reverseGain)]
    const f = (ib + (1 - aR) * load) / (1 - aF * aR)
    const law = { ...npn, saturation: junctionAt(vbe, f) }
    const point = solve((n) => {
      n.source("drive", "d", "0", 5)
      n.resistor("RB", "d", "b", ohm)
      n.source("V", "rail", "0", 12)
      n.resistor("load", "rail", "c", 12 / load)
      n.bipolar("Q", { collector: "c", base: "b", emitter: "0" }, law)
    })
    const { collector, base } = bipolarCurrents(point.current, "Q", law)
    near(base, ib, 0.01)
    near(collector, load, 0.02)
    near(collector / base, load / ib, 0.03)
    expect(point.voltage("c")).toBeLessThan(0.2)
  })
  // E-11: 100 mA, gain 100, factor 2, 3.3 V, 0.6 V: 1350 Ω (read: transistor tutorial); the gain left is the factor.
  test("E-11: a base resistor for twice the base current keeps a switch saturated down to half its gain", () => {
    const switched = (gain: number) => {
      const law = { ...npn, gain, saturation: junctionAt(0.6, 0.102) }
      const point = solve((n) => {
        n.source("drive", "d", "0", 3.3)
        n.resistor("RB", "d", "b", 1350)
        n.source("V", "rail", "0", 12)
        n.resistor("load", "rail", "c", 120)
        n.bipolar("Q", { collector: "c", base: "b", emitter: "0" }, law)
      })
      near(bipolarCurrents(point.current, "Q", law).base, 0.002, 0.01)
      return point.voltage("c")
    }
    expect(switched(100)).toBeLessThan(0.15)
    expect(switched(52)).toBeLessThan(0.3)
    expect(switched(40)).toBeGreaterThan(1.5)
  })

  test("two-transistor sink: the sense resistor sets the current, supply hardly matters", () => {
    const sink = (volt: number) => {
      const point = solve((n) => {
        n.source("V", "rail", "0", volt, 0.1)
        n.diode("L1", "rail", "c", { saturation: 1e-19, nVt: 3 * 0.0518, series: 15 })
        n.resistor("RB", "rail", "b", 4700)
        n.bipolar("Q1", { collector: "c", base: "b", emitter: "s" }, { ...npn, gain: 200 })
        n.bipolar("Q2", { collector: "b", base: "s", emitter: "0" }, { ...npn, gain: 200 })
        n.resistor("RS", "s", "0", 33)
      })
      return { led: point.current("L1"), sense: point.voltage("s") }
    }
    const at = [10, 12, 14, 16].map(sink)
    for (const { led, sense } of at) near(led, sense / 33, 0.02)
    near(at[3]!.led, at[0]!.led, 0.05)
  })

  test("a transistor that is off lets nothing through; a reversed one works with its reverse gain", () => {
    const off = solve((n) => {
      n.source("V", "rail", "0", 12)
      n.resistor("load", "rail", "c", 100)
      n.resistor("RB", "b", "0", 10e3)
      n.bipolar("Q", { collector: "c", base: "b", emitter: "0" }, npn)
    })
    expect(Math.abs(off.current("load"))).toBeLessThan(1e-12)
    const back = solve((n) => {
      n.source("V", "c", "0", -3)
      n.source("B", "d", "0", 0)
      n.resistor("RB", "d", "b", 1e5)
      n.bipolar("Q", { collector: "c", base: "b", emitter: "0" }, npn)
    })
    const { emitter, base } = bipolarCurrents(back.current, "Q", npn)
    near(emitter, npn.reverseGain * base, 1e-6)
  })
})

describe("MOS transistor", () => {
  const body = { saturation: 1e-12, nVt: 0.0388, series: 0.05 }
  // 2N7000 sheet: 5.3 Ω at most at 4.5 V, threshold 0.8 … 3.0 V (read).
  const law: MosLaw = { type: "n", threshold: 2, onOhm: 5.3, atGate: 4.5, body }
  const k = 1 / (5.3 * 2.5)

  test("the charge law is the square law above threshold and falls tenfold each 60 mV below", () => {
    near(channelCharge(2, k).current, (k / 2) * 4, 1e-12)
    near(channelCharge(2, k).slope, 2 * k, 1e-12)
    near(channelCharge(-0.5, k).current / channelCharge(-0.5 - 0.0259 * Math.LN10, k).current, 10, 1e-3)
    expect(channelCharge(-1000, k).current).toBe(0)
    expect(channelCharge(1000, k).current).toBeLessThan(Number.POSITIVE_INFINITY)
  })
  test.each([
    [5, 0.3],
    [5, 1.5],
    [3, 6],
    [4.5, 0.02],
  ])("square law at %s V gate, %s V drain, N and P", (gate, drain) => {
    const over = gate - 2
    const want = drain < over ? k * (over * drain - (drain * drain) / 2) : (k / 2) * over * over
    const n = solve((net) => {
      net.source("G", "g", "0", gate)
      net.source("D", "d", "0", drain)
      net.mos("Q", { drain: "d", gate: "g", source: "0" }, law)
    })
    near(n.current("Q"), want, 1e-4)
    const p = solve((net) => {
      net.source("S", "s", "0", 12)
      net.source("G", "s", "g", gate)
      net.source("D", "s", "d", drain)
      net.mos("Q", { drain: "d", gate: "g", source: "s" }, { ...law, type: "p" })
    })
    near(p.current("Q"), -want, 1e-4)
  })
  test("as a low-side switch it is its resistance, off it is nothing, reversed its body diode conducts", () => {
    const through = (gate: number, volt: number) =>
      solve((n) => {
        n.source("V", "rail", "0", volt)
        n.resistor("load", "rail", "d", 600)
        n.source("G", "g", "0", gate)
        n.mos("Q", { drain: "d", gate: "g", source: "0" }, law)
      })
    near(through(4.5, 12).current("load"), 12 / 605.3, 1e-3)
    expect(through(0, 12).current("load")).toBeLessThan(1e-9)
    const back = through(0, -14)
    near(back.current("load"), -(14 + back.voltage("d")) / 600, 1e-9)
    expect(back.voltage("d")).toBeGreaterThan(-1)
  })
})

describe("regulator", () => {
  // An adjustable regulator stands as it is built: reference between output and adjust pin, `quiescent` out of that pin.
  const adjustable = (
    reference: number,
    r1: number,
    r2: number,
    adjust: number,
    more: { volt?: number; load?: number; limit?: number } = {},
  ) =>
    solve((n) => {
      n.source("V", "in", "0", more.volt ?? 14, 0.05)
      n.regulator("U", "in", "out", "adj", {
        volt: reference,
        ohm: 1e-5,
        dropout: 0.6,
        headroom: 1.5,
        quiescent: adjust,
        ...(more.limit === undefined ? {} : { limit: more.limit }),
      })
      n.resistor("R1", "out", "adj", r1)
      n.resistor("R2", "adj", "0", r2)
      n.resistor("load", "out", "0", more.load ?? 1000)
    })
  // V = Vref(1 + R2/R1) + Iadj·R2. E-5 read (calhub.xyz/other/lm317), E-6 read (circuit-innovations.co.uk/LM317.html),
  // E-7 read (smpstroubleshooting page), E-8 limits from memory of the LM317 data sheet.
  test.each([
    ["E-5", 1.25, 240, 720, 0, 5],
    ["E-5", 1.25, 240, 720, 50e-6, 5.036],
    ["E-6", 1.25, 220, 1300, 0, 8.636363636363637],
    ["E-6", 1.25, 220, 1300, 50e-6, 8.701363636363636],
    ["E-8", 1.2, 240 * 1.01, 720 * 0.99, 0, 4.7287128712871285],
    ["E-8", 1.3, 240 * 0.99, 720 * 1.01, 100e-6, 5.35150787878788],
  ])("%s: %s V over %s Ω and %s Ω, %s A from the adjust pin", (_, reference, r1, r2, adjust, volt) => {
    near(adjustable(reference, r1, r2, adjust).voltage("out"), volt, 2e-6)
  })
  test("E-7: rule for 12 V", () =>
    near(adjustable(1.25, 240, 2064, 0, { volt: 16 }).voltage("out"), 12, 1e-6))
  // E-9: formula from memory of the data sheet.
  test.each([
    [62, 0.020161290322580645],
    [12.5, 0.1],
  ])("E-9: current source, 1.25 V over %s Ω", (ohm, i) => {
    const point = solve((n) => {
      n.source("V", "in", "0", 12)
      n.regulator("U", "in", "out", "load", {
        volt: 1.25,
        ohm: 1e-5,
        dropout: 0.6,
        headroom: 1.5,
        quiescent: 0,
      })
      n.resistor("R", "out", "load", ohm)
      n.resistor("L", "load", "0", 30)
    })
    near(point.current("R"), i, 1e-6)
  })
  test("too little voltage: it gives what is left less its headroom and its resistance", () => {
    const point = adjustable(1.25, 240, 1300, 0, { volt: 7, load: 100 })
    const i = point.current("U")
    near(point.voltage("out"), 7 - 0.05 * i - 1.5 - 0.6 * i, 1e-9)
  })
  test("too little resistance: it gives its limit and no more, and recovers", () => {
    const short = adjustable(1.25, 240, 1300, 0, { load: 0.5, limit: 1.5 })
    near(short.current("U"), 1.5, 1e-4)
    expect(short.voltage("out")).toBeLessThan(0.8)
    near(
      adjustable(1.25, 240, 1300, 0, { load: 10, limit: 1.5 }).voltage("out"),
      1.25 * (1 + 1300 / 240),
      1e-4,
    )
  })
})

describe("relay in an operating point", () => {
  // Relay sheet: coil 260 Ω, pulls in at 7.2 V, lets go below 1.2 V, contact 3 mΩ (read).
  const law = { coilOhm: 260, pullIn: 7.2 / 260, dropOut: 1.2 / 260, contactOhm: 0.003, openOhm: 1e9 }
  const with12 = (coil: number, pulled?: boolean) =>
    solve((n) => {
      n.source("C", "k", "0", coil)
      n.source("V", "rail", "0", 12)
      n.relay("K", { coil: ["k", "0"], common: "rail", make: "on", rest: "off" }, law, pulled)
      n.resistor("R1", "on", "0", 100)
      n.resistor("R2", "off", "0", 100)
    })
  test("below pull-in it stays at rest, above it changes over; held, it does as told", () => {
    near(with12(7.1).voltage("off"), 12 * (100 / 100.003), 1e-9)
    expect(with12(7.1).voltage("on")).toBeLessThan(1e-5)
    near(with12(7.3).voltage("on"), 12 * (100 / 100.003), 1e-9)
    expect(with12(7.3).voltage("off")).toBeLessThan(1e-5)
    near(with12(5, true).voltage("on"), 12 * (100 / 100.003), 1e-9)
    near(with12(16, false).voltage("off"), 12 * (100 / 100.003), 1e-9)
  })
  test("a relay that breaks its own coil has no operating point, and it says so", () => {
    const n = new Network()
    n.source("V", "rail", "0", 12)
    n.relay("K", { coil: ["k", "0"], common: "rail", rest: "k" }, law)
    expect(operatingPoint(n).converged).toBe(false)
  })
  test("its own make contact latches it", () => {
    const latch = (start: number) =>
      solve((n) => {
        n.source("S", "button", "0", start, 1)
        n.diode("D", "button", "k", { saturation: 1e-9, nVt: 0.0434, series: 0.03 })
        n.source("V", "rail", "0", 12)
        n.relay("K", { coil: ["k", "0"], common: "rail", make: "k" }, law)
      })
    expect(latch(0).voltage("k")).toBeLessThan(1e-3)
    expect(latch(9).voltage("k")).toBeGreaterThan(11.9)
  })
})

describe("random networks of switches", () => {
  const part = fc.record({
    kind: fc.constantFrom("npn", "pnp", "n", "p", "relay", "regulator", "led"),
    pins: fc.tuple(fc.nat({ max: 6 }), fc.nat({ max: 6 }), fc.nat({ max: 6 })),
    gain: fc.double({ min: 20, max: 600, noNaN: true }),
    ohm: fc.double({ min: 10, max: 1e5, noNaN: true }),
  })
  const write = (
    parts: readonly {
      kind: string
      pins: readonly [number, number, number]
      gain: number
      ohm: number
    }[],
    volt: number,
  ) => {
    const n = new Network()
    n.source("V", "n6", "0", volt, 0.1)
    const name = (k: number) => (k === 0 ? "0" : `n${k}`)
    for (let k = 1; k < 6; k++) {
      n.resistor(`G${k}`, name(k), "0", 22e3 * k)
      n.resistor(`H${k}`, name(k), "n6", 3.3e3 * (7 - k))
    }
    parts.forEach(({ kind, pins, gain, ohm }, k) => {
      const [a, b, c] = pins.map(name) as [string, string, string]
      if (new Set(pins).size < 3) return
      if (kind === "npn" || kind === "pnp")
        n.bipolar(
          `Q${k}`,
          { collector: a, base: b, emitter: c },
          { ...npn, type: kind, gain, series: 0.2, early: 60 },
        )
      else if (kind === "n" || kind === "p")
        n.mos(
          `Q${k}`,
          { drain: a, gate: b, source: c },
          {
            type: kind,
            threshold: 2,
            onOhm: 5,
            atGate: 4.5,
            body: { saturation: 1e-12, nVt: 0.039, series: 0.05 },
          },
        )
      else if (kind === "regulator")
        n.regulator(`U${k}`, "n6", a, "0", { volt: 5, ohm: 0.02, dropout: 1, quiescent: 1e-3, limit: 0.3 })
      else if (kind === "led") n.diode(`L${k}`, a, b, { saturation: 1e-19, nVt: 0.0517, series: 5 })
      else n.resistor(`R${k}`, a, b, ohm)
    })
    return n
  }
  test.each([5, 15])("they converge, power balances, and the prepared network agrees (seed %i)", (seed) => {
    fc.assert(
      fc.property(
        fc.array(part, { minLength: 1, maxLength: 7 }),
        fc.double({ min: -14, max: 35, noNaN: true }),
        (parts, volt) => {
          const n = write(parts, volt)
          const point = operatingPoint(n, real)
          expect(point.converged).toBe(true)
          expect(powerMiss(n, point, real.leak)).toBeLessThan(1e-6)
          const prepared = new PreparedNetwork(n)
          prepared.startFrom(point)
          expect(prepared.solve(real)).toBe(true)
          for (const name of n.names.slice(1))
            expect(Math.abs(prepared.voltage(name) - point.voltage(name))).toBeLessThan(1e-3)
        },
      ),
      { seed, numRuns: 600 },
    )
  })
  test("exact accuracy too", () => {
    const n = write(
      [
        { kind: "npn", pins: [3, 2, 1], gain: 200, ohm: 1 },
        { kind: "p", pins: [4, 3, 6], gain: 1, ohm: 1 },
      ],
      12,
    )
    const point = operatingPoint(n, exact)
    expect(point.converged).toBe(true)
    expect(powerMiss(n, point)).toBeLessThan(1e-7)
  })
})
