// A rise much shorter than its sweep keeps its length: its share of the sweep needs more places than the others.

import { expect, test } from "vitest"
import { tryCase } from "./differential.testing.ts"
import type { Case } from "./plans.testing.ts"

const rising = (sweep: number, rise: number, small: boolean): Case => ({
  plan: {
    small,
    wires: [{ flasher: "none" }],
    groups: [{ leds: 5, order: "drawn", centre: 0, stop: false, perOutput: 1 }],
    lines: [
      {
        wires: [0],
        group: 0,
        level: 100,
        sweep,
        rise,
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
    wires: [{ scenes: [{ what: "span", gap: 20, on: sweep / 2 }], late: 0, volts: undefined }],
    dips: [],
    resets: [],
    until: 3000,
  },
})

test.each([
  [5000, 2],
  [5000, 19],
  [2000, 5],
  [600, 2],
])("sweep %i ms, rise %i ms: every frame as described, on both controllers", (sweep, rise) => {
  for (const small of [false, true]) expect(tryCase(rising(sweep, rise, small)).faults).toEqual([])
})
