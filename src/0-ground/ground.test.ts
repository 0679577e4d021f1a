import fc from "fast-check"
import { expect, test } from "vitest"
import { boardToFace, faceToBoard, packageToCopper, turn } from "./geometry/point.ts"
import { contains, signedArea } from "./geometry/polygon.ts"
import { pointToSegment, segmentsMeet, segmentToSegment } from "./geometry/segment.ts"
import { contentHash } from "./numbers/hash.ts"
import { random } from "./numbers/random.ts"
import { unionFind } from "./numbers/union-find.ts"
import { editDistance, nearMatch } from "./text/near-match.ts"
import { show, showNumber } from "./text/show.ts"

const coordinate = fc.double({ min: -100, max: 100, noNaN: true })
const point = fc.record({ x: coordinate, y: coordinate })

test("the copper side sees the road's right hand on its left, and the mirror undoes itself", () => {
  const pose = { originX: 100, originY: 10 }
  expect(faceToBoard({ x: 90, y: 30 }, pose)).toEqual({ x: 10, y: 20 })
  expect(faceToBoard({ x: 20, y: 30 }, pose).x).toBeGreaterThan(faceToBoard({ x: 90, y: 30 }, pose).x)
  fc.assert(
    fc.property(point, (p) => {
      const back = boardToFace(faceToBoard(p, pose), pose)
      return Math.abs(back.x - p.x) < 1e-9 && Math.abs(back.y - p.y) < 1e-9
    }),
    { seed: 1 },
  )
})

test("a counter-clockwise outline is clockwise from the copper side: the mirror turns handedness over", () => {
  const ring = [
    { x: 0, y: 0 },
    { x: 4, y: 0 },
    { x: 4, y: 3 },
  ]
  expect(signedArea(ring)).toBe(6)
  expect(signedArea(ring.map((p) => faceToBoard(p, { originX: 9, originY: 0 })))).toBe(-6)
  expect(signedArea(ring.map(packageToCopper))).toBe(-6)
})

test("quarter turns are exact, any turn keeps lengths", () => {
  expect(turn({ x: 1, y: 2 }, 90)).toEqual({ x: -2, y: 1 })
  expect(turn({ x: 1, y: 2 }, -90)).toEqual({ x: 2, y: -1 })
  fc.assert(
    fc.property(point, fc.double({ min: -720, max: 720, noNaN: true }), (p, degrees) => {
      const q = turn(p, degrees)
      return Math.abs(Math.hypot(q.x, q.y) - Math.hypot(p.x, p.y)) < 1e-9
    }),
    { seed: 1 },
  )
})

test("containment and area of an L", () => {
  const l = [
    { x: 0, y: 0 },
    { x: 10, y: 0 },
    { x: 10, y: 5 },
    { x: 5, y: 5 },
    { x: 5, y: 10 },
    { x: 0, y: 10 },
  ]
  expect(signedArea(l)).toBe(75)
  expect(contains(l, { x: 7, y: 2 })).toBe(true)
  expect(contains(l, { x: 7, y: 7 })).toBe(false)
})

test("segment distances agree with dense sampling", () => {
  fc.assert(
    fc.property(point, point, point, point, (a, b, c, d) => {
      const exact = segmentToSegment(a, b, c, d)
      let sampled = Number.POSITIVE_INFINITY
      for (let i = 0; i <= 200; i++) {
        const p = { x: a.x + ((b.x - a.x) * i) / 200, y: a.y + ((b.y - a.y) * i) / 200 }
        sampled = Math.min(sampled, pointToSegment(p, c, d))
      }
      const step = Math.hypot(b.x - a.x, b.y - a.y) / 200
      return sampled >= exact - 1e-9 && sampled <= exact + step + 1e-9
    }),
    { seed: 1 },
  )
  expect(segmentsMeet({ x: 0, y: 0 }, { x: 2, y: 2 }, { x: 0, y: 2 }, { x: 2, y: 0 })).toBe(true)
  expect(segmentsMeet({ x: 0, y: 0 }, { x: 1, y: 0 }, { x: 2, y: 0 }, { x: 3, y: 0 })).toBe(false)
})

test("the same seed gives the same sequence, spread evenly", () => {
  const a = random(7)
  const b = random(7)
  const counts = new Array<number>(10).fill(0)
  for (let i = 0; i < 10_000; i++) {
    const n = a.below(10)
    expect(n).toBe(b.below(10))
    counts[n]!++
  }
  // Chi-squared with 9 degrees of freedom: 27.9 is passed once in a thousand (tables, from memory).
  expect(counts.reduce((sum, n) => sum + (n - 1000) ** 2 / 1000, 0)).toBeLessThan(27.9)
})

test("union-find agrees with repeated relabelling", () => {
  const pairs = fc.array(fc.tuple(fc.nat(19), fc.nat(19)), { maxLength: 30 })
  fc.assert(
    fc.property(pairs, (joins) => {
      const sets = unionFind(20)
      let label = Array.from({ length: 20 }, (_, i) => i)
      for (const [a, b] of joins) {
        sets.join(a, b)
        label = label.map((l) => (l === label[b] ? label[a]! : l))
      }
      for (let i = 0; i < 20; i++)
        for (let j = 0; j < 20; j++) expect(sets.find(i) === sets.find(j)).toBe(label[i] === label[j])
    }),
    { seed: 1, numRuns: 50 },
  )
})

test("content hashes differ for small changes", () => {
  const seen = new Set<string>()
  for (let i = 0; i < 20_000; i++) seen.add(contentHash(`lamp ${i}`))
  expect(seen.size).toBe(20_000)
  expect(contentHash("a\u0000b")).not.toBe(contentHash("b\u0000a"))
})

test("near words are suggested, far ones are not", () => {
  expect(editDistance("brake", "braek")).toBe(1)
  expect(nearMatch("colur", ["colour", "length", "fuse"])).toBe("colour")
  expect(nearMatch("resitor", ["resistor", "register"])).toBe("resistor")
  expect(nearMatch("zzzzzz", ["colour", "length"])).toBeUndefined()
})

test.each([
  [0.0218, "A", "21.8 mA"],
  [4700, "Ω", "4.7 kΩ"],
  [1e-7, "F", "100 nF"],
  [0.25359, "mm", "0.254 mm"],
  [13.5, "V", "13.5 V"],
  [999.6, "Ω", "1 kΩ"],
  [0, "A", "0 A"],
  [-0.0005, "V", "-500 µV"],
  [120, "", "120"],
  [1.7e-25, "cd", "0 cd"],
  [3e-8, "cd", "3e-8 cd"],
])("%f %s is shown as %s", (value, unit, text) => {
  expect(show(value, unit)).toBe(text)
})

test("numbers keep three digits", () => {
  expect(showNumber(123456)).toBe("123000")
  expect(showNumber(0.000012345)).toBe("0.0000123")
})
