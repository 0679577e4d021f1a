// What stands in the housing: wires, screw heads, edges, cover; and the position formulae of the trade.

import { beforeAll, expect, test } from "vitest"
import { noChange } from "../../0-ground/catalogue.ts"
import type { Finding } from "../../0-ground/finding.ts"
import type { Lamp } from "../../2-lamp/artefact.ts"
import type { Boards } from "../../5-board/artefact.ts"
import { unexplained } from "../../6-copper/unexplained.testing.ts"
import { makeLamp } from "../made-lamps.testing.ts"
import { bundleOf, wireOutside } from "./check-wires.ts"
import { checkFit } from "./face-fit.ts"
import { bonusTolerance, fixedFastener, floatingFastener, truePosition } from "./position-tolerance.ts"

let lamp: Lamp
let boards: Boards
beforeAll(() => {
  ;({ lamp, boards } = makeLamp("marker"))
})

function found(
  code: string,
  change: Partial<Lamp["boards"][number]> = {},
  other: Partial<Boards> = {},
  places: Lamp["places"] = {},
): Finding[] {
  const told = checkFit(
    {
      ...lamp,
      places: { ...lamp.places, ...places },
      boards: lamp.boards.map((b) => ({ ...b, ...change })),
    },
    { ...boards, ...other },
  )
  expect(unexplained(told)).toEqual([])
  return told.findings.filter((f) => f.code === `fit.${code}`)
}

test("position formulae (ASME Y14.5 appendix B, worked examples read in two course books; ISO 2692 from memory)", () => {
  // Fixed fastener: hole 3.4, screw 3.0 (T-5); hole 3.2 leaves half.
  expect(fixedFastener(3.4, 3)).toBeCloseTo(0.2, 12)
  expect(fixedFastener(3.2, 3)).toBeCloseTo(0.1, 12)
  // Floating fastener (T-6); split unequally the two still add up to it (T-7).
  expect(floatingFastener(3.4, 3)).toBeCloseTo(0.4, 12)
  expect(0.1 + 0.3).toBeCloseTo(floatingFastener(3.4, 3), 12)
  // True position is a diameter (T-8).
  expect(truePosition(0.03, 0.04)).toBeCloseTo(0.1, 12)
  // At 3.5 a hole of 3.4…3.6 with 0.2 at its least has 0.1 more (T-9).
  expect(bonusTolerance(0.2, 3.4, 3.5)).toBeCloseTo(0.3, 12)
  expect(bonusTolerance(0.2, 3.4, 3.3)).toBe(0.2)
})

test("a bundle: one wire is itself, equal wires grow with the root of their number", () => {
  expect(bundleOf([1.9])).toBe(1.9)
  expect(bundleOf([2, 2, 2, 2])).toBeCloseTo(1.2 * 4, 12)
  // Seven equal wires lie exactly in three diameters (six round one): the rule of thumb may not give less.
  expect(bundleOf([1, 1, 1, 1, 1, 1, 1])).toBeGreaterThan(3)
  expect(wireOutside(0.75)).toBe(1.9)
  expect(wireOutside(0.6)).toBe(1.9)
})

test("a notch that is too small is told with one that is not", () => {
  expect(found("wire-notch")[0]).toMatchObject({ severity: "green" })
  const tight = found("wire-notch", { notch: 1.5 })[0]!
  expect(tight.severity).toBe("amber")
  const wide = Number.parseFloat(String(tight.remedies![0]!.changes[0]!.value))
  expect(found("wire-notch", { notch: wide })[0]!.severity).toBe("green")
})

test("the cover: deep enough, too near, and pressed on the leads", () => {
  expect(found("cover-air")).toEqual([])
  const near = found("cover-air", { depth: 17 })[0]!
  expect(near.severity).toBe("amber")
  const deep = Number.parseFloat(String(near.remedies![0]!.changes[0]!.value))
  expect(found("cover-air", { depth: deep })[0]!.severity).toBe("green")
  expect(found("cover-air", { depth: 10 })[0]!.severity).toBe("red")
})

test("a screw head on copper is told, one clear of it is not", () => {
  expect(found("screw-head").every((f) => f.severity === "green")).toBe(true)
  const [board] = boards.boards
  const land = board!.lands[0]!
  const moved = {
    boards: [
      { ...board!, screws: [{ x: land.x + 3.5, y: land.y, diameter: 3.2, keepOut: 3.5 }] },
      ...boards.boards.slice(1),
    ],
  }
  const touching = found("screw-head", {}, moved)[0]!
  expect(touching.severity).toBe("red")
  // An M3 pan head is 5.6 mm wide.
  expect(touching.measured!.value).toBeLessThanOrEqual(3.5 - Math.max(land.w, land.h) / 2 - 2.8 + 1e-9)
})

test("a screw head on copper: insulated heads clear it, and thinner screws where the description drills for them", () => {
  const [board] = boards.boards
  const land = board!.lands[0]!
  const radius = Math.max(land.w, land.h) / 2
  // 2.75 mm from the copper: an M3 head (2.8 mm) touches, an M2.5 head (2.5 mm) hardly clears, M2.5 at 2.9 mm does.
  const at = (distance: number, diameter = 3.2) => ({
    boards: [
      {
        ...board!,
        parts: [],
        tracks: [],
        lands: [land],
        screws: [{ x: land.x + radius + distance, y: land.y, diameter, keepOut: 3.5 }],
      },
      ...boards.boards.slice(1),
    ] as unknown as Boards["boards"],
  })
  const touching = found("screw-head", {}, at(2.75))[0]!
  expect(touching.severity).toBe("red")
  expect(touching.remedies!.map((r) => r.changes[0]!.path)).toEqual(["boards.plate.screw-heads"])
  expect(found("screw-head", { screwHeads: "insulated" }, at(2.75))).toEqual([])
  const near = found("screw-head", {}, at(2.9), {
    "boards.plate.screws.diameter": { line: 1, column: 1 },
  })[0]!
  expect(near.severity).toBe("amber")
  const [, thinner] = near.remedies!
  expect(thinner!.changes[0]).toEqual({ path: "boards.plate.screws.diameter", value: "2.7 mm" })
  const cleared = found("screw-head", {}, at(2.9, 2.7))[0]!
  expect(cleared.severity).toBe("green")
  expect(cleared.measured!.value).toBeCloseTo(thinner!.gives!.value, 12)
})

test("a part under a screw head: insulating does not help, and it says why nothing else does", () => {
  const [board] = boards.boards
  const part = board!.parts.find((p) => p.body.length >= 3)!
  const on = {
    boards: [
      { ...board!, screws: [{ x: part.body[0]!.x, y: part.body[0]!.y, diameter: 3.2, keepOut: 3.5 }] },
    ] as unknown as Boards["boards"],
  }
  const sat = found("screw-head", { screwHeads: "insulated" }, on)[0]!
  expect(sat.severity).toBe("red")
  expect(sat.remedies).toBeUndefined()
  expect(sat.advice).toContain(noChange)
})

test("leads too short for a high board: the height that is advised brings them through", () => {
  const long = found("lead-length", { height: 30 })[0]!
  expect(long.severity).toBe("amber")
  const height = Number.parseFloat(String(long.remedies![0]!.changes[0]!.value))
  const reached = found("lead-length", { height })[0]!
  expect(reached.severity).toBe("green")
  expect(reached.measured!.value).toBeCloseTo(long.remedies![0]!.gives!.value, 9)
})

test("copper at the wall: the inset counts, and a larger one clears it", () => {
  const usual = found("edge-copper")[0]!
  const tight = found("edge-copper", { inset: 0 })[0]!
  const { inset } = lamp.boards[0]!
  expect(usual.measured!.value - tight.measured!.value).toBeCloseTo(inset, 9)
  // A land over the very edge: the inset that is advised brings it clear of the wall.
  const [board] = boards.boards
  const corner = board!.outline[0]!
  const over = {
    boards: [
      { ...board!, lands: [{ ...board!.lands[0]!, x: corner.x, y: corner.y }] },
    ] as unknown as Boards["boards"],
  }
  const touching = found("edge-copper", { inset: 0 }, over)[0]!
  expect(touching.severity).toBe("amber")
  const clear = Number.parseFloat(String(touching.remedies![0]!.changes[0]!.value))
  expect(found("edge-copper", { inset: clear }, over)[0]!.severity).toBe("green")
})

test("a wire that cannot bend, and a part that is too high: the room that is advised does", () => {
  for (const code of ["wire-bend", "part-height"] as const) {
    const tight = found(code, { height: 1.5 })[0]!
    expect(tight.severity, code).not.toBe("green")
    const height = Number.parseFloat(String(tight.remedies![0]!.changes[0]!.value))
    expect(found(code, { height })[0]!.severity, code).toBe("green")
  }
})

test("the smallest hole that does is told with the error that costs most", () => {
  const best = found("best-hole")[0]!
  expect(best.title).toMatch(
    /the (holes in the (face|board)|bending of the leads|scale of the template) cost most/,
  )
  expect(best.measured!.value).toBeGreaterThan(5)
  expect(best.measured!.value).toBeLessThan(5.6)
})
