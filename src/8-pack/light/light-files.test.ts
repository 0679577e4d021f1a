// Pictures and photometric files of real beams: well-formed, without holes in their numbers, and read again alike.

import { SaxesParser } from "saxes"
import { expect, test } from "vitest"
import { intensityAt } from "../../0-ground/photometry/intensity-table.ts"
import { readIes } from "../../0-ground/photometry/read-ies.ts"
import { checkRules } from "../../7-proof/light/check-rules.ts"
import { makeCircuit } from "../../7-proof/made-lamps.testing.ts"
import { beamSvg } from "./beam-drawing.ts"
import { photometricFile } from "./photometric-file.ts"
import { seenSvg, spread } from "./seen-drawing.ts"

const { lamp, circuit } = makeCircuit("tern")
const { beams } = checkRules(lamp, circuit, undefined)

function elements(svg: string): Map<string, number> {
  const count = new Map<string, number>()
  const parser = new SaxesParser()
  parser.on("error", (e) => {
    throw e
  })
  parser.on("opentag", (t) => count.set(t.name, (count.get(t.name) ?? 0) + 1))
  parser.write(svg).close()
  expect(svg).not.toMatch(/NaN|undefined|Infinity/)
  return count
}

test("a beam's file is read again as the grid it was written from", () => {
  for (const beam of beams) {
    const read = readIes(photometricFile(lamp, beam))
    if ("fault" in read) throw new Error(read.fault.says)
    expect(read.file.table.horizontal).toEqual(beam.horizontal)
    const axis = beam.usual[beam.horizontal.indexOf(0)]![beam.vertical.indexOf(0)]!
    expect(intensityAt(read.file.table, 0, 0)).toBeCloseTo(axis, 3)
    expect(read.file.keywords.OTHER).toContain("not type-approved")
  }
})

test("a beam's picture has a box for every test point and a caution", () => {
  const svg = beamSvg(lamp.name, beams[2]!, "DO NOT CUT")
  expect(elements(svg).get("polyline")).toBe(3)
  expect(svg.match(/≥ \d/g)).toHaveLength(19)
  expect(svg).toContain("not type-approved")
  expect(svg).toContain("DO NOT CUT")
})

test("seen from afar: one row for each function, by day and by night", () => {
  const svg = seenSvg(lamp, beams)
  elements(svg)
  expect(svg.match(/By day/g)).toHaveLength(beams.length)
  expect(svg.match(/By night/g)).toHaveLength(beams.length)
})

test("the eye's spread: a blur that holds its light, and the glare formula aside", () => {
  // All of the blur's light, added up in rings of a tenth of a minute, comes to the lux that made it.
  const minute = Math.PI / 180 / 60
  let sum = 0
  for (let arc = 0.05; arc < 4; arc += 0.1)
    sum += (spread(arc) - spread(5.9)) * 2 * Math.PI * arc * minute * 0.1 * minute
  expect(sum).toBeCloseTo(1, 2)
  // 1°: 10 + 5; 10°: 0.01 + 0.05 (CIE 146 without age and iris, from memory).
  expect(spread(60)).toBeCloseTo(15, 6)
  expect(spread(600)).toBeCloseTo(0.06, 6)
})
