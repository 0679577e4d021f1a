import fc from "fast-check"
import { expect, test } from "vitest"
import { withHeld } from "./held-wires.ts"

const at = (edges: readonly { t: number; live: boolean }[] | undefined, t: number) =>
  (edges ?? []).filter((e) => e.t <= t).at(-1)?.live ?? false

test("a tap makes a dead wire live for as long as it lasts", () => {
  const { wires } = withHeld({ wires: {} }, [{ wire: "brake", from: 1, until: 1.2 }], 8)
  expect(wires.brake).toEqual([
    { t: 1, live: true },
    { t: 1.2, live: false },
  ])
})

test("a live wire is dead while its key is down, and goes on as it would have", () => {
  const before = { wires: { left: [0, 1, 2, 3].map((t) => ({ t, live: t % 2 === 0 })) } }
  const { wires } = withHeld(before, [{ wire: "left", from: 0.5, until: 2.5 }], 8)
  expect(wires.left).toEqual([
    { t: 0, live: true },
    { t: 0.5, live: false },
    { t: 2.5, live: true },
    { t: 3, live: false },
  ])
})

test("a key still down holds to the end; other times and other wires stay", () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 0, max: 79 }), { maxLength: 8 }),
      fc.integer({ min: 0, max: 79 }),
      fc.option(fc.integer({ min: 1, max: 80 })),
      (times, from, until) => {
        const edges = [...new Set(times)]
          .sort((a, b) => a - b)
          .map((t, i) => ({ t: t / 10, live: i % 2 === 0 }))
        const held = { wire: "w", from: from / 10, until: until === null ? undefined : until / 10 }
        const { wires } = withHeld({ wires: { w: edges, other: edges } }, [held], 8)
        expect(wires.other).toEqual(edges)
        const end = held.until ?? 8
        for (let i = 0; i < 80; i++) {
          const t = i / 10 + 0.05
          const inside = t > held.from && t < end
          expect(at(wires.w, t)).toBe(inside ? !at(edges, held.from) : at(edges, t))
        }
        const seen = wires.w ?? []
        expect(
          seen.every((e, i) => e.live === (i % 2 === 0) && (i === 0 || e.t > (seen[i - 1]?.t ?? 0))),
        ).toBe(true)
      },
    ),
    { seed: 8 },
  )
})
