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
      network: net((n) => {
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
      network: net((n) => n.resistor("R", "c", "0", 1000)),
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
      network: net((n) => {
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
      network: net((n) => n.resistor("R", "a", "b", R)),
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
      sourceAt: ({ ref, volt, ohm }, t) => ({ volt: ref === "V" && t >= off ? 0 : volt, ohm }),
      network: net((n) => {
        n.source("V", "in", "0", 12, 1e-3)
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

// Vehicle sheet section 16.2, worked out there: V·(1 − e^(−t/RC)) turned round for t.
test.each([
  [
    "10 kΩ and 100 nF, 12 V to 3 V",
    { volt: 12, up: 10e3, down: 1e12, farad: 100e-9, from: 0, to: 3 },
    0.2876820725e-3,
  ],
  [
    "the same, 5 V down to 1.5 V",
    { volt: 0, up: 10e3, down: 1e12, farad: 100e-9, from: 5, to: 1.5 },
    1.2039728043e-3,
  ],
  [
    "47 kΩ over 22 kΩ ‖ 100 nF, 12 V to 3 V",
    { volt: 12, up: 47e3, down: 22e3, farad: 100e-9, from: 0, to: 3 },
    2.297125162e-3,
  ],
] as const)("%s at its time, 0.1 %%", (_, { volt, up, down, farad, from, to }, seconds) => {
  const seen = run(
    {
      network: net((n) => {
        n.source("V", "in", "0", volt, 1e-3)
        n.resistor("R", "in", "c", up)
        n.resistor("D", "c", "0", down)
      }),
      capacitors: [{ ref: "C", a: "c", b: "0", farad, volt: from }],
      jumps: [seconds],
    },
    1.5 * seconds,
  )
  const at = seen.find((m) => Math.abs(m.seconds - seconds) < 1e-12)!
  expect(Math.abs(at.volt.C! / to - 1)).toBeLessThan(1e-3)
})

// Vehicle sheet section 16.3: pick-up of a coil at t = −(L/R)·ln(1 − I_pull/I_final).
test.each([
  [12, 400, 0.8, 18e-3, 1.83258146374831],
  [12, 225, 0.5, 32e-3, 2.03620162638701],
  [9, 225, 0.5, 32e-3, 3.576528694298],
  [14.4, 225, 0.5, 32e-3, 1.54032706791099],
  [8, 225, 0.5, 32e-3, 5.11685576220899],
  [12, 260, 0.5, 7.2 / 260, 1.76209756129645],
  [9, 260, 0.5, 7.2 / 260, 3.09507290852712],
])("%s V on a coil of %s Ω and %s H pulls in at %s A, 0.1 %%", (volt, ohm, henry, pullIn, milli) => {
  const seen = run(
    {
      network: net((n) => {
        n.source("V", "in", "0", volt, 1e-3)
        n.resistor("coil", "in", "l", ohm - 1e-3)
      }),
      inductors: [{ ref: "L", a: "l", b: "0", henry, ampere: 0 }],
      relays: [
        {
          ref: "K",
          coil: "L",
          pullIn,
          dropOut: 1e-3,
          contact: { a: "in", b: "out", onOhm: 0.003, offOhm: 1e9 },
          closed: false,
        },
      ],
    },
    0.01,
  )
  expect(Math.abs((1000 * seen.find((m) => m.closed.K)!.seconds) / milli - 1)).toBeLessThan(1e-3)
})

// A transistor lets a coil go and its diode takes the current: i(t) = (I₀ + Vf/R)·e^(−tR/L) − Vf/R, the diode being
// stiff; it ends at t = (L/R)·ln(1 + I₀·R/Vf). Vehicle sheet section 16.2.
test.each(["bipolar", "mos"] as const)(
  "a coil switched off by a %s transistor dies away through its diode",
  (kind) => {
    const [ohm, henry, drop] = [260, 0.5, 0.7]
    const off = 0.02
    const start = 12 / ohm
    const seen = run(
      {
        sourceAt: ({ ref, volt, ohm }, t) => ({ volt: ref === "G" && t >= off ? 0 : volt, ohm }),
        network: net((n) => {
          n.source("V", "rail", "0", 12, 1e-3)
          n.resistor("coil", "rail", "l", ohm)
          n.resistor("pull", "d", "0", 1e9)
          // A stiff junction: 0.7 V whatever flows.
          n.diode("D", "d", "rail", { saturation: 1e-3 * Math.exp(-drop / 1e-3), nVt: 1e-3, series: 1e-6 })
          n.source("G", "g", "0", 5, 10)
          if (kind === "mos")
            n.mos(
              "Q",
              { drain: "d", gate: "g", source: "0" },
              {
                type: "n",
                threshold: 2,
                onOhm: 1e-3,
                atGate: 5,
                body: { saturation: 1e-12, nVt: 0.039, series: 0.05 },
              },
            )
          else {
            n.resistor("RB", "g", "b", 500)
            n.bipolar(
              "Q",
              { collector: "d", base: "b", emitter: "0" },
              { type: "npn", saturation: 1e-14, nVt: 0.0259, gain: 200, reverseGain: 20, series: 0 },
            )
          }
        }),
        inductors: [{ ref: "L", a: "l", b: "d", henry, ampere: start }],
        jumps: [off],
      },
      0.03,
    )
    const held = seen.filter((m) => m.seconds === off)[0]!.ampere.L!
    expect(Math.abs(held / start - 1)).toBeLessThan(kind === "mos" ? 1e-3 : 0.01)
    for (const m of seen) {
      const t = m.seconds - off
      if (t <= 1e-4) continue
      const want = (held + drop / ohm) * Math.exp((-t * ohm) / henry) - drop / ohm
      if (want > 1e-3) expect(Math.abs(m.ampere.L! - want), `${t} s`).toBeLessThan(1e-3 * held)
      expect(m.point.voltage("d")).toBeLessThan(13)
    }
    const ends = (henry / ohm) * Math.log(1 + (held * ohm) / drop)
    const dead = seen.find((m) => m.seconds > off && m.ampere.L! < 1e-5)!
    if (dead) expect((dead.seconds - off) / ends).toBeGreaterThan(0.97)
  },
)
