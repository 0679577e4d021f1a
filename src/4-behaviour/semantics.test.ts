// SEMANTICS.md held against the firmware on an emulator we did not write: for seeded wires, every LED's light in
// every millisecond. Wires change in the middle between two looks, so that both sides find the same.

import { afterAll, beforeAll, expect, test } from "vitest"
import { type Random, random } from "../0-ground/numbers/random.ts"
import type { Lamp } from "../2-lamp/artefact.ts"
import { designBehaviour } from "./design-behaviour.ts"
import { makeFirmware } from "./make-firmware.ts"
import { longestChange, seededLamp } from "./random-programmes.testing.ts"
import { modelLight } from "./semantics.testing.ts"
import { type Simavr, type Step, startSimavr } from "./simavr.testing.ts"
import { clockHz, slotCycles } from "./table-layout.ts"
import {
  circuit,
  flashingWire,
  group,
  lamp,
  pinsInOrder,
  plainLine,
  steadyWire,
  sweepLine,
  wings,
} from "./wings.testing.ts"

let simavr: Simavr | string
beforeAll(() => {
  simavr = startSimavr()
})
afterAll(() => {
  if (typeof simavr !== "string") simavr.close()
})

const shared: Lamp = lamp(
  [flashingWire("left"), steadyWire("tail"), steadyWire("brake"), flashingWire("right")],
  [
    group("rear", 5, { functions: ["rear-position", "stop", "direction-indicator"] }),
    group("arrow", 6),
    group("fog", 2, { functions: ["rear-position"] }),
  ],
  [
    { ...plainLine("tail", "rear", 0.12), rise: 0.05, fall: 0.12 },
    plainLine("brake", "rear", 1),
    { ...sweepLine("left", "rear"), level: 0.8, fall: 0.04 },
    sweepLine("right", "arrow", { sweep: { within: 0.12 }, rise: 0.06, fall: 0 }),
    { ...plainLine(["left", "right"], "arrow", 0.5), fall: 0.03 },
    sweepLine("tail", "fog", { sweep: { within: 0.2 }, rise: 0.2, fall: 0.15, level: 0.6 }),
  ],
)

const milliseconds = 2400

/** A wire's looks: a flasher of some kind, or switched now and then; sometimes with bad contacts. */
function seededWire(chance: Random, flashing: boolean): boolean[] {
  const looks: boolean[] = []
  const add = (live: boolean, ms: number) => {
    for (let i = 0; i < ms; i++) looks.push(live)
  }
  const on = 60 + chance.below(400)
  const off = 90 + chance.below(300)
  add(false, chance.next() < 0.8 ? 1 + chance.below(120) : 0)
  while (looks.length < milliseconds) {
    if (chance.next() < 0.25)
      for (let n = chance.below(5); n > 0; n--) {
        add(true, 1 + chance.below(4))
        add(false, 1 + chance.below(3))
      }
    const live = flashing ? Math.max(5, on + chance.below(40) - 20) : 30 + chance.below(500)
    if (chance.next() < 0.3) {
      const first = chance.below(live)
      add(true, first)
      add(false, 1 + chance.below(110))
    }
    add(true, live)
    add(false, chance.next() < 0.06 ? 760 + chance.below(1500) : flashing ? off : 20 + chance.below(400))
  }
  // Looks 0 and 1 are only a frame apart: no room for a change between them.
  looks[1] = looks[0]!
  return looks.slice(0, milliseconds)
}

const dutyOf = (code: number) =>
  slotCycles.reduce((sum, cycles, bit) => sum + ((code >> bit) & 1) * cycles, 0) / 4000

const codeOf = new Map(
  Array.from({ length: 256 }, (_, code) => [Math.round(4000 * dutyOf(code)), code] as const),
)

for (const [name, of, seeds] of [
  ["the Tern's wings", wings, [101, 102, 103]],
  ["tail, stop and indicators sharing LEDs", shared, [201, 202, 203, 204]],
  ...[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14].map(
    (n) => [`seeded lamp ${n}`, seededLamp(n), [300 + n]] as const,
  ),
] as const)
  for (const seed of seeds)
    test(`${name}: every LED in every millisecond as described, seed ${seed}`, (ctx) => {
      if (typeof simavr === "string") return ctx.skip(simavr)
      const made = circuit(of)
      const pins = pinsInOrder(made)
      const firmware = makeFirmware(made, designBehaviour(of, made), pins)!
      const chance = random(seed)
      const read = of.vehicle.wires.filter((w) => w.role !== "supply")
      const wires = read.map((w) => ({
        name: w.name,
        pin: pins.controller[`input-${w.name}`]!,
        looks: seededWire(chance, w.role === "flashing"),
      }))
      const looks = Array.from(
        { length: milliseconds },
        (_, n) => new Set(wires.filter((w) => w.looks[n]).map((w) => w.name)),
      )
      const model = modelLight(of, looks)

      // Look 0 is at start; the pins are driven right after it, and the next look comes one frame later.
      const still = wires.map((w): Step => ({ at: 0, pin: w.pin, level: w.looks[0] ? 1 : 0 }))
      const ledPin = pins.controller["output-0"]!
      const driven = simavr
        .run(firmware.hex, 0.01, still)
        .edges(ledPin)
        .find(([, level]) => level !== -1)![0]
      const look1 = driven + 4056
      const ms = clockHz / 1000
      const steps = wires.flatMap((w) =>
        w.looks.flatMap((live, n): Step[] =>
          n > 0 && live !== w.looks[n - 1]
            ? [{ at: (look1 + (n - 1) * ms - ms / 2) / clockHz, pin: w.pin, level: live ? 1 : 0 }]
            : [],
        ),
      )
      const run = simavr.run(firmware.hex, (look1 + milliseconds * ms) / clockHz, [...still, ...steps])
      expect([run.overruns, run.resets.length, run.serving]).toEqual([0, 0, 1])

      let changing = 0
      for (const channel of made.channels) {
        const edges = run.edges(pins.controller[`output-${channel.index}`]!)
        const codes = model.get(channel.leds[0]!)!
        let same = 0
        let e = 0
        for (let n = 1; n < milliseconds - 2; n++) {
          // What look n decides shows in the millisecond after the next tick begins.
          const from = look1 + n * ms - 4
          while (e + 1 < edges.length && edges[e + 1]![0] <= from) e++
          let high = 0
          for (let i = e; i < edges.length && edges[i]![0] < from + ms; i++) {
            if (edges[i]![1] !== 1) continue
            const next = edges[i + 1]?.[0] ?? Number.POSITIVE_INFINITY
            high += Math.min(next, from + ms) - Math.max(edges[i]![0], from)
          }
          const shown = high / ms
          const code = codes[n]!
          // A level that stays is met exactly; one that changes within 4 codes (rounding).
          same = codes[n - 1] === code ? same + 1 : 0
          const stays = code === 0 || (code === 255 && same > 0) || same > longestChange
          const apart = Array.from({ length: stays ? 1 : 9 }, (_, d) => (stays ? 0 : d - 4))
          const off = Math.min(
            ...apart.map((d) => Math.abs(shown - dutyOf(Math.min(255, Math.max(0, code + d))))),
          )
          if (code > 0 && code < 255) changing++
          if (off > 0.003)
            throw new Error(
              `${channel.leds[0]} at ${n} ms: shown ${codeOf.get(Math.round(4000 * shown)) ?? shown}, described ${code} (around: ${codes.slice(n - 3, n + 4)})`,
            )
        }
      }
      expect(changing).toBeGreaterThan(50)
    })
