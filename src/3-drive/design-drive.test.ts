import { describe, expect, test } from "vitest"
import type { Figure } from "../0-ground/figure.ts"
import { isPreferred } from "../1-stock/e-series.ts"
import { ledType } from "../1-stock/leds.ts"
import type { Circuit } from "./artefact.ts"
import { circuitFaults } from "./check-circuit.testing.ts"
import { designDrive } from "./design-drive.ts"
import { group, lampOf, line, marker, tern, ternWires } from "./fixtures.testing.ts"
import { modelCircuit } from "./model-circuit.ts"
import { operatingPoint, real } from "./solver/operating-point.ts"

const circuit = designDrive(tern)
const found = (code: string, name?: string) =>
  circuit.findings.filter(
    (f) =>
      f.code === `drive.${code}` && (name === undefined || f.where.group === name || f.where.wire === name),
  )
const currentOf = (ref: string, corner: string) =>
  circuit.corners.find((c) => c.corner === corner)?.ledCurrent[ref] ?? 0

describe("the Tern lamp", () => {
  test("no red finding, and none about a corner that could not be solved", () => {
    expect(circuit.findings.filter((f) => f.severity === "red").map((f) => `${f.code}: ${f.title}`)).toEqual(
      [],
    )
    expect(found("not-solved")).toEqual([])
    expect(circuit.findings.length).toBeGreaterThan(40)
  })
  test("passes the electrical rule check", () => {
    expect(circuitFaults(circuit)).toEqual([])
  })
  test("crescent by two feeds, wings switched, each with its reason", () => {
    const by = Object.fromEntries(circuit.drives.map((d) => [d.group, d]))
    expect(by["tail-stop"]!.topology).toBe("two-feed")
    expect(by["sweep-left"]!.topology).toBe("switched")
    expect(by["tail-stop"]!.why).toMatch(/brake for 100 %, tail for 12 %/)
    expect(by["sweep-left"]!.why).toMatch(/swept/)
  })
  test("22 LEDs make six strings of three and two of two; every wing LED has its own channel", () => {
    const lengths = circuit.strings.filter((s) => s.group === "tail-stop").map((s) => s.leds.length)
    expect(lengths).toEqual([3, 3, 3, 3, 3, 3, 2, 2])
    expect(circuit.channels.length).toBe(16)
    expect(circuit.channels.map((c) => c.leds)).toEqual([
      ...Array.from({ length: 8 }, (_, i) => [`sweep-left-${i + 1}`]),
      ...Array.from({ length: 8 }, (_, i) => [`sweep-right-${i + 1}`]),
    ])
    expect(circuit.signals.length).toBe(18)
    for (const s of circuit.signals) expect(s.allowed.length).toBe(20)
  })
  test("resistors are E24 values", () => {
    for (const p of circuit.parts) {
      if (p.kind === "resistor" && p.home.kind === "group") expect(isPreferred(p.amount!, "E24")).toBe(true)
    }
  })
  test("wing LEDs get current from their own wire, with plus missing and the controller silent", () => {
    for (const side of ["left", "right"]) {
      const point = operatingPoint(
        modelCircuit(circuit, tern, { wires: new Map([[side, 13.5]]), parts: "usual", celsius: 25 }),
        real,
      )
      expect(point.converged).toBe(true)
      for (let k = 1; k <= 8; k++) {
        expect(point.current(`sweep-${side}-${k}`)).toBeGreaterThan(0.018)
        expect(point.current(`sweep-${side === "left" ? "right" : "left"}-${k}`)).toBeLessThan(1e-6)
      }
    }
  })
  test("the crescent lights without any controller part in the circuit at all", () => {
    const parts = circuit.parts.filter((p) => p.home.kind === "group")
    const alone = { ...circuit, parts, signals: [] }
    const point = operatingPoint(
      modelCircuit(alone, tern, { wires: new Map([["brake", 13.5]]), parts: "usual", celsius: 25 }),
      real,
    )
    expect(point.converged).toBe(true)
    for (let k = 1; k <= 22; k++) expect(point.current(`tail-stop-${k}`)).toBeGreaterThan(0.017)
  })
  test("LED currents follow from the parts by hand: supply − diode − LEDs − wire over the resistor", () => {
    const corner = "plus + brake at 13.5 V, 25 °C, usual parts"
    const state = circuit.corners.find((c) => c.corner === corner)!
    const s = circuit.strings[0]!
    const through = (ref: string) => {
      const part = circuit.parts.find((p) => p.ref === ref)!
      return (state.nodeVoltage[part.pins["1"]!]! - state.nodeVoltage[part.pins["2"]!]!) / part.amount!
    }
    // The dark feed's resistor carries a little between strings of different length.
    const [full, low] = [through(s.resistors[0]!), through(s.resistors[1]!)]
    expect(Math.abs(low)).toBeLessThan(0.02 * full)
    expect(full + low).toBeCloseTo(currentOf(s.leds[0]!, corner), 6)
    // 13.5 V − about 0.8 V (1N4007) − 3 × 2.1 V over 330 Ω is 19.4 mA.
    expect(currentOf(s.leds[0]!, corner)).toBeGreaterThan(0.0185)
    expect(currentOf(s.leds[0]!, corner)).toBeLessThan(0.0205)
  })
  test("tail is 12 % of stop within the E24 step, stop at least five times tail at every corner", () => {
    const level = found("level", "tail-stop")[0]!
    expect(level.severity).toBe("green")
    const ratio = found("stop-ratio")[0]!
    expect(ratio.measured!.value).toBeGreaterThan(5)
    for (const c of circuit.corners) {
      if (c.live.join() !== "plus,tail") continue
      const both = circuit.corners.find(
        (o) => o.live.join() === "plus,tail,brake" && o.supply === c.supply && o.parts === c.parts,
      )!
      for (const ref of Object.keys(c.ledCurrent)) {
        if (c.ledCurrent[ref]! > 1e-5) expect(both.ledCurrent[ref]! / c.ledCurrent[ref]!).toBeGreaterThan(5)
      }
    }
  })
  test("a dead 5 V supply is not hidden", () => {
    for (const side of ["sweep-left", "sweep-right"])
      expect(found("safe-five-volt", side)[0]!.severity).toBe("amber")
    expect(found("safe-five-volt", "tail-stop")).toEqual([])
  })
  test("net ratings hold at every corner for every single element", () => {
    for (const c of circuit.corners) {
      for (const s of circuit.strings) {
        for (const ref of s.leds) {
          for (const net of s.nets.slice(0, -1)) {
            const rating = circuit.nets.find((n) => n.name === net)!
            expect(rating.current + 1e-9).toBeGreaterThanOrEqual((c.ledCurrent[ref] ?? 0) * (1 - 1e-5))
          }
        }
      }
      for (const [net, volt] of Object.entries(c.nodeVoltage)) {
        expect(circuit.nets.find((n) => n.name === net)!.voltage).toBeGreaterThan(volt - 1e-3)
      }
    }
  })
  test("survives JSON, and the same lamp gives the same bytes", () => {
    const text = JSON.stringify(circuit)
    expect(JSON.parse(text)).toEqual(circuit)
    expect(JSON.stringify(designDrive(tern))).toBe(text)
  })
  test("every figure has inputs or a source, and every finding's figure exists", () => {
    const ids = new Set(circuit.figures.map((f) => f.id))
    expect(ids.size).toBe(circuit.figures.length)
    const check = (f: Figure) => {
      expect(Number.isFinite(f.value), f.id).toBe(true)
      expect(f.source !== undefined || (f.formula !== undefined && (f.inputs?.length ?? 0) > 0), f.id).toBe(
        true,
      )
      for (const i of f.inputs ?? []) check(i)
    }
    for (const f of circuit.figures) check(f)
    expect(unasked(circuit)).toEqual([])
    expect(ids.has("drive.tail-stop.resistor")).toBe(true)
  })
})

/** Titles of findings whose measured number has no figure that says the same, and ids that name two values. */
function unasked({ findings, figures }: Circuit): readonly string[] {
  const all = new Map<string, Figure>()
  const clashes: string[] = []
  const visit = (f: Figure) => {
    const other = all.get(f.id)
    if (other && (other.value !== f.value || other.unit !== f.unit)) clashes.push(f.id)
    all.set(f.id, f)
    f.inputs?.forEach(visit)
  }
  figures.forEach(visit)
  const bare = findings.filter((f) => {
    const figure = all.get(f.figure ?? "")
    return f.measured && !(figure?.value === f.measured.value && figure.unit === f.measured.unit)
  })
  return [...bare.map((f) => f.title), ...clashes]
}

test("lamps with faults can be asked why as well", () => {
  const [unclamped, lowest] = [
    { ...tern.vehicle.supply, surge: "unclamped" as const },
    { lowest: 2, usual: 13.5, highest: 16, surge: "clamped" as const },
  ]
  for (const supply of [unclamped, lowest])
    for (const lamp of [tern, marker])
      expect(unasked(designDrive({ ...lamp, vehicle: { ...lamp.vehicle, supply } }))).toEqual([])
  const wires = tern.vehicle.wires.map((w) =>
    w.role === "flashing" ? { ...w, flasher: "load-sensing" as const } : w,
  )
  expect(unasked(designDrive({ ...tern, vehicle: { ...tern.vehicle, wires } }))).toEqual([])
})

describe("a part the wrong way round shows by solving", () => {
  const turned = (ref: string) => ({
    ...circuit,
    parts: circuit.parts.map((p) => (p.ref === ref ? { ...p, pins: { A: p.pins.K!, K: p.pins.A! } } : p)),
  })
  const light = (c: typeof circuit, wire: string, led: string) => {
    const wires = new Map([
      ["plus", 13.5],
      [wire, 13.5],
    ])
    const point = operatingPoint(modelCircuit(c, tern, { wires, parts: "usual", celsius: 25 }), real)
    expect(point.converged).toBe(true)
    return point.current(led)
  }
  test("a turned LED darkens its string, a turned feed diode its group", () => {
    expect(light(circuit, "brake", "tail-stop-1")).toBeGreaterThan(0.015)
    expect(light(turned("tail-stop-1"), "brake", "tail-stop-1")).toBeLessThan(1e-6)
    const diode = circuit.parts.find(
      (p) => p.kind === "diode" && p.pins.A === "left" && p.pins.K === "sweep-left-feed",
    )!
    expect(light(turned(diode.ref), "left", "sweep-left-3")).toBeLessThan(1e-6)
  })
})

describe("the side marker", () => {
  const made = designDrive(marker)
  test("fed straight, no controller, no red finding", () => {
    expect(made.drives[0]!.topology).toBe("direct")
    expect(made.controller).toBeUndefined()
    expect(made.signals).toEqual([])
    expect(made.findings.filter((f) => f.severity === "red").map((f) => f.title)).toEqual([])
    expect(circuitFaults(made)).toEqual([])
    expect(made.parts.map((p) => p.kind).sort()).toEqual([
      "diode",
      "led",
      "led",
      "led",
      "led",
      "resistor",
      "resistor",
    ])
  })
})

describe("choice of drive", () => {
  const supply = ternWires.find((w) => w.name === "plus")!
  const earth = ternWires.find((w) => w.name === "earth")!
  const left = ternWires.find((w) => w.name === "left")!
  const tail = ternWires.find((w) => w.name === "tail")!
  const brake = ternWires.find((w) => w.name === "brake")!
  test("a flashing wire without timing is fed straight, with a bleed across it", () => {
    const made = designDrive(
      lampOf(
        "flash",
        [left, earth],
        [group("turn", "amber-5mm", 6, ["direction-indicator"])],
        [line(["left"], "turn")],
      ),
    )
    expect(made.drives[0]!.topology).toBe("direct")
    expect(made.controller).toBeUndefined()
    expect(made.parts.some((p) => p.purpose.includes("leaks through the flasher"))).toBe(true)
    expect(circuitFaults(made)).toEqual([])
    expect(made.findings.find((f) => f.code === "drive.leak-glow")!.severity).toBe("green")
  })
  test("a fade on a steady wire asks for one switch for the whole group", () => {
    const made = designDrive(
      lampOf(
        "fade",
        [tail, supply, earth],
        [group("soft", "red-5mm", 9, ["rear-position"])],
        [line(["tail"], "soft", { rise: 0.3 })],
      ),
    )
    expect(made.drives[0]!.topology).toBe("switched")
    expect(made.channels.length).toBe(1)
    expect(circuitFaults(made)).toEqual([])
    expect(made.findings.filter((f) => f.severity === "red")).toEqual([])
  })
  test("two wires at one level share a feed through a diode each", () => {
    const made = designDrive(
      lampOf(
        "or",
        [tail, brake, earth],
        [group("red", "red-5mm", 3, ["stop"])],
        [line(["tail"], "red"), line(["brake"], "red")],
      ),
    )
    expect(made.drives[0]!.topology).toBe("direct")
    expect(made.parts.filter((p) => p.kind === "diode").length).toBe(2)
    expect(circuitFaults(made)).toEqual([])
  })
  test("three levels give three feeds", () => {
    const made = designDrive(
      lampOf(
        "three",
        [tail, brake, left, earth],
        [group("red", "red-5mm", 6, ["rear-position"])],
        [
          line(["tail"], "red", { level: 0.1 }),
          line(["left"], "red", { level: 0.4 }),
          line(["brake"], "red"),
        ],
      ),
    )
    expect(made.drives[0]!.topology).toBe("two-feed")
    expect(made.strings[0]!.resistors.length).toBe(3)
    const levels = made.findings.filter((f) => f.code === "drive.level")
    expect(levels.length).toBe(2)
    for (const f of levels) expect(f.severity).not.toBe("red")
    expect(circuitFaults(made)).toEqual([])
  })
  test("a sweep longer than the controller has pins shares outputs and says so", () => {
    const made = designDrive(
      lampOf(
        "long",
        [left, supply, earth],
        [group("turn", "amber-5mm", 30, ["direction-indicator"])],
        [line(["left"], "turn", { sweep: { within: 0.18 } })],
      ),
    )
    expect(made.channels.length).toBe(15)
    expect(made.channels.every((c) => c.leds.length === 2)).toBe(true)
    expect(made.findings.some((f) => f.code === "drive.shared-channels")).toBe(true)
    expect(circuitFaults(made)).toEqual([])
  })
})

describe("choices held by hand", () => {
  const withPins = (pins: Record<string, string | number>) => designDrive({ ...tern, pins })
  test("are used as they are, and judged", () => {
    const made = withPins({
      "drive.tail-stop.resistor": "100 Ω",
      "drive.tail-stop.resistor-part": "resistor-quarter-watt",
    })
    const s = made.strings.find((x) => x.group === "tail-stop")!
    expect(made.parts.find((p) => p.ref === s.resistors[0])!.amount).toBe(100)
    const red = made.findings.filter((f) => f.severity === "red").map((f) => f.code)
    expect(red).toContain("drive.resistor-heat")
    expect(red).toContain("drive.led-current")
    expect(red).toContain("drive.surge-led")
  })
  test("two in series when asked", () => {
    const made = withPins({ "drive.tail-stop.in-series": 2 })
    expect(made.drives[0]!.inSeries).toBe(2)
    expect(made.strings.filter((s) => s.group === "tail-stop").length).toBe(11)
  })
  test("four in series go dark at the lowest supply, and that is red", () => {
    const made = withPins({ "drive.tail-stop.in-series": 4 })
    const low = made.findings.find((f) => f.code === "drive.led-light-low" && f.where.group === "tail-stop")!
    expect(low.severity).toBe("red")
  })
  test("misspelt or impossible ones are findings", () => {
    const made = withPins({ "drive.tail-stop.resitor": 330, "drive.sweep-left.resistor": "lots" })
    const texts = made.findings.filter((f) => f.code === "drive.unknown-pin")
    expect(texts.length).toBe(2)
    expect(texts[0]!.advice).toContain("drive.tail-stop.resistor")
    expect(texts.every((f) => f.severity === "red")).toBe(true)
  })
})

describe("descriptions that cannot be", () => {
  const [tail, , , , , earth] = ternWires as [
    (typeof ternWires)[number],
    unknown,
    unknown,
    unknown,
    unknown,
    (typeof ternWires)[number],
  ]
  test("an unknown LED, an unlit group, no earth: findings, no crash", () => {
    const lamp = lampOf(
      "odd",
      [tail],
      [group("a", "red-5m", 4, ["stop"]), group("b", "red-5mm", 4, ["stop"])],
      [line(["tail"], "a")],
    )
    const made = designDrive(lamp)
    const codes = made.findings.map((f) => f.code)
    expect(codes).toContain("drive.unknown-led")
    expect(made.findings.find((f) => f.code === "drive.unknown-led")!.advice).toContain("red-5mm")
    expect(codes).toContain("drive.group-unfed")
    expect(codes).toContain("drive.earth-wire")
  })
  test("a group whose only line is level 0 is never lit, and that is told", () => {
    const lamp = lampOf(
      "never",
      [tail, earth],
      [group("g", "red-5mm", 4, ["stop"])],
      [line(["tail"], "g", { level: 0 })],
    )
    expect(designDrive(lamp).findings.map((f) => f.code)).toContain("drive.group-unfed")
  })
  test("wires with names like our own nets keep their names", () => {
    const lamp = lampOf(
      "names",
      [
        { name: "rail", role: "flashing" },
        { name: "5V", role: "supply" },
        { name: "earth", role: "earth" },
      ],
      [group("g", "red-5mm", 5, ["marker"])],
      [line(["rail"], "g", { rise: 0.1 })],
    )
    const made = designDrive(lamp)
    expect(circuitFaults(made)).toEqual([])
    expect(made.nets.find((n) => n.name === "rail")!.wire).toBe("rail")
    expect(made.nets.find((n) => n.name === "rail-2")!.kind).toBe("supply")
    expect(made.findings.filter((f) => f.severity === "red").map((f) => f.title)).toEqual([])
  })
  test("an empty lamp is an empty circuit", () => {
    const made = designDrive(lampOf("nothing", [earth], [], []))
    expect(made.parts).toEqual([])
    expect(made.findings.filter((f) => f.severity === "red")).toEqual([])
  })
  test("a surge that nothing clamps is red with the energy in figures", () => {
    const lamp = {
      ...tern,
      vehicle: { ...tern.vehicle, supply: { ...tern.vehicle.supply, surge: "unclamped" as const } },
    }
    const made = designDrive(lamp)
    expect(made.findings.find((f) => f.code === "drive.surge-unclamped")!.severity).toBe("red")
  })
  test("a lowest supply under one LED is red, not a crash", () => {
    const lamp = {
      ...marker,
      vehicle: {
        ...marker.vehicle,
        supply: { lowest: 2, usual: 13.5, highest: 16, surge: "clamped" as const },
      },
    }
    const made = designDrive(lamp)
    expect(made.findings.find((f) => f.code === "drive.led-light-low")!.severity).toBe("red")
  })
  test("a load-sensing flasher is told about", () => {
    const lamp = {
      ...tern,
      vehicle: {
        ...tern.vehicle,
        wires: tern.vehicle.wires.map((w) =>
          w.role === "flashing" ? { ...w, flasher: "load-sensing" as const } : w,
        ),
      },
    }
    const made = designDrive(lamp)
    expect(made.findings.filter((f) => f.code === "drive.flasher-load").map((f) => f.severity)).toEqual([
      "amber",
      "amber",
    ])
  })
  test("the LED rating used is the stock's", () => {
    expect(ledType("red-5mm").maximumCurrent).toBe(0.05)
  })
})
