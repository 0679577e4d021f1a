// The ATtiny84A's image on the bench: against the model, and against simavr, an emulator we did not write.

import { afterAll, beforeAll, describe, expect, test } from "vitest"
import { random } from "../../../0-ground/numbers/random.ts"
import { finish } from "../../../0-ground/progress.ts"
import type { Lamp } from "../../../2-lamp/artefact.ts"
import { attiny84 as layout } from "../../../4-behaviour/controllers.ts"
import { designBehaviour } from "../../../4-behaviour/design-behaviour.ts"
import { makeFirmware } from "../../../4-behaviour/make-firmware.ts"
import { seededLamp } from "../../../4-behaviour/random-programmes.testing.ts"
import { type Simavr, startSimavr } from "../../../4-behaviour/simavr.testing.ts"
import {
  flashingWire,
  group,
  lamp,
  plainLine,
  steadyWire,
  sweepLine,
  tinyCircuit,
} from "../../../4-behaviour/wings.testing.ts"
import { compareWithModel } from "../compare.ts"
import { startBench } from "../start-bench.ts"
import type { WireEdge } from "../wires.ts"

let simavr: Simavr | string
beforeAll(() => {
  simavr = startSimavr()
})
afterAll(() => {
  if (typeof simavr !== "string") simavr.close()
})

const wing = lamp(
  [flashingWire("left"), steadyWire("tail")],
  [group("wing", 7)],
  [sweepLine("left", "wing"), plainLine("tail", "wing", 0.12)],
)

function made(of: Lamp) {
  const { circuit, pins } = tinyCircuit(of)
  const behaviour = designBehaviour(of, circuit)
  const firmware = makeFirmware(circuit, behaviour, pins)!
  return { lamp: of, circuit, behaviour, firmware, pins }
}

const fits = (of: Lamp) => {
  const { circuit, behaviour, firmware } = made(of)
  return (
    circuit.signals.length <= 9 &&
    behaviour.rules.length <= layout.mostRules &&
    firmware.findings.every((f) => f.severity !== "red")
  )
}
const small = Array.from({ length: 200 }, (_, i) => 5000 + i)
  .filter((seed) => fits(seededLamp(seed)))
  .slice(0, 10)

function seededWires(of: Lamp, seed: number, seconds: number): Record<string, WireEdge[]> {
  const chance = random(seed)
  const wires: Record<string, WireEdge[]> = {}
  for (const wire of of.vehicle.wires) {
    const edges: WireEdge[] = []
    for (let t = chance.below(300); t < 1000 * seconds; ) {
      edges.push({ t: (t + chance.next()) / 1000, live: true })
      t += 1 + chance.below(chance.next() < 0.2 ? 100 : 500)
      edges.push({ t: (t + chance.next()) / 1000, live: false })
      t += 2 + chance.below(chance.next() < 0.2 ? 100 : 500)
    }
    wires[wire.name] = edges
  }
  return wires
}

describe("the image for the ATtiny84A", () => {
  test("ten seeded lamps that fit it: every frame of light as described, no reset, no overrun", () => {
    expect(small.length).toBe(10)
    for (const seed of small) {
      const { pins, ...all } = made(seededLamp(seed))
      const run = startBench(all).controller!.run({ wires: seededWires(all.lamp, seed, 2) })
      expect(run.advance(2)).toBe(true)
      expect([seed, finish(compareWithModel(all.lamp, run))]).toMatchObject([seed, { mismatches: 0 }])
      const { data, ram, lowestSp, highestStatic } = run.chip.core
      expect([run.chip.resets.length, data[ram.start], data[ram.start + 4]]).toEqual([1, 0, 1])
      expect(lowestSp - highestStatic).toBeGreaterThan(32)
    }
  })

  test("runs alike on simavr: every pin goes through the same levels, within 12 cycles", (ctx) => {
    if (typeof simavr === "string") return ctx.skip(simavr)
    const { pins, ...all } = made(wing)
    const seconds = 0.5
    const flash = [0.05, 0.2, 0.33, 0.45]
    const controller = startBench(all).controller!
    const start = controller.fuses.options.powerOnCycles
    const run = controller.run({
      wires: { left: flash.map((t, i) => ({ t: t + start / 16e6, live: i % 2 === 0 })), tail: [] },
    })
    const mine: [number, number, boolean][] = []
    run.onPin = (cycle, channel, lit) => mine.push([cycle - start, channel, lit])
    run.advance(seconds)
    const theirs = simavr.run(
      all.firmware.hex,
      seconds,
      [
        { at: 0, pin: pins.controller["input-left"]!, level: 0 },
        { at: 0, pin: pins.controller["input-tail"]!, level: 0 },
        ...flash.map((at, i) => ({
          at,
          pin: pins.controller["input-left"]!,
          level: (i % 2 === 0 ? 1 : 0) as 0 | 1,
        })),
      ],
      [],
      layout,
    )
    expect([theirs.serving, theirs.overruns, theirs.resets]).toEqual([1, 0, []])
    for (let c = 0; c < 7; c++) {
      const own = mine.filter(([cycle, channel]) => channel === c && cycle > 160_000)
      const other = theirs.edges(pins.controller[`output-${c}`]!).filter(([cycle]) => cycle > 160_000)
      expect(own.length).toBeGreaterThan(100)
      expect(own.map(([, , lit]) => lit)).toEqual(other.map(([, level]) => level === 1))
      const off = own.map(([cycle], i) => cycle - other[i]![0])
      const shift = [...off].sort((a, b) => a - b)[off.length >> 1]!
      expect(Math.max(...off.map((d) => Math.abs(d - shift)))).toBeLessThanOrEqual(12)
    }
  })

  test("any damaged byte of its table, a hang, garbage at its pins: a live wire is lit", () => {
    const { pins, ...all } = made(wing)
    const controller = startBench(all).controller!
    const lit = (image: Uint8Array) => {
      const run = controller.run({ wires: { left: [{ t: 0.03, live: true }], tail: [] } }, image)
      run.advance(0.16)
      return Array.from({ length: 7 }, (_, c) => run.duty(run.frames - 2, c))
    }
    const chance = random(9)
    for (let n = 0; n < 12; n++) {
      const bytes = controller.image.bytes.slice()
      bytes[layout.tableAt + chance.below(all.firmware.tableBytes)]! ^= 1 << chance.below(8)
      if (n % 3 === 0) bytes[layout.copyAt + chance.below(all.firmware.tableBytes)]! ^= 1 << chance.below(8)
      expect(Math.min(...lit(bytes))).toBeGreaterThan(0.99)
    }
  })
})
