// Random lamps of every kind this room can design, from a seed: one to five groups, 2 to 60 LEDs, wires shared between
// groups, one level and two, every way to set a current, sweeps and fades behind the controller, any battery.

import { random } from "../0-ground/numbers/random.ts"
import type { Lamp, LightFunction, ProgrammeLine, Wire } from "../2-lamp/artefact.ts"
import { group, lampOf, line } from "./fixtures.testing.ts"
import { ways } from "./pinned.ts"

const kinds = ["red-5mm", "amber-5mm", "white-5mm", "red-3mm", "white-3mm"]
const flasherKinds = ["thermal", "load-sensing", "electronic"] as const

/** How a group is asked to light; which of them a seed draws decides which wires and lines it gets. */
const asks = ["marker", "marker", "two-level", "two-level", "indicator", "shared", "timed"] as const
type Ask = (typeof asks)[number]

const functionsOf: Readonly<Record<Ask, readonly LightFunction[]>> = {
  marker: ["marker"],
  "two-level": ["rear-position", "stop"],
  indicator: ["direction-indicator"],
  shared: ["marker"],
  timed: ["marker"],
}

export function randomLamp(seed: number): Lamp {
  const chance = random(seed)
  const pick = <T>(list: readonly T[]): T => list[Math.floor(chance.next() * list.length)]!
  const between = (a: number, b: number) => a + (b - a) * chance.next()
  const often = (share: number) => chance.next() < share
  const flashing = (name: string): Wire => ({
    name,
    role: "flashing",
    flasher: pick(flasherKinds),
    onShare: between(0.3, 0.75),
    rate: between(1, 2),
    fuse: 5,
    replaces: 21,
  })
  const steady = (name: string): Wire => ({
    name,
    role: "steady",
    fuse: 5,
    ...(often(0.5) ? { size: pick([0.5, 0.75, 1.5]), length: between(1, 5) } : {}),
  })
  const wires: readonly Wire[] = [
    steady("a"),
    steady("b"),
    steady("c"),
    flashing("f"),
    flashing("g"),
    { name: "plus", role: "supply", fuse: 5 },
    { name: "earth", role: "earth" },
  ]
  // Small lamps are the more common, so that many can be looked at; one in twenty has up to sixty LEDs.
  const total = 2 + Math.floor(58 * chance.next() ** (seed % 20 === 0 ? 1 : 5))
  const number = Math.min(total, 1 + Math.floor(5 * chance.next() ** 2))
  const groups = Array.from({ length: number }, (_, k) => {
    const count = Math.floor((total * (k + 1)) / number) - Math.floor((total * k) / number)
    const ask = pick(asks)
    return {
      name: `g${k}`,
      led: pick(kinds),
      count,
      ask,
      functions: functionsOf[ask],
      ...(often(0.3) ? { current: between(0.005, 0.03) } : {}),
      // Every way gets its turn, wanted or not.
      ...(often(0.45) ? { way: pick(ways) } : {}),
      ...(often(0.1) ? { inSeries: 1 + Math.floor(chance.next() * 5) } : {}),
    }
  })
  const linesOf = (name: string, ask: Ask): ProgrammeLine[] => {
    const timing = () =>
      pick([
        {},
        { rise: 0.2, fall: 0.1 },
        { sweep: { within: 0.15 } },
        { sweep: { within: 0.12 }, rise: 0.02 },
      ])
    switch (ask) {
      case "marker":
        return [line([pick(["a", "b", "c"])], name, { level: between(0.3, 1) })]
      case "two-level": {
        const [low, high] = pick([
          ["a", "b"],
          ["c", "b"],
          ["a", "c"],
        ])
        return [line([low!], name, { level: between(0.05, 0.5) }), line([high!], name)]
      }
      case "indicator":
        return [line([pick(["f", "g"])], name, timing())]
      case "timed":
        return [line([pick(["a", "b"])], name, { level: between(0.2, 1), ...timing() })]
      default: {
        const mine = ["a", "b", "c", "f", "g"].filter(() => often(0.4))
        return (mine.length > 0 ? mine : ["a", "f"]).map((w) => line([w], name, { level: between(0.05, 1) }))
      }
    }
  }
  const lamp = lampOf(
    `random ${seed}`,
    wires,
    groups.map((g) => ({
      ...group(g.name, g.led, g.count, g.functions),
      ...("current" in g ? { current: g.current! } : {}),
    })),
    groups.flatMap((g) => linesOf(g.name, g.ask)),
    {
      seed,
      pins: Object.fromEntries(
        groups.flatMap((g): [string, string | number][] => [
          ...(g.way === undefined ? [] : [[`drive.${g.name}.way`, g.way] as [string, string]]),
          ...(g.inSeries === undefined
            ? []
            : [[`drive.${g.name}.in-series`, g.inSeries] as [string, number]]),
        ]),
      ),
    },
  )
  const supply = {
    lowest: between(6, 11),
    usual: between(11.5, 14.5),
    highest: between(14.7, 18),
    surge: often(0.8) ? ("clamped" as const) : ("unclamped" as const),
  }
  const ambient = { lowest: between(-40, 0), highest: between(30, 70) }
  return { ...lamp, vehicle: { ...lamp.vehicle, supply, ambient } }
}
