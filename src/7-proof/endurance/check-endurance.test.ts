import { beforeAll, describe, expect, test } from "vitest"
import { noChange } from "../../0-ground/catalogue.ts"
import type { Remedy } from "../../0-ground/remedy.ts"
import type { Ampere, Mm } from "../../0-ground/units/brand.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import { designDrive } from "../../3-drive/design-drive.ts"
import type { Board } from "../../5-board/artefact.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import { makeCircuit, makeLamp } from "../made-lamps.testing.ts"
import type { Made } from "../prove-lamp.ts"
import { checkEndurance } from "./check-endurance.ts"
import { dewPoint, saturation, waterIn } from "./dew-point.ts"

let made: Made
beforeAll(() => {
  made = makeLamp("marker")
})

function find(code: string, change: Partial<Made> = {}) {
  const { lamp, circuit, boards } = { ...made, ...change }
  const told = checkEndurance(lamp, circuit, boards)
  expect(unexplained(told)).toEqual([])
  return told.findings.filter((f) => f.code === `endurance.${code}`)
}

/** A bare board of 100 × 60 times `size`, screws at the places given, no parts in the way. */
function bare(size: number, screws: readonly (readonly [number, number])[]): Partial<Made> {
  const mm = (x: number) => (x * size) as Mm
  const corners = [
    [0, 0],
    [100, 0],
    [100, 60],
    [0, 60],
  ] as const
  const board = {
    ...made.boards.boards[0]!,
    outline: corners.map(([x, y]) => ({ x: mm(x), y: mm(y) })) as unknown as Board["outline"],
    screws: screws.map(([x, y]) => ({ x: mm(x), y: mm(y), diameter: 3.2 as Mm, keepOut: 3.2 as Mm })),
    parts: [],
    lands: [],
    tracks: [],
    links: [],
  }
  return { boards: { ...made.boards, boards: [board] } }
}

test("hotter weather and a smaller housing make hotter LEDs; the advised surface keeps them", () => {
  const usual = find("led-heat")[0]!
  expect(usual.severity).not.toBe("red")
  const { lamp } = made
  const shrunk = (by: number) => ({
    lamp: {
      ...lamp,
      faces: lamp.faces.map((f) => ({
        ...f,
        outline: f.outline.map((p) => ({ ...p, x: p.x * by, y: p.y * by })) as unknown as typeof f.outline,
      })),
    },
  })
  const small = find("led-heat", shrunk(0.3))[0]!
  expect(small.measured!.value).toBeGreaterThan(usual.measured!.value)
  expect(small.severity).toBe("amber")
  const [, wanted, has] = /the housing (\d+) cm².*about (\d+) cm²/.exec(small.advice)!
  expect(Number(wanted)).toBeGreaterThan(Number(has))
  // The rim grows with the outline, front and back with its square: between these two lies the surface asked for.
  const ratio = Number(wanted) / Number(has)
  expect(find("led-heat", shrunk(0.3 * ratio))[0]!.severity).toBe("green")
  expect(find("led-heat", shrunk(0.29 * Math.sqrt(ratio)))[0]!.severity).toBe("amber")
})

test("a large board on two near screws swings; the advised screw raises it as told", () => {
  const screws = [
    [8, 8],
    [20, 8],
  ] as const
  const low = find("resonance", bare(1.6, screws))[0]!
  expect(low.severity).toBe("amber")
  const [, raised] = /raises? it to (\d+) Hz/.exec(low.advice)!
  expect(Number(raised)).toBeGreaterThan(1.3 * low.measured!.value)
  const places = [...low.advice.matchAll(/x (\d+), y (\d+) mm/g)].map(
    ([, x, y]) => [Number(x) / 1.6, Number(y) / 1.6] as const,
  )
  expect(places.length).toBeGreaterThan(0)
  const more = find("resonance", bare(1.6, [...screws, ...places]))[0]!
  expect(more.measured!.value / Number(raised)).toBeCloseTo(1, 1)
  // Advice goes on until the limit is kept, or says that it is not.
  if (!low.advice.includes("not yet enough")) expect(more.severity).toBe("green")
})

test("the road asks less than the engine; thicker laminate is a remedy where its computed resonance does", () => {
  const screws = [
    [4, 4],
    [96, 4],
    [96, 56],
    [4, 56],
  ] as const
  // Large enough that 1.6 mm laminate misses and a thicker one does not.
  const at = (size: number, thickness = 1.6) => ({
    ...bare(size, screws),
    lamp: { ...made.lamp, copperClad: { ...made.lamp.copperClad, thickness: thickness as Mm } },
  })
  const size = [1.2, 1.4, 1.6, 1.8, 2, 2.2].find((n) => {
    const f = find("resonance", at(n))[0]!
    return f.severity === "amber" && f.remedies
  })!
  const missed = find("resonance", at(size))[0]!
  const thick = Number.parseFloat(String(missed.remedies![0]!.changes[0]!.value))
  expect(missed.remedies![0]!.changes[0]!.path).toBe("copper-clad.thickness")
  const cleared = find("resonance", at(size, thick))[0]!
  expect(cleared.severity).toBe("green")
  expect(cleared.measured!.value).toBeCloseTo(missed.remedies![0]!.gives!.value, 6)
  // An octave above 30 Hz.
  const road = find("road-resonance", at(size))[0]!
  expect([road.severity, road.limit!.value]).toEqual(["green", 60])
  expect(road.measured!.value).toBe(missed.measured!.value)
  expect(find("road-resonance", at(8))[0]!.severity).toBe("amber")
  // What nothing stiffens says so.
  expect(find("resonance", at(8))[0]!.advice).toContain(noChange)
})

test("a board without screws is told as hanging on its LEDs' leads", () => {
  const hung = find("unheld")[0]!
  expect(hung.severity).toBe("green")
  expect(hung.title).toContain("the leads of its 4 LEDs")
  expect(find("resonance")).toEqual([])
})

test("LEDs too hot in a small housing: the lower current that is advised, designed anew, keeps them", () => {
  const { lamp } = made
  const small = (current?: number): Partial<Made> => {
    const shrunk = {
      ...lamp,
      faces: lamp.faces.map((f) => ({
        ...f,
        outline: f.outline.map((p) => ({ ...p, x: p.x * 0.4, y: p.y * 0.4 })) as unknown as typeof f.outline,
      })),
      groups: lamp.groups.map((g) => (current === undefined ? g : { ...g, current: current as Ampere })),
    }
    return { lamp: shrunk, circuit: designDrive(shrunk) }
  }
  const hot = find("led-heat", small())[0]!
  expect(hot.severity).toBe("amber")
  const [{ changes, gives }] = hot.remedies as [Remedy]
  const milliampere = Number.parseFloat(String(changes[0]!.value))
  const cooler = find("led-heat", small(milliampere / 1000))[0]!
  expect(cooler.severity).toBe("green")
  // Resistors come in steps.
  expect(cooler.measured!.value).toBeLessThan(gives!.value * 1.05)
})

describe("regulators", () => {
  const tern = makeCircuit("tern")
  const ref = tern.circuit.parts.find((p) => p.kind === "regulator")!.ref
  const board = () => ({
    ...made.boards.boards[0]!,
    parts: [{ ...made.boards.boards[0]!.parts[0]!, ref, kind: "regulator" }],
  })
  const judged = (pins: Lamp["pins"], heat = 1) =>
    find("regulator-heat", {
      lamp: { ...made.lamp, pins },
      circuit: {
        ...tern.circuit,
        corners: tern.circuit.corners.map((c) => ({ ...c, dissipation: { ...c.dissipation, [ref]: heat } })),
      },
      boards: { ...made.boards, boards: [board()] },
    })[0]!

  test("in a closed housing: ambient + air inside + 60 K/W, or 5 K/W and its sink, by hand", () => {
    const bare = judged({}, 0.5)
    const sunk = judged({ "drive.regulator.heat-sink": "20 K/W" }, 0.5)
    expect(bare.measured!.value - sunk.measured!.value).toBeCloseTo(0.5 * (60 - 25), 9)
    expect(sunk.title).toContain("on its heat sink of 20 K/W")
    // 60 × 24 mm with 11 mm of rim: 2 × 14.4 cm² and about 18 cm² (corners of 4 mm), 5 W/(m²·K).
    const surface = bare.measured!.value - 50 - 30
    expect(0.5 / (5 * surface)).toBeGreaterThan(40e-4)
    expect(0.5 / (5 * surface)).toBeLessThan(48e-4)
  })

  test("too hot: the heat sink that is advised keeps it", () => {
    const hot = judged({}, 0.8)
    expect(hot.severity).toBe("amber")
    const [{ changes }] = hot.remedies as [Remedy]
    expect(changes[0]!.path).toBe('pins."drive.regulator.heat-sink"')
    expect(judged({ "drive.regulator.heat-sink": String(changes[0]!.value) }, 0.8).severity).toBe("green")
  })
})

test("what a seal must hold follows the gas law", () => {
  const seal = find("sealing")[0]!
  // 25 °C closed; −20 °C: 1013·(1 − 253.15 ÷ 298.15) = 152.9 hPa; the heat inside makes more than 50 °C of it.
  expect(seal.title).toContain("sucked in by 153 hPa")
  expect(seal.measured!.value).toBeGreaterThan(1013 * (323.15 / 298.15 - 1))
  expect(seal.title).toMatch(/^Rule of thumb/)
})

test("face and board grow unlike: by hand for aluminium on FR4; joints keep their distance from the LEDs", () => {
  const grown = find("expansion")[0]!
  // LEDs on 12…48 mm: 18 mm from the middle; 23 − 15 = 8·10⁻⁶/K; from 20 °C down to −20 °C.
  expect(grown.measured!.value).toBeCloseTo(1000 * 18 * 8e-6 * 40, 6)
  expect(grown.severity).toBe("green")
  const { lamp } = made
  const tight = {
    lamp: {
      ...lamp,
      groups: lamp.groups.map((g) => ({
        ...g,
        leds: g.leds.map((l) => ({
          ...l,
          hole: { ...l.hole, diameter: 4.6 as Mm, x: (l.hole.x * 20) as Mm },
        })),
      })),
    },
  }
  expect(find("expansion", tight)[0]!.severity).toBe("amber")
  const near = (height: number) => ({
    lamp: { ...lamp, boards: lamp.boards.map((b) => ({ ...b, height: height as Mm })) },
  })
  const low = find("lead-distance", near(1))[0]!
  expect(low.severity).toBe("amber")
  const height = Number.parseFloat(String(low.remedies![0]!.changes[0]!.value))
  expect(find("lead-distance", near(height))[0]!.severity).toBe("green")
})

test("a long part outlives the shake on a stiff board only", () => {
  const part = {
    ...made.boards.boards[0]!.parts[0]!,
    ref: "U9",
    package: "dip-28",
    height: 0 as Mm,
    body: [
      { x: 0, y: 0 },
      { x: 36, y: 0 },
      { x: 36, y: 7 },
    ] as unknown as Board["parts"][number]["body"],
  }
  const on = (size: number, screws: readonly (readonly [number, number])[]) => {
    const { boards } = bare(size, screws)
    const board = {
      ...boards!.boards[0]!,
      parts: [part],
      size: { w: 100 * size, h: 60 * size } as Board["size"],
    }
    return find("part-swing", { boards: { ...boards!, boards: [board] } })[0]!
  }
  const soft = on(2, [[8, 8]])
  expect(soft.severity).toBe("amber")
  const stiff = on(1, [
    [4, 4],
    [96, 4],
    [96, 56],
    [4, 56],
  ])
  expect(stiff.severity).toBe("green")
  // 60 mm, 1.6 mm, 36 mm: (9.8·5·0.062992·√1.417323 ÷ (0.00022·2.362205))^⅔
  expect(stiff.limit!.value).toBeCloseTo(
    ((49 * 0.062992 * Math.sqrt(1.417323)) / (0.00022 * 2.362205)) ** (2 / 3),
    1,
  )
})

test("a small board on four screws rings far above the engine", () => {
  const four = [
    [4, 4],
    [96, 4],
    [96, 56],
    [4, 56],
  ] as const
  expect(find("resonance", bare(1, four))[0]!.severity).toBe("green")
})

test("dew point and water in air against tables (25 °C, 60 %: 16.7 °C; saturated at 20 °C: 17.3 g/m³, 2339 Pa; from memory)", () => {
  expect(dewPoint(25, 0.6)).toBeCloseTo(16.7, 1)
  expect(dewPoint(20, 1)).toBeCloseTo(20, 9)
  expect(waterIn(20, 1) / 17.3).toBeCloseTo(1, 2)
  expect(saturation(20) / 2339).toBeCloseTo(1, 2)
  expect(saturation(0)).toBeCloseTo(611.2, 9)
})

test("the hottest resistor: hotter with the weather, and by its own share of its rating", () => {
  const usual = find("resistor-heat")[0]!
  expect(usual.severity).toBe("green")
  const { lamp } = made
  const hot = {
    lamp: {
      ...lamp,
      vehicle: {
        ...lamp.vehicle,
        ambient: { ...lamp.vehicle.ambient, highest: lamp.vehicle.ambient.highest + 30 },
      },
    },
  }
  expect(find("resistor-heat", hot)[0]!.measured!.value - usual.measured!.value).toBeCloseTo(30, 9)
  const { circuit } = made
  const doubled = {
    circuit: {
      ...circuit,
      corners: circuit.corners.map((c) => ({
        ...c,
        dissipation: Object.fromEntries(Object.entries(c.dissipation).map(([k, w]) => [k, 2 * w])),
      })),
    },
  }
  const over = (f: { measured?: { value: number } | undefined }) =>
    f.measured!.value - lamp.vehicle.ambient.highest
  expect(over(find("resistor-heat", doubled)[0]!) / over(usual)).toBeCloseTo(2, 6)
})

test("a resistor too hot for FR1: FR4 bears it, and so does less current", () => {
  const { lamp, circuit } = made
  const at = (base: "FR1" | "FR4", factor: number) => ({
    lamp: { ...lamp, copperClad: { ...lamp.copperClad, base } },
    circuit: {
      ...circuit,
      corners: circuit.corners.map((c) => ({
        ...c,
        dissipation: Object.fromEntries(Object.entries(c.dissipation).map(([k, w]) => [k, factor * w])),
      })),
    },
  })
  const usual = find("resistor-heat", at("FR1", 1))[0]!.measured!.value
  // So much heat that it comes to 115 °C: more than FR1's 105 °C, less than FR4's 130 °C.
  const factor = (115 - lamp.vehicle.ambient.highest) / (usual - lamp.vehicle.ambient.highest)
  const hot = find("resistor-heat", at("FR1", factor))[0]!
  expect([hot.severity, hot.limit!.value]).toEqual(["amber", 105])
  expect(hot.remedies!.map((r) => r.changes[0]!.path)).toEqual(["copper-clad.base", "groups.marker.current"])
  expect(find("resistor-heat", at("FR4", factor))[0]!.severity).toBe("green")
})

test("a housing closed on a mild day is wet inside in the cold, and dry where it never gets cold", () => {
  const damp = find("condensation")[0]!
  expect(damp.measured!.value).toBeCloseTo(16.7, 1)
  expect(damp.title).toMatch(/^Rule of thumb/)
  const { lamp } = made
  const warm = {
    lamp: {
      ...lamp,
      vehicle: { ...lamp.vehicle, ambient: { lowest: 18, highest: 50 } as typeof lamp.vehicle.ambient },
    },
  }
  expect(find("condensation", warm)).toEqual([])
})
