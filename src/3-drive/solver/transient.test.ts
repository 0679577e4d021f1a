// Step responses with closed forms: v = V(1 − e^(−t/RC)), i = V/R (1 − e^(−tR/L)); textbook circuit theory.

import { expect, test } from "vitest"
import { Network } from "./network.ts"
import { exact } from "./operating-point.ts"
import { type Moment, type TransientCircuit, transient } from "./transient.ts"

const manner = { accuracy: exact, tolerance: 1e-6, firstStep: 1e-7, longestStep: 1, mostSteps: 20000 }

const net = (write: (n: Network) => void) => {
  const n = new Network()
  write(n)
  return n
}

function run(circuit: Partial<TransientCircuit> & Pick<TransientCircuit, "network">, end: number): Moment[] {
  const seen: Moment[] = []
  const result = transient(
    { capacitors: [], inductors: [], relays: [], jumps: [], ...circuit },
    end,
    manner,
    (m) => seen.push(m),
  )
  expect(result.finished).toBe(true)
  return seen
}

test("RC: 10 V through 10 kΩ into 1 µF, 0.1 % at every moment", () => {
  const seen = run(
    {
      network: () =>
        net((n) => {
          n.source("V", "in", "0", 10, 1e-3)
          n.resistor("R", "in", "c", 10e3)
        }),
      capacitors: [{ ref: "C", a: "c", b: "0", farad: 1e-6, volt: 0 }],
    },
    0.05,
  )
  expect(seen.length).toBeGreaterThan(20)
  for (const m of seen) {
    const v = 10 * (1 - Math.exp(-m.seconds / 0.01))
    expect(Math.abs(m.volt.C! - v)).toBeLessThan(1e-3 * Math.max(v, 1e-3))
  }
})

test("RC discharge crosses 1/e at one time constant", () => {
  const seen = run(
    {
      network: () => net((n) => n.resistor("R", "c", "0", 1000)),
      capacitors: [{ ref: "C", a: "c", b: "0", farad: 22e-6, volt: 5 }],
      jumps: [0.022],
    },
    0.05,
  )
  const at = seen.find((m) => Math.abs(m.seconds - 0.022) < 1e-12)!
  expect(at.volt.C! / (5 / Math.E)).toBeCloseTo(1, 4)
})

test("RL: 12 V into 260 Ω with 0.5 H, 0.1 % at every moment", () => {
  const seen = run(
    {
      network: () =>
        net((n) => {
          n.source("V", "in", "0", 12, 1e-3)
          n.resistor("R", "in", "l", 260 - 1e-3)
        }),
      inductors: [{ ref: "L", a: "l", b: "0", henry: 0.5, ampere: 0 }],
    },
    0.01,
  )
  for (const m of seen) {
    const i = (12 / 260) * (1 - Math.exp((-m.seconds * 260) / 0.5))
    expect(Math.abs(m.ampere.L! - i)).toBeLessThan(1e-3 * Math.max(i, 1e-5))
  }
})

test("RLC ringing keeps its period, 2π√(LC), and its decay, e^(−Rt/2L)", () => {
  const [L, C, R] = [1e-3, 1e-6, 2]
  const seen = run(
    {
      network: () => net((n) => n.resistor("R", "a", "b", R)),
      inductors: [{ ref: "L", a: "b", b: "0", henry: L, ampere: 0 }],
      capacitors: [{ ref: "C", a: "a", b: "0", farad: C, volt: 1 }],
      jumps: [1e-3],
    },
    1e-3,
  )
  const alpha = R / (2 * L)
  const w = Math.sqrt(1 / (L * C) - alpha * alpha)
  const t = 1e-3
  const v = Math.exp(-alpha * t) * (Math.cos(w * t) + (alpha / w) * Math.sin(w * t))
  expect(Math.abs(seen[seen.length - 1]!.volt.C! - v)).toBeLessThan(1e-3)
})

// Relay sheet: coil 260 Ω, pulls in at 7.2 V, drops out at 1.2 V; inductance 0.5 H (from memory, 0.2…0.8 H).
test("a relay pulls in and lets go when its coil current says so, 0.1 %", () => {
  const off = 0.02
  const seen = run(
    {
      network: (t) =>
        net((n) => {
          n.source("V", "in", "0", t < off ? 12 : 0, 1e-3)
          n.resistor("coil", "in", "l", 260 - 1e-3)
          n.source("B", "rail", "0", 12, 1e-3)
          n.resistor("load", "out", "0", 100)
        }),
      inductors: [{ ref: "L", a: "l", b: "0", henry: 0.5, ampere: 0 }],
      relays: [
        {
          ref: "K",
          coil: "L",
          pullIn: 7.2 / 260,
          dropOut: 1.2 / 260,
          contact: { a: "rail", b: "out", onOhm: 0.003, offOhm: 1e9 },
          closed: false,
        },
      ],
      jumps: [off],
    },
    0.04,
  )
  const tau = 0.5 / 260
  const pull = seen.find((m) => m.closed.K)!.seconds
  const pulls = tau * Math.log(12 / (12 - 7.2))
  expect(Math.abs(pull / pulls - 1)).toBeLessThan(1e-3)
  const drop = seen.find((m) => m.seconds > off && !m.closed.K)!.seconds - off
  const drops = tau * Math.log(12 / 1.2)
  expect(Math.abs(drop / drops - 1)).toBeLessThan(1e-3)
  // Open and closed show at the load.
  const closed = seen.find((m) => m.seconds > 0.01)!
  expect(closed.point.voltage("out")).toBeGreaterThan(11.9)
})
