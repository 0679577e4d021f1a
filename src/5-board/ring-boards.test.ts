// The prototype's ring of 26 LEDs, from its seed to finished copper. There a single run reached no link on 5 to 7 of 16
// seeds; here every seed that is tried must. LAMPWRIGHT_RING_BOARDS=16 tries more; npm run bench -- rings prints them.

import { describe, expect, test } from "vitest"
import { finish } from "../0-ground/progress.ts"
import { boardProblems, designBoards } from "./design-boards.ts"
import { ringBoard } from "./ring-boards.testing.ts"

const seeds = Number(process.env.LAMPWRIGHT_RING_BOARDS ?? 2)

describe("a ring of 26 LEDs with its electronics on a disc of 100 mm", () => {
  test.each([
    [26, 62, 53],
    [100, 157, 127],
    [400, 532, 427],
  ])("with %i LEDs is the prototype's size: %i parts, %i nets", (leds, parts, nets) => {
    const { lamp, circuit } = ringBoard(leds, 1)
    const [made] = boardProblems(lamp, circuit)
    expect(made!.problem.parts.length).toBe(parts)
    expect(made!.problem.nets.length).toBe(nets)
    expect(lamp.groups[0]!.leds.length).toBe(leds)
  })

  test.each(Array.from({ length: seeds }, (_, i) => i + 1))(
    "needs no link from seed %i",
    (seed) => {
      const { lamp, circuit } = ringBoard(26, seed)
      const { boards, findings } = finish(designBoards(lamp, circuit))
      expect(boards[0]!.unrouted).toEqual([])
      expect(boards[0]!.links).toEqual([])
      expect(findings.filter((f) => f.severity === "red")).toEqual([])
    },
    120_000,
  )
})
