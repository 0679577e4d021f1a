import { beforeAll, expect, test } from "vitest"
import type { Mm } from "../../0-ground/units/brand.ts"
import type { Board } from "../../5-board/artefact.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import { makeLamp } from "../made-lamps.testing.ts"
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
  const [, x, y, raised] = /x (\d+), y (\d+) mm.*raises it to (\d+) Hz/.exec(low.advice)!
  expect(Number(raised)).toBeGreaterThan(1.3 * low.measured!.value)
  const more = find("resonance", bare(1.6, [...screws, [Number(x) / 1.6, Number(y) / 1.6]]))[0]!
  expect(more.measured!.value / Number(raised)).toBeCloseTo(1, 1)
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
