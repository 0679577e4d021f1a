import { expect, test } from "vitest"
import { leftInWords, startClock } from "./time-left.ts"

test("nothing is said about the rest until a part of the run is known, then it shrinks as the run goes on", () => {
  const clock = startClock(0)
  expect(clock.at({ stage: "read", done: 0 }, 10).left).toBeUndefined()
  clock.at({ stage: "drive", done: 0 }, 100)
  const early = clock.at({ stage: "boards", done: 0.2 }, 3000)
  const late = clock.at({ stage: "boards", done: 0.8 }, 3500)
  expect(early.share).toBeLessThan(late.share)
  expect(early.left).toBeGreaterThan(late.left!)
  // 3 s for 0.389 of the run.
  expect(early.left).toBeCloseTo(4.7, 0)
})

test("a stage that looks further than it meant does not run backwards", () => {
  const clock = startClock(0)
  const there = clock.at({ stage: "boards", done: 0.9 }, 5000).share
  expect(clock.at({ stage: "boards", done: 0.4 }, 6000).share).toBe(there)
})

test("the search for better boards begins anew, and its times are no measure of the way to a whole lamp", () => {
  const clock = startClock(0)
  expect(clock.at({ stage: "proof", done: 1 }, 9000).share).toBeGreaterThan(0.9)
  clock.whole(10_000)
  expect(clock.at({ stage: "boards", done: 0 }, 10_100)).toEqual({ share: 0, left: undefined })
  // 7 s for half of the search, which is 0.7 of this round.
  expect(clock.at({ stage: "boards", done: 0.5 }, 17_000).left).toBeCloseTo(13, 0)
  clock.at({ stage: "cut", done: 0 }, 20_000)
  clock.at({ stage: "proof", done: 0 }, 21_000)
  clock.ended(40_000)
  expect(startClock(0).at({ stage: "boards", done: 0 }, 100).share).toBeLessThan(0.5)
})

test("the last run's own times are the measure of the next", () => {
  const clock = startClock(0)
  const at = { read: 0, drive: 100, behaviour: 5000, boards: 5010, firmware: 6000, cut: 6010, proof: 6500 }
  for (const [stage, now] of Object.entries(at)) clock.at({ stage, done: 0 }, now)
  clock.ended(10_000)
  const next = startClock(0)
  expect(next.at({ stage: "boards", done: 0 }, 5000).share).toBeCloseTo(0.5, 1)
})

test("seconds in words", () => {
  expect(leftInWords(1)).toBe("nearly done")
  expect(leftInWords(7.2)).toBe("about 8 s left")
  expect(leftInWords(41)).toBe("about 45 s left")
  expect(leftInWords(200)).toBe("about 4 min left")
})
