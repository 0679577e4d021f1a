// A broken image must be noticed, and what is shown of it must be the smallest lamp and the fewest events that tell.

import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { random } from "../../../0-ground/numbers/random.ts"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import type { Behaviour } from "../../../4-behaviour/artefact.ts"
import { tryCase } from "./differential.testing.ts"
import { settled } from "./made-lamp.testing.ts"
import { type Case, caseOf, stimulusOf } from "./plans.testing.ts"

/** The first failing case of a seed and what it shrinks to. */
function smallest(
  seed: number,
  spoil?: (image: Uint8Array) => Uint8Array,
  wrong?: (b: Behaviour) => Behaviour,
  misread?: (lamp: Lamp) => Lamp,
) {
  const sound = (of: Case) => tryCase(of, spoil, wrong, misread).faults.length === 0
  const told = fc.check(
    fc.property(caseOf, (of) => sound(of)),
    { numRuns: 60, seed },
  )
  expect(told.failed).toBe(true)
  const of = told.counterexample![0]
  expect(sound(of)).toBe(false)
  expect(tryCase(of).faults).toEqual([])
  const edges = Object.values(stimulusOf(of).stimulus.wires).reduce((sum, e) => sum + e.length, 0)
  return { of, edges, leds: of.plan.groups.reduce((sum, g) => sum + g.leds, 0), lines: settled(of.plan) }
}

describe("a broken image shrinks to the smallest case", () => {
  test("levels one fiftieth too low: one wire, one LED, one line, one tap", () => {
    const { of, edges, leds, lines } = smallest(3, undefined, (b) => ({
      ...b,
      rules: b.rules.map((r) => ({
        ...r,
        targets: r.targets.map((t) => ({ ...t, level: Math.floor(0.98 * t.level) })),
      })),
    }))
    expect(of.plan.wires.length).toBe(1)
    expect(leds).toBe(1)
    expect(lines.length).toBe(1)
    expect(edges).toBeLessThanOrEqual(2)
  })

  test("a flipped bit of the compiled program that darkens a plain tap: one wire, one LED, two edges at most", () => {
    const spoil = seenFlip()
    const { of, edges, leds, lines } = smallest(5, spoil)
    expect(of.plan.wires.length).toBe(1)
    expect(leds).toBe(1)
    expect(lines.length).toBe(1)
    expect(edges).toBeLessThanOrEqual(2)
  })
})

describe("a fault in a copy of the model shrinks to the smallest case", () => {
  test("a release of 9 looks for 8: one wire, one LED, one line, one tap", () => {
    const { of, edges, leds, lines } = smallest(9, undefined, undefined, (lamp) => ({
      ...lamp,
      vehicle: {
        ...lamp.vehicle,
        wires: lamp.vehicle.wires.map((w) =>
          w.role === "flashing" && w.deadAfter === undefined ? { ...w, deadAfter: 0.009 } : w,
        ),
      },
    }))
    expect(of.plan.wires.length).toBeLessThanOrEqual(2)
    expect(leds).toBe(1)
    expect(lines.length).toBe(1)
    expect(edges).toBeLessThanOrEqual(2)
  })

  test("a fade of twice its time: one LED, two taps at most, the shortest fade that tells", () => {
    const { leds, lines, edges } = smallest(4, undefined, undefined, (lamp) => ({
      ...lamp,
      programme: lamp.programme.map((l) => (l.sweep ? l : { ...l, rise: 2 * l.rise })),
    }))
    expect(leds).toBe(1)
    expect(lines.length).toBeLessThanOrEqual(2)
    expect(lines.some((l) => l.rise > 0 && l.rise <= 61)).toBe(true)
    expect(edges).toBeLessThanOrEqual(4)
  })
})

const tap: Case = {
  plan: {
    wires: [{ flasher: "none" }],
    groups: [{ leds: 1, order: "drawn", centre: 0, stop: false, perOutput: 1 }],
    lines: [
      {
        wires: [0],
        group: 0,
        level: 100,
        sweep: 0,
        rise: 0,
        fall: 0,
        step: 1,
        share: 0,
        together: false,
        othersBetween: false,
      },
    ],
    activeHigh: true,
    scramble: 0,
  },
  story: {
    wires: [{ scenes: [{ what: "span", gap: 30, on: 40 }], late: 0, volts: undefined }],
    dips: [],
    resets: [],
    until: 2000,
  },
}

/** Flips one bit of a word that a plain tap executes, the first of a seeded sequence that spoils its light only. */
function seenFlip(): (image: Uint8Array) => Uint8Array {
  const { executed } = tryCase(tap).run.chip.core
  const words = [...executed.keys()].filter((at) => executed[at])
  const chance = random(17)
  for (let tries = 0; tries < 400; tries++) {
    const at = 2 * words[chance.below(words.length)]! + chance.below(2)
    const bit = 1 << chance.below(8)
    const spoil = (image: Uint8Array) => {
      image[at]! ^= bit
      return image
    }
    const { run, comparison } = tryCase(tap, spoil)
    if (!run.chip.core.fault && run.chip.resets.length === 1 && comparison.mismatches > 0) return spoil
  }
  throw Error("no flip spoils the light of a tap")
}
