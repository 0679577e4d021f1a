import { describe, expect, test } from "vitest"
import type { FacePoint } from "../../0-ground/geometry/point.ts"
import { random } from "../../0-ground/numbers/random.ts"
import { registerHoles } from "./register-holes.ts"
import { chanceAside, entersTogether, normalBelow, normals, type Shared } from "./shared-errors.ts"
import { type Entering, entersAll, entersOne, normalWithin, rice } from "./yield.ts"

const row = (n: number, pitch = 5) =>
  Array.from({ length: n }, (_, i) => ({ x: i * pitch, y: (i % 3) * 2 }) as FacePoint)
const none: Shared = { shift: 0, rotation: 0, scale: 0, adjust: { shift: 0, rotation: 0 } }
const e: Entering = { hole: 5.2, body: 5, bodyTolerance: 0.1, play: 0.1, sigma: 0.06 }

describe("LEDs that share errors", () => {
  test("nothing shared is the exact independent case", () => {
    expect(chanceAside(e)(0)).toBeCloseTo(entersOne(e), 6)
    for (const n of [1, 8, 26])
      expect(entersTogether(e, row(n), none, 1).chance).toBeCloseTo(entersAll(e, n), 5)
  })

  test("Rice's law for one body: b 1, c 2; b 1, c 3; b 2, c 3, in σ (computed table)", () => {
    for (const [b, c, p] of [
      [1, 2, 0.73098794],
      [1, 3, 0.956284028],
      [2, 3, 0.785637912],
    ] as const) {
      // A body of exactly its hole has its play alone.
      const one = chanceAside({ hole: 5, body: 5, bodyTolerance: 0, play: c, sigma: 1 })
      expect(one(b)).toBeCloseTo(p, 3)
      expect(rice(c, b, 1)).toBeCloseTo(p, 8)
    }
  })

  test("between the values of the table the law is kept to a millionth", () => {
    for (const b of [0.0123, 0.0501, 0.1007, 0.1777, 0.2431, 0.33]) {
      // No spread of the body: Rice's law itself.
      const plain = { ...e, bodyTolerance: 0 }
      expect(Math.abs(chanceAside(plain)(b) - rice(0.2, b, 0.06))).toBeLessThan(2e-6)
    }
  })

  test("the normal law: Φ(z) against the integral of its density", () => {
    for (const k of [0.5, 1, 2, 3, 4]) expect(2 * normalBelow(k) - 1).toBeCloseTo(normalWithin(k), 10)
  })

  test("a plain simulation of every error agrees within four standard errors", () => {
    const places = row(12, 8)
    const shared: Shared = {
      shift: 0.08,
      rotation: 0.001,
      scale: 0.001,
      adjust: { shift: 0.05, rotation: 0.0005 },
    }
    const { chance } = entersTogether(e, places, shared, 7)
    const dice = random(99)
    const mx = places.reduce((s, p) => s + p.x, 0) / 12
    const my = places.reduce((s, p) => s + p.y, 0) / 12
    const n = 40_000
    let good = 0
    for (let k = 0; k < n; k++) {
      const [a, b] = normals(dice.next(), dice.next())
      const [c, d] = normals(dice.next(), dice.next())
      const pushed = Math.max(0, Math.hypot(a, b) * shared.shift - shared.adjust.shift) / Math.hypot(a, b)
      const turn = Math.sign(c) * Math.max(0, Math.abs(c) * shared.rotation - shared.adjust.rotation)
      const all = places.every(({ x, y }) => {
        const [ex, ey] = normals(dice.next(), dice.next())
        const [z] = normals(dice.next(), dice.next())
        const body = e.body + (z * e.bodyTolerance) / 3
        const dx = a * pushed + d * shared.scale * (x - mx) - turn * (y - my) + ex * e.sigma
        const dy = b * pushed + d * shared.scale * (y - my) + turn * (x - mx) + ey * e.sigma
        return body <= e.hole && Math.hypot(dx, dy) <= (e.hole - body) / 2 + e.play
      })
      if (all) good++
    }
    expect(chance).toBeGreaterThan(0.1)
    expect(chance).toBeLessThan(0.95)
    expect(Math.abs(good / n - chance)).toBeLessThan(4 * Math.sqrt((chance * (1 - chance)) / n))
  })

  test("of the same total spread, a shared shift costs fewer builds than errors of each LED's own", () => {
    const total = 0.1
    const shared = entersTogether({ ...e, sigma: 0.06 }, row(20), { ...none, shift: 0.08 }, 3).chance
    expect(Math.hypot(0.06, 0.08)).toBeCloseTo(total, 12)
    expect(shared).toBeGreaterThan(entersAll({ ...e, sigma: total }, 20))
  })

  test("the same seed gives the same chance; another one differs by no more than its error", () => {
    const shared: Shared = { ...none, shift: 0.12, scale: 0.002 }
    const a = entersTogether(e, row(26), shared, 1)
    expect(entersTogether(e, row(26), shared, 1)).toEqual(a)
    expect(a.error).toBeLessThan(0.0005)
    expect(Math.abs(entersTogether(e, row(26), shared, 2).chance - a.chance)).toBeLessThan(5 * 0.0005)
  })
})

describe("a measured face", () => {
  const wanted = row(10, 7)
  const moved = (dx: number, dy: number, degrees: number, scale: number) => {
    const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)]
    return wanted.map((p, i) => ({
      id: `hole-${i + 1}`,
      wanted: p,
      measured: { x: dx + scale * (c * p.x - s * p.y), y: dy + scale * (s * p.x + c * p.y) },
    }))
  }

  test("shift and turn are found again, and nothing is left", () => {
    const r = registerHoles(moved(120, -40, 33, 1), 0.1)!
    expect(r.rotation).toBeCloseTo(33, 9)
    expect(r.scale).toBeCloseTo(1, 12)
    expect(Math.max(...r.left.map((l) => l.distance))).toBeLessThan(1e-9)
    expect(r.left.some((l) => l.binds)).toBe(false)
  })

  test("worked example: Umeyama, IEEE PAMI 13 (1991) 376, section 4 (figures from memory; the misfit is worked out again)", () => {
    // X = (0,0), (1,0), (0,2); Y = (0,0), (−1,0), (0,2): turn cos 0.832, sin −0.555, scale 0.721 (size 0.053 left).
    const holes = [
      [0, 0, 0, 0],
      [1, 0, -1, 0],
      [0, 2, 0, 2],
    ].map(([x, y, u, v], i) => ({
      id: `${i}`,
      wanted: { x: x!, y: y! } as (typeof wanted)[number],
      measured: { x: u!, y: v! },
    }))
    const r = registerHoles(holes, 1)!
    expect(Math.cos((r.rotation * Math.PI) / 180)).toBeCloseTo(0.832, 3)
    expect(Math.sin((r.rotation * Math.PI) / 180)).toBeCloseTo(-0.555, 3)
    expect(r.scale).toBeCloseTo(0.721, 3)
    // Translation of that paper, y = c·R·x + t with t = (−0.8, 0.4): from the two middles.
    const [c, s] = [0.832050294, -0.554700196]
    const from = { x: 1 / 3, y: 2 / 3 }
    const to = { x: from.x + r.shift.x, y: from.y + r.shift.y }
    expect(to.x - r.scale * (c * from.x - s * from.y)).toBeCloseTo(-0.8, 6)
    expect(to.y - r.scale * (s * from.x + c * from.y)).toBeCloseTo(0.4, 6)
  })

  test("no other shift and turn leaves less: least squares against a search all round", () => {
    const holes = moved(3, -2, 12, 1.002)
    holes.forEach((h, i) => {
      h.measured.x += 0.1 * Math.sin(7 * i)
      h.measured.y += 0.1 * Math.cos(5 * i)
    })
    const r = registerHoles(holes, 1)!
    const left = r.left.reduce((sum, l) => sum + l.distance ** 2, 0)
    const middle = {
      x: wanted.reduce((sum, p) => sum + p.x, 0) / wanted.length,
      y: wanted.reduce((sum, p) => sum + p.y, 0) / wanted.length,
    }
    const misfit = (dx: number, dy: number, degrees: number) => {
      const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)]
      return holes.reduce((sum, { wanted: p, measured: m }) => {
        const [x, y] = [p.x - middle.x, p.y - middle.y]
        return (
          sum + (m.x - middle.x - dx - (c * x - s * y)) ** 2 + (m.y - middle.y - dy - (s * x + c * y)) ** 2
        )
      }, 0)
    }
    expect(misfit(r.shift.x, r.shift.y, r.rotation)).toBeCloseTo(left, 9)
    for (const dx of [-0.01, 0, 0.01])
      for (const dy of [-0.01, 0, 0.01])
        for (const turn of [-0.01, 0, 0.01])
          expect(misfit(r.shift.x + dx, r.shift.y + dy, r.rotation + turn)).toBeGreaterThanOrEqual(
            left - 1e-12,
          )
  })

  test("a template printed too large binds at its ends, not in the middle", () => {
    const r = registerHoles(moved(0, 0, 0, 1.005), 0.12)!
    expect(r.scale).toBeCloseTo(1.005, 9)
    const binding = r.left.filter((l) => l.binds).map((l) => l.id)
    expect(binding).toContain("hole-1")
    expect(binding).toContain("hole-10")
    expect(binding).not.toContain("hole-5")
  })

  test("one hole drilled aside is the one that binds", () => {
    const holes = moved(1, 2, -5, 1)
    holes[3]!.measured.x += 0.4
    const r = registerHoles(holes, 0.25)!
    expect(r.left.filter((l) => l.binds).map((l) => l.id)).toEqual(["hole-4"])
  })

  test("one hole, coinciding holes and things that are no numbers fix nothing", () => {
    expect(registerHoles(moved(0, 0, 0, 1).slice(0, 1), 0.1)).toBeUndefined()
    expect(registerHoles(moved(0, 0, 0, 0), 0.1)).toBeUndefined()
    expect(registerHoles(moved(Number.NaN, 0, 0, 1), 0.1)).toBeUndefined()
  })
})
