import fc from "fast-check"
import { lusolve } from "mathjs"
import { describe, expect, test } from "vitest"
import { solveDense } from "./dense-lu.ts"
import { diodeResistorCurrent, lambertW0, wOfLog } from "./lambert.ts"
import { Network } from "./network.ts"
import { exact, operatingPoint, real } from "./operating-point.ts"

/** Boltzmann and elementary charge, exact SI values. */
const thermal = (kelvin: number) => (1.380649e-23 * kelvin) / 1.602176634e-19

const near = (got: number, want: number, relative: number) =>
  expect(Math.abs(got - want), `${got} against ${want}`).toBeLessThanOrEqual(relative * Math.abs(want))

/** Source, resistor and `count` equal diodes in a row. */
function chain(volt: number, ohm: number, count: number, saturation: number, nVt: number, series = 0) {
  const n = new Network()
  n.source("V", "in", "0", volt)
  n.resistor("R", "in", "d0", ohm)
  for (let k = 0; k < count; k++) {
    n.diode(`D${k}`, `d${k}`, k === count - 1 ? "0" : `d${k + 1}`, { saturation, nVt, series })
  }
  const point = operatingPoint(n)
  expect(point.converged).toBe(true)
  return { i: point.current("D0"), v: point.voltage("d0"), point }
}

describe("Lambert W", () => {
  // D-1
  test("thermal voltage", () => {
    near(thermal(300), 0.02585199978643553, 1e-15)
    near(thermal(298.15), 0.02569257912108585, 1e-15)
  })
  // D-2 and the W0 list of section 16.1, computed with 40 digits.
  test.each([
    [1, 0.5671432904097838],
    [10, 1.7455280027406994],
    [0.5, 0.35173371124919584],
    [-0.1, -0.11183255915896297],
    [-0.3, -0.489402227180215],
    [0.1, 0.09127652716086226],
    [Math.E, 1],
    [1e6, 11.383358086140053],
    [1e20, 42.306755091738395],
    [1e100, 224.8431064451185],
    [1e300, 684.2472086297608],
    [100, 3.38563014029005],
  ])("W(%s)", (x, w) => near(lambertW0(x), w, 1e-13))
  // D-9 and the rows of the data file.
  test.each([
    [-50, 1.9287498479639178e-22],
    [-10, 4.539786874921543e-5],
    [-1, 0.2784645427610738],
    [0, 0.5671432904097838],
    [1, 1],
    [10, 7.929420095019697],
    [100, 95.44148664557584],
    [700, 693.4583088790255],
    [710, 703.4440117119545],
    [1000, 993.0991694723891],
    [5000, 4991.484511358231],
    [1e5, 99988.48718966976],
  ])("w + ln w = %s", (L, w) => near(wOfLog(L), w, 1e-13))
  test("outside its domain", () => {
    expect(lambertW0(-0.4)).toBeNaN()
    expect(lambertW0(0)).toBe(0)
  })
})

// Vehicle sheet section 16.1: I = (n·Vt/R)·W(…) − Is; rows A–M computed with 40 digits. Vt 0.025852 V unless said.
const rows = [
  ["A", 1, 1000, 1, 1e-14, 0.00037085314112172843, 0.6291468588782716],
  ["B", 5, 1000, 1, 1e-14, 0.004307456366819469, 0.6925436331805307],
  ["C", 0.3, 100, 1.5, 1e-12, 2.28907408472639e-9, 0.2999997710925915],
  ["E", 12, 470, 2, 1e-19, 0.021143379665492127, 2.062611557218701],
  ["F", 13.5, 330, 6, 1e-19, 0.022136501583769126, 6.1949544773561875],
  ["G", 13.5, 339, 6, 1e-19, 0.02156086264334417, 6.190867563906326],
  ["H", 16, 339, 6, 1e-19, 0.028802985577720264, 6.235787889152831],
  ["J", 9, 339, 6, 1e-19, 0.008701696551399208, 6.050124869075669],
  ["K", 10.5, 115, 10, 1e-19, 0.0049084795928420535, 9.935524846823164],
  ["L", 24, 1, 1, 1e-14, 23.085475289846933, 0.9145247101530654],
] as const

describe("diode and resistor against the closed form", () => {
  test.each(rows)("row %s", (_, volt, ohm, n, saturation, i, v) => {
    const nVt = n * 0.025852
    near(diodeResistorCurrent(volt, ohm, saturation, nVt), i, 1e-12)
    const solved = chain(volt, ohm, 1, saturation, nVt)
    near(solved.i, i, 1e-9)
    near(solved.v, v, 1e-9)
  })
  test("rows D and D2, reverse", () => {
    expect(Math.abs(chain(-5, 1000, 1, 1e-9, 0.025852).i + 1e-9)).toBeLessThan(1e-18)
    near(chain(-0.02, 1000, 1, 1e-6, 0.025852).i, -5.291270594820096e-7, 1e-9)
  })
  test("row M, Vt at 298.15 K", () => {
    near(chain(1, 1000, 1, 1e-14, thermal(298.15)).i, 0.0003744826561846313, 1e-9)
  })
  test("row G with the series resistance inside the LEDs", () => {
    const { i, point } = chain(13.5, 330, 3, 1e-19, 2 * 0.025852, 3)
    near(i, 0.02156086264334417, 1e-9)
    near(point.voltage("d0"), 13.5 - 330 * i, 1e-9)
  })
  // D-3 … D-8
  test("D-3, D-4, D-7, D-8", () => {
    const d3 = chain(5, 1000, 1, 1e-14, thermal(300))
    near(d3.i, 4.30745637250647e-3, 1e-9)
    near(d3.v, 0.69254362749353, 1e-9)
    const d4 = chain(5, 150, 1, 1e-18, 2 * thermal(298.15))
    near(d4.i, 0.02046731003051248, 1e-9)
    near(d4.v, 1.929903495423128, 1e-9)
    const d7 = chain(28, 100, 1, 1e-14, thermal(300))
    near(d7.i, 0.2720028780997866, 1e-9)
    near(d7.v, 0.799712190021339, 1e-9)
    expect(Math.abs(chain(-5, 1000, 1, 1e-14, thermal(300)).i + 1e-14)).toBeLessThan(1e-18)
  })
  test("D-5, D-6: strings as separate diodes", () => {
    const nVt = 2 * thermal(298.15)
    const d5 = chain(12.8, 430, 2, 1e-18, nVt)
    near(d5.i, 0.02078743727817409, 1e-9)
    near(d5.v, 3.861401970385142, 1e-9)
    near(chain(14.4, 390, 3, 1e-18, nVt).i, 0.02204825551848847, 1e-9)
    near(chain(9, 390, 3, 1e-18, nVt).i, 0.008575371058776879, 1e-9)
  })
  test("hot and cold silicon (data file)", () => {
    near(chain(5, 1000, 1, 1e-12, thermal(358.15)).i, 0.004315291515900824, 1e-9)
    near(chain(5, 1000, 1, 1e-17, thermal(233.15)).i, 0.004322920308082762, 1e-9)
  })
})

describe("worked electrical examples as networks", () => {
  /** LED idealised as a fixed voltage, as the worked examples do. */
  const ledCurrent = (supply: number, led: number, ohm: number, more = 0) => {
    const n = new Network()
    n.source("V", "in", "0", supply)
    n.resistor("R", "in", "a", ohm)
    n.source("LED", "a", "b", led)
    n.source("switch", "b", "0", more)
    return operatingPoint(n).current("R")
  }
  // E-1 … E-4: the exact resistor gives the wanted current.
  test.each([
    [12, 1.8, 2040, 0.005, 0],
    [9, 1.8, 1440, 0.005, 0],
    [6, 1.7, 215, 0.02, 0],
    [9, 1.7, 365, 0.02, 0],
    [12, 1.7, 515, 0.02, 0],
    [24, 1.7, 1115, 0.02, 0],
    [12, 3.4, 860, 0.01, 0],
    [6, 3, 150, 0.02, 0],
    [5, 1.9, 200, 0.015, 0.1],
  ])("E-1…E-4: %s V, LED %s V, %s Ω gives %s A", (supply, led, ohm, i, sat) => {
    near(ledCurrent(supply, led, ohm, sat), i, 1e-9)
  })
  test("E-3: 60 mW in the resistor", () => {
    near(ledCurrent(6, 3, 150) ** 2 * 150, 0.06, 1e-9)
  })
  // E-5, E-6, E-8: 1.25 V reference over R1, adjust current into R2: superposition of two sources.
  const adjustable = (reference: number, r1: number, r2: number, adjust: number) => {
    const n = new Network()
    n.source("reference", "out", "adj", reference)
    n.resistor("R2", "adj", "0", r2)
    // The regulator holds `reference` over R1; that current and its own leave through R2. A stiff source gives it.
    n.source("I", "adj", "0", (reference / r1 + adjust) * 1e9, 1e9)
    return operatingPoint(n).voltage("out")
  }
  test("E-5, E-6, E-8: adjustable regulator", () => {
    near(adjustable(1.25, 240, 720, 0), 5, 2e-6)
    near(adjustable(1.25, 240, 720, 50e-6), 5.036, 2e-6)
    near(adjustable(1.25, 220, 1300, 0), 8.636363636363637, 2e-6)
    near(adjustable(1.25, 220, 1300, 50e-6), 8.701363636363636, 2e-6)
    near(adjustable(1.2, 240 * 1.01, 720 * 0.99, 0), 4.7287128712871285, 2e-6)
    near(adjustable(1.3, 240 * 0.99, 720 * 1.01, 100e-6), 5.35150787878788, 2e-6)
  })
  // E-7: R2 = 192·V − 240 at R1 = 240.
  test("E-7: rule for 12 V", () => near(adjustable(1.25, 240, 2064, 0), 12, 2e-6))
  // E-9: current source from the same reference.
  test.each([
    [62, 0.020161290322580645],
    [12.5, 0.1],
  ])("E-9: 1.25 V over %s Ω is %s A", (ohm, i) => {
    const n = new Network()
    n.source("reference", "out", "load", 1.25)
    n.resistor("R", "out", "load", ohm)
    n.resistor("L", "load", "0", 10)
    near(operatingPoint(n).current("R"), i, 1e-9)
  })
  // E-10 … E-12: base drive, the junction idealised as a fixed voltage.
  test.each([
    [5, 0.7, 1000, 0.0043],
    [3.3, 0.6, 1350, 0.002],
    [5, 0.8, 280, 0.015],
    [5, 0.7, 716.6666666666666, 0.006],
  ])("E-10…E-12: %s V, VBE %s V, %s Ω gives %s A", (drive, vbe, ohm, i) =>
    near(ledCurrent(drive, vbe, ohm), i, 1e-9),
  )
})

describe("linear nets against a general-purpose library (mathjs lusolve)", () => {
  const net = fc.array(
    fc.record({
      a: fc.integer({ min: 0, max: 7 }),
      b: fc.integer({ min: 0, max: 7 }),
      ohm: fc.double({ min: 0.5, max: 1e6, noNaN: true }),
      volt: fc.double({ min: -24, max: 24, noNaN: true }),
    }),
    { minLength: 4, maxLength: 30 },
  )
  test("node voltages agree", () => {
    fc.assert(
      fc.property(net, (branches) => {
        const network = new Network()
        for (let k = 1; k < 8; k++) network.resistor(`G${k}`, `n${k}`, "0", 1e4 * k)
        const name = (k: number) => (k === 0 ? "0" : `n${k}`)
        const g = Array.from({ length: 7 }, (_, i) =>
          Array.from({ length: 7 }, (_, j) => (i === j ? 1 / (1e4 * (i + 1)) + exact.leak : 0)),
        )
        const rhs = new Array<number>(7).fill(0)
        branches.forEach(({ a, b, ohm, volt }, k) => {
          if (a === b) return
          network.source(`V${k}`, name(a), name(b), volt, ohm)
          const add = (i: number, j: number, v: number) => {
            if (i > 0 && j > 0) g[i - 1]![j - 1]! += v
          }
          add(a, a, 1 / ohm)
          add(b, b, 1 / ohm)
          add(a, b, -1 / ohm)
          add(b, a, -1 / ohm)
          if (a > 0) rhs[a - 1]! += volt / ohm
          if (b > 0) rhs[b - 1]! -= volt / ohm
        })
        const want = lusolve(g, rhs) as number[][]
        const point = operatingPoint(network)
        expect(point.converged).toBe(true)
        for (let k = 1; k < 8; k++) {
          expect(Math.abs(point.voltage(`n${k}`) - want[k - 1]![0]!)).toBeLessThan(1e-7)
        }
      }),
      { seed: 7, numRuns: 150 },
    )
  })
  test("dense systems, rows changed where they must be", () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 5, maxLength: 5 }), {
          minLength: 5,
          maxLength: 5,
        }),
        fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 5, maxLength: 5 }),
        (rows, right) => {
          const a = Float64Array.from(rows.flat())
          const x = Float64Array.from(right)
          if (!solveDense(a, x, 5)) return
          rows.forEach((row, i) => {
            const sum = row.reduce((s, v, j) => s + v * x[j]!, 0)
            const size = row.reduce((s, v, j) => s + Math.abs(v * x[j]!), 1)
            expect(Math.abs(sum - right[i]!)).toBeLessThan(1e-8 * size)
          })
        },
      ),
      { seed: 3, numRuns: 200 },
    )
  })
  test("a singular system is refused", () => {
    expect(solveDense(Float64Array.from([1, 2, 2, 4]), Float64Array.from([1, 1]), 2)).toBe(false)
  })
})

describe("networks with bends", () => {
  test("currents balance at every node of random lamps, on both accuracies", () => {
    const string = fc.record({
      count: fc.integer({ min: 1, max: 5 }),
      ohm: fc.double({ min: 10, max: 5000, noNaN: true }),
      second: fc.double({ min: 100, max: 50000, noNaN: true }),
    })
    fc.assert(
      fc.property(
        fc.array(string, { minLength: 1, maxLength: 8 }),
        fc.double({ min: -16, max: 40, noNaN: true }),
        fc.double({ min: -16, max: 40, noNaN: true }),
        fc.boolean(),
        (strings, first, second, tight) => {
          const n = new Network()
          n.source("A", "a", "0", first, 0.05)
          n.source("B", "b", "0", second, 0.05)
          const silicon = { saturation: 1e-9, nVt: 0.0434, series: 0.03 }
          n.diode("DA", "a", "fa", silicon)
          n.diode("DB", "b", "fb", silicon)
          strings.forEach((s, k) => {
            n.resistor(`RA${k}`, "fa", `s${k}.0`, s.ohm)
            n.resistor(`RB${k}`, "fb", `s${k}.0`, s.second)
            for (let j = 0; j < s.count; j++) {
              const to = j === s.count - 1 ? "0" : `s${k}.${j + 1}`
              n.diode(`L${k}.${j}`, `s${k}.${j}`, to, { saturation: 3e-19, nVt: 0.0517, series: 5 })
            }
          })
          const point = operatingPoint(n, tight ? exact : real)
          expect(point.converged).toBe(true)
          const most = Math.max(Math.abs(point.current("A")), Math.abs(point.current("B")), 1e-6)
          const slack = (tight ? 1e-11 : 5e-8) + 1e-7 * most
          let sum = point.current("DA")
          strings.forEach((_, k) => {
            sum -= point.current(`RA${k}`)
            const into = point.current(`RA${k}`) + point.current(`RB${k}`)
            expect(Math.abs(into - point.current(`L${k}.0`))).toBeLessThan(slack)
          })
          expect(Math.abs(sum)).toBeLessThan(slack)
          // Two-terminal laws: no LED carries a noticeable current backwards.
          for (const k of strings.keys()) expect(point.current(`L${k}.0`)).toBeGreaterThan(-1e-6)
        },
      ),
      { seed: 11, numRuns: 120 },
    )
  })

  const regulated = (volt: number, load: number) => {
    const n = new Network()
    n.source("V", "in", "0", volt, 0.1)
    n.diode("D", "in", "rail", { saturation: 1e-9, nVt: 0.0434, series: 0.03 })
    n.regulator("U", "rail", "out", "0", { volt: 5, ohm: 0.02, dropout: 1, quiescent: 0.015 })
    n.resistor("L", "out", "0", load)
    const point = operatingPoint(n)
    expect(point.converged).toBe(true)
    return point
  }
  test("a regulator regulates, drops out and dies, with nothing flowing backwards", () => {
    const good = regulated(12, 100)
    near(good.voltage("out"), 5 * (100 / 100.02), 1e-9)
    near(good.current("V"), good.current("U") + 0.015, 1e-6)
    const low = regulated(4.5, 10)
    near(low.voltage("out"), low.voltage("rail") - low.current("U") * 1, 1e-9)
    expect(low.voltage("out")).toBeLessThan(4.5)
    expect(Math.abs(regulated(0, 100).voltage("out"))).toBeLessThan(1e-6)
    expect(Math.abs(regulated(-14, 100).current("U"))).toBeLessThan(1e-9)
  })
  test("an output held up from outside is left alone", () => {
    const n = new Network()
    n.source("V", "in", "0", 12, 0.1)
    n.regulator("U", "in", "out", "0", { volt: 5, ohm: 0.02, dropout: 1, quiescent: 0.015 })
    n.source("held", "out", "0", 6, 1)
    n.resistor("L", "out", "0", 1000)
    const point = operatingPoint(n)
    expect(point.converged).toBe(true)
    expect(point.current("U")).toBe(0)
  })
  test("a curve is followed between its points and beyond them", () => {
    const clamp = (volt: number) => {
      const n = new Network()
      n.source("V", "in", "0", volt)
      n.resistor("R", "in", "a", 10)
      n.curve("Z", "a", "0", [
        [-1, -10],
        [-0.7, 0],
        [0, 0],
        [30, 1e-6],
        [40, 10],
      ])
      const point = operatingPoint(n)
      expect(point.converged).toBe(true)
      return point
    }
    // Beyond 30 V it is 1 Ω: (V − 30)/(10 + 1).
    near(clamp(52).current("Z"), (52 - 30) / 11, 1e-5)
    expect(clamp(12).current("Z")).toBeLessThan(1e-6)
    near(clamp(-11).voltage("a"), -0.7 - (11 - 0.7) * (0.03 / 10.03), 1e-2)
  })
  test("two ideal sources against each other have no answer, and it says so", () => {
    const n = new Network()
    n.source("A", "x", "0", 5)
    n.source("B", "x", "0", 6)
    n.resistor("R", "x", "0", 100)
    const point = operatingPoint(n)
    expect(point.converged).toBe(false)
    expect(point.stuckAt).toBe("x")
  })
  test("names that do not exist give NaN, not zero", () => {
    const { point } = chain(5, 100, 1, 1e-14, 0.0259)
    expect(point.current("nobody")).toBeNaN()
    expect(point.voltage("nowhere")).toBeNaN()
  })
})
