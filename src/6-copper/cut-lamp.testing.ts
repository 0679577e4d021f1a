// A lamp with just enough in it to cut boards, and boards around it, for tests.

import type { Lamp } from "../2-lamp/artefact.ts"
import type { Board, Boards } from "../5-board/artefact.ts"

/** The cutter of the demo lamp: tip 0.2 mm, 30°, 0.1 mm deep. */
export function cutLamp(change: Partial<Lamp["cutter"]> = {}, sheet = { w: 100, h: 160 }): Lamp {
  return {
    name: "Test lamp (Ä)",
    vehicle: {
      kind: "three-wheeler",
      rules: "un-l",
      supply: { lowest: 9, usual: 13.5, highest: 16, surge: "clamped" },
      ambient: { lowest: -20, highest: 50 },
      wires: [],
    },
    faces: [],
    groups: [],
    programme: [],
    boards: [],
    copperClad: { base: "FR4", thickness: 1.6, copper: 0.035, sheet },
    cutter: {
      engraver: { tip: 0.2, angle: 30, depth: 0.1, feed: 300, plunge: 100, spindle: 12000 },
      drills: [0.8, 1, 1.3, 3.2],
      drillFeed: 120,
      router: { diameter: 1.5, feed: 240, stepDown: 0.5 },
      machine: { rapid: 1500, acceleration: 100, flatness: 0.03, clearHeight: 3 },
      ...change,
    },
    pins: {},
    places: {},
    seed: 1,
  }
}

export const boardsOf = (...boards: Board[]): Boards => ({
  boards,
  harness: [],
  pinChoice: { controller: {}, sections: {}, strings: {} },
  figures: [],
  findings: [],
})
