// Notches, slots and what else is cut, as they lie on the board seen from its copper side.

import { expect, test } from "vitest"
import { contains, signedArea } from "../0-ground/geometry/polygon.ts"
import type { BoardRequest } from "../2-lamp/artefact.ts"
import { boardFrame, frameMargin } from "./board-frame.ts"

const request = (more: Partial<BoardRequest>): BoardRequest => ({
  name: "plate",
  carries: [],
  outline: [
    { x: 0, y: 0 },
    { x: 60, y: 0 },
    { x: 60, y: 30 },
    { x: 0, y: 30 },
  ],
  screws: [],
  inset: 0,
  height: 10,
  roomFor: "everything",
  ...more,
})
const frame = (more: Partial<BoardRequest>) => boardFrame(request(more), undefined)!

test("a notch is cut in from the nearest edge, round at its end and at its mouth; other corners stay sharp", () => {
  const { outline } = frame({ notches: [{ at: { x: 2, y: 12 }, width: 6, depth: 8 }] })
  // x runs the other way on the copper side: the notch stands at the right.
  const right = 60 + frameMargin
  expect(contains(outline, { x: right - 7.9, y: 12 + frameMargin })).toBe(false)
  expect(contains(outline, { x: right - 8.1, y: 12 + frameMargin })).toBe(true)
  expect(contains(outline, { x: right - 1, y: 12 + 3.1 + frameMargin })).toBe(true)
  // 6 × 5 mm and half a disc of 3 mm; two rounded corners of 1 mm at the mouth: (1 − π/4) mm² each.
  const lost = 1800 - Math.abs(signedArea(outline))
  // The rounds are chords within 0.01 mm.
  expect(Math.abs(lost - (6 * 5 + (Math.PI * 9) / 2 + 2 * (1 - Math.PI / 4)))).toBeLessThan(0.15)
  for (const [x, y] of [
    [0, 0],
    [60, 0],
    [60, 30],
    [0, 30],
  ] as const)
    expect(outline.some((p) => Math.hypot(p.x - x - frameMargin, p.y - y - frameMargin) < 0.01)).toBe(true)
})

test("slots, areas and text are mirrored once with the board; copper and parts stay out of a slot", () => {
  const { cuts, slotDiscs, pose } = frame({
    slots: [{ from: { x: 10, y: 5 }, to: { x: 16, y: 5 }, width: 2 }],
    clear: [
      [
        { x: 40, y: 20 },
        { x: 50, y: 20 },
        { x: 50, y: 25 },
      ],
    ],
    text: [{ says: "A", at: { x: 30, y: 8 }, height: 2, turn: 90 }],
  })
  expect(pose.originX).toBe(64)
  expect(cuts.slots).toEqual([{ from: { x: 54, y: 9 }, to: { x: 48, y: 9 }, width: 2 }])
  expect(cuts.clear![0]![0]).toEqual({ x: 24, y: 24 })
  expect(cuts.text).toEqual([{ says: "A", x: 34, y: 12, height: 2, turn: 90 }])
  for (let x = 48; x <= 54; x += 0.1)
    for (const y of [8, 9, 10])
      expect(slotDiscs.some((d) => Math.hypot(d.x - x, d.y - y) < d.keepOut - 0.4)).toBe(true)
})

test("nothing asked for, nothing there", () => {
  const { cuts, slotDiscs, outline } = frame({})
  expect([cuts, slotDiscs, outline.length]).toEqual([{}, [], 4])
})
