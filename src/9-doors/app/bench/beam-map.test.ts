import { expect, test } from "vitest"
import { intensityAt } from "../../../0-ground/photometry/intensity-table.ts"
import type { Beam } from "../../../7-proof/artefact.ts"
import { bandOf, bands, candela, direction, pointsOf, shades } from "./beam-map.ts"

const horizontal = [-20, -10, -5, 0, 5, 10, 20]
const vertical = [-10, -5, 0, 5, 10]
const usual = horizontal.map((h) => vertical.map((v) => 100 * Math.exp(-(h * h + v * v) / 80) + h + 20))
const beam = {
  horizontal,
  vertical,
  usual,
  asked: [
    { h: 0, v: 0, least: 60 },
    { h: 10, v: 5, least: 60 },
  ],
} as unknown as Beam

test("between the grid's angles the map reads what the photometric table reads", () => {
  const table = { type: "A", horizontal, vertical, candela: usual } as const
  for (let h = -19.7; h < 20; h += 1.7)
    for (let v = -9.9; v < 10; v += 1.3)
      expect(candela(beam, usual, h, v)).toBeCloseTo(intensityAt(table, h, v), 9)
  expect(candela(beam, usual, 20, 10)).toBeCloseTo(usual[6]![4]!, 9)
  expect(candela(beam, usual, 21, 0)).toBe(0)
})

test("the directions of the rule stand thinnest first, with what is left", () => {
  const [thin, thick] = pointsOf(beam, usual)
  expect(thin).toMatchObject({ h: 10, v: 5, asked: 60 })
  expect(thin!.margin).toBeCloseTo((candela(beam, usual, 10, 5) - 60) / 60, 9)
  expect(thick!.margin).toBeGreaterThan(thin!.margin)
})

test("bands rise with the light, and every shade is brighter than the one before", () => {
  expect(bandOf(0)).toBe(0)
  expect(bandOf(0.02)).toBe(1)
  expect(bandOf(1)).toBe(bands.length)
  const light = shades([255, 60, 40]).map(([r, g, b]) => 0.3 * r + 0.6 * g + 0.1 * b)
  expect(light).toEqual([...light].sort((a, b) => a - b))
  expect(new Set(light).size).toBe(bands.length + 1)
})

test("directions in words", () => {
  expect(direction(0, 0)).toBe("the axis")
  expect(direction(-5, 10)).toBe("5° left, 10° up")
  expect(direction(0, -5)).toBe("5° down")
})
