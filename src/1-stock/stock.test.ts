import { describe, expect, test } from "vitest"
import type { Figure } from "../0-ground/figure.ts"
import type { Source } from "../0-ground/source.ts"
import { cladFacts, trackAmpere, trackOhm, trackWidth } from "./copper-clad.ts"
import { cutterFacts, grooveWidth } from "./cutters.ts"
import { flasherFacts } from "./flashers.ts"
import { leds, ledType } from "./leds.ts"
import * as rules from "./lighting-rules.ts"
import { packages, packageType } from "./packages.ts"
import { modelOf, parts, partType } from "./parts.ts"
import { ruleBooks, topics, without } from "./rule-coverage.ts"
import { usTables } from "./us-photometry.ts"
import { supplyFacts } from "./vehicle-supply.ts"
import { wireOhm, wireSource } from "./wire.ts"

const facts: readonly Figure[] = [
  ...leds.all.flatMap((l) => l.facts),
  ...parts.all.flatMap((p) => p.facts),
  ...flasherFacts,
  ...supplyFacts,
  ...cladFacts,
  ...cutterFacts,
]

const named = (s: Source | undefined) =>
  s !== undefined && s.document.trim().length > 5 && (s.known !== "memory" || s.confidence !== undefined)

describe("sources", () => {
  test("every fact names its source, and a recalled one how sure it is", () => {
    expect(facts.length).toBeGreaterThan(150)
    expect(facts.filter((f) => !named(f.source)).map((f) => f.id)).toEqual([])
  })
  test("every fact is a finite number under an id of its own", () => {
    expect(facts.filter((f) => !Number.isFinite(f.value)).map((f) => f.id)).toEqual([])
    expect(new Set(facts.map((f) => f.id)).size).toBe(facts.length)
  })
  test("every entry and every package has a source", () => {
    for (const entry of [...leds.all, ...parts.all, ...packages.all]) expect(named(entry.source)).toBe(true)
    expect(named(wireSource)).toBe(true)
  })
  test("every part shows at least one fact", () => {
    expect(parts.all.filter((p) => p.facts.length === 0).map((p) => p.key)).toEqual([])
  })
  test("every lighting rule has an id, words, a clause and how it is known", () => {
    expect(rules.rules.length).toBeGreaterThan(25)
    for (const r of rules.rules) {
      expect(r.id).toMatch(/^[A-Z]+-\d+[a-z]?$/)
      expect(r.text.length).toBeGreaterThan(15)
      expect(named(r.source)).toBe(true)
      expect(r.source.place).toBeTruthy()
    }
    expect(new Set(rules.rules.map((r) => r.id)).size).toBe(rules.rules.length)
    const others = [
      ...rules.colourOf,
      ...Object.values(rules.colourRegions),
      ...rules.visibilityFields,
      ...usTables,
    ]
    for (const r of others) expect(named(r.source)).toBe(true)
  })
})

describe("LEDs", () => {
  // Sheet of fitted sets (computed; V_T 0.025852 V): V at 1, 5, 10, 30 mA.
  const table = [
    ["amber-5mm", "low", 4.8492367e-17, [1.5881, 1.6833, 1.7342, 1.851]],
    ["amber-5mm", "usual", 3.1751885e-19, [1.8501, 1.9533, 2.0142, 2.171]],
    ["amber-5mm", "high", 3.0609643e-21, [2.0931, 2.2083, 2.2842, 2.501]],
    ["red-3mm", "usual", 2.1965067e-18, [1.7501, 1.8533, 1.9142, 2.071]],
    ["white-3mm", "low", 1.9598497e-20, [2.4924, 2.6204, 2.6952, 2.8862]],
    ["white-3mm", "usual", 1.3864922e-22, [2.8164, 2.9604, 3.0552, 3.3262]],
    ["white-3mm", "high", 1.8213787e-24, [3.1024, 3.2704, 3.3952, 3.7862]],
  ] as const
  test.each(table)("%s %s follows the fitted set", (key, end, saturation, volts) => {
    const m = ledType(key).model[end]
    expect(m.saturation / saturation).toBeCloseTo(1, 6)
    ;[1e-3, 5e-3, 10e-3, 30e-3].forEach((i, k) => {
      const v = m.emission * 0.025852 * Math.log1p(i / m.saturation) + i * m.series
      expect(v).toBeCloseTo(volts[k]!, 4)
    })
  })
  test("amber and red stay inside their wavelengths at 25 °C", () => {
    for (const led of leds.all) {
      const region = rules.colourRegions[led.colour].wavelength
      if (!region || !led.dominantWavelength) continue
      expect(led.dominantWavelength.low).toBeGreaterThan(region.low)
      expect(led.dominantWavelength.high).toBeLessThan(region.high)
    }
  })
  test("a misspelt key finds its neighbour, an unknown one throws only for us", () => {
    expect(leds.near("amber-5m")).toBe("amber-5mm")
    expect(leds.find("amber")).toBeUndefined()
    expect(() => ledType("amber")).toThrow()
    expect(() => modelOf("wire-pad", "diode")).toThrow()
  })
})

describe("packages", () => {
  test("every LED and part has its package, and the pins its model speaks of", () => {
    for (const led of leds.all) {
      expect(packageType(led.package).lands.map((l) => l.pin)).toEqual(["A", "K"])
    }
    for (const part of parts.all) {
      const pins = new Set(packageType(part.package).lands.map((l) => l.pin))
      const { model } = part
      const spoken =
        model.kind === "low-side-array"
          ? [...model.sectionPins.flat(), model.earthPin]
          : model.kind === "resistor-array"
            ? [...model.sectionPins, model.commonPin]
            : model.kind === "controller"
              ? Object.values(model.packagePins).flat()
              : model.kind === "diode" || model.kind === "clamp"
                ? ["A", "K"]
                : model.kind === "resistor"
                  ? ["1", "2"]
                  : model.kind === "npn"
                    ? ["C", "B", "E"]
                    : model.kind === "adjustable-regulator"
                      ? Object.values(model.pins)
                      : model.kind === "relay"
                        ? Object.values(model.pins).flat()
                        : []
      for (const pin of spoken) expect(pins.has(pin), `${part.key} pin ${pin}`).toBe(true)
    }
  })
  test("holes come from the mill's drills and rings are at least 0.3 mm", () => {
    for (const p of packages.all) {
      for (const land of p.lands) {
        expect([0.8, 1.0, 1.3, 3.2]).toContain(land.hole)
        expect((Math.min(land.w, land.h) - land.hole) / 2).toBeGreaterThan(0.2999)
      }
    }
  })
  test("a 0.4 mm track passes between DIP pins, and lands never come nearer than 0.5 mm", () => {
    const gap = (name: string) => {
      const { lands } = packageType(name)
      let least = Number.POSITIVE_INFINITY
      for (const a of lands) {
        for (const b of lands) {
          if (a === b) continue
          const dx = Math.abs(a.x - b.x) - (a.w + b.w) / 2
          const dy = Math.abs(a.y - b.y) - (a.h + b.h) / 2
          least = Math.min(least, Math.max(dx, dy))
        }
      }
      return least
    }
    for (const name of ["dip-18", "dip-28", "sip-9"]) expect(gap(name)).toBeCloseTo(0.94, 9)
    for (const p of packages.all) if (p.lands.length > 1) expect(gap(p.name)).toBeGreaterThan(0.5)
  })
  test("DIP pins run counter-clockwise from the top left, as seen from above", () => {
    const { lands } = packageType("dip-28")
    const at = (pin: string) => lands.find((l) => l.pin === pin)!
    expect(at("1").x).toBeLessThan(0)
    expect(at("1").y).toBeGreaterThan(at("14").y)
    expect(at("28").x).toBeGreaterThan(0)
    expect(at("28").y).toBeCloseTo(at("1").y, 9)
    expect(at("15").y).toBeCloseTo(at("14").y, 9)
  })
  test("the controller's twenty I/O pins are on twenty numbers, every number once", () => {
    const m = modelOf("controller-atmega328p", "controller")
    expect(m.ioPins.length).toBe(20)
    const numbers = Object.values(m.packagePins).flat()
    expect(new Set(numbers).size).toBe(28)
    for (const pin of m.ioPins) expect(m.packagePins[pin]).toHaveLength(1)
    // ATmega328P data sheet, pin configuration (memory).
    expect([m.packagePins.PB3, m.packagePins.PB4, m.packagePins.PB5, m.packagePins.VCC]).toEqual([
      ["17"],
      ["18"],
      ["19"],
      ["7"],
    ])
  })
})

test("the small controller's nine I/O pins are on nine numbers, every number once", () => {
  const m = modelOf("controller-attiny84a", "controller")
  expect(m.ioPins.length).toBe(9)
  const numbers = Object.values(m.packagePins).flat()
  expect([...numbers].sort((a, b) => Number(a) - Number(b))).toEqual(
    Array.from({ length: 14 }, (_, i) => String(i + 1)),
  )
  // ATtiny24A/44A/84A data sheet, pin configuration (memory).
  expect([m.packagePins.VCC, m.packagePins.RESET, m.packagePins.PA6, m.packagePins.GND]).toEqual([
    ["1"],
    ["4"],
    ["7"],
    ["14"],
  ])
})

describe("wire, copper and cutter", () => {
  // IEC 60228 table 3, class 5 plain, read in two tables.
  test.each([
    [0.5, 39.0],
    [0.75, 26.0],
    [1, 19.5],
    [1.5, 13.3],
    [2.5, 7.98],
  ])("%s mm² is %s mΩ/m", (size, milli) => {
    expect(wireOhm(size, 1) * 1000).toBeCloseTo(milli, 9)
  })
  // E-20, worked out from that table: 1.75 A over 5 m of loop.
  test.each([
    [0.5, 0.34125],
    [0.75, 0.2275],
    [1.5, 0.116375],
  ])("1.75 A over 5 m of %s mm² loses %s V", (size, volt) => {
    expect(1.75 * wireOhm(size, 5)).toBeCloseTo(volt, 9)
  })
  // E-13, E-14: fit to IPC-2221 with its constants as a chip maker's track calculator names them (read), values worked
  // out; E-22: copper of 0.017241 Ω·mm²/m (memory).
  test("tracks carry and resist as the fit to IPC-2221 says", () => {
    expect(trackWidth(1, 0.035, 10)).toBeCloseTo(0.30038652, 6)
    expect(trackWidth(2, 0.035, 20)).toBeCloseTo(0.51309781, 6)
    expect(trackAmpere(1, 0.035, 10)).toBeCloseTo(2.391562, 5)
    expect(trackAmpere(1, 0.035, 20)).toBeCloseTo(3.244404, 5)
    expect(trackOhm(100, 1, 0.035) * 1000).toBeCloseTo(49.26, 2)
    // E-21: ×1.25545 from 20 °C to 85 °C.
    expect(trackOhm(100, 1, 0.035, 85) / trackOhm(100, 1, 0.035)).toBeCloseTo(1.25545, 5)
  })
  // Engraving check of the parts sheet: 0.1 mm tip, 0.1 mm deep.
  test.each([
    [30, 0.1536],
    [60, 0.2155],
    [90, 0.3],
  ])("a %s° engraver cuts %s mm", (angle, width) => {
    expect(grooveWidth(0.1, angle, 0.1)).toBeCloseTo(width, 4)
  })
})

describe("lighting rules", () => {
  test("the UN grid has its nineteen points, symmetric", () => {
    expect(rules.unGrid.length).toBe(19)
    for (const p of rules.unGrid) {
      expect(rules.unGrid.some((q) => q.h === -p.h && q.v === -p.v && q.share === p.share)).toBe(true)
    }
    // R50 stop, 40 cd: 36 cd at 5° sideways, 8 cd at (5, 10), 4 cd at (20, 5).
    const share = (h: number, v: number) => rules.unGrid.find((p) => p.h === h && p.v === v)!.share
    expect([40 * share(5, 0), 40 * share(5, 10), 40 * share(20, 5)]).toEqual([36, 8, 4])
  })
  test("the US group sums follow from the points", () => {
    for (const t of usTables) {
      expect(t.points.length).toBe(19)
      const at = (h: number, v: number) => t.points.find((p) => p.h === h && p.v === v)!.low
      // Group 1 of rear amber is recalled as 82 and as 84; the higher one is asked.
      const outer = 2 * at(-5, 10) + 2 * at(-20, 5)
      if (t.id === "US-turn-rear-amber") expect([outer, t.groups.g1]).toEqual([41, 42])
      else expect(outer).toBeCloseTo(t.groups.g1, 6)
      expect(2 * at(-10, 5) + at(-10, 0)).toBeCloseTo(t.groups.g2, 6)
      expect(2 * at(0, 5) + 2 * at(-5, 0) + at(0, 0)).toBeCloseTo(t.groups.g3, 6)
    }
  })
  test("the US tables agree with their recalled sums", () => {
    // 571.108 as recalled, tables VI-a to IX: groups 1, 2, 3; turn signals of motorcycles half of it.
    const sums = (id: string) => {
      const { g1, g2, g3 } = usTables.find((t) => t.id === id)!.groups
      return [g1, g2, g3].map((n) => Math.round(10 * n) / 10)
    }
    expect(sums("US-stop")).toEqual([52, 100, 380])
    expect(sums("US-stop-2")).toEqual([62, 117, 449])
    expect(sums("US-stop-3")).toEqual([74, 135, 520])
    expect(sums("US-tail")).toEqual([1.4, 2.4, 9.6])
    expect(sums("US-tail-2")).toEqual([2.4, 4.2, 16.7])
    expect(sums("US-tail-3")).toEqual([3.4, 6, 24])
    expect(sums("US-turn-front")).toEqual([65, 125, 475])
    expect(sums("US-turn-front-2").map((n) => 2 * n)).toEqual([154, 291, 1130])
    expect(sums("US-turn-front-3").map((n) => 2 * n)).toEqual([180, 335, 1305])
    expect(sums("US-turn-rear-amber-2").map((n) => 2 * n)).toEqual([100, 185, 710])
    expect(sums("US-turn-rear-amber-3").map((n) => 2 * n)).toEqual([120, 215, 825])
    expect(sums("US-parking")).toEqual([2.4, 3, 16.8])
    // The parking lamp is, cell by cell, 4 cd times the UN grid.
    for (const p of usTables.find((t) => t.id === "US-parking")!.points)
      expect(p.low).toBeCloseTo(4 * rules.unGrid.find((q) => q.h === p.h && q.v === p.v)!.share, 9)
  })
  test("every topic of every rule book has a rule, or says why there is none", () => {
    for (const { book } of ruleBooks)
      for (const { topic, rules: of } of topics) {
        const why = without[book]?.[topic]
        const held = of(book)
        expect(held.length > 0, `${book}: ${topic}`).toBe(why === undefined)
        for (const r of held) {
          expect(r.text.length, r.id).toBeGreaterThan(9)
          expect(named(r.source), r.id).toBe(true)
          // A rule from memory says where it can be looked up.
          if (r.source.known === "memory") expect(r.source.confidence, r.id).toMatch(/[HML]/)
        }
      }
  })
  test("black bodies: CIE illuminant A, and where they enter and leave the region of white", () => {
    // CIE 15: illuminant A, 2856 K, x 0.44758, y 0.40745; the fit is good to a thousandth.
    expect(rules.blackBody(2856)[0]).toBeCloseTo(0.4476, 2.7)
    expect(rules.blackBody(2856)[1]).toBeCloseTo(0.4074, 2.7)
    const corners = rules.colourRegions.white.corners
    const inside = ([x, y]: readonly [number, number]) =>
      corners.filter(([x1, y1], i) => {
        const [x2, y2] = corners[(i + corners.length - 1) % corners.length]!
        return y1 > y !== y2 > y && x < ((x2 - x1) * (y - y1)) / (y2 - y1) + x1
      }).length %
        2 ===
      1
    const { low, high } = rules.colourRegions.white.temperature
    for (let k = 1700; k <= 20000; k += 25)
      if (Math.abs(k - low) > 2 && Math.abs(k - high) > 2)
        expect(inside(rules.blackBody(k)), `${k} K`).toBe(k > low && k < high)
  })
  test("colour corners lie on their own edges", () => {
    for (const [x, y] of rules.colourRegions.amber.corners) {
      // y ≤ x − 0.120, y ≥ 0.390, y ≥ 0.790 − 0.670x, to the rounding of the corners.
      expect(y - (x - 0.12)).toBeLessThan(1e-9)
      expect(y - 0.39).toBeGreaterThan(-1e-9)
      expect(y - (0.79 - 0.67 * x)).toBeGreaterThan(-1.1e-3)
    }
    for (const [x, y] of rules.colourRegions.red.corners) {
      expect(y).toBeLessThanOrEqual(0.335)
      expect(y - (0.98 - x)).toBeGreaterThan(-1e-9)
    }
  })
  test("look-ups", () => {
    expect(rules.rule("P-03").low).toBe(40)
    expect(rules.rulesFor("un-l", "stop").map((r) => r.id)).toContain("I-06")
    expect(() => rules.rule("P-999")).toThrow()
    expect(partType("header-2x3").package).toBe("header-2x3")
  })
})
