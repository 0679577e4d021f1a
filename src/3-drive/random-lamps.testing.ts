// Random lamps of every kind this room can design, from a seed.

import { random } from "../0-ground/numbers/random.ts"
import type { Lamp, Wire } from "../2-lamp/artefact.ts"
import { group, lampOf, line } from "./fixtures.testing.ts"
import { ways } from "./pinned.ts"

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
  // Most lamps are small, so that many can be looked at; every twentieth has up to three groups of twenty LEDs.
  const big = seed % 20 === 0
  const size = () => (big ? 20 * chance.next() : 9 * chance.next() ** 2)
  const number = big ? 1 + Math.floor(chance.next() * 3) : chance.next() < 0.25 ? 2 : 1
  const groups = Array.from({ length: number }, (_, k) => {
    const mine = ["a", "b", "f"].filter(() => chance.next() < 0.5)
    return {
      name: `g${k}`,
      led: pick(kinds),
      count: 1 + Math.floor(size()),
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
    {
      seed,
      // Every way gets its turn, wanted or not.
      pins: Object.fromEntries(
        groups.flatMap((g) => (chance.next() < 0.4 ? [[`drive.${g.name}.way`, pick(ways)]] : [])),
      ),
    },
  )
  const supply = {
    lowest: between(6, 11),
    usual: between(11.5, 14),
    highest: between(14.5, 18),
    surge: chance.next() < 0.8 ? ("clamped" as const) : ("unclamped" as const),
  }
  return { ...lamp, vehicle: { ...lamp.vehicle, supply } }
}
