// Random lamps of every kind this room can design, from a seed.

import { random } from "../0-ground/numbers/random.ts"
import type { Lamp, Wire } from "../2-lamp/artefact.ts"
import { group, lampOf, line } from "./fixtures.testing.ts"

const wires: readonly Wire[] = [
  { name: "a", role: "steady", fuse: 5 },
  { name: "b", role: "steady", fuse: 5, size: 0.5, length: 4 },
  { name: "f", role: "flashing", flasher: "load-sensing", onShare: 0.5, rate: 1.5, fuse: 5, replaces: 21 },
  { name: "plus", role: "supply", fuse: 5 },
  { name: "earth", role: "earth" },
]
const kinds = ["red-5mm", "amber-5mm", "white-5mm", "red-3mm", "white-3mm"]

export function randomLamp(seed: number): Lamp {
  const chance = random(seed)
  const pick = <T>(list: readonly T[]): T => list[Math.floor(chance.next() * list.length)]!
  const between = (a: number, b: number) => a + (b - a) * chance.next()
  const groups = Array.from({ length: 1 + Math.floor(chance.next() * 3) }, (_, k) => {
    const mine = ["a", "b", "f"].filter(() => chance.next() < 0.5)
    return {
      name: `g${k}`,
      led: pick(kinds),
      count: 1 + Math.floor(chance.next() * 20),
      wires: mine.length > 0 ? mine : ["a"],
      levels: [between(0.05, 1), between(0.05, 1), between(0.05, 1)],
      kind: pick(["plain", "plain", "fade", "sweep"]),
      ...(chance.next() < 0.3 ? { current: between(0.005, 0.03) } : {}),
    }
  })
  const lamp = lampOf(
    `random ${seed}`,
    wires,
    groups.map((g) => ({
      ...group(g.name, g.led, g.count, ["marker"]),
      ...("current" in g ? { current: g.current! } : {}),
    })),
    groups.flatMap((g) =>
      g.wires.map((w, i) =>
        line([w], g.name, {
          level: g.levels[i]!,
          ...(g.kind === "fade" ? { rise: 0.2 } : {}),
          ...(g.kind === "sweep" ? { sweep: { within: 0.15 } } : {}),
        }),
      ),
    ),
    { seed },
  )
  const supply = {
    lowest: between(6, 11),
    usual: between(11.5, 14),
    highest: between(14.5, 18),
    surge: chance.next() < 0.8 ? ("clamped" as const) : ("unclamped" as const),
  }
  return { ...lamp, vehicle: { ...lamp.vehicle, supply } }
}
